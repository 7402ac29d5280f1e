"""Rulers: a hair with ticks, the 90 % band hatched, the median a heavy upright; and the ruler of a day."""

from __future__ import annotations

import math
from datetime import datetime
from typing import TYPE_CHECKING

from setwright.draw import svg

if TYPE_CHECKING:
    from setwright.desk.document import Run, Stop

_STEPS = (0.01, 0.02, 0.04, 0.1, 0.2, 0.4, 1.0)


def top_of(highest: float) -> float:
    """A round end of the scale for a column of shares whose highest band point is given."""
    return next((step for step in _STEPS if highest <= step), 1.0)


def ruler(
    median: float | None,
    band: tuple[float | None, float | None],
    upper: float = 1.0,
    width: float = 128.0,
) -> str:
    """A share on a scale from 0 to `upper`; without a figure only the hair is drawn."""
    inner = width - 8.0

    def place(value: float) -> float:
        return 4.0 + inner * min(max(value / upper, 0.0), 1.0)

    ticks = "".join(f"M{svg.num(4 + inner * k / 4)} 13V17" for k in range(5))
    parts = [f'<path class="g hair s-p" d="M4 17H{svg.num(width - 4)}{ticks}"/>']
    low, high = band
    if low is not None and high is not None:
        start, end = place(low), place(high)
        parts.append(
            f'<rect class="g hair s-p" style="fill:url(#h-band)" x="{svg.num(start)}" y="5" '
            f'width="{svg.num(max(end - start, 1.0))}" height="9"/>'
        )
    if median is not None:
        parts.append(f'<path class="g heavy" d="M{svg.num(place(median))} 1V18"/>')
    return (
        f'<svg class="ruler" viewBox="0 0 {svg.num(width)} 20" width="{svg.num(width)}" height="20" '
        f'aria-hidden="true">{"".join(parts)}</svg>'
    )


def _hours(moment: str, zero: datetime) -> float:
    return (datetime.fromisoformat(moment) - zero).total_seconds() / 3600.0


def day_ruler(stop: Stop, run: Run, width: float = 300.0) -> str:
    """The time to limit of one stop: a ring at the planned visit, a heavy bar at the limit, dark hours shaded."""
    first = datetime.fromisoformat(run.start)
    zero = first.replace(hour=0, minute=0, second=0, microsecond=0)
    span = max(24.0, 24.0 * math.ceil(_hours(run.finish, zero) / 24.0))
    inner = width - 12.0

    def place(hours: float) -> float:
        return 6.0 + inner * min(max(hours / span, 0.0), 1.0)

    parts = []
    light = {name: _hours(moment, zero) for name, moment in run.light.items() if moment}
    rise, fall = light.get("sunrise"), light.get("sunset")
    if rise is not None and fall is not None and 0.0 <= rise < fall:
        for start, end in ((0.0, rise), (fall, span)):
            parts.append(
                f'<rect style="fill:url(#h-band2)" x="{svg.num(place(start))}" y="4" '
                f'width="{svg.num(max(place(end) - place(start), 0.0))}" height="13"/>'
            )
    ticks = "".join(f"M{svg.num(place(hour))} 14V20" for hour in range(0, int(span) + 1, 6))
    parts.append(f'<path class="g hair s-p" d="M6 17H{svg.num(width - 6)}{ticks}"/>')
    seen = place(_hours(stop.arrive, zero))
    limit = None if stop.limit is None else _hours(stop.limit, zero)
    if limit is not None:
        end = place(limit)
        parts.append(f'<path class="g inkw" d="M{svg.num(seen)} 10H{svg.num(end)}"/>')
        if limit <= span:
            parts.append(f'<path class="g s-l" stroke-width="4" d="M{svg.num(end)} 2V18"/>')
        else:
            parts.append(f'<path class="g inkw" d="M{svg.num(end - 6)} 5L{svg.num(end)} 10L{svg.num(end - 6)} 15"/>')
    parts.append(f'<circle class="g inkw w-pap" cx="{svg.num(seen)}" cy="10" r="4.5"/>')
    return (
        f'<svg class="ruler" viewBox="0 0 {svg.num(width)} 22" width="{svg.num(width)}" height="22" '
        f'aria-hidden="true">{"".join(parts)}</svg>'
    )
