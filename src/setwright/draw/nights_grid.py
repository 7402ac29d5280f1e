"""A season as a grid: a column for each night, a row for each cover and trap, frozen nights in black."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from setwright.draw import svg

_ROW, _GAP = 16.0, 8.0
_PAINT = {"will not fire": ("f-i", ""), "doubtful": ("", "url(#h-band)"), "cannot tell": ("", "url(#h-dry)")}


def nights_grid(
    groups: Sequence[tuple[str, Sequence[tuple[str, Sequence[str]]]]], nights: Sequence[date], width: float
) -> str:
    """Draw the answers of a season.

    Parameters
    ----------
    groups : sequence of (name, rows)
        Each row is a name and an answer for every night: `fires`, `doubtful`, `will not fire`, `cannot tell`.
    nights : sequence of date
        The evenings.
    width : float [px]
        Width of the drawing.

    Returns
    -------
    str
        Nights in order are empty, doubtful ones hatched, frozen ones black; how many of each stands at the end.
    """
    names = [name for _, rows in groups for name, _ in rows]
    # A page that shows the file as a picture has no narrow type: room for a wider one.
    left = 20.0 + 1.25 * max((svg.length_of(name, 13.5) for name in names), default=0.0)
    right = width - 44.0
    cell = (right - left) / max(len(nights), 1)
    body: list[str] = [svg.text(width, 14, "frozen", "end t-s f-p")]
    y = 24.0
    for title, rows in groups:
        body.append(svg.text(0, y + 11, title, "t-b"))
        y += _ROW + 2.0
        for name, answers in rows:
            body.append(svg.text(12, y + 11, name, "t-s"))
            for index, answer in enumerate(answers):
                if answer in _PAINT:
                    classes, fill = _PAINT[answer]
                    x = left + index * cell
                    box = [(x, y), (x + cell, y), (x + cell, y + _ROW - 3), (x, y + _ROW - 3)]
                    body.append(svg.area(box, classes, fill))
            lower = y + _ROW - 3
            frame = [(left, y), (right, y), (right, lower), (left, lower), (left, y)]
            body.append(svg.line(frame, "g hair"))
            body.append(svg.text(right + 6, y + 11, str(sum(answer == "will not fire" for answer in answers)), "t-s"))
            y += _ROW
        y += _GAP
    for index, night in enumerate(nights):
        if night.day in (1, 10, 20):
            x = left + index * cell
            body.append(svg.line([(x, 20), (x, y)], "g hair s-r"))
            body.append(svg.text(x, y + 14, f"{night.day} {night:%b}", "t-s f-p"))
    title = f"{len(nights)} nights by cover and trap: frozen down in black, doubtful hatched"
    return svg.drawing(width, y + 20, body, title)
