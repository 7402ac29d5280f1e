"""One set with something changed on it, on the same draws, so that differences are paired."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np

from setwright.basis.errors import BadInput
from setwright.basis.source import Quantity
from setwright.basis.units import parse
from setwright.desk import document as doc
from setwright.desk.control import Control
from setwright.desk.describe import triple
from setwright.desk.plan import read_job, set_of
from setwright.desk.wording import sentence, show, trip_words
from setwright.line.assemble import SEED, Job, PlannedSet, plan_site
from setwright.sets.context import Context, Floats, Kept
from setwright.sets.evaluate import SetResult, evaluate
from setwright.sets.model import Rig
from setwright.sets.outcome import NOTHING
from setwright.sets.retune import tried, with_force, with_jaws, with_springs
from setwright.trap import tables as trap_tables
from setwright.weather import tables as weather_tables

DRAWS = 300
SPRINGS = {"coil": (2, 4), "long": (1, 2)}
YES = {"yes": True, "no": False}


@dataclass(frozen=True)
class Changed:
    """A site and its rig after changes, with the changes in words."""

    context: Context
    rig: Rig
    words: tuple[str, ...]


def one_set_changed(path: Path, site: str, changes: str, *, draws: int = DRAWS, seed: int = SEED) -> doc.SetWhatIf:
    """A set of a book, and the same set after changes such as `trip_force=3 lbf, chain=short-12`.

    Raises
    ------
    BadInput
        When the book cannot be used, has no such site, or a change is not known or out of range.
    """
    job = read_job(path, draws=draws, seed=seed)
    facts = next((one for one in job.sites if site in (one.key, str(one.number))), None)
    if facts is None:
        raise BadInput(
            "no such site in the book", file=path, found=site, allowed=", ".join(one.key for one in job.sites)
        )
    planned = plan_site(job, facts, job.stated.get(facts.key), deep=False)
    if planned.result is None:
        raise BadInput("no trap of the outfit is left for this site", file=path, field=f"sites.{facts.number - 1}")
    return compared(job, planned.context, planned.result, changes)


def compared(
    job: Job,
    context: Context,
    before: SetResult,
    changes: str | Mapping[str, str],
    shown: doc.SetPlan | None = None,
) -> doc.SetWhatIf:
    """The set before and after, and the difference draw by draw; `shown` is the set before, where it is at hand."""
    changed = apply(job, context, before.rig, changes)
    after = evaluate(changed.context, changed.rig, job.person)
    gain = 100.0 * (after.held - before.held)
    others = 100.0 * (_others(after) - _others(before))
    return doc.SetWhatIf(
        changes=list(changed.words),
        before=shown or set_of(job, PlannedSet(context, before)),
        after=set_of(job, PlannedSet(changed.context, after)),
        held=triple(gain),
        others=triple(others),
        say=_say(before, after, float(triple(gain)[0] or 0.0), float(triple(others)[0] or 0.0)),
    )


def _others(result: SetResult) -> Floats:
    """First firings in one wait by anything but the target, shape (n,)."""
    found = [one.first for key, one in result.outcome.items() if key not in (result.target, NOTHING)]
    return np.asarray(np.sum(found, axis=0))


def _say(before: SetResult, after: SetResult, gain: float, others: float) -> str:
    def moved(value: float, what: str) -> str:
        if abs(value) < 0.05:
            return f"{what} stay as they are"
        return f"{show(abs(value), 'number')} {'more' if value > 0 else 'fewer'} {what}"

    words = f"{moved(gain, 'held in 100 waits')}, {moved(others, 'firings by others')}"
    for name, one, two in (
        ("the chain", before.standing.value, after.standing.value),
        ("law", before.lawful.value, after.lawful.value),
        ("welfare", before.welfare.value, after.welfare.value),
    ):
        words += f"; {name} {two}" if one == two else f"; {name} {one} before, {two} now"
    return sentence(words)


def apply(job: Job, context: Context, rig: Rig, changes: str | Mapping[str, str]) -> Changed:
    """Apply changes, in words or by name.

    Raises
    ------
    BadInput
        When a change is not known, stands twice, or its value is not allowed.
    """
    made = _Set(job, context, rig)
    for name, value in _pairs(changes).items():
        if name not in STEPS:
            raise BadInput("no such change", field="what-if", found=name, allowed=", ".join(STEPS))
        getattr(made, name)(value)
    return Changed(made.context, made.rig, tuple(made.words))


def _pairs(changes: str | Mapping[str, str]) -> dict[str, str]:
    if not isinstance(changes, str):
        return {name: value for name, value in changes.items() if value}
    found: dict[str, str] = {}
    for part in (part.strip() for part in changes.split(",")):
        name, _, value = (piece.strip() for piece in part.partition("="))
        name = name.replace("-", "_")
        if not name or not value:
            raise BadInput(
                "a change is written as name=value", field="what-if", found=part, allowed="trip_force=3 lbf"
            )
        if name in found:
            raise BadInput("this is changed twice", field="what-if", found=name)
        found[name] = value
    return found


def _named(known: Mapping[str, Any], name: str, value: str) -> Any:
    if value not in known:
        raise BadInput(
            f"no such {name} to change to",
            field=f"what-if {name}",
            found=value,
            allowed=", ".join(known) or "none owned",
        )
    return known[value]


def _number(name: str, value: str, unit: str, low: float, high: float, kind: str) -> float:
    try:
        found = parse(value, unit)
    except BadInput as error:
        raise BadInput(error.message, field=f"what-if {name}", found=value, allowed=error.allowed) from None
    if not low <= found <= high:
        raise BadInput(
            "this lies outside what can be",
            field=f"what-if {name}",
            found=value,
            allowed=f"{show(low, kind)} to {show(high, kind)}",
        )
    return found


class _Set:
    """One set while it is changed, each change by its own name."""

    def __init__(self, job: Job, context: Context, rig: Rig) -> None:
        self.job, self.context, self.rig, self.words = job, context, rig, list[str]()

    def _with(self, context: Context, rig: Rig, words: str) -> None:
        self.context, self.rig = context, rig
        self.words.append(words)

    def _moved(self, **lengths: Any) -> Context:
        assert self.context.site.water is not None
        water = replace(self.context.site.water, **lengths)
        return replace(self.context, site=replace(self.context.site, water=water), kept=Kept())

    def _in_water(self, field: str, value: str, most: float) -> Quantity:
        if self.context.site.water is None:
            raise BadInput("this set does not stand in water", field=f"what-if {field}", found=value)
        return tried(_number(field, value, "m", 0.0, most, "length"), "m")

    def trap(self, value: str) -> None:
        trap = _named(self.job.traps, "trap", value)
        self._with(self.context, replace(self.rig, trap=trap, gang=()), f"trap {value}, {trap.label}")

    def trip_force(self, value: str) -> None:
        force = _number("trip_force", value, "N", 0.2, 90.0, "force")
        self._with(
            self.context,
            replace(self.rig, trap=with_force(self.rig.trap, force)),
            f"pan set to {show(force, 'force')}",
        )

    def springs(self, value: str) -> None:
        numbers = {str(number): number for number in SPRINGS[self.rig.trap.family]}
        springs = _named(numbers, "springs", value)
        what = (
            f"{springs} coils"
            if self.rig.trap.family == "coil"
            else ("two springs" if springs == 2 else "one spring")
        )
        self._with(self.context, replace(self.rig, trap=with_springs(self.rig.trap, springs)), what)

    def jaws(self, value: str) -> None:
        jaws = _named({kind: kind for kind in trap_tables.jaws()}, "jaws", value)
        self._with(self.context, replace(self.rig, trap=with_jaws(self.rig.trap, jaws)), f"{jaws} jaws")

    def chain(self, value: str) -> None:
        chain = _named({one.key: one for one in self.job.options.chains}, "chain", value)
        self._with(
            self.context, replace(self.rig, chain=chain), f"chain {value}, {show(chain.length.number, 'length')}"
        )

    def anchor(self, value: str) -> None:
        anchor = _named({one.key: one for one in self.job.options.anchors}, "anchor", value)
        self._with(self.context, replace(self.rig, anchor=anchor), f"anchor: {anchor.label}")

    def board(self, value: str) -> None:
        board = _named(YES, "board", value)
        self._with(
            self.context, replace(self.rig, board=board), "a board or mesh under it" if board else "no board under it"
        )

    def cover(self, value: str) -> None:
        if self.context.site.medium != "land":
            raise BadInput("a set in water has no cover", field="what-if cover", found=value)
        cover = _named({kind: kind for kind in ("none", *weather_tables.thermal())}, "cover", value)
        depth = (
            self.rig.cover_depth
            if self.rig.cover_depth is not None and self.rig.cover_depth.known
            else tried(0.01, "m")
        )
        site = replace(self.context.site, cover=cover, cover_depth=depth, treated=None)
        changed = replace(self.rig, cover=cover, cover_depth=depth, treated=None)
        self._with(replace(self.context, site=site, kept=Kept()), changed, f"bedded in {cover.replace('-', ' ')}")

    def cover_depth(self, value: str) -> None:
        if self.context.site.medium != "land":
            raise BadInput("a set in water has no cover", field="what-if cover_depth", found=value)
        depth = tried(_number("cover_depth", value, "m", 0.0, 0.15, "length"), "m")
        site = replace(self.context.site, cover_depth=depth)
        words = f"{show(depth.number, 'length')} of cover"
        self._with(replace(self.context, site=site, kept=Kept()), replace(self.rig, cover_depth=depth), words)

    def pan_depth(self, value: str) -> None:
        depth = self._in_water("pan_depth", value, 1.5)
        self._with(self._moved(pan_depth=depth), self.rig, f"{show(depth.number, 'length')} of water over the pan")

    def off_centre(self, value: str) -> None:
        aside = self._in_water("off_centre", value, 1.0)
        self._with(self._moved(off_centre=aside), self.rig, f"{show(aside.number, 'length')} off the line of travel")

    def visit(self, value: str) -> None:
        wait = _number("visit", value, "s", 3600.0, 10 * 86400.0, "time")
        check = replace(self.context.check, visit=self.context.check.made + timedelta(seconds=wait))
        self._with(
            replace(self.context, check=check, kept=Kept()), self.rig, f"seen {wait / 3600.0:g} h after it is set"
        )


STEPS = (
    "trap",
    "trip_force",
    "springs",
    "jaws",
    "chain",
    "anchor",
    "board",
    "cover",
    "cover_depth",
    "pan_depth",
    "off_centre",
    "visit",
)


def controls(job: Job, context: Context, rig: Rig) -> list[Control]:
    """The changes that make sense at this set, for a form."""
    trap, site, water = rig.trap, context.site, context.site.water
    options = job.options

    def length(quantity: Quantity | None) -> str:
        return show(quantity.number, "length") if quantity is not None and quantity.known else "not stated"

    traps = tuple((tag, f"{tag}, {one.label}") for tag, one in job.traps.items())
    found = [
        Control("trap", "trap", f"{trap.trap_id}, {trap.label}", traps),
        Control("trip_force", "pan trip force", trip_words(trap.trip_force), example="3 lbf"),
        Control("springs", "springs", str(trap.springs), tuple((str(n), str(n)) for n in SPRINGS[trap.family])),
        Control("jaws", "jaws", trap.jaws or "not stated", tuple((kind, kind) for kind in trap_tables.jaws())),
        Control(
            "chain", "chain", "not named" if rig.chain is None else length(rig.chain.length),
            tuple((one.key, f"{one.key}, {length(one.length)}") for one in options.chains),
        ),
        Control(
            "anchor", "anchor", "not named" if rig.anchor is None else rig.anchor.label,
            tuple((one.key, one.label) for one in options.anchors),
        ),
    ]  # fmt: skip
    if site.medium == "land":
        covers = dict.fromkeys((*(kind for kind in (site.cover,) if kind), *options.covers, "none"))
        found.append(
            Control("cover", "cover", (site.cover or "not stated").replace("-", " "),
                    tuple((kind, kind.replace("-", " ")) for kind in covers))
        )  # fmt: skip
        found.append(Control("cover_depth", "depth of cover", length(site.cover_depth), example="1/2 in"))
    if water is not None:
        found.append(Control("pan_depth", "water over the pan", length(water.pan_depth), example="2 in"))
        found.append(Control("off_centre", "pan off the line of travel", length(water.off_centre), example="4 in"))
    board = "yes" if rig.board else "no"
    found.append(Control("board", "board under it", board, tuple((word, word) for word in YES)))
    found.append(Control("visit", "seen after", show(context.check.hours * 3600.0, "time"), example="30 h"))
    return found
