"""The level strip: how the water may move until the check, against the bands in which a set works and submerges."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from setwright.basis.units import inches
from setwright.draw import svg
from setwright.draw.hours_axis import Hours, axis

if TYPE_CHECKING:
    from setwright.desk.hour_parts import Band, LevelPart

_TALL = 190.0


def level_strip(part: LevelPart, width: float) -> str:
    """Draw the level by hour with its band, and both bands of the set.

    Parameters
    ----------
    part : LevelPart
        Water over the set.
    width : float [px]
        Width of the drawing.

    Returns
    -------
    str
        Levels are less the level when set; the band in which the pan works is hatched one way, that in which the set
        submerges the other way; where a band has no end in sight it goes to the edge.
    """
    begun = datetime.fromisoformat(part.begun)
    hours = Hours(70.0, width - 6.0, tuple(begun + timedelta(hours=hour) for hour in range(len(part.change) - 1)))
    ends = [*part.change_low, *part.change_high, 0.0]
    ends += [value for value in part.works_band if value is not None]
    lows = [value for value in part.submerges_band[:1] if value is not None]
    low, high = min([*ends, *lows]), max(ends)
    pad = 0.08 * (high - low) + 0.01
    low, high = low - pad, high + pad
    top = 26.0

    def up(level: float) -> float:
        return top + _TALL * (high - min(max(level, low), high)) / (high - low)

    def path(row: list[float]) -> list[svg.Point]:
        return [(hours.at(index), up(value)) for index, value in enumerate(row)]

    body = [svg.text(0, 14, "level less the level when set", "f-p")]
    for band, fill in ((part.works_band, "h-band"), (part.submerges_band, "h-band2")):
        body += _band(hours, band, up(high), up(low), up, fill)
    body += axis(hours, top, top + _TALL)
    body.append(svg.line(path(part.change), "g heavy s-w"))
    body.append(svg.line(path(part.change_low), "g thin s-w dash"))
    body.append(svg.line(path(part.change_high), "g thin s-w dot"))
    body.append(svg.line([(hours.left, up(0.0)), (hours.right, up(0.0))], "g hair"))
    marks = [(0.0, "when set")]
    marks += [(value, _signed(value)) for value in part.works_band if value is not None]
    marks += [(value, _signed(value)) for value in part.submerges_band[:1] if value is not None]
    places = svg.spread([up(value) for value, _ in marks], 16.0, top + 6.0, top + _TALL)
    for (value, words), place in zip(marks, places, strict=True):
        body.append(svg.line([(hours.left - 4, up(value)), (hours.left, up(value))], "g thin"))
        body.append(svg.text(hours.left - 6, place + 5, words, "end t-s f-p"))
    names = []
    if part.works_band[0] is not None:
        names.append((up(_middle(part.works_band, low, high)), "works"))
    if part.submerges_band[0] is not None:
        names.append((up(max(min(high, part.submerges_band[0] + 0.2 * (high - low)), low)), "submerges"))
    shown = svg.spread([place for place, _ in names], 20.0, top + 12.0, top + _TALL - 4.0)
    for (_, words), place in zip(names, shown, strict=True):
        x = hours.right - 8 if words == "works" else hours.left + 10
        body.append(svg.text(x, place, words, "halo t-b" + (" end" if words == "works" else "")))
    return svg.drawing(width, top + _TALL + 42, body, _told(part))


def _middle(band: Band, low: float, high: float) -> float:
    ends = [low if band[0] is None else max(band[0], low), high if band[1] is None else min(band[1], high)]
    return 0.5 * sum(ends)


def _band(hours: Hours, band: Band, highest: float, lowest: float, up: object, fill: str) -> list[str]:
    if band[0] is None or not callable(up):
        return []
    bottom = up(band[0])
    top = highest if band[1] is None else up(band[1])
    if not top < bottom <= lowest + 1e-6:
        return []
    shape = [(hours.left, top), (hours.right, top), (hours.right, bottom), (hours.left, bottom)]
    edges = [svg.line([(hours.left, y), (hours.right, y)], "g thin") for y in (top, bottom)]
    return [svg.area(shape, "", f"url(#{fill})"), *edges]


def _signed(value: float) -> str:
    return f"{'+' if value >= 0 else '−'}{inches(abs(value), 2)}"


def _told(part: LevelPart) -> str:
    share = part.works_share[0]
    words = "Level strip" if share is None else f"Level strip: in the window {100 * share:.0f} of 100 hours"
    if part.submerges_share is not None:
        words += f", takes under in {100 * part.submerges_share:.0f}"
    return words
