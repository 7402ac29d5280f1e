"""Is the trap in order through the night, or frozen down?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.say import Say
from setwright.ground.breakout import breakout_torque, leaf_bonded, leaf_peel, lever_bonded, pan_plate_break
from setwright.ground.crust import bonded_crust, strength_frozen
from setwright.ground.frost import FrostRun, ThermalLayer, frost_profile
from setwright.sets.context import Context, Floats, limit
from setwright.sets.feet import foot_size
from setwright.sets.mechanics import torque_when_set, trap_of
from setwright.sets.model import Night, Rig
from setwright.sets.naming import cover_name
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown
from setwright.trap.loop import loop_at
from setwright.trap.springs import spring_effort
from setwright.weather import tables as weather_tables

# Nine nights: colder, as told, milder by the mean of the outer thirds of ± 2 K; cover drier, as told, wetter.
COLDER = np.array([-1.33, 0.0, 1.33])
WETTER = np.array([0.8, 1.0, 1.2])
POROSITY = 0.45
LATENT = 333.6e6
# Share of the rain that stays in the cover; waxed dirt sheds nearly all.
TAKEN, SHED = 0.7, 0.1
# Strength of saturated frozen soil, 2 K below freezing: shear, bending tension, bond to steel.
SHEAR, TENSION, BOND = 200e3, 400e3, 250e3
UNDER = {
    "loam": "loam-moist", "stiff-clay": "clay-moist", "soft-clay": "clay-wet", "mud": "clay-wet", "muck": "clay-wet",
    "loose-sand": "sand-moist", "firm-sand": "sand-moist", "gravel": "sand-dry", "frozen": "loam-wet",
}  # fmt: skip
LEVER_WIDTH, LEAF_CONTACT = 0.012, 0.02
# Energy that parts an ice bond, 1 to 10 J/m2 (assumed), and what a leaf is made of.
TOUGHNESS, LEAF_MODULUS = 3.0, 205e9
DEFAULT_COVER = 0.01
# One night reaches some 0.2 m down.
DEPTH = 0.4
FOOT_SHARE = 0.6
G = 9.80665


@dataclass(frozen=True, eq=False)
class FrozenNight:
    """Nine nights by hour, shape (9, h): bonded crust [m], its saturation and temperature, ice at the base [m]."""

    thickness: Floats
    saturation: Floats
    temperature: Floats
    base: Floats
    rain: float


@dataclass(frozen=True, eq=False)
class FrostOrder:
    """Frost by hour of the night, shape (n, h): `free` 1 where springs and jaws rise, `crust` what it adds [N].

    `crust` is the force that breaks a crust over the pan, on top of the trip force; 0 where none stands.
    """

    free: Floats
    crust: Floats


def frost_order(context: Context, rig: Rig) -> FrostOrder | None:
    """Frost hour by hour for one rig; None where no frost can hold the trap or none can be told."""
    night = context.conditions.night
    if context.site.medium == "water" or night is None or rig.cover is None:
        return None
    return _told(context, rig, night, rig.cover)[1]


def frozen_night(context: Context, rig: Rig) -> FrozenNight | None:
    """The nine nights in the cover of a rig; None where no frost can hold the trap or none can be told."""
    night = context.conditions.night
    if context.site.medium == "water" or night is None or rig.cover is None:
        return None
    return _told(context, rig, night, rig.cover)[0]


def night_of_draw(context: Context) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Which of three nights (colder to milder) and of three covers (drier to wetter) each draw takes, shape (n,)."""
    colder, wetter = (
        np.minimum((3 * context.draws.uniform(name)).astype(np.intp), 2) for name in ("colder", "wetter")
    )
    return colder, wetter


def _told(context: Context, rig: Rig, night: Night, kind: str) -> tuple[FrozenNight, FrostOrder]:
    """The nine nights in this cover and what they leave free; one run for rigs that share what matters."""
    depth = _depth(rig)
    trap = rig.trap
    key = (
        "frost order", kind, depth, trap.trap_id, trap.springs, trap.jaws, trap.spread, trap.set_height,
        trap.pan_radius, trap.knowledge.key,
    )  # fmt: skip

    def make() -> tuple[FrozenNight, FrostOrder]:
        frozen = _night(context, night, kind, depth, trap.set_height)
        return frozen, _free(context, rig, frozen)

    return context.kept.get(key, make)


def _depth(rig: Rig) -> float:
    return rig.cover_depth.number if rig.cover_depth is not None and rig.cover_depth.known else DEFAULT_COVER


