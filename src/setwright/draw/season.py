"""Plots of the season book: catch and effort over time, rigs side by side, drift of pans, injuries with their n."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from setwright.basis.units import pull
from setwright.draw import svg

if TYPE_CHECKING:
    from setwright.desk.season_document import Shrunk, Span, TrapReadings

# Hatches from light to grave; the missing stand as an empty dotted box.
_TRAUMA = {
    "none": ("", "none seen"), "mild": ("url(#h-dry)", "mild"), "moderate": ("url(#h-sand)", "moderate"),
    "moderately_severe": ("url(#h-band)", "moderately severe"), "severe": ("url(#h-crust)", "severe"),
    "missing": (None, "not written"),
}  # fmt: skip


def _scale(value: float) -> tuple[float, int]:
    """End of a scale that reaches a value, and the parts of it that carry round figures."""
    if not value > 0 or not math.isfinite(value):
        return 1.0, 1
    power = 10.0 ** math.floor(math.log10(value / 5.0))
    step = next(part * power for part in (1.0, 2.0, 5.0, 10.0) if part * power * 5 >= value * 0.9999)
    parts = math.ceil(value / step * 0.9999)
    return step * parts, parts


def _figure(value: float) -> str:
    return f"{value:.0f}" if value >= 10 or value == round(value) else f"{value:.1f}"


def _grid(left: float, right: float, top: float, bottom: float, most: float, parts: int) -> list[str]:
    body = []
    for k in range(parts + 1):
        y = bottom - (bottom - top) * k / parts
        body.append(svg.line([(left, y), (right, y)], "g hair s-r"))
        body.append(svg.text(left - 8, y + 5, _figure(most * k / parts), "end f-p"))
    return body


def _box(left: float, right: float, top: float, bottom: float, fill: str, line: str = "") -> str:
    """A filled box, with its outline drawn over it: a class for lines would take the filling away."""
    path = [(left, top), (right, top), (right, bottom), (left, bottom)]
    return svg.area(path, "", fill or "none") + (svg.area(path, line) if line else "")


def catch_over_time(weeks: Sequence[Span], width: float) -> str:
    """Catch per 100 trap-nights week by week with its 95 % band, and below it the effort that it rests on.

    Parameters
    ----------
    weeks : sequence of Span
        Of the season book.
    width : float
        Of the drawing [px].

    """
    left, right, top, bottom = 48.0, width - 12.0, 30.0, 210.0
    base, foot = 240.0, 300.0
    count = max(len(weeks), 1)
    step = (right - left) / count
    tops = [week.high for week in weeks if week.high is not None and week.nights > 0]
    rates = [week.rate for week in weeks if week.rate is not None]
    # A week of a few nights may have any rate: its band runs out of the picture rather than flattening it.
    most, parts = _scale(min(max(tops, default=1.0), 3.0 * max(rates, default=1.0) or 1.0))
    effort, _ = _scale(max((week.nights for week in weeks), default=1.0))

    def up(value: float) -> float:
        return bottom - (bottom - top) * min(max(value / most, 0.0), 1.0)

    body = [
        svg.text(0, 14, "target animals in 100 trap-nights, 95 % band", "f-p"),
        *_grid(left, right, top, bottom, most, parts),
    ]
    middle = [left + step * (k + 0.5) for k in range(count)]
    for k, week in enumerate(weeks):
        if week.rate is None or week.low is None or week.high is None:
            continue
        x0, x1 = middle[k] - 0.32 * step, middle[k] + 0.32 * step
        high, low = up(week.high), up(week.low)
        body.append(_box(x0, x1, high, low, "url(#h-band)"))
        body.append(svg.line([(x0, up(week.rate)), (x1, up(week.rate))], "g heavy"))
    body.append(svg.text(0, base - 8, f"trap-nights as they fished, 0 to {_figure(effort)}", "f-p"))
    body.append(svg.line([(left, foot), (right, foot)], "g thin"))
    every = max(1, math.ceil(count * 62.0 / (right - left)))
    for k, week in enumerate(weeks):
        high = foot - (foot - base - 4) * week.nights / effort
        x0, x1 = middle[k] - 0.32 * step, middle[k] + 0.32 * step
        body.append(svg.area([(x0, high), (x1, high), (x1, foot), (x0, foot)], "g thin w-ear"))
        if k % every == 0:
            body.append(svg.text(middle[k], foot + 18, week.begins[5:], "mid t-s f-p"))
    body.append(svg.text((left + right) / 2, foot + 38, "weeks by their first day", "mid f-p"))
    told = f"Catch and effort in {len(weeks)} weeks"
    return svg.drawing(width, foot + 46, body, told)


def forest(part: Shrunk, width: float) -> str:
    """Rigs side by side: ring as counted, heavy upright and hatched 90 % band borrowing from all.

    Parameters
    ----------
    part : Shrunk
        Of the season book.
    width : float
        Of the drawing [px].

    """
    names = [row.rig for row in part.rows]
    wide = width >= 520.0
    gutter = min(max((svg.length_of(name) for name in names), default=60.0) + 16.0, 0.42 * width) if wide else 8.0
    left, right, step = gutter, width - 16.0, 34.0 if wide else 54.0
    points = [value for row in part.rows for value in (row.high, row.raw) if value is not None]
    most, parts = _scale(max(points, default=1.0))

    def across(value: float) -> float:
        return left + (right - left) * min(max(value / most, 0.0), 1.0)

    bottom = 34.0 + step * len(part.rows)
    body = [svg.text(0, 14, part.what, "f-p")]
    for k in range(parts + 1):
        x = left + (right - left) * k / parts
        body.append(svg.line([(x, 24), (x, bottom)], "g hair s-r"))
        body.append(svg.text(x, bottom + 18, _figure(most * k / parts), "mid t-s f-p"))
    for k, row in enumerate(part.rows):
        y = 34.0 + step * (k + 0.5) + (0.0 if wide else 10.0)
        body.append(svg.text(0, y + 5 if wide else y - 14, row.rig, ""))
        low, high = across(row.low), across(row.high)
        body.append(_box(low, high, y - 6, y + 6, "url(#h-band)", "g hair s-p"))
        body.append(svg.line([(across(row.mean), y - 10), (across(row.mean), y + 10)], "g heavy"))
        if row.raw is not None:
            body.append(f'<circle class="g inkw w-pap" cx="{svg.num(across(row.raw))}" cy="{svg.num(y)}" r="4.5"/>')
    return svg.drawing(width, bottom + 26, body, f"Rigs side by side: {part.what}")


def pan_drift(pans: Sequence[TrapReadings], width: float) -> str:
    """Trip force of every pan that was read more than once, against days since it was tuned.

    Parameters
    ----------
    pans : sequence of TrapReadings
        Of the season book.
    width : float
        Of the drawing [px].

    """
    gutter = 16.0 + max((svg.length_of(one.trap) for one in pans), default=30.0)
    left, right, top, bottom = 48.0, width - gutter, 30.0, 240.0
    forces = [[pull(value)[0] for value in one.force] for one in pans]
    most, parts = _scale(max((max(force) for force in forces), default=1.0))
    last, steps = _scale(max((max(one.days) for one in pans), default=1.0))

    def place(day: float, force: float) -> svg.Point:
        return left + (right - left) * day / last, bottom - (bottom - top) * force / most

    body = [svg.text(0, 14, f"pan trips at, {pull(0.0)[1]}", "f-p"), *_grid(left, right, top, bottom, most, parts)]
    for k in range(steps + 1):
        x = left + (right - left) * k / steps
        body.append(svg.line([(x, bottom), (x, bottom + 5)], "g thin"))
        body.append(svg.text(x, bottom + 20, _figure(last * k / steps), "mid f-p"))
    body.append(svg.text((left + right) / 2, bottom + 40, "days since the pan was tuned", "mid f-p"))
    ends = []
    for one, force in zip(pans, forces, strict=True):
        path = [place(day, value) for day, value in zip(one.days, force, strict=True)]
        body.append(svg.line(path, "g thin"))
        body += [svg.dot(x, y, "f-i") for x, y in path]
        ends.append(path[-1])
    if len(pans) <= 14:
        heights = svg.spread([y for _, y in ends], 15.0, top, bottom)
        for one, (x, y), height in zip(pans, ends, heights, strict=True):
            body.append(svg.line([(x, y), (right + 6, height)], "g hair s-p"))
            body.append(svg.text(right + 9, height + 5, one.trap, "t-s"))
    return svg.drawing(width, bottom + 48, body, f"Trip force of {len(pans)} pans over time")


def injury_bars(bars: Sequence[tuple[str, dict[str, int]]], width: float) -> str:
    """Worst trauma of held animals by rig, each bar with its n; what was not written is a dotted box.

    Parameters
    ----------
    bars : sequence of (str, dict of str to int)
        Of the season book.
    width : float
        Of the drawing [px].

    """
    left, right, step = 8.0, width - 64.0, 52.0
    most = max((sum(counts.values()) for _, counts in bars), default=1)
    body = [svg.text(0, 14, "held animals by their worst injury", "f-p")]
    y = 26.0
    for rig, counts in bars:
        total = sum(counts.values())
        body.append(svg.text(left, y + 14, rig, ""))
        x = left
        for word, (fill, _) in _TRAUMA.items():
            number = counts.get(word, 0)
            if not number:
                continue
            end = x + (right - left) * number / most
            body.append(_box(x, end, y + 20, y + 38, fill or "", "g thin dot" if fill is None else "g thin"))
            if end - x > 16:
                body.append(svg.text((x + end) / 2, y + 34, str(number), "mid t-s halo"))
            x = end
        body.append(svg.text(x + 8, y + 34, f"n = {total}", "t-s"))
        y += step
    body += _legend(bars, y + 6, width)
    rows = _rows_of_legend(bars, width)
    return svg.drawing(width, y + 18 + 24 * rows, body, "Injuries of held animals by rig")


def _words(bars: Sequence[tuple[str, dict[str, int]]]) -> list[tuple[str | None, str]]:
    seen = {word for _, counts in bars for word, number in counts.items() if number}
    return [part for word, part in _TRAUMA.items() if word in seen]


def _rows_of_legend(bars: Sequence[tuple[str, dict[str, int]]], width: float) -> int:
    return math.ceil(len(_words(bars)) / max(1, int(width // 150)))


def _legend(bars: Sequence[tuple[str, dict[str, int]]], y: float, width: float) -> list[str]:
    each = max(1, int(width // 150))
    body = []
    for k, (fill, words) in enumerate(_words(bars)):
        x, top = 8.0 + 150.0 * (k % each), y + 24.0 * (k // each)
        body.append(_box(x, x + 22, top, top + 14, fill or "", "g thin dot" if fill is None else "g thin"))
        body.append(svg.text(x + 28, top + 12, words, "t-s"))
    return body
