"""The trip force curve in words: what is advised and what it costs, what trip force does not do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from setwright.animal.model import Species
from setwright.basis.say import Say
from setwright.basis.units import pull
from setwright.desk import document as doc
from setwright.desk.wording import render
from setwright.sets.context import Context
from setwright.sets.evaluate import SetResult
from setwright.sets.fire import fire_chances
from setwright.sets.naming import plain_name

Floats = NDArray[np.float64]

# An animal that fires in less than this share of its steps is called kept off.
KEPT_OFF = 0.35
PRESSING = ("dog", "raccoon", "river_otter", "sea_otter")
# Less than this in 100 nights is no catch to set a pan by, and no nuisance.
NO_CATCH = 0.05


def plain_words(context: Context, result: SetResult, tables: Mapping[str, Floats]) -> list[str]:
    """What trip force does not do at this site, and what it does, with the figures of his own pan."""
    now = fire_chances(context, result.rig.trap)
    target = context.target
    known = result.rig.trap.trip_force.known
    mine = (
        f"the {plain_name(target)} fires it in {_hundred(now[target.key])}" if known and target.key in tables else ""
    )
    found: list[str] = []
    off: list[str] = []
    for key, species in context.species.items():
        if key == target.key:
            continue
        name = plain_name(species)
        figure = f"it fires your pan in {_hundred(now[key])} of 100 steps" if known and key in tables else ""
        if presses(species, target):
            told = "; ".join(part for part in (figure, mine if figure else "") if part)
            found.append(f"Trip force does not keep out a {name}" + (f": {told}." if told else "."))
        elif figure and float(np.median(now[key])) <= KEPT_OFF:
            off.append(f"{name} {_hundred(now[key])}")
    if found:
        found.append("Only place, time, bait and jaws help against these.")
    if off:
        found.append(f"Few steps of these fire your pan, of 100: {', '.join(off)}.")
    return [render(Say("{words:word}", words=words)) for words in found]


def not_kept_out(context: Context) -> list[Species]:
    """The animals that may come and that no trip force parts from the target."""
    others = (species for key, species in context.species.items() if key != context.site.target)
    return [species for species in others if presses(species, context.target)]


def presses(species: Species, target: Species) -> bool:
    """Whether trip force cannot keep an animal out where the target is to be caught."""
    if species.key.startswith(PRESSING):
        return True
    return bool(species.mass.known and target.mass.known and species.mass.number >= target.mass.number)


def say(
    span: tuple[float, float] | None,
    ends: Sequence[doc.TripCost],
    own: doc.TripCost | None,
    mine: float | None,
    *,
    lightest: float,
    bound: bool,
    others: bool,
) -> str:
    """The advised span with its costs at both ends, and where his own pan stands to it."""
    if span is None:
        whatever = "Whatever trip force the law allows" if bound else "Whatever the trip force"
        return f"{whatever}, next to none of the target is held here: mend the other links first."
    low, high = span
    width = _pounds(low) if low == high else f"{_pounds(low).split()[0]} to {_pounds(high)}"
    if low <= lightest and not bound:
        width = f"{_pounds(high)} or lighter"
    words = f"Look for {width}"
    catch = _range([cost.catch for cost in ends])
    words += f": {catch} held in 100 nights"
    saved = max((cost.nuisance[0] or 0.0 for cost in ends), default=0.0)
    if others and saved < NO_CATCH:
        words += ", next to no firings by others"
    elif others:
        words += f" and {_range([cost.nuisance for cost in ends])} firings by others"
    words += "."
    if own is None or mine is None:
        return f"{words} Your pan was never read: read it three times with a spring scale."
    where = "lies in it" if low <= mine <= high else "is lighter" if mine < low else "is heavier"
    words += f" Your pan of {_pounds(mine)} {where}: {_counted(own.catch)} held"
    if others:
        words += f", {_counted(own.nuisance)} firings by others"
    return f"{words}."


def law_words(least: float, most: float) -> list[str]:
    """The bounds [N] of the law, where it sets any."""
    bounds = [f"at least {_pounds(least)}"] if least > 0.0 else []
    bounds += [f"at most {_pounds(most)}"] if np.isfinite(most) else []
    return [f"The law pack asks for {' and '.join(bounds)}; what is advised keeps to it."] if bounds else []


def _hundred(draws: Floats) -> str:
    return f"{100.0 * float(np.median(draws)):.0f}"


def _pounds(force: float) -> str:
    number, unit = pull(force)
    return f"{round(number, 2 if unit == 'lbf' else 1):g} {unit}"


def _range(costs: Sequence[doc.Triple]) -> str:
    """Medians at the ends of the span, said once where they print alike."""
    return " to ".join(dict.fromkeys(_number(middle) for middle, _, _ in costs if middle is not None))


def _number(value: float) -> str:
    return f"{value:.0f}" if value >= 9.95 else f"{value:.1f}" if value >= 0.05 else "under 0.1"


def _counted(triple: doc.Triple) -> str:
    middle, low, high = triple
    if middle is None or low is None or high is None:
        return "–"
    return f"{_number(middle)} ({_number(low)} to {_number(high)})"
