"""The line on a map of its own: legs by means, landings, sets with their standing, scale bar and north; no tiles."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from setwright.basis.units import along
from setwright.draw import marks, svg
from setwright.draw.traverse import Box, north_arrow, place_label

if TYPE_CHECKING:
    from setwright.desk.run_document import RunDayDoc, RunDocument

EARTH = 6371008.8
BARS = (0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0)
# Legs by means: a road whole, a way over water in dashes, a path in dots.
LEGS = {"truck": "g inkw", "boat": "g inkw s-w dash", "foot": "g inkw dot"}
PAD, FOOT, TALLEST = 70.0, 74.0, 640.0


def line_map(found: RunDocument, width: float, day: RunDayDoc | None = None) -> str:
    """Draw the line of a run document; with a day, its legs in their order.

    Parameters
    ----------
    found : RunDocument
        Sets, landings, background.
    width : float
        Width of the drawing [px].
    day : RunDayDoc, optional
        Day whose legs are drawn; the first one when not given.

    """
    spots = {key: spot for key, spot in found.spots.items() if spot is not None}
    if not spots:
        words = "No position is in the book: there is nothing to draw."
        return svg.drawing(width, 40, [svg.text(8, 26, words)], "Map of the line: no positions")
    scale, height = _scale(list(spots.values()), width)
    day = day or (found.days[0] if found.days else None)
    at = {key: scale.at(_flat(spot, spots)) for key, spot in spots.items()}
    body = [*_ground(found, scale, spots, width, height), *_legs(day, at)]
    taken: list[Box] = [(x - 12, y - 9, x + 12, y + 9) for x, y in at.values()]
    labels: list[str] = []
    for one in found.sets:
        if one.site in at:
            body.append(_mark(at[one.site], one.standing))
            labels.append(place_label(at[one.site], f"{one.number} {one.name}", taken, width, height - FOOT))
    sites = {one.site for one in found.sets}
    for key, spot in at.items():
        if key not in sites:
            body.append(_landing(spot, key == "base"))
            labels.append(place_label(spot, "start" if key == "base" else key, taken, width, height - FOOT))
    body += labels
    body.append(north_arrow(width - 18, 44))
    metre, unit = along(1.0)
    step = svg.bar_step(width * 0.4 / scale.per_metre * metre, BARS)
    names = [f"{k * step:g}" for k in range(4)] + [f"{4 * step:g} {unit}"]
    body.append(svg.scale_bar(10, height - 58, step / metre * scale.per_metre, names))
    body.append(_key(found, width, height))
    return svg.drawing(width, height, body, f"Map of the line {found.line}, to scale, north up")


def _flat(spot: tuple[float, float], spots: dict[str, tuple[float, float]]) -> svg.Point:
    middle = math.radians(sum(place[0] for place in spots.values()) / len(spots))
    return EARTH * math.radians(spot[1]) * math.cos(middle), EARTH * math.radians(spot[0])


def _scale(spots: Sequence[tuple[float, float]], width: float) -> tuple[svg.Scale, float]:
    known = {str(k): spot for k, spot in enumerate(spots)}
    flat = [_flat(spot, known) for spot in spots]
    west, east = min(x for x, _ in flat), max(x for x, _ in flat)
    south, top = min(y for _, y in flat), max(y for _, y in flat)
    per_metre = min(
        (width - 2 * PAD) / max(east - west, 50.0), (min(TALLEST, width) - FOOT - 80.0) / max(top - south, 50.0)
    )
    height = (top - south) * per_metre + 80.0 + FOOT
    return svg.Scale(west, top, per_metre, (width - (east - west) * per_metre) / 2, 46.0), height


def _ground(
    found: RunDocument, scale: svg.Scale, spots: dict[str, tuple[float, float]], width: float, height: float
) -> list[str]:
    """Water and tracks, cut at the edge of the sheet."""
    window = f'<clipPath id="sheet"><rect width="{svg.num(width)}" height="{svg.num(height - FOOT)}"/></clipPath>'
    body = []
    for shape in found.ground:
        path = scale.path(_flat((latitude, longitude), spots) for longitude, latitude in shape.positions)
        if shape.kind == "water":
            if shape.closed:
                body.append(svg.area(path, "w-wat"))
                body.append(svg.area(path, fill="url(#h-water)"))
            body.append(svg.line(path, "g thin s-w"))
        else:
            body.append(svg.line(path, "g hair s-e dash"))
    return [f'{window}<g clip-path="url(#sheet)">{"".join(body)}</g>'] if body else []


def _legs(day: RunDayDoc | None, at: dict[str, svg.Point]) -> list[str]:
    if day is None:
        return []
    body = []
    steps = [step for stop in day.stops for step in stop.way]
    steps += day.home
    for step in steps:
        if step.start in at and step.end in at:
            extra = ' stroke-opacity="0.6"' if step.assumed else ""
            body.append(svg.line([at[step.start], at[step.end]], LEGS[step.mode], extra))
    return body


def _mark(at: svg.Point, standing: str) -> str:
    """The mark of the standing on a patch of paper; an open ring where no rig is named."""
    x, y = at
    if standing not in marks.STANDING:
        return f'<circle class="g inkw w-pap" cx="{svg.num(x)}" cy="{svg.num(y)}" r="5.5"/>'
    shape = marks.SHAPES[marks.STANDING[standing]].replace("currentColor", "#000")
    return (
        f'<rect class="w-pap" x="{svg.num(x - 12)}" y="{svg.num(y - 8)}" width="24" height="16" fill="#fff"/>'
        f'<g class="g" transform="translate({svg.num(x - 12)} {svg.num(y - 8)})">{shape}</g>'
    )


def _landing(at: svg.Point, start: bool) -> str:
    x, y = at
    if start:
        return f'<path class="g inkw w-pap" d="M{svg.num(x - 6)} {svg.num(y + 5)}h12l-6 -11Z"/>'
    return f'<path class="g inkw w-pap" d="M{svg.num(x - 5)} {svg.num(y - 5)}h10v10h-10Z"/>'


def _key(found: RunDocument, width: float, height: float) -> str:
    """What the shapes mean, in words beside them, in two columns."""
    shown = [word for word in marks.STANDING if any(one.standing == word for one in found.sets)]
    parts = []
    x, y = width * 0.4, height - 52.0
    for word in shown:
        parts.append(_mark((x + 12, y), word))
        parts.append(svg.text(x + 30, y + 5, word, "t-s"))
        x += 46 + svg.length_of(word)
    x, y = width * 0.4, height - 26.0
    used = [mode for mode in LEGS if any(one.access == mode for one in found.sets) or mode == "truck"]
    for mode in used:
        parts.append(svg.line([(x, y), (x + 26, y)], LEGS[mode]))
        parts.append(svg.text(x + 32, y + 5, mode, "t-s"))
        x += 48 + svg.length_of(mode)
    if len(found.spots) > 1 + len(found.sets):
        parts.append(_landing((x + 6, y), False))
        parts.append(svg.text(x + 18, y + 5, "landing", "t-s"))
        x += 34 + svg.length_of("landing")
    if any(one.standing not in marks.STANDING for one in found.sets):
        parts.append(_mark((x + 8, y), ""))
        parts.append(svg.text(x + 20, y + 5, "no rig named", "t-s"))
    return "".join(parts)
