"""The check run as a traverse: legs to one scale, stations in order, distance and bearing of each leg, north up."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import TYPE_CHECKING

from setwright.basis.units import along
from setwright.draw import svg

if TYPE_CHECKING:
    from setwright.desk.document import Plan

_EARTH = 6371008.8
_PHONE = 480.0
_BARS = (0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0)
_PLACES = ((10, 5, 0.0), (-10, 5, 1.0), (0, -11, 0.5), (0, 22, 0.5), (10, -8, 0.0), (10, 18, 0.0), (-10, -8, 1.0))
Box = tuple[float, float, float, float]


def _overlap(one: Box, other: Box) -> float:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return max(wide, 0.0) * max(high, 0.0)


def place_label(at: svg.Point, words: str, taken: list[Box], width: float, height: float) -> str:
    """Put a label where it covers least."""
    best: tuple[float, Box, float, float] | None = None
    long = svg.length_of(words) + 4
    for dx, dy, share in _PLACES:
        x, y = at[0] + dx - share * long, at[1] + dy
        box = (x, y - 13, x + long, y + 3)
        cost = sum(_overlap(box, other) for other in taken)
        cost += 1e4 * (max(-x, 0) + max(x + long - width, 0) + max(15 - y, 0) + max(y - height, 0))
        if best is None or cost < best[0] - 1e-9:
            best = (cost, box, x, y)
    if best is None:
        return ""
    taken.append(best[1])
    return svg.text(best[2], best[3], words, "halo")


def traverse(plan: Plan, width: float) -> str:
    """Draw the legs between the base and the stations in check order; a station that holds alive is a ring.

    Nothing is drawn of a plan whose positions are not exact, or that has none.
    """
    if plan.line.positions != "exact" or plan.line.base is None:
        return ""
    narrow = width < _PHONE
    spots = {
        part.site.id: (part.site.latitude, part.site.longitude)
        for part in plan.sets
        if part.site.latitude is not None and part.site.longitude is not None
    }
    stops = [stop for stop in plan.run.stops if stop.site in spots]
    if not stops:
        return ""
    places = [plan.line.base, *(spots[stop.site] for stop in stops)]
    lat0 = math.radians(sum(place[0] for place in places) / len(places))
    flat = [
        (_EARTH * math.radians(lon - places[0][1]) * math.cos(lat0), _EARTH * math.radians(lat - places[0][0]))
        for lat, lon in places
    ]
    west, east = min(x for x, _ in flat), max(x for x, _ in flat)
    south, north = min(y for _, y in flat), max(y for _, y in flat)
    pad, foot, tallest = (34.0, 46.0, width) if narrow else (120.0, 46.0, 460.0)
    per_metre = min((width - 2 * pad) / max(east - west, 1.0), (tallest - foot - 60.0) / max(north - south, 1.0))
    plot_high = (north - south) * per_metre
    height = plot_high + 60.0 + foot
    spare = (width - (east - west) * per_metre) / 2
    scale = svg.Scale(west, north, per_metre, spare, 34.0)
    dots = scale.path(flat)
    body = [svg.line([*dots, dots[0]], "g inkw")]
    taken: list[Box] = [(x - 7, y - 7, x + 7, y + 7) for x, y in dots]
    ring = [*dots, dots[0]]
    for (x1, y1), (x2, y2) in pairwise(ring):
        for k in range(1, 12):
            x, y = x1 + (x2 - x1) * k / 12, y1 + (y2 - y1) * k / 12
            taken.append((x - 2, y - 2, x + 2, y + 2))
    for at, stop in zip(dots[1:], stops, strict=True):
        style = "g inkw w-pap" if stop.restraining else "f-i"
        body.append(f'<circle class="{style}" cx="{svg.num(at[0])}" cy="{svg.num(at[1])}" r="5.5"/>')
    bx, by = dots[0]
    body.append(f'<path class="g inkw w-pap" d="M{svg.num(bx - 6)} {svg.num(by + 5)}h12l-6 -11Z"/>')
    body.append(place_label(dots[0], "base", taken, width, height - foot))
    for at, stop in zip(dots[1:], stops, strict=True):
        words = str(stop.number) if narrow else f"{stop.number} {stop.name}"
        body.append(place_label(at, words, taken, width, height - foot))
    if not narrow:
        for (x1, y1), (x2, y2), stop in zip(dots[:-1], dots[1:], stops, strict=True):
            if stop.distance is None or stop.bearing_deg is None:
                continue
            far, unit = along(stop.distance)
            words = f"{far:.2f} {unit}, {stop.bearing_deg:.0f}°"
            if math.hypot(x2 - x1, y2 - y1) > 60:
                body.append(place_label(((x1 + x2) / 2, (y1 + y2) / 2), words, taken, width, height - foot))
    body.append(north_arrow(width - 16, 40))
    metre, unit = along(1.0)
    step = svg.bar_step(width * 0.45 / per_metre * metre, _BARS)
    px = step / metre * per_metre
    labels = [f"{k * step:g}" for k in range(4)] + [f"{4 * step:g} {unit}"]
    body.append(svg.scale_bar(8, height - 28, px, labels))
    return svg.drawing(width, height, body, "The check run as a traverse, to scale, north up")


def north_arrow(x: float, y: float) -> str:
    """North arrow with its foot at a place."""
    return (
        f'<path class="g thin" d="M{svg.num(x)} {svg.num(y)}V{svg.num(y - 34)}l-4 10M{svg.num(x)} {svg.num(y - 34)}'
        f'l4 10"/>' + svg.text(x, y + 15, "N", "mid")
    )