def frost_share(context: Context, rig: Rig) -> tuple[Floats, CheckResult | None]:
    """Share of the dark hours in which frost leaves the trap free, shape (n,), and the check.

    The enthalpy model runs the night nine times (colder to milder, drier to wetter); every draw takes one of
    them. At each hour the crust must be lifted by the least torque that the trap has, the set one, and be
    broken by the foot on the pan; a base that is frozen in holds a coil's levers, less so a long-spring's leaf.
    """
    ones = np.ones(context.n)
    if context.site.medium == "water":
        return ones, None
    night = context.conditions.night
    if night is None:
        return ones, check_unknown(
            "frost", "share", Say("no weather record: frost cannot be told"),
            Say("put an hourly record or forecast of this night beside the book"), limit=limit("order"),
        )  # fmt: skip
    if rig.cover is None:
        if float(np.min(night.equivalent)) > 0.5:
            return ones, None
        return ones, check_unknown(
            "frost", "share", Say("the ground freezes tonight and the cover is not described"),
            Say("write down what lies over the trap, and how deep"), limit=limit("order"),
        )  # fmt: skip
    kind = rig.cover
    frozen, order = _told(context, rig, night, kind)
    # The foot that must break it is a light tread of the target.
    free = order.free * (order.crust <= FOOT_SHARE * context.mass(context.target)[:, None] * G)
    hours = night.dark if bool(night.dark.any()) else np.ones(night.hours, dtype=bool)
    share = np.mean(free[:, hours], axis=1)
    table = weather_tables.thermal()
    crust = float(np.max(frozen.thickness[4]))
    coldest = float(np.min(night.equivalent))
    origins = (
        Origin("weather", night.source),
        Origin("water in the cover", table.get(kind, "water_volume").source),
        Origin("strength of frozen cover", context.figure("frost_strength").source),
    )
    name = cover_name(kind)
    if crust < 0.001:
        why = Say("{cover:word} stays loose down to {cold:temperature} at the ground", cover=name, cold=coldest)
    else:
        first = np.flatnonzero(frozen.thickness[4] >= 0.002)
        when = night.hour(int(first[0])) if first.size else night.hour(night.hours - 1)
        why = Say(
            "{cover:word} freezes to {crust:length} of crust, from {when:clock} on; {cold:temperature} at the ground",
            cover=name, crust=crust, when=when, cold=coldest,
        )  # fmt: skip
    check = check_margin(
        "frost", share, limit("order"), "share", why,
        mend=Say("lift the cover and bed it in dry dirt, none of it damp, before dark"), origins=origins,
    )  # fmt: skip
    return np.asarray(share), check


def _night(context: Context, night: Night, kind: str, depth: float, set_height: float) -> FrozenNight:
    """The nine nights in one cover; sites with the same cover and ground share the run."""
    soil = UNDER.get(context.site.soils[0].key, "loam-moist") if context.site.soils else "loam-moist"
    key = ("frost", kind, round(depth, 4), soil, context.site.canopy)
    run, volume, rain = context.line_kept.get(key, lambda: _run(context, night, kind, depth, soil))
    crust, last = bonded_crust(run, volume, depth), slice(-night.hours, None)
    below = bonded_crust(run, volume, depth + set_height)
    return FrozenNight(
        thickness=crust.thickness[:, last],
        saturation=np.minimum(crust.ice[:, last] / POROSITY, 1.0),
        temperature=run.at(0.5 * depth)[:, last],
        base=(below.thickness - crust.thickness)[:, last],
        rain=rain,
    )


