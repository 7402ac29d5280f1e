"""What drawings of set types share: a trap from above and in section, dimensions, a frame of plan over section."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from setwright.basis.units import inches
from setwright.draw import svg
from setwright.draw.plate import Given, Plate
from setwright.draw.trap_frame import figure, scale_line, wrap

SPREAD, WIDEST = 0.135, 190.0
LEVEL = "g inkw s-w"


def known(value: float, usual: float) -> float:
    """The measure, or what is drawn where it is a blank."""
    return value if math.isfinite(value) else usual


def sized(value: float, steps: int = 2) -> str:
    """A length in inches, a blank where it is not known."""
    return inches(value, steps) if math.isfinite(value) else "____ in"


def span(low: float, high: float) -> str:
    """Two lengths in inches: '1 to 3 in'."""
    if not math.isfinite(low) or not math.isfinite(high):
        return "____ in"
    return f"{inches(low, 4).removesuffix(' in')} to {inches(high, 4)}"


def trap_above(plate: Plate, at: svg.Point, turn: float = 0.0) -> None:
    """A set trap from above, its hinge line turned from the level: jaws, base, levers, pan."""
    x, y = at
    cosine, sine = math.cos(turn), math.sin(turn)

    def spun(path: Sequence[svg.Point]) -> list[svg.Point]:
        return [(x + u * cosine - v * sine, y + u * sine + v * cosine) for u, v in path]

    half = 0.5 * SPREAD
    levers = [
        spun(
            [(s * 0.75 * half, -0.012), (s * 1.35 * half, -0.012), (s * 1.35 * half, 0.012), (s * 0.75 * half, 0.012)]
        )
        for s in (-1, 1)
    ]
    plate.part("trap", *(plate.area(each, "g thin w-pap") for each in levers))
    plate.part("trap", plate.disc(at, half, "g heavy w-pap"), plate.line(spun([(-half, 0.0), (half, 0.0)]), "g inkw"))
    plate.part("pan", plate.disc(at, 0.36 * half))


def trap_cut(plate: Plate, x: float, level: float, depth: float = 0.05) -> None:
    """A set trap in section: base `depth` under the level of its jaws, jaws flat, pan between."""
    half = 0.5 * SPREAD
    base = plate.line([(x - 0.7 * half, level - depth), (x + 0.7 * half, level - depth)], "g heavy")
    post = plate.line([(x, level - depth), (x, level)], "g inkw")
    jaws = [plate.line([(x + s * 0.42 * half, level), (x + s * half, level)], "g heavy") for s in (-1, 1)]
    plate.part("trap", base, post, *jaws)
    plate.part("pan", plate.line([(x - 0.34 * half, level + 0.002), (x + 0.34 * half, level + 0.002)], "g heavy"))


def across(plate: Plate, left: float, right: float, height: float, words: str) -> None:
    """A dimension along the drawing between two places [m], its words over it."""
    (x1, y), (x2, _) = plate.scale.at((left, height)), plate.scale.at((right, height))
    plate.add(svg.level_line(y, [x1, x2], "g thin s-l"))
    plate.add(svg.text(0.5 * (x1 + x2), y - 5.0, words, "mid halo t-b"))


def upright(plate: Plate, x: float, low: float, high: float, words: str, *, left: bool = False) -> None:
    """A dimension up the drawing between two heights [m], its words beside it."""
    (at, y1), (_, y2) = plate.scale.at((x, low)), plate.scale.at((x, high))
    plate.add(svg.upright(at, [y1, y2], "g thin s-l"))
    place = (
        svg.text(at - 8.0, 0.5 * (y1 + y2) + 5.0, words, "end halo t-b")
        if left
        else svg.text(at + 8.0, 0.5 * (y1 + y2) + 5.0, words, "halo t-b")
    )
    plate.add(place)


def prints(plate: Plate, places: Sequence[svg.Point]) -> None:
    """Prints of feet."""
    for at in places:
        x, y = plate.scale.at(at)
        plate.part("print", f'<ellipse class="g thin f-e" cx="{svg.num(x)}" cy="{svg.num(y)}" rx="5.5" ry="4"/>')


@dataclass(frozen=True, slots=True)
class Views:
    """The two views of a set type.

    Parameters
    ----------
    west, east : float [m]
        Ends of both views.
    half : float [m]
        Half the width of the plan.
    high, low : float [m]
        Top and bottom of the section.
    above, cut : callable
        Draw plan and section on a plate and name their parts.

    """

    west: float
    east: float
    half: float
    high: float
    low: float
    above: Callable[[Plate], None]
    cut: Callable[[Plate], None]


def two_views(given: Given, title: str, views: Views, note: str = "") -> str:
    """Plan over section at one scale, names at the right, a scale bar and a note beneath.

    Parameters
    ----------
    given : Given
        Width, height, language.
    title : str
        What is drawn.
    views : Views
        The two views.
    note : str
        A line beneath, such as where the distances come from.

    """
    room = given.tallest - 96.0
    column = 20.0 + min(_longest(views), WIDEST)
    per_metre = min(
        (given.width - column) / (views.east - views.west), room / (2.0 * views.half + views.high - views.low)
    )
    top = 20.0
    plan = Plate(svg.Scale(views.west, views.half, per_metre, 0.0, top))
    middle = top + 2.0 * views.half * per_metre
    section = Plate(svg.Scale(views.west, views.high, per_metre, 0.0, middle + 26.0))
    bottom = middle + 26.0 + (views.high - views.low) * per_metre
    edge = (views.east - views.west) * per_metre
    views.above(plan)
    views.cut(section)
    plan.right(edge + 10.0, top, middle + 6.0)
    section.right(edge + 10.0, middle + 16.0, bottom + 4.0)
    body = [svg.text(0.0, 12.0, given.say("From above"), "t-s f-p"), *plan.body]
    body += [svg.text(0.0, middle + 18.0, given.say("In section"), "t-s f-p"), *section.body]
    body.append(scale_line(6.0, bottom + 8.0, per_metre, min(0.5 * given.width, 220.0)))
    lines = wrap(note, given.width - 4.0, 13.5) if note else []
    for index, line in enumerate(lines):
        body.append(svg.text(0.0, bottom + 46.0 + 16.0 * index, line, "t-s f-p"))
    return figure(given.width, bottom + 36.0 + 16.0 * len(lines), body, title, f"{title}. {note}")


def _longest(views: Views) -> float:
    """Length of the longest name in either view [px]; both are drawn once to read their names."""
    found = []
    for draw in (views.above, views.cut):
        tried = Plate(svg.Scale(views.west, views.high, 100.0))
        draw(tried)
        found += [svg.length_of(each.words) for each in tried.names]
    return max(found, default=0.0)


def soil(plate: Plate, surface: Sequence[svg.Point], floor: float, hatch: str = "h-loam") -> None:
    """Ground under a surface line, with the line."""
    outline = [*surface, (surface[-1][0], floor), (surface[0][0], floor)]
    plate.part("ground", plate.area(outline, "w-ear"), plate.area(outline, "", f"url(#{hatch})"))
    plate.add(plate.line(surface, "g heavy s-e"))


def water(plate: Plate, bed: Sequence[svg.Point], level: float) -> None:
    """Water over a bed up to a level, with its surface and the sign of a level."""
    for stretch in svg.below(list(bed), level):
        plate.part("water", plate.area(stretch, "w-wat"), plate.area(stretch, "", "url(#h-water)"))
        plate.part("water", plate.line([stretch[0], stretch[-1]], LEVEL))
        x, y = plate.scale.at((0.25 * stretch[0][0] + 0.75 * stretch[-1][0], level))
        plate.add(f'<path class="g thin s-w" d="M{svg.num(x - 6)} {svg.num(y - 10)}h12l-6 10Z"/>')
