"""The frost strip: crust by hour as it grows down from the surface, hours out of order as a bar above it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from setwright.basis.units import inches
from setwright.draw import svg
from setwright.draw.hours_axis import Hours, axis, runs

if TYPE_CHECKING:
    from setwright.desk.hour_parts import FrostPart
    from setwright.desk.tonight_document import Coming, CoverStrip

_DEEP = 70.0
_BAR = 14.0


def frost_strip(part: FrostPart, width: float, name: str = "") -> str:
    """Draw the frost of one set's wait.

    Parameters
    ----------
    part : FrostPart
        Frost over the set.
    width : float [px]
        Width of the drawing.
    name : str
        Name of the cover, for the label.

    Returns
    -------
    str
        The drawing, or words in its place when nothing is known.
    """
    if not part.times or any(value is None for value in part.in_order):
        words = "No frost strip: frost cannot be told for this set."
        return svg.drawing(width, 40, [svg.text(0, 24, words)], words)
    hours = Hours(0.0, width, tuple(datetime.fromisoformat(time) for time in part.times))
    shares = [float(value or 0.0) for value in part.in_order]
    body = [svg.text(0, 14, f"{name or 'cover'}: crust by hour, down from the surface", "f-p")]
    top = 46.0
    body += _bar(hours, 22.0, [share < 0.5 for share in shares], [0.5 <= share < 0.9 for share in shares])
    body += _crust(hours, top, part.crust, part.crust_mild, part.crust_hard)
    body += axis(hours, top, top + _DEEP)
    lost = part.told or 0.0
    title = f"Frost strip: {lost:.0f} of {part.wait:.0f} hours out of order as told"
    return svg.drawing(width, top + _DEEP + 42, body, title)


def coming_strip(coming: Coming, width: float) -> str:
    """Draw the coming nights: a row for each cover, a heavy line under the hours of dark.

    Parameters
    ----------
    coming : Coming
        The coming nights in every cover.
    width : float [px]
        Width of the drawing.
    """
    if not coming.times or not coming.covers:
        words = "No frost strip: the weather ends before the first night does."
        return svg.drawing(width, 40, [svg.text(0, 24, words)], words)
    hours = Hours(0.0, width, tuple(datetime.fromisoformat(time) for time in coming.times))
    body: list[str] = []
    top = 8.0
    tall = top + len(coming.covers) * (_DEEP + 44.0)
    for begin, end in runs(coming.dark):
        body.append(svg.line([(hours.at(begin), tall + 1.0), (hours.at(end), tall + 1.0)], "g", ' stroke-width="6"'))
    for cover in coming.covers:
        body += _cover(hours, cover, top)
        top += _DEEP + 44.0
    body += axis(hours, 8.0, tall)
    nights = max((len(cover.nights) for cover in coming.covers), default=0)
    title = (
        f"Frost strip of {nights} coming nights in {len(coming.covers)} covers; night shaded, out of order in black"
    )
    return svg.drawing(width, tall + 42, body, title)


def _cover(hours: Hours, cover: CoverStrip, top: float) -> list[str]:
    lost = "; ".join(f"{night.told} of {night.hours} h" for night in cover.nights)
    out = [float(value or 0.0) >= 0.005 for value in cover.crust]
    doubtful = [0.002 <= float(value or 0.0) < 0.005 for value in cover.crust]
    return [
        svg.text(2, top + 14, f"{cover.name}: lost {lost}", "halo t-b"),
        *_bar(hours, top + 20.0, out, doubtful),
        *_crust(hours, top + 38.0, cover.crust, cover.crust_mild, cover.crust_hard, deep=_DEEP - 20.0),
    ]


def _bar(hours: Hours, top: float, out: Sequence[bool], doubtful: Sequence[bool]) -> list[str]:
    """Hours in order empty, doubtful hatched, out of order black."""
    right = hours.at(len(hours.starts))
    size = f'x="{svg.num(hours.left)}" y="{svg.num(top)}" width="{svg.num(right - hours.left)}" height="{_BAR:g}"'
    body = [f'<rect class="g thin" {size}/>']
    for marks, classes, paint in ((doubtful, "", "url(#h-band)"), (out, "f-i", "")):
        for begin, end in runs(marks):
            x0, x1 = hours.at(begin), hours.at(end)
            body.append(svg.area([(x0, top), (x1, top), (x1, top + _BAR), (x0, top + _BAR)], classes, paint))
    return body


def _crust(
    hours: Hours,
    top: float,
    told: Sequence[float | None],
    mild: Sequence[float | None],
    hard: Sequence[float | None],
    deep: float = _DEEP,
) -> list[str]:
    most = max([0.005, *(value for row in (told, mild, hard) for value in row if value is not None)])

    def path(row: Sequence[float | None]) -> list[svg.Point]:
        points: list[svg.Point] = []
        for index, value in enumerate(row):
            y = top + deep * float(value or 0.0) / most
            points += [(hours.at(index), y), (hours.at(index + 1), y)]
        return points

    right = hours.at(len(hours.starts))
    filled = [(hours.left, top), *path(told), (right, top)]
    limit = top + deep * 0.005 / most
    return [
        svg.area(filled, "", "url(#h-crust)"),
        svg.line([(hours.left, top), (right, top)], "g inkw s-e"),
        svg.line(path(told), "g inkw"),
        svg.line(path(hard), "g thin dash"),
        svg.line(path(mild), "g thin dot"),
        svg.line([(hours.left, limit), (right, limit)], "g hair s-l"),
        svg.text(right - 2, min(limit, top + deep) - 3, f"{inches(0.005, 4)} (5 mm)", "halo end t-s f-l"),
    ]
