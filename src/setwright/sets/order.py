"""Is the trap in order through the night, or frozen down?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import assumed
from setwright.ground import tables as ground_tables
from setwright.ground.crust import bonded_crust
from setwright.ground.frost import FrostRun, ThermalLayer, frost_profile
from setwright.ground.frozen_trap import Weighed, weigh_cures
from setwright.sets.context import Context, Floats, limit
from setwright.sets.frozen import (
    MENDS,
    SPRING_BOND,
    TERMS,
    FrostOrder,
    FrozenNight,
    cover_of,
    governing,
    order_of,
    worst,
)
from setwright.sets.model import Night, Rig, Treated
from setwright.sets.result import CheckResult, Origin, check_margin, check_unknown
from setwright.sets.treated import cover_words, freezing_of
from setwright.weather import tables as weather_tables

# Nine nights: colder, as told, milder by the mean of the outer thirds of ± 2 K; cover drier, as told, wetter.
COLDER = np.array([-1.33, 0.0, 1.33])
WETTER = np.array([0.8, 1.0, 1.2])
POROSITY = 0.45
LATENT = 333.6e6
# Share of the rain that stays in the cover; waxed dirt sheds nearly all.
TAKEN, SHED = 0.7, 0.1
# A floor of the bed that is wet when it freezes.
WET_UNDER = {"loam-moist": "loam-wet", "clay-moist": "clay-wet", "sand-moist": "sand-wet", "sand-dry": "sand-wet"}
# One night reaches some 0.2 m down.
DEPTH = 0.4
FOOT_SHARE = 0.6
# Hours in which rain still lies in a cover, and hours that warm or cool the top foot of ground (assumed).
WET_FOR, LEAD = 72, 120
G = 9.80665


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


def _told(context: Context, rig: Rig, night: Night, kind: str) -> tuple[FrozenNight, FrostOrder]:
    """The nine nights in this cover and what they leave free; one run for rigs that share what matters."""
    depth = cover_of(rig)
    trap = rig.trap
    key = (
        "frost order", kind, rig.treated, depth, trap.trap_id, trap.springs, trap.jaws, trap.spread, trap.set_height,
        trap.pan_radius, trap.knowledge.key, rig.bedding.base,
    )  # fmt: skip

    def make() -> tuple[FrozenNight, FrostOrder]:
        frozen = _night(context, night, kind, depth, rig)
        return frozen, order_of(context, rig, frozen)

    return context.kept.get(key, make)


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
    mixed = () if rig.treated is None else (Origin("salt or glycol in the cover", rig.treated.strength.source),)
    origins = (
        *mixed,
        Origin("weather", night.source),
        _warmth_origin(context, night),
        Origin("water in the cover", table.get(kind, "water_volume").source),
        Origin("strength of frozen cover", context.figure("frost_strength").source),
    )
    name = cover_words(kind, rig.treated)
    held = governing(order, free, hours)
    mend = Say(MENDS[held]) if held else Say("lift the cover and bed it in dry dirt, none of it damp, before dark")
    if crust < 0.001 and held != SPRING_BOND:
        why = Say("{cover:word} stays loose down to {cold:temperature} at the ground", cover=name, cold=coldest)
    else:
        first = np.flatnonzero(frozen.thickness[4] >= 0.002)
        when = night.hour(int(first[0])) if first.size else night.hour(night.hours - 1)
        why = Say(
            "{cover:word} freezes to {crust:length} of crust, from {when:clock} on; {cold:temperature} at the ground",
            cover=name, crust=crust, when=when, cold=coldest,
        )  # fmt: skip
        if held:
            why = Say("{why:say}; what holds it is {held:word}", why=why, held=f"the {TERMS[held]}")
    check = check_margin("frost", share, limit("order"), "share", why, mend=mend, origins=origins)
    return np.asarray(share), check


@dataclass(frozen=True)
class FrozenIn:
    """The worst dark hour of the night as told: each term over what the trap has, when that is, the cures weighed.

    `governs` is an index in `TERMS`, 0 where the trap fires at that hour.
    """

    when: datetime
    crust: float
    jaw_bond: float
    spring_bond: float
    governs: int
    cures: tuple[Weighed, ...]


def frozen_in(context: Context, rig: Rig) -> FrozenIn | None:
    """What holds the trap at the worst hour of the night and which cures are none; None where no ice stands."""
    night = context.conditions.night
    if context.site.medium == "water" or night is None or rig.cover is None:
        return None
    frozen, _ = _told(context, rig, night, rig.cover)
    hours = night.dark if bool(night.dark.any()) else np.ones(night.hours, dtype=bool)
    found = worst(context, rig, frozen, hours)
    if found is None:
        return None
    loads, hour = found
    return FrozenIn(
        night.hour(hour), float(loads.crust), float(loads.jaw_bond), float(loads.spring_bond), int(loads.governs),
        weigh_cures(loads),
    )  # fmt: skip


def _warmth_origin(context: Context, night: Night) -> Origin:
    known = context.conditions.soil_temperature
    if known is not None and known.value is not None:
        return Origin("warmth of the ground", known.source)
    words = f"not read: followed through {night.before.size} hours of the record"
    return Origin("warmth of the ground", assumed(words if night.before.size else "not read: mean of the night"))


def _night(context: Context, night: Night, kind: str, depth: float, rig: Rig) -> FrozenNight:
    """The nine nights in one cover; sites with the same cover and ground share the run."""
    known = context.site.soils[0].key if context.site.soils else ""
    soil = ground_tables.soils().text(known, "thermal") if known else "loam-moist"
    if rig.bedding.base == "wet":
        soil = WET_UNDER.get(soil, soil)
    set_height = rig.trap.set_height
    key = ("frost", kind, rig.treated, round(depth, 4), soil, context.site.canopy)
    run, volume, rain = context.line_kept.get(key, lambda: _run(context, night, kind, rig.treated, depth, soil))
    slush = (run.layer == 0) & (rig.treated is not None)
    crust, last = bonded_crust(run, volume, depth, dissolved=slush), slice(-night.hours, None)
    below = bonded_crust(run, volume, depth + set_height, dissolved=slush)
    return FrozenNight(
        thickness=crust.thickness[:, last],
        saturation=np.minimum(crust.ice[:, last] / POROSITY, 1.0),
        temperature=run.at(0.5 * depth)[:, last],
        floor=run.at(depth + 0.5 * set_height)[:, last],
        base=(below.thickness - crust.thickness)[:, last],
        rain=rain,
    )


def _mean_ground(night: Night) -> float:
    """Warmth of ground that nobody read [degC]: the mean of what acted on it, and what it keeps of the autumn."""
    acted = night.before if night.before.size else night.equivalent
    return float(np.mean(acted)) + 2.0


def _run(
    context: Context, night: Night, kind: str, treated: Treated | None, depth: float, soil: str
) -> tuple[FrostRun, Floats, float]:
    """Temperatures and ice of the nine nights, water by volume of the cells, and the rain in the cover [mm]."""
    table = weather_tables.thermal()
    rain = float(night.rain.sum() + night.before_rain[-WET_FOR:].sum())
    taken = (SHED if kind.startswith("waxed") else TAKEN) * rain / 1000.0 / depth
    laid = table.number(kind, "water_volume")
    water = np.minimum(laid + taken, POROSITY)
    water = np.repeat(np.minimum(water * WETTER, POROSITY)[None, :], 3, axis=0).ravel()
    point, solid = freezing_of(treated, laid, np.tile((laid + taken) * WETTER, 3))

    def layer(
        key: str, thickness: float, volume: float | Floats | None, freezing: float | Floats = 0.0
    ) -> ThermalLayer:
        return ThermalLayer(
            thickness,
            k_frozen=table.number(key, "k_frozen"),
            k_unfrozen=table.number(key, "k_unfrozen"),
            c_frozen=table.number(key, "c_frozen"),
            c_unfrozen=table.number(key, "c_unfrozen"),
            latent=table.number(key, "latent") if volume is None else LATENT * volume,
            freezing_point=freezing,
            dissolved=treated is not None and volume is not None,
        )

    layers = [layer(kind, depth, water, point), layer(soil, float("inf"), None)]
    forcing = night.equivalent[None, :] + np.repeat(COLDER, 3)[:, None]
    known = context.conditions.soil_temperature
    read = known is not None and known.value is not None
    warmth = known.number if read and known is not None else _mean_ground(night)
    snow = context.conditions.snow
    resistance = 0.0 if snow is None or snow.value is None else snow.value / 0.088
    start: float | Floats = warmth
    ice: float | Floats = 0.0
    if not read and night.before.size:
        # What was measured has no error of a forecast: one run leads up to the nine nights.
        lead = frost_profile(
            night.before[-LEAD:], night.before_surface[-LEAD:],
            [layer(kind, depth, float(water[1]), float(point[1])), layer(soil, float("inf"), None)],
            snow_resistance=resistance,
            initial_temperature=warmth, bottom_temperature=warmth + 2.0, steps_per_hour=1, depth=DEPTH,
        )  # fmt: skip
        start, ice = lead.temperature[0, -1], lead.ice_fraction[0, -1]
    run = frost_profile(
        forcing, night.surface, layers, snow_resistance=resistance, initial_temperature=start,
        bottom_temperature=warmth + 2.0, steps_per_hour=2, depth=DEPTH, initial_ice=ice,
    )  # fmt: skip
    # Below the eutectic the rest of the solution is solid too.
    whole = (run.layer == 0) & (run.temperature < solid)
    run = replace(run, ice_fraction=np.where(whole, 1.0, run.ice_fraction))
    by_layer = np.stack([water, np.full(9, table.number(soil, "water_volume"))], axis=1)
    return run, by_layer[:, run.layer], rain
