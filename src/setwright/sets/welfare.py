"""Facts of a set that bear on a held animal: listed with direction and source, never summed, no gates."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike

from setwright.animal import welfare_tables as tables
from setwright.animal.dive import dive_facts
from setwright.animal.welfare import Evidence
from setwright.basis.say import Say
from setwright.basis.source import Kind, Source
from setwright.sets import submerge
from setwright.sets.context import Context, Floats, limit
from setwright.sets.model import Night, Rig
from setwright.sets.naming import plain_name
from setwright.sets.record import NOTHING, RECORD, RigRecord, deciding, readings, record_source, record_word, told

SHORT_CHAIN, LONG_CHAIN = 0.4572, 0.762  # 18 and 30 in, as the guides print them
EARLY, DAY = 12.0, 24.0
# Policy of the table of facts: °C, m/s, mm in the hour.
HARD_COLD, HEAT, COLD_WET, WINDY, WET = -10.0, 25.0, 5.0, 5.0, 0.1
# A coat that was rained on so many hours before the setting is not dry (assumed).
STILL_WET = 6


class Bearing(StrEnum):
    """Which way a fact bears on a held animal; how far is not said by it."""

    FAVOURABLE = "favourable"
    UNFAVOURABLE = "unfavourable"
    NOT_KNOWN = "not known"


@dataclass(frozen=True)
class RiskFact:
    """A fact that bears on a held animal: no gate, no number, no part of a sum.

    `name` is what it is about, `size` says how large the effect is as far as published.
    """

    key: str
    name: str
    bearing: Bearing
    why: Say
    size: str
    source: Source
    mend: Say | None = None
    question: Say | None = None


def holds_alive(context: Context, rig: Rig) -> bool:
    """True when an animal may be held alive: no submersion is meant, or it is not sure to be held under."""
    if not submerge.is_intended(context, rig):
        return True
    share = float(submerge.submersion(context, rig).share[0])
    return not share >= limit("submerge")


def risk_facts(
    context: Context, rig: Rig, record: RigRecord = NOTHING, wind: ArrayLike | None = None
) -> tuple[RiskFact, ...]:
    """Every fact of the set that bears on a held animal, in a fixed order.

    `wind` [m/s] is hourly over the wait, or one figure, at the set; None when nobody knows it. Facts are listed, not
    added; no chance of injury is made of them, and none is read from a force.
    """
    found: list[RiskFact] = []
    if holds_alive(context, rig):
        found += _jaws(rig)
        found += _tackle(rig)
        found += _foot(context, rig)
        found.append(_wait(context))
        found += _weather(context, rig, wind)
    killing = submerge.is_intended(context, rig)
    if killing:
        found.append(_under(context))
    found.append(_record(record, killing))
    return tuple(found)


def _fact(key: str, seen: Say | None = None, question: Say | None = None, bearing: Bearing | None = None) -> RiskFact:
    """A row of the table as a fact of this set; `seen` says what of this set it is about."""
    row = tables.bearing_facts()[key]
    why = Say("{words:word}", words=row.words)
    return RiskFact(
        key,
        row.about,
        Bearing(row.bearing) if bearing is None else bearing,
        why if seen is None else Say("{seen:say}: {why:say}", seen=seen, why=why),
        row.size,
        row.source,
        Say("{mend:word}", mend=row.mend) if row.mend else None,
        question,
    )


def _open(name: str, why: Say, question: Say) -> RiskFact:
    """A fact that nobody wrote down."""
    source = Source(Kind.ASSUMED, "not stated in the book")
    return RiskFact(f"{name}_unknown", name, Bearing.NOT_KNOWN, why, "size unknown", source, None, question)


def _jaws(rig: Rig) -> Iterator[RiskFact]:
    trap = rig.trap
    if trap.jaws is None:
        yield _open("jaws", Say("the kind of jaws is not stated"), Say("regular, offset, laminated or padded jaws?"))
        return
    kinder = [word for word in ("padded", "offset", "laminated") if trap.has_jaws(word)]
    for key in kinder or ["plain_jaws"]:
        yield _fact(key)


def _tackle(rig: Rig) -> Iterator[RiskFact]:
    base, chain = rig.trap.base_swivel, rig.chain
    if base is None:
        yield _open(
            "swivels", Say("whether the base has a swivel is not stated"), Say("is there a swivel at the base?")
        )
    else:
        yield _fact("swivel_at_base" if base else "no_swivel_at_base")
    if chain is None or chain.length.value is None:
        yield _open("chain", Say("the length of the chain is not stated"), Say("how long is the chain?"))
        return
    length = chain.length.value
    seen = Say("chain {length:length}", length=length)
    staked = rig.anchor is not None and rig.anchor.kind in ("stake", "crossed", "drag")
    if length <= SHORT_CHAIN + 1e-6:
        yield _fact("short_chain", seen)
    elif length <= LONG_CHAIN:
        yield _fact("middling_chain", seen)
    else:
        yield _fact("long_chain_stake" if staked else "long_chain", seen)
    if chain.shock_spring:
        yield _fact("shock_spring")


def _foot(context: Context, rig: Rig) -> Iterator[RiskFact]:
    target, spread = context.target, rig.trap.spread.value
    raccoon = context.species.get("raccoon")
    comes = raccoon is not None and (
        target.key == "raccoon" or context.site.sign.get("raccoon") not in (None, "none")
    )
    if spread is None:
        yield _open("foot", Say("the jaw spread is not stated"), Say("how wide are the jaws of the set trap?"))
        return
    seen = Say("jaws {spread:length} for {name:word}", spread=spread, name=plain_name(target))
    low, high = target.jaw_low.value, target.jaw_high.value
    chewed = comes and raccoon is not None and raccoon.jaw_high.value is not None and spread > raccoon.jaw_high.value
    if low is None or high is None:
        yield _open("foot", seen, Say("which jaw spreads suit {name:word}?", name=plain_name(target)))
    elif spread < low:
        yield _fact("toe_hold", seen)
    elif spread > high:
        yield _fact("wide_for_foot", seen)
    else:
        yield _fact("pad_hold", seen)
    if comes:
        yield _fact("wide_jaws_chew" if chewed else "raccoon_chews")
    if rig.trap.springs == 4 and rig.trap.has_jaws("padded"):
        if comes:
            yield _fact("four_springs_small")
        if target.key.startswith("coyote"):
            yield _fact("four_springs_coyote")


def _wait(context: Context) -> RiskFact:
    hours = context.check.hours
    key = "early_check" if hours <= EARLY else "day_check" if hours <= DAY else "long_wait"
    return _fact(key, Say("seen after {time:time}", time=hours * 3600.0))


def _weather(context: Context, rig: Rig, wind: ArrayLike | None) -> list[RiskFact]:
    night = context.conditions.night
    ask = Say("put an hourly record or forecast of this wait beside the book")
    if night is None or bool(np.isnan(night.air).all()):
        return [_fact("weather_unknown", question=ask)]
    found: list[RiskFact] = []
    low, high = float(np.nanmin(night.air)), float(np.nanmax(night.air))
    if low < 0.0:
        key = "hard_cold" if low < HARD_COLD else "frost"
        found.append(_fact(key, Say("air down to {low:temperature}", low=low)))
    if bool(np.any(night.air[~night.dark] > HEAT)):
        shaded = context.site.canopy != "open"
        found.append(
            _fact(
                "heat",
                Say("air up to {high:temperature} by day", high=high),
                Say("does the sun reach the set at any hour of the wait?") if shaded else None,
                Bearing.NOT_KNOWN if shaded else None,
            )
        )
    found += _wet(night, wind)
    if context.site.medium == "water" and not submerge.is_intended(context, rig) and low < COLD_WET:
        found.append(_fact("wet_held", Say("air down to {low:temperature}", low=low)))
    if bool(np.isnan(night.air).any()) or night.air.size < context.check.hours - 1.0:
        found.append(_fact("weather_unknown", question=ask))
    return found or [_fact("mild")]


def _wet(night: Night, wind: ArrayLike | None) -> list[RiskFact]:
    """Rain with wind in the cold, and frost after rain."""
    wet = night.rain > WET
    rained = bool(np.any(night.before_rain[-STILL_WET:] > WET))
    if not rained and not bool(wet.any()):
        return []
    first = 0 if rained else int(np.flatnonzero(wet)[0])
    after = night.air[first:]
    found: list[RiskFact] = []
    if bool(np.any(after <= 0.0)):
        found.append(_fact("rain_on_frost", Say("rain, then {low:temperature}", low=float(np.nanmin(after)))))
    chilly = after < COLD_WET
    if not bool(chilly.any()):
        return found
    if wind is None:
        ask = Say("how hard will the wind blow at the set?")
        return [*found, _fact("wet_wind", Say("wet and cold, the wind is not known"), ask, Bearing.NOT_KNOWN)]
    speed: Floats = np.broadcast_to(np.asarray(wind, dtype=float), night.air.shape)[first:]
    if bool(np.any(chilly & (speed >= WINDY))):
        found.append(
            _fact("wet_wind", Say("wind {speed:speed} on a wet coat", speed=float(np.nanmax(speed[chilly]))))
        )
    return found


def _under(context: Context) -> RiskFact:
    known = dive_facts(context.target)
    key = {True: "under_long", False: "under_short", None: "under_unknown"}[known.over_limit]
    return _fact(key, Say("{name:word} held under", name=plain_name(context.target)))


def _record(record: RigRecord, killing: bool) -> RiskFact:
    found = readings(record, killing=killing)
    word, decides = record_word(found), deciding(found)
    bearing = {
        Evidence.MEETS: Bearing.FAVOURABLE,
        Evidence.SUPPORTS: Bearing.FAVOURABLE,
        Evidence.BREAKS: Bearing.UNFAVOURABLE,
        Evidence.AGAINST: Bearing.UNFAVOURABLE,
    }.get(word, Bearing.NOT_KNOWN)
    ask = Say("write down the injuries of every animal held, none as well")
    if decides is None or word is Evidence.NO_RECORD:
        source = Source(Kind.ASSUMED, "nothing is written down of this design")
        return RiskFact("record", RECORD, bearing, Say("no record"), "no animal on record", source, None, ask)
    size = f"{decides.animals} animals, {decides.missing} of them open"
    return RiskFact("record", RECORD, bearing, told(decides), size, record_source(decides), None, ask)
