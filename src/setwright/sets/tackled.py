"""What chain, links and cable of a rig hold, part by part, as draws under one common load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Kind, Source
from setwright.sets.context import Context, Floats
from setwright.sets.model import Chain, Rig, SlideRig
from setwright.sets.result import Origin
from setwright.tackle import tables as tackle_tables
from setwright.tackle.bench import PartStrength, after_proof, after_samples
from setwright.tackle.reliability import READINGS
from setwright.tackle.rust import Stay, rusted_wire
from setwright.tackle.strength import worn

BENCH = Source(Kind.MEASURED, "loaded to failure on the bench", "stated")
HELD = Source(Kind.MEASURED, "held a proof pull without a mark", "stated")
# Assumed: scatter of the strength of parts of one make and size.
SPREAD = 0.15


@dataclass(frozen=True)
class TacklePart:
    """One part: its name, its kind in the table, its slow strength [N] with scatter [-], NaN when nobody rates it.

    `note` says what wear, rust, ends, kinks or pulls on the bench did to it.
    """

    key: str
    name: str
    kind: str
    median: float
    spread: float
    origin: Origin | None
    note: str = ""

    @property
    def rated(self) -> bool:
        """Whether a strength is known."""
        return bool(self.median > 0.0 or self.median == 0.0)


@dataclass(frozen=True, eq=False)
class Tackled:
    """What the tackle holds of a jerk [N], shape (n,) (NaN: nothing is rated), its parts and what to say about it.

    `weakest` is the part that is the least of the rated ones in most draws; `factor` the share of a slow breaking
    force that a jerk may use, shape (n,).
    """

    force: Floats
    weakest: str
    why: Say
    question: Say | None
    origins: tuple[Origin, ...]
    parts: tuple[TacklePart, ...] = ()
    factor: Floats | None = None


def tackled(context: Context, rig: Rig) -> Tackled:
    """Strength of all between trap and anchor; parts that nobody rates make it *cannot tell*."""
    missing = np.full(context.n, np.nan)
    chain = rig.chain
    if chain is None:
        return Tackled(
            missing, "", Say("no chain is named for this set"), Say("name the chain of this set and its parts"), ()
        )
    if not chain.parts:
        why = Say("the parts of chain {chain:word} are not written down", chain=chain.key)
        ask = Say("gauge the wire of chain {chain:word} and name its links, hooks and swivels", chain=chain.key)
        return Tackled(missing, "", why, ask, ())
    parts = parts_of(chain, rig.slide, float(context.figure("kink_left").number))
    factor = context.shared_figure("shock_factor")
    rated = [part for part in parts if part.rated]
    unrated = tuple(dict.fromkeys(part.name for part in parts if not part.rated))
    said = tuple(part.origin for part in rated if part.origin is not None)
    said = (*said, Origin("share of strength in a jerk", context.figure("shock_factor").source))
    force, weakest = missing, ""
    if rated:
        # Parts of one rig differ in make, so each has draws of its own; what a jerk takes is common to all.
        draws = np.stack(
            [part.median * np.exp(part.spread * context.draws.normal(f"tackle.{part.key}")) for part in rated]
        )
        force = draws.min(axis=0) * factor
        weakest = rated[int(np.bincount(draws.argmin(axis=0), minlength=len(rated)).argmax())].name
    if unrated:
        names = ", ".join(unrated)
        why = Say(
            "{names:word}: no published strength; of the rated parts the weakest is {part:word}",
            names=names, part=weakest or "none",
        )  # fmt: skip
        return Tackled(force, weakest, why, _asked(parts), said, parts, factor)
    return Tackled(force, weakest, Say("weakest part: {part:word}", part=weakest), None, said, parts, factor)


def _asked(parts: Sequence[TacklePart]) -> Say:
    """The reading to take of each part that nobody rates."""
    by_reading: dict[str, list[str]] = {}
    for part in parts:
        if not part.rated and part.name not in by_reading.setdefault(READINGS[part.kind], []):
            by_reading[READINGS[part.kind]].append(part.name)
    told = "; ".join(f"{', '.join(names)}: {reading}" for reading, names in by_reading.items())
    return Say("{told:word}; write the forces down", told=told)


def parts_of(chain: Chain, slide: SlideRig | None, kink_left: float) -> tuple[TacklePart, ...]:
    """Parts from the trap to the anchor with what the bench, wear and rust say of each."""
    keys = list(chain.parts)
    found = [_part(key, chain) for key in keys]
    if slide is not None and slide.cable is not None:
        found.append(_cable(slide, slide.cable, kink_left))
    return tuple(found)


def _part(key: str, chain: Chain) -> TacklePart:
    table = tackle_tables.tackle()
    record, name, kind = table.record(key), table.text(key, "label") or key, table.text(key, "kind")
    breaking = record.get("breaking")
    known = breaking is not None and breaking.value is not None
    median = breaking.number if breaking is not None and known else float("nan")
    origin = None if breaking is None or not known else Origin(name, breaking.source)
    left, note = _left(key, kind, chain)
    strength = PartStrength(median * left, SPREAD)
    samples, held = dict(chain.tested).get(key), dict(chain.proved).get(key)
    if samples is not None:
        strength = after_samples(strength, samples, SPREAD)
        origin, note = Origin(name, BENCH), _counted(len(samples))
    if held is not None:
        told = after_proof(strength, held)
        # A proof that no such part should have held says that one of the figures is wrong; it is told, not hidden.
        if told.median == told.median:
            strength, origin = told, Origin(name, HELD)
        note = ", ".join(part for part in (note, "held a proof pull on the bench") if part)
    return TacklePart(key, name, kind, strength.median, strength.spread, origin, note)


def _counted(samples: int) -> str:
    return "one sample pulled to failure" if samples == 1 else f"{samples} samples pulled to failure"


def _left(key: str, kind: str, chain: Chain) -> tuple[float, str]:
    """Share of the strength that wear and rust have left, and what to say about it."""
    table = tackle_tables.tackle()
    if chain.worn is not None and kind == "chain":
        left = float(worn(chain.worn, 1.0))
        return left, f"worn to {chain.worn:.0%} of the wire, {left:.0%} of its strength left"
    if chain.rusted and table.has(key, "wire_diameter"):
        wire = table.number(key, "wire_diameter")
        rates = tackle_tables.rust()
        stays = [Stay(years, rates.number(place, "rate"), place) for place, years in chain.rusted]
        left = float(worn(rusted_wire(wire, stays, chain.zinc), wire))
        return left, f"rust, {left:.0%} of its strength left: gauge it"
    return 1.0, ""


def _cable(slide: SlideRig, key: str, kink_left: float) -> TacklePart:
    table = tackle_tables.tackle()
    name, breaking = table.text(key, "label") or key, table.get(key, "breaking")
    strength, notes = breaking.number, []
    if slide.ends is not None:
        share = table.number(slide.ends, "efficiency")
        strength *= share
        notes.append(f"{table.text(slide.ends, 'label')}, {share:.0%}")
    if slide.kinked:
        # A kink may sit at the mouth of a sleeve: both are taken off.
        strength *= kink_left
        notes.append(f"kinked, {kink_left:.0%}: cut it back")
    return TacklePart(key, name, "cable", strength, SPREAD, Origin(name, breaking.source), "; ".join(notes))
