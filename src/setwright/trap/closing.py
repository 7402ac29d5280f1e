"""How fast the jaws close: one running quadrature for any number of designs."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.trap.loop import EDGE, limb_angle, loop_at, upright_angle
from setwright.trap.model import GRAVITY, LONG, SLOT, Floats, Trap
from setwright.trap.motion import (
    CLOSES,
    LEVER_PAST_VERTICAL,
    LIMB_TOO_THICK,
    NO_CLEARANCE,
    NOT_KNOWN,
    NOT_RESOLVED,
    SPRING_SPENT,
    STALLS,
    STATE_NAMES,
    Closing,
)
from setwright.trap.plain import Load, Motion, move
from setwright.trap.springs import spring_effort

__all__ = (
    "CLOSES", "LEVER_PAST_VERTICAL", "LIMB_TOO_THICK", "NOT_KNOWN", "NOT_RESOLVED", "NO_CLEARANCE", "SPRING_SPENT",
    "STALLS", "STATE_NAMES", "Closing", "close", "water_terms",
)  # fmt: skip

Engine = Literal["auto", "numpy", "numba"]

FEWEST_NODES = 16
# From this many designs on, the compiled kernel repays the time that loading it takes.
MANY = 20_000
# Largest product of damping per radian and step that the quadrature is trusted with.
_STIFFEST = 0.45
_FIRST_SHARE = 0.35


def close(
    trap: Trap,
    *,
    friction: ArrayLike,
    limb: ArrayLike = 0.0,
    cover_mass: ArrayLike = 0.0,
    cover_radius: ArrayLike = 0.0,
    added_inertia: ArrayLike = 0.0,
    drag: ArrayLike = 0.0,
    tilt: ArrayLike = 0.0,
    pitch: ArrayLike = 0.0,
    nodes: int = 101,
    engine: Engine = "auto",
    workers: int | None = None,
    motion: bool = True,
) -> Closing:
    """Close the trap: time, speed, energy and momentum of the jaws at their first meeting.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    friction : float or array [-]
        Coulomb friction of loop on jaw.
    limb : float or array [m]
        Thickness of what stands between the jaws; 0 for empty closure.
    cover_mass, cover_radius : float or array [kg], [m]
        Loose cover lifted by each jaw, and its distance from the hinge.
    added_inertia, drag : float or array [kg m²], [N m s²]
        Water that moves with one jaw; drag torque over the square of the jaw rate (`water_terms`).
    tilt, pitch : float or array [rad]
        Tilt of the bedded trap across its hinges (both jaws by their mean) and along them; a quarter turn for
        a trap on an upright post, half a turn for one that hangs.
    nodes : int
        Nodes of the motion, at least 16.
    engine : {"auto", "numpy", "numba"}
        Plain NumPy, the compiled kernel, or the one that is sooner done with so many designs; they agree to
        1e-10.
    workers : int, optional
        Threads of the compiled kernel; one a core when None.
    motion : bool
        Keep the motion itself; without it `angles` and `times` are empty.

    Returns
    -------
    Closing
        States instead of exceptions: `STALLS` (does not rise to the end under this load),
        `LEVER_PAST_VERTICAL` and `SPRING_SPENT` (in the set position already), `NO_CLEARANCE`
        (eye too narrow, b ≤ c), `LIMB_TOO_THICK`, `NOT_KNOWN` (an input is NaN), `NOT_RESOLVED` (drag so
        great that these nodes cannot follow the motion).

    Raises
    ------
    OutOfRange
        For negative friction, drag or masses, and for fewer than 16 nodes.

    Notes
    -----
    With y = θ̇² the motion under the loop is A ½y' + B y = C, A = n M q' + ρ J, B = n M q'' + ρ D,
    C = n P + ρ τ, ρ = 2 G/s*; linear in y even with friction, because the contact force comes from the
    motion itself. Where that force falls to nothing the jaws fly on by themselves:
    J ½y' = τ − D y. Time is ∫ dθ/√y. The loop, left to its springs, seats later and by itself.

    Range: rigid parts, both jaws alike, sudden release, a base that does not move, loose dry cover. Frozen
    or cohesive cover is not in it (`set_torque`). Doubts: ±30 % in time with assumed dimensions.

    References
    ----------
    Equations: derived. US patent 4,117,621 (1978), spring travel that lags jaw travel (seen).
    Meek, Shorter & Falzon 2019, *Int. J. Pest Management* 65:66-71, closing times (seen, abstract).

    """
    if nodes < FEWEST_NODES:
        raise OutOfRange("too few nodes for the motion", field="nodes", found=nodes, allowed=f"from {FEWEST_NODES}")
    given = {
        "friction": friction, "limb": limb, "cover_mass": cover_mass, "cover_radius": cover_radius,
        "added_inertia": added_inertia, "drag": drag, "tilt": tilt, "pitch": pitch,
    }  # fmt: skip
    load = {name: np.asarray(value, dtype=float)[..., None] for name, value in given.items()}
    for name, value in load.items():
        if name not in ("tilt", "pitch") and bool((value < 0).any()):
            raise OutOfRange("this must not be negative", field=name, found=float(np.nanmin(value)))
    wide = _columns(trap)
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        return _closing(wide, load, nodes, engine, workers, motion)


def _columns(trap: Trap) -> Trap:
    """The trap with a last axis of one on each number, for the nodes."""
    named: dict[str, Any] = {
        entry.name: np.asarray(getattr(trap, entry.name), dtype=float)[..., None]
        for entry in fields(trap)
        if entry.name not in ("family", "eye")
    }
    return replace(trap, **named)


def _closing(
    trap: Trap, load: dict[str, Floats], nodes: int, engine: Engine, workers: int | None, motion: bool
) -> Closing:
    own_weight = trap.weight_moment + GRAVITY * load["cover_mass"] * load["cover_radius"]
    moved = Load(
        friction=load["friction"],
        inertia=trap.jaw_inertia + load["cover_mass"] * load["cover_radius"] ** 2 + load["added_inertia"],
        weight=np.asarray(own_weight * np.cos(load["tilt"]) * np.cos(load["pitch"])),
        drag=load["drag"],
    )
    start = np.asarray(trap.set_angle, dtype=float)
    end = limb_angle(trap, load["limb"])
    state = _state_when_set(trap, load, start, end)
    first = max(6, round(_FIRST_SHARE * nodes))
    compiled = engine == "numba" or (engine == "auto" and state.size >= MANY)
    if compiled:
        from setwright.trap.compiled import move_compiled

        found = move_compiled(trap, moved, load["limb"], state.shape, nodes, first, workers, motion)
    else:
        found = move(trap, moved, end, nodes, first)
    state = np.where((state == CLOSES) & (found.damping > _STIFFEST), NOT_RESOLVED, state)
    state = np.where((state == CLOSES) & found.stalls, STALLS, state)
    return _answer(trap, found, end, state, first if motion else None)


def _answer(trap: Trap, found: Motion, end: Floats, state: NDArray[np.int_], first: int | None) -> Closing:
    closes = state == CLOSES
    shape = state.shape
    energy, seats = _loops(trap, found)
    rate = np.where(closes, np.sqrt(np.where(closes, found.square, 0.0)), np.nan)
    height = np.asarray(trap.height, dtype=float)[..., 0]
    own = np.asarray(trap.jaw_inertia, dtype=float)[..., 0]
    keep = closes[..., None]
    last = np.broadcast_to(end, (*shape, 1))
    path = clock = np.empty((*shape, 0))
    if first is not None:
        angles, times = found.angles, found.times
        path = np.concatenate((angles[..., :first], angles[..., first + 1 :], last), axis=-1)
        clock = np.concatenate((times[..., :first], times[..., first + 1 :], found.time[..., None]), axis=-1)
    return Closing(
        time=np.where(closes, found.time, np.nan),
        angle=np.where(closes, last[..., 0], np.nan),
        rate=rate,
        tip_speed=height * rate,
        jaw_energy=own * rate**2,
        loop_energy=np.where(closes, energy, np.nan),
        loop_time=np.where(closes, seats, np.nan),
        momentum=own * rate / height,
        separation_angle=np.where(closes & found.separates, found.separation, np.nan),
        separation_time=np.where(closes & found.separates, found.parted, np.nan),
        recontact=closes & found.ahead,
        angles=np.where(keep, path, np.nan),
        times=np.where(keep, clock, np.nan),
        state=state,
        height=np.broadcast_to(height, shape).copy(),
    )


def _state_when_set(trap: Trap, load: dict[str, Floats], start: Floats, end: Floats) -> NDArray[np.int_]:
    """State that the set position alone decides."""
    known = np.isfinite(sum(load.values(), start=np.zeros(1)) + _numbers(trap))
    loop = loop_at(trap, start)
    effort = spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate)
    if trap.family == LONG or trap.eye == SLOT:
        upright = start >= upright_angle(trap)
    else:
        upright = np.abs(loop.lever_sine) >= 1.0
    code = np.select(
        np.broadcast_arrays(
            ~known, trap.clearance <= trap.loop_clearance, upright, effort <= 0, ~(end > start + EDGE)
        ),
        [NOT_KNOWN, NO_CLEARANCE, LEVER_PAST_VERTICAL, SPRING_SPENT, LIMB_TOO_THICK],
        CLOSES,
    )  # fmt: skip
    return np.asarray(code[..., 0], dtype=int)


def _numbers(trap: Trap) -> Floats:
    """Sum of every number the motion uses: NaN when one is missing."""
    unused = ("family", "eye", "set_stress", "strength")
    total = np.zeros(1)
    for entry in fields(trap):
        if entry.name not in unused:
            total = total + getattr(trap, entry.name)
    return total


def _loops(trap: Trap, found: Motion) -> tuple[Floats, Floats]:
    """Energy of all loops when they seat [J], and the time since release when they do [s]."""
    count, rate, free, inertia = (
        np.asarray(value, dtype=float)[..., 0]
        for value in (trap.loops, trap.spring_rate, trap.free_coordinate, trap.loop_inertia)
    )
    seat = np.minimum(found.seat, free)
    spring = 0.5 * rate * (np.maximum(free - found.part, 0.0) ** 2 - np.maximum(free - seat, 0.0) ** 2)
    apart = count * (0.5 * inertia * found.pace**2 + np.maximum(spring, 0.0))
    frequency = np.sqrt(rate / inertia)
    gap = np.maximum(free - found.part, 0.0)
    swing = np.hypot(gap, found.pace / frequency)
    begun = np.arctan2(found.pace / frequency, gap)
    driven = np.arccos(np.clip((free - seat) / swing, -1.0, 1.0)) - begun
    later = found.parted + np.maximum(driven, 0.0) / frequency
    # The loop cannot seat before what it closes on is there.
    return (
        np.where(found.separates, apart, found.together),
        np.where(found.separates, np.maximum(later, found.time), found.time),
    )


def water_terms(
    trap: Trap, *, density: ArrayLike = 1000.0, added_coefficient: ArrayLike = 1.0, drag_coefficient: ArrayLike = 1.5
) -> tuple[Floats, Floats]:
    """Inertia and drag of the water that the jaws move.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    density : float or array [kg/m³]
        Of the water.
    added_coefficient, drag_coefficient : float or array [-]
        Of a bar across the flow; drag 1.2 to 2.

    Returns
    -------
    tuple of array [kg m²], [N m s²]
        `added_inertia` and `drag` of one jaw for `close`.

    Notes
    -----
    J_w = ρ C_a (π d²/4)(W H² + 2 H³/3), D = ½ ρ C_d d (W H³ + H⁴/2), d the width of the bar. Drag of
    levers and springs is left out: a real trap is slower. Coefficients: assumed.

    """
    height, bar = np.asarray(trap.height, dtype=float), np.asarray(trap.face_length, dtype=float)
    wide = np.asarray(trap.bar_width, dtype=float)
    thick = np.asarray(density, dtype=float)
    inertia = thick * np.asarray(added_coefficient, dtype=float) * 0.25 * np.pi * wide**2
    inertia = inertia * (bar * height**2 + 2.0 * height**3 / 3.0)
    drag = 0.5 * thick * np.asarray(drag_coefficient, dtype=float) * wide
    return inertia, drag * (bar * height**3 + 0.5 * height**4)
