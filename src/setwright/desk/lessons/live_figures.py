"""The numbers that a live question may show, by tool, each in the words of the class."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from setwright.desk import document as doc
from setwright.desk.bench_figures import KEYS
from setwright.desk.wording import show
from setwright.sets.outcome import NOTHING

FEET = "feet:"
FIRST = "first:"


@dataclass(frozen=True)
class Reading:
    """One number: its label, its value as far as it is one, and how it is said."""

    label: str
    value: float | None
    shown: str


@dataclass(frozen=True)
class Allowed:
    """Names of numbers that a tool has; some take the key of an animal after a colon."""

    names: tuple[str, ...]
    starts: tuple[str, ...] = ()

    def __call__(self, name: str) -> bool:
        """Whether the tool has this number."""
        return name in self.names or any(name.startswith(start) and name != start for start in self.starts)

    @property
    def words(self) -> str:
        """All of them, for a message."""
        return ", ".join((*self.names, *(f"{start}ANIMAL" for start in self.starts)))


def _of_hundred(value: float | None) -> str:
    return "cannot tell" if value is None or math.isnan(value) else f"{100.0 * value:.3g}".replace("-", "−")


def _held(part: doc.SetPlan) -> Reading:
    found = next((one.held[0] for one in part.outcome if one.species == part.site.target), None)
    return Reading(f"{part.site.target_name.lower()} held, of 100 waits", found, _of_hundred(found))


def _others(part: doc.SetPlan) -> Reading:
    known = [one.first[0] for one in part.outcome if one.species not in (part.site.target, NOTHING)]
    total = None if any(value is None for value in known) else float(np.sum([value or 0.0 for value in known]))
    return Reading("fired by others, of 100 waits", total, _of_hundred(total))


def _length(value: float | None, label: str) -> Reading:
    return Reading(label, value, "not a submersion set" if value is None else show(value, "length"))


def _sum(part: doc.SetPlan, label: str) -> float | None:
    return next((line.value for line in part.figure.sum if line.label.startswith(label)), None)


def _needed(part: doc.SetPlan) -> Reading:
    depth, spare = _sum(part, "depth at the stop"), _sum(part, "to spare")
    return _length(None if depth is None or spare is None else depth - spare, "depth that the sum asks for")


def _loss(part: doc.SetPlan) -> Reading:
    found = None if part.footing is None else part.footing.loss[0]
    return Reading("full fights in which something lets go, of 100", found, _of_hundred(found))


def _fact(name: str, label: str) -> Callable[[doc.SetPlan], Reading]:
    def read(part: doc.SetPlan) -> Reading:
        facts = {} if part.footing is None else dict(part.footing.facts)
        return Reading(label, None, facts.get(name, "cannot tell"))

    return read


def _frozen(part: doc.SetPlan) -> Reading:
    found = None if part.frost is None else part.frost.lost[0]
    return Reading("hours of the night out of order", found, "cannot tell" if found is None else f"{found:.0f} h")


def _crust(part: doc.SetPlan) -> Reading:
    known = [] if part.frost is None else [value for value in part.frost.crust if value is not None]
    deepest = max(known, default=None)
    return Reading("thickest crust", deepest, "cannot tell" if deepest is None else show(deepest, "length"))


def _fires(part: doc.SetPlan) -> Reading:
    link = next(one for one in part.links if one.link == "fire")
    return Reading("feet on the pan that fire it, of 100", link.value, _of_hundred(link.value))


def _standing(link: str) -> Callable[[doc.SetPlan], Reading]:
    def read(part: doc.SetPlan) -> Reading:
        found = next(one for one in part.links if one.link == link)
        return Reading(f"the link “{link}”", None, found.standing)

    return read


SET_FIGURES: Mapping[str, Callable[[doc.SetPlan], Reading]] = {
    "held": _held,
    "others": _others,
    "depth": lambda part: _length(_sum(part, "depth at the stop"), "depth at the stop"),
    "needed": _needed,
    "spare": lambda part: _length(_sum(part, "to spare"), "to spare"),
    "loss": _loss,
    "anchor": _fact("anchor holds", "anchor holds"),
    "lunge": _fact("typical lunge", "typical lunge"),
    "sinks": _fact("under the step", "under the step"),
    "frozen": _frozen,
    "crust": _crust,
    "fires": _fires,
    "fire": _standing("fire"),
    "hold": _standing("hold"),
    "law": lambda part: Reading("law", None, part.law_answer),
    "welfare": lambda part: Reading("welfare", None, part.welfare_answer),
}


def set_figure(part: doc.SetPlan, name: str) -> Reading:
    """One number of a set; `feet:ANIMAL` and `first:ANIMAL` ask for one kind of animal."""
    if name.startswith(FEET):
        return _feet(part, name.removeprefix(FEET))
    if name.startswith(FIRST):
        key = name.removeprefix(FIRST)
        found = next((one for one in part.outcome if one.species == key), None)
        called = key.replace("_", " ") if found is None else found.name.lower()
        value = None if found is None else found.first[0]
        shown = "not expected here" if found is None else _of_hundred(value)
        return Reading(f"fired by {called} first, of 100 waits", value, shown)
    return SET_FIGURES[name](part)


def _feet(part: doc.SetPlan, key: str) -> Reading:
    """Feet of one kind of animal that fire the pan, at the trip force that stands."""
    curve = part.trip_curve
    line = None if curve is None else next((one for one in curve.series if one.species == key), None)
    if curve is None or line is None or curve.yours[0] is None:
        return Reading(f"of 100 feet of {key.replace('_', ' ')}", None, "cannot tell")
    value = float(np.interp(curve.yours[0], curve.force, line.median))
    return Reading(f"of 100 feet of {line.name.lower()}", value, _of_hundred(value))


CLOCK_FIGURES = {
    "day-limit": "limit by calendar days",
    "hours-limit": "limit by 24 clock hours",
    "apart": "hours between the two",
}
NIGHTS_FIGURES = {
    "upper": "dogs in 100 trap-nights that it leaves open",
    "thirds": "the quick rule: 300 over the nights",
    "wanted": "nights without a dog to show less than 1 in 100",
}
_BY_TOOL = {
    "trap": Allowed(tuple(key for key, *_ in KEYS)),
    "set": Allowed(tuple(SET_FIGURES), (FEET, FIRST)),
    "clock": Allowed(tuple(CLOCK_FIGURES)),
    "nights": Allowed(tuple(NIGHTS_FIGURES)),
}


def figures_for(tool: str) -> Allowed:
    """Numbers that a tool has."""
    return _BY_TOOL[tool]
