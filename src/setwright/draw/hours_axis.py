"""The hours along a strip: clock hours and days under it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from setwright.draw import svg


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours along the drawing.

    Parameters
    ----------
    left, right : float [px]
        Ends of the plot.
    starts : tuple of datetime
        Begin of each hour, local.
    """

    left: float
    right: float
    starts: tuple[datetime, ...]

    def at(self, hour: float) -> float:
        """Place of a number of hours from the start [px]."""
        return self.left + (self.right - self.left) * hour / max(len(self.starts), 1)


def axis(hours: Hours, top: float, bottom: float) -> list[str]:
    """Ticks at full clock hours, as many as have room, with the day at midnight and at the left end."""
    room = (hours.right - hours.left) / max(len(hours.starts), 1)
    step = next((step for step in (1, 2, 3, 6, 12, 24) if step * room >= 26.0), 24)
    body = []
    last_day = -1e9
    for index, start in enumerate(hours.starts):
        # A strip that begins within an hour has its full hours between its marks, or a first mark that is short.
        over = start.minute / 60.0
        if over and (index == 0 and len(hours.starts) > 1 and not hours.starts[1].minute):
            continue
        full = start + timedelta(minutes=60 - start.minute) if over else start
        x = hours.at(index + (1.0 - over if over else 0.0))
        if full.hour % step or x > hours.right:
            continue
        midnight = full.hour == 0
        body.append(svg.line([(x, top), (x, bottom + 4)], "g thin" if midnight else "g hair s-r"))
        body.append(svg.text(min(max(x, 8.0), hours.right - 8.0), bottom + 18, f"{full.hour:02d}", "mid t-s f-p"))
        day = f"{full:%a} {full.day} {full:%b}"
        if (midnight or last_day < 0) and x - last_day > 80.0 and x + svg.length_of(day, 13.5) < hours.right:
            body.append(svg.text(x, bottom + 34, day, "t-s f-p"))
            last_day = x
    return body


def runs(marks: Sequence[bool]) -> list[tuple[int, int]]:
    """Stretches of true marks as begin and end, end not included."""
    found: list[tuple[int, int]] = []
    begin: int | None = None
    for index, mark in enumerate([*marks, False]):
        if mark and begin is None:
            begin = index
        elif not mark and begin is not None:
            found.append((begin, index))
            begin = None
    return found
