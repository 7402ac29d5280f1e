"""Drawings that a lesson calls by name, made from the program's own figures."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from setwright.basis.errors import BadInput
from setwright.desk.bench_document import BenchSheet
from setwright.desk.document import SetPlan, TripCurve
from setwright.desk.lessons.live import LessonDesk, Picture, clock_limits, upper_of
from setwright.desk.lessons.markdown import Block
from setwright.desk.lessons.model import Known
from setwright.draw.check_clock import check_clock
from setwright.draw.curve import curve, curve_keys, nights
from setwright.draw.footing import footing, footing_keys
from setwright.draw.frost_strip import frost_strip
from setwright.draw.level_strip import level_strip
from setwright.draw.none_seen import none_seen_curve
from setwright.draw.pictures import PICTURES
from setwright.draw.plate import Given as Filled
from setwright.draw.section import section, section_keys
from setwright.draw.trap_frame import trap_keys
from setwright.sheets.bench import drawn, shape_of
from setwright.sheets.pictures import COIL, LONG, picture, picture_keys
from setwright.sheets.pictures import given as filled
from setwright.trap import tables as trap_tables

Given = Mapping[str, str]
Keys = list[tuple[str, str]]
TRAP, SITE = "coil-1.5", "dam"
# The picture that shows the depth sum of a set.
SUM = "slide-sum"
TALLEST = 300.0


def _no_keys(desk: LessonDesk, given: Given) -> Keys:
    del desk, given
    return []


@dataclass(frozen=True)
class LessonFigure:
    """A drawing by name.

    Parameters
    ----------
    title : str
        What it shows.
    may : tuple of str
        What may be said of it.
    draw : callable
        Makes it, for what can be asked, what is said and a width [px].
    keys : callable
        Letters that a narrow drawing puts on its parts, with their words.

    """

    title: str
    may: tuple[str, ...]
    draw: Callable[[LessonDesk, Given, float], str]
    keys: Callable[[LessonDesk, Given], Keys] = _no_keys


def _of_trap(name: str) -> Callable[[LessonDesk, Given, float], str]:
    def draw(desk: LessonDesk, given: Given, width: float) -> str:
        told = desk.trap(given.get("trap", TRAP), given.get("change", ""), drawn=True)
        return _drawing(told, name, width)

    return draw


def _trap_keys(desk: LessonDesk, given: Given) -> Keys:
    return trap_keys(shape_of(desk.trap(given.get("trap", TRAP), given.get("change", ""), drawn=True)))


def _drawing(told: BenchSheet, name: str, width: float) -> str:
    made = drawn(told, width)
    if name not in made:
        raise BadInput("this trap does not close, so there is no such drawing", field=name, found=told.title)
    return made[name]


def _picture(name: str) -> Callable[[LessonDesk, Given, float], str]:
    def draw(desk: LessonDesk, given: Given, width: float) -> str:
        return picture(name, _filled(name, desk, given), width=width)

    return draw


def _picture_keys(name: str) -> Callable[[LessonDesk, Given], Keys]:
    def keys(desk: LessonDesk, given: Given) -> Keys:
        return picture_keys(name, _filled(name, desk, given))

    return keys


def _filled(name: str, desk: LessonDesk, given: Given) -> Filled:
    """What a teaching picture is drawn from: the traps that are named, and the depth sum of a set."""
    coil, long = given.get("coil", COIL), given.get("long", LONG)
    patterns = trap_tables.patterns()
    total = _set(desk, given).figure.sum if name == SUM and "site" in given else None
    book = None if coil in patterns and long in patterns else desk.book
    return filled(coil=coil, long=long, book=book, total=total)


def _may(name: str) -> tuple[str, ...]:
    if name == SUM:
        return ("site", "medium", "change")
    return tuple(trap for trap in ("coil", "long") if trap in PICTURES[name].needs)


def _section(desk: LessonDesk, given: Given, width: float) -> str:
    return section(_set(desk, given).figure, width, TALLEST)


def _section_keys(desk: LessonDesk, given: Given) -> Keys:
    return section_keys(_set(desk, given).figure)


def _footing(desk: LessonDesk, given: Given, width: float) -> str:
    part = _set(desk, given)
    if part.footing is None:
        raise BadInput("neither chain nor anchor is named at this site", field="footing", found=part.site.id)
    return footing(part.footing.figure, width, TALLEST + 14.0)


def _footing_keys(desk: LessonDesk, given: Given) -> Keys:
    found = _set(desk, given).footing
    return [] if found is None else footing_keys(found.figure)


def _wait(desk: LessonDesk, given: Given, width: float) -> str:
    part = _set(desk, given)
    if part.level is not None:
        return level_strip(part.level, width)
    if part.frost is None:
        raise BadInput("no record of the cold for this site", field="wait", found=part.site.id)
    return frost_strip(part.frost, width, part.rig.cover)


def _feet(desk: LessonDesk, given: Given, width: float) -> str:
    return curve(_curve(desk, given, "feet"), width)


def _nights(desk: LessonDesk, given: Given, width: float) -> str:
    return nights(_curve(desk, given, "hundred-nights"), width)


def _curve_keys(desk: LessonDesk, given: Given) -> Keys:
    return curve_keys(_curve(desk, given, "feet"))


def _curve(desk: LessonDesk, given: Given, name: str) -> TripCurve:
    part = _set(desk, given)
    if part.trip_curve is None or not part.trip_curve.series:
        raise BadInput("there is no curve for this site", field=name, found=part.site.id)
    return part.trip_curve


def _set(desk: LessonDesk, given: Given) -> SetPlan:
    change = given.get("change", "")
    name, _, value = change.partition("=")
    asked, site = desk.at(given.get("site", SITE), given.get("medium", ""))
    return asked.set(site, {name.strip(): value.strip()} if value else None)


def _clock(desk: LessonDesk, given: Given, width: float) -> str:
    del desk
    visit, day, hours = clock_limits(given.get("visit", "07:00"))
    return check_clock(visit, [("a visit each calendar day", day), ("never more than 24 hours", hours)], width)


def _none(desk: LessonDesk, given: Given, width: float) -> str:
    del desk
    count, upper = upper_of(given.get("nights", "200"))
    return none_seen_curve(count, upper, width)


LETTERED = ("trap-plan", "trap-end")
_OF_TRAP = {
    "trap-plan": "a trap from above, set",
    "trap-end": "a trap along its hinges: set, half way, closed",
    "trap-strip": "the closing in still frames",
    "trap-push": "push of the springs over the way of the jaws",
    "trap-time": "angle of the jaws over time",
    "trap-grip": "grip against the thickness of what is held",
}
_OF_SET = {
    "section": ("a set in section, with its depth sum in water", _section, _section_keys),
    "footing": ("anchor, chain and bed in section", _footing, _footing_keys),
    "wait": ("frost or water level by the hour of the wait", _wait, _no_keys),
    "feet": ("who fires the pan, of 100 feet, against trip force", _feet, _curve_keys),
    "hundred-nights": ("what 100 nights bring, against trip force", _nights, _curve_keys),
}
FIGURES: Mapping[str, LessonFigure] = {
    **{
        name: LessonFigure(one.title.lower(), _may(name), _picture(name), _picture_keys(name))
        for name, one in PICTURES.items()
    },
    **{
        name: LessonFigure(
            title, ("trap", "change"), _of_trap(f"{name}.svg"), _trap_keys if name in LETTERED else _no_keys
        )
        for name, title in _OF_TRAP.items()
    },
    **{
        name: LessonFigure(title, ("site", "medium", "change"), draw, keys)
        for name, (title, draw, keys) in _OF_SET.items()
    },
    "check-clock": LessonFigure("two check rules after one visit", ("visit",), _clock),
    "none-seen": LessonFigure("what a clean record leaves open", ("nights",), _none),
}


def known() -> Known:
    """Names of all drawings, each with what may be said of it."""
    return {name: one.may for name, one in FIGURES.items()}


def draw_picture(desk: LessonDesk, picture: Picture | Block, width: float) -> str:
    """A drawing by name, as SVG for a page.

    Raises
    ------
    BadInput
        When there is none of this name, or it cannot be drawn with what is said of it.

    """
    name = picture.figure if isinstance(picture, Block) else picture.name
    if name not in FIGURES:
        raise BadInput("no drawing of this name", found=name, allowed=", ".join(FIGURES))
    with desk.lock:
        return FIGURES[name].draw(desk, picture.given, width)


def figure_keys(desk: LessonDesk, picture: Picture | Block) -> Keys:
    """Letters that a narrow drawing puts on its parts, with their words; none where it has names.

    Raises
    ------
    BadInput
        As for `draw_picture`.

    """
    name = picture.figure if isinstance(picture, Block) else picture.name
    with desk.lock:
        return FIGURES[name].keys(desk, picture.given)