def _run(context: Context, night: Night, kind: str, depth: float, soil: str) -> tuple[FrostRun, Floats, float]:
    """Temperatures and ice of the nine nights, water by volume of the cells, and the rain in the cover [mm]."""
    table = weather_tables.thermal()
    rain = float(night.rain.sum() + night.before_rain.sum())
    taken = (SHED if kind.startswith("waxed") else TAKEN) * rain / 1000.0 / depth
    water = np.minimum(table.number(kind, "water_volume") + taken, POROSITY)
    water = np.repeat(np.minimum(water * WETTER, POROSITY)[None, :], 3, axis=0).ravel()

    def layer(key: str, thickness: float, volume: Floats | None) -> ThermalLayer:
        return ThermalLayer(
            thickness,
            k_frozen=table.number(key, "k_frozen"),
            k_unfrozen=table.number(key, "k_unfrozen"),
            c_frozen=table.number(key, "c_frozen"),
            c_unfrozen=table.number(key, "c_unfrozen"),
            latent=table.number(key, "latent") if volume is None else LATENT * volume,
        )

    layers = [layer(kind, depth, water), layer(soil, float("inf"), None)]
    forcing = np.concatenate([night.before, night.equivalent])[None, :] + np.repeat(COLDER, 3)[:, None]
    surface = np.concatenate([night.before_surface, night.surface])
    known = context.conditions.soil_temperature
    start = known.value if known is not None and known.value is not None else float(np.mean(forcing)) + 2.0
    snow = context.conditions.snow
    resistance = 0.0 if snow is None or snow.value is None else snow.value / 0.088
    if known is not None and known.value is not None:
        # The reading was taken when the set was made: run the night alone.
        forcing, surface = forcing[:, night.before.size :], surface[night.before.size :]
    run = frost_profile(
        forcing, surface, layers, snow_resistance=resistance, initial_temperature=start,
        bottom_temperature=start + 2.0, steps_per_hour=2, depth=DEPTH,
    )  # fmt: skip
    by_layer = np.stack([water, np.full(9, table.number(soil, "water_volume"))], axis=1)
    return run, by_layer[:, run.layer], rain


def _free(context: Context, rig: Rig, frozen: FrozenNight) -> FrostOrder:
    """Where the trap can rise, and the crust over its pan, by draw and hour, shape (n, h)."""
    colder, wetter = night_of_draw(context)
    row = 3 * colder + wetter
    if float(np.max(frozen.thickness)) <= 0.0 and float(np.max(frozen.base)) < 0.002:
        shape = (context.n, frozen.thickness.shape[1])
        return FrostOrder(np.ones(shape), np.zeros(shape))
    factor = context.own_figure("frost_strength")[:, None]
    cold, wet = frozen.temperature, frozen.saturation
    tension = strength_frozen(cold, wet, TENSION)
    bond = strength_frozen(cold, wet, BOND)
    needed = breakout_torque(
        frozen.thickness, 0.5 * rig.trap.spread.number, strength_frozen(cold, wet, SHEAR), tension, bond,
        float(np.max(rig.trap.dimensions.leg_thickness)), frozen.thickness >= 0.95 * _depth(rig),
    )  # fmt: skip
    safety = float(context.figure("frost_safety").number)
    lifts = torque_when_set(context, rig.trap)[:, None] > safety * factor * needed[row]
    width, length = foot_size(context.target, context.site.foot)
    paw = min(0.4 * float(np.sqrt(width * length)), 0.9 * rig.trap.pan_radius.number)
    # The load of a plate goes with the square of its thickness, and with its strength.
    unit = pan_plate_break(1.0, rig.trap.pan_radius.number, paw, 1.0)
    crust = np.maximum(factor * tension[row], 1.0) * (frozen.thickness[row] / unit) ** 2
    return FrostOrder(np.asarray(lifts & _springs_rise(context, rig, frozen, factor, row), dtype=float), crust)


def _springs_rise(context: Context, rig: Rig, frozen: FrozenNight, factor: Floats, row: NDArray[np.intp]) -> Floats:
    """Whether levers or leaf tear loose from a bed that is frozen at its base, shape (n, h)."""
    trap = trap_of(context, rig.trap)
    bond = factor * strength_frozen(frozen.temperature, frozen.saturation, BOND)[row]
    lowest = loop_at(trap, np.asarray(trap.set_angle)).coordinate
    press = float(np.max(spring_effort(trap.spring_rate, trap.free_coordinate, lowest)))
    if rig.trap.family == "coil":
        held = lever_bonded(bond, float(np.max(trap.lever_length)), LEVER_WIDTH)
    else:
        held = leaf_held(rig, bond)
    return np.asarray((frozen.base[row] < 0.002) | (press > held))


def leaf_held(rig: Rig, bond: Floats) -> Floats:
    """Force at the eye that frees a long-spring's leaf of a bed with this bond [Pa]: torn at once or peeled [N]."""
    found = rig.trap.dimensions
    width, thickness, arm = (
        usual if value is None else float(np.max(value))
        for value, usual in ((found.leaf_width, 0.02), (found.leaf_thickness, 0.003), (found.leaf_arm, 0.15))
    )
    stiffness = LEAF_MODULUS * width * thickness**3 / 12.0
    return np.fmin(leaf_bonded(bond, width, arm, LEAF_CONTACT), leaf_peel(width, stiffness, TOUGHNESS, LEAF_CONTACT))
