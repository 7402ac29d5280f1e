"""Figures of one trap over draws of what is not known of it: closing, grip, what gives way, setting, trigger."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.source import Quantity
from setwright.basis.spread import Draws
from setwright.desk.bench_document import Figure, Standing
from setwright.line.book import TrapEntry
from setwright.sets.context import Floats
from setwright.sets.mechanics import COVER_DENSITY, COVER_RADIUS_SHARE, changed, normals_of
from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables
from setwright.trap.closing import STATE_NAMES, Closing, close, water_terms
from setwright.trap.guard import swing
from setwright.trap.holding import Clamp, clamp, dog_force, pressures, set_torque
from setwright.trap.model import COIL
from setwright.trap.posterior import Posterior
from setwright.trap.release import release
from setwright.trap.setting import SettingForce, setting_force
from setwright.trap.spring_check import SpringCheck, check_springs
from setwright.trap.strength import GivesWay, gives_way, stock_of
from setwright.trap.swivel import swivel_arm
from setwright.trap.trigger import notch_force, trip_force
from setwright.trap.unknowns import Design, Unknowns, design_of

LIMB, LIMB_WIDTH = 0.020, 0.045
NODES = 65


@dataclass(frozen=True)
class Bed:
    """How the trap lies and what stands between its jaws; SI.

    `limb` and `limb_width` of what is held, `cover` over the jaws, `water` over the trap, `tilt` of the bed across
    the hinges, `delay` for which the dog keeps its jaw down.
    """

    limb: float = LIMB
    limb_width: float = LIMB_WIDTH
    cover: float = 0.0
    water: bool = False
    tilt: float = 0.0
    delay: float = 0.0


@dataclass(frozen=True)
class Numbers:
    """Everything computed of a trap, each array of shape (n,), before it is put into words."""

    design: Design
    bed: Bed
    closing: Closing
    time_factor: Floats
    grip: Clamp
    setting: SettingForce
    springs: SpringCheck
    gives_way: GivesWay
    trip: Floats
    dog: Floats
    torque: Floats
    swivel: Floats
    guard_time: Floats | None
    guard_force: Floats | None


def drawn(posterior: Posterior, unknowns: Unknowns, rig: TrapRig, draws: Draws) -> Design:
    """Designs of a trap as it stands now, on draws that all its variants share."""
    scores = posterior.scores(normals_of(draws, posterior.unknowns))
    return design_of(changed(unknowns, rig), scores)


def likely(posterior: Posterior, unknowns: Unknowns, rig: TrapRig) -> Design:
    """The one most probable design, arrays of shape (1,)."""
    return design_of(changed(unknowns, rig), posterior.law.mode[None])


def load_of(design: Design, bed: Bed) -> dict[str, Any]:
    """What the jaws carry, as the closing asks for it."""
    half = 0.5 * np.asarray(design.spread)
    inertia: ArrayLike = 0.0
    drag: ArrayLike = 0.0
    if bed.water:
        inertia, drag = water_terms(design.trap)
    return {
        "cover_mass": 0.5 * np.pi * half**2 * bed.cover * COVER_DENSITY,
        "cover_radius": COVER_RADIUS_SHARE * half,
        "added_inertia": inertia,
        "drag": drag,
        "tilt": bed.tilt,
    }


def numbers(design: Design, rig: TrapRig, entry: TrapEntry, bed: Bed, draws: Draws) -> Numbers:
    """Compute every figure of the bench sheet."""
    trap, friction = design.trap, design.friction
    run = close(trap, friction=friction, nodes=NODES, **load_of(design, bed))
    grip = clamp(trap, friction=friction, limb=bed.limb)
    setting = trap_tables.working()
    guard_time = guard_force = None
    time_factor = design.time_factor * _held_back(design, bed)
    if rig.guard is not None:
        arm = swing(rig.guard, released_at=run.time * time_factor)
        guard_time, guard_force = np.asarray(arm.time), np.asarray(arm.force)
    return Numbers(
        design=design,
        bed=bed,
        closing=run,
        time_factor=time_factor,
        grip=grip,
        setting=setting_force(
            trap, rubbing=draws.quantity("rubbing", setting.get("setting", "rubbing")),
            setter_ratio=setting.number("setting", "setter_ratio"), steepest=setting.number("setting", "steepest"),
        ),
        springs=springs_of(design, entry),
        gives_way=gives_way(
            trap,
            stock_of(
                design.dimensions,
                yield_strength=draws.quantity("yield", trap_tables.stock().get("bar", "yield_strength")),
            ),
            friction=friction, limb=bed.limb, limb_width=bed.limb_width,
        ),
        trip=_trip(design, rig, entry, draws),
        dog=np.asarray(dog_force(trap)),
        torque=np.asarray(set_torque(trap, friction=friction)),
        swivel=np.asarray(swivel_arm(design.dimensions), dtype=float),
        guard_time=guard_time,
        guard_force=guard_force,
    )  # fmt: skip


def _held_back(design: Design, bed: Bed) -> float:
    """Share by which a dog that holds its jaw back lengthens the closing, of the design in the middle."""
    if bed.delay == 0.0:
        return 1.0
    one = {name: np.median(value) for name, value in vars(design.trap).items() if name not in ("family", "eye")}
    trap = replace(design.trap, **one)
    load = {name: np.median(value) for name, value in load_of(design, bed).items()}
    mu = float(np.median(design.friction))
    with_it, without = (release(trap, friction=mu, delay=delay, **load).time for delay in (bed.delay, 0.0))
    return float(with_it / without)


def springs_of(design: Design, entry: TrapEntry) -> SpringCheck:
    """The check of its springs when set."""
    coil = design.dimensions.family == COIL
    return check_springs(
        design.dimensions, design.trap,
        strength=None if coil else trap_tables.stock().number("leaf", "leaf_strength"),
        set_removed=entry.set_removed,
        post_diameter=np.nan if entry.post_diameter is None else entry.post_diameter.number,
    )  # fmt: skip


def _trip(design: Design, rig: TrapRig, entry: TrapEntry, draws: Draws) -> Floats:
    """Trip force: read on the pan, or from notch and springs, or not known."""
    if rig.trip_force.known:
        return np.asarray(draws.quantity("trip", rig.trip_force.with_spread(0.2)))
    notch = entry.notch
    if notch is None:
        return np.full(draws.n, np.nan)
    force = notch_force(design.trap, dogless=rig.dogless)
    friction = 0.2 if notch.friction is None else notch.friction.number
    rake = 0.0 if notch.rake is None else notch.rake.number
    found = trip_force(
        force, notch_arm=notch.arm.number, notch_friction=friction, pan_radius=rig.pan_radius.number, rake=rake
    )
    return np.asarray(found.force)


# Key, label, unit of the key, factor from SI, what its standing hangs on.
KEYS: tuple[tuple[str, str, str, float, str], ...] = (
    ("closing_time_ms", "closing time", "ms", 1e3, "closing_time"),
    ("separation_deg", "jaws leave the loop at", "deg", float(np.degrees(1.0)), "closing_time"),
    ("loop_arrival_ms", "loop seats after", "ms", 1e3, "closing_time"),
    ("tip_speed_m_s", "speed of the bar", "m/s", 1.0, "closing_time"),
    ("impact_momentum_N_s", "momentum of one jaw", "N s", 1.0, "closing_time"),
    ("jaw_energy_J", "energy of both jaws", "J", 1.0, "closing_time"),
    ("loop_energy_J", "energy of the loops, later", "J", 1.0, "closing_time"),
    ("clamp_closing_N", "grip, closing", "N", 1.0, "closing_force"),
    ("clamp_opening_N", "grip, opening", "N", 1.0, "opening_force"),
    ("locked", "locks, share of draws", "one", 1.0, "opening_force"),
    ("lock_margin_deg", "angle over that of the lock", "deg", float(np.degrees(1.0)), "opening_force"),
    ("face_pressure_kPa", "mean pressure of the face", "kPa", 1e-3, "closing_force"),
    ("edge_pressure_kPa", "mean pressure of the edge", "kPa", 1e-3, "closing_force"),
    ("slack_mm", "opening left when the loop is at its end", "mm", 1e3, "closing_force"),
    ("gives_way_N", "force at the bars at which it gives way", "N", 1.0, "opening_force"),
    ("lever_force_N", "force on one lever or spring, by hand", "N", 1.0, "dog_force"),
    ("setter_force_N", "force on a setter's handles", "N", 1.0, "dog_force"),
    ("foot_force_N", "force of both feet", "N", 1.0, "dog_force"),
    ("dog_force_N", "force on the dog", "N", 1.0, "dog_force"),
    ("set_torque_N_m", "torque that lifts a jaw", "N m", 1.0, "dog_force"),
    ("pan_trip_force_N", "pan trip force", "N", 1.0, "trip_force"),
)  # fmt: skip


def values(found: Numbers) -> dict[str, Floats]:
    """Every figure of `KEYS` in SI, shape (n,)."""
    run, factor = found.closing, found.time_factor
    pressed = pressures(found.design.trap, found.grip.closing_force, found.bed.limb_width)
    return {
        "closing_time_ms": run.time * factor,
        "separation_deg": run.separation_angle,
        "loop_arrival_ms": run.loop_time * factor,
        "tip_speed_m_s": run.tip_speed / factor,
        "impact_momentum_N_s": run.momentum / factor,
        "jaw_energy_J": run.jaw_energy / factor**2,
        "loop_energy_J": run.loop_energy,
        "clamp_closing_N": found.grip.closing_force,
        "clamp_opening_N": found.grip.opening_force,
        "locked": np.where(np.isnan(found.grip.closing_force), np.nan, found.grip.locked.astype(float)),
        "lock_margin_deg": found.grip.lock_margin,
        "face_pressure_kPa": pressed.face,
        "edge_pressure_kPa": pressed.edge,
        "slack_mm": found.grip.slack,
        "gives_way_N": found.gives_way.force,
        "lever_force_N": found.setting.hand,
        "setter_force_N": found.setting.setters,
        "foot_force_N": found.setting.together,
        "dog_force_N": found.dog,
        "set_torque_N_m": found.torque,
        "pan_trip_force_N": found.trip,
    }


def states(found: Numbers) -> dict[str, str]:
    """What became of closing and grip, by most of the draws."""
    return {"closing": _most(found.closing.state), "grip": _most(found.grip.state)}


def _most(state: NDArray[np.int_]) -> str:
    codes, counts = np.unique(state, return_counts=True)
    name = STATE_NAMES[int(codes[np.argmax(counts)])]
    share = float(counts.max() / counts.sum())
    return name if share == 1.0 else f"{name} ({share:.0%} of the draws)"


def middle(draws: ArrayLike) -> tuple[float | None, float | None, float | None]:
    """Median, 5 % and 95 % point; None where it is not known, infinity where there is no limit."""
    found = np.asarray(draws, dtype=float)
    if found.size == 0 or np.isnan(found).mean() > 0.5:
        return None, None, None
    ranked = np.sort(found[~np.isnan(found)])
    one, low, high = (float(ranked[min(int(share * ranked.size), ranked.size - 1)]) for share in (0.5, 0.05, 0.95))
    return one, low, high


def figures(found: Numbers, standing: Mapping[str, str], trip: Quantity) -> dict[str, Figure]:
    """Every figure with its band, in the unit of its key."""
    told: dict[str, Figure] = {}
    for key, label, unit, factor, hangs_on in KEYS:
        draws = values(found)[key] * factor
        if key == "locked":
            share = None if np.isnan(draws).all() else float(np.nanmean(draws))
            told[key] = Figure(
                label=label,
                median=share,
                low=share,
                high=share,
                unit=unit,
                standing=_standing(standing, hangs_on, share),
            )
            continue
        median, low, high = (None if x is None or np.isinf(x) else x for x in middle(draws))
        note = "no limit: locked" if median is None and np.isinf(draws).any() else ""
        how = _standing(standing, hangs_on, median if note == "" else 1.0)
        if key == "pan_trip_force_N" and trip.known:
            how, note = "stated", str(trip.source)
        told[key] = Figure(label=label, median=median, low=low, high=high, unit=unit, standing=how, note=note)
    return told


def _standing(standing: Mapping[str, str], hangs_on: str, value: float | None) -> Standing:
    if value is None:
        return "cannot tell"
    return "absolute" if standing[hangs_on] == "absolute" else "comparative"
