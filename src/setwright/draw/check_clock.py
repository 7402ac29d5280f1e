"""Two check rules beside each other: the day that each leaves between one visit and the last moment for the next."""

from __future__ import annotations

import datetime as dt

from setwright.draw import svg

HIGH, TOP, ROW = 190.0, 58.0, 58.0
DAYS = 2.25


def check_clock(visit: dt.datetime, limits: list[tuple[str, dt.datetime]], width: float) -> str:
    """Draw what rules leave after a visit.

    Parameters
    ----------
    visit : datetime
        Last visit.
    limits : list of (str, datetime)
        Name of each rule and its last moment.
    width : float
        Width [px].

    """
    start = visit.replace(hour=0, minute=0, second=0, microsecond=0)
    left, right = 8.0, width - 12.0

    def x(moment: dt.datetime) -> float:
        share = (moment - start).total_seconds() / (DAYS * 86400.0)
        return left + (right - left) * min(max(share, 0.0), 1.0)

    high = TOP + ROW * len(limits) + 16.0
    body = []
    for day in range(3):
        midnight = start + dt.timedelta(days=day)
        place = x(midnight)
        body.append(svg.line([(place, 26.0), (place, high - 8.0)], "g hair s-r"))
        body.append(svg.text(place + 4.0, 20.0, f"{midnight:%A}" if width > 420.0 else f"{midnight:%a}", "f-p"))
        for hour in (6, 12, 18):
            tick = x(midnight + dt.timedelta(hours=hour))
            if tick < right:
                body.append(svg.line([(tick, 26.0), (tick, 32.0)], "g hair s-r"))
    for row, (name, limit) in enumerate(limits):
        y = TOP + ROW * row + 24.0
        body.append(svg.text(left + 5.0, y - 14.0, name, "halo"))
        body.append(svg.line([(x(visit), y), (x(limit), y)], "g inkw"))
        body.append(svg.line([(x(limit), y - 10.0), (x(limit), y + 10.0)], "g heavy s-l"))
        body.append(f'<circle class="g inkw w-pap" cx="{svg.num(x(visit))}" cy="{svg.num(y)}" r="5"/>')
        body.append(svg.text(x(limit) - 6.0, y + 24.0, f"{limit:%a %H:%M}", "t-b f-l end halo"))
        body.append(svg.text(x(visit) + 9.0, y + 18.0, f"{visit:%H:%M}", "halo"))
    told = "; ".join(f"{name}: until {limit:%A %H:%M}" for name, limit in limits)
    return svg.drawing(width, high, body, f"Seen on {visit:%A %H:%M}. {told}")
