"""The trip force curve: chance to fire, of 100 feet on the pan, against the pan trip force."""

from __future__ import annotations

from typing import TYPE_CHECKING

from setwright.basis.units import convert
from setwright.draw import svg

if TYPE_CHECKING:
    from setwright.desk.document import CurveSeries, TripCurve

_PHONE = 400.0


def _kept(series: CurveSeries) -> bool:
    return bool({"protected", "pet", "person"} & set(series.roles))


def _line(series: CurveSeries, index: int) -> str:
    if "target" in series.roles:
        return "g heavy"
    return "g inkw s-l dash" if _kept(series) else ("g inkw" if index % 2 else "g inkw dash")


def curve_keys(curve: TripCurve) -> list[tuple[str, str]]:
    """Letters that the narrow cut puts at the ends of the lines, with the names that they stand for."""
    return [(chr(ord("A") + index), series.name) for index, series in enumerate(curve.series)]


def curve(part: TripCurve, width: float, letters: bool | None = None) -> str:
    """Draw the curve of each animal with its band, its name at the end, and the user's trip force as an upright."""
    narrow = width < _PHONE if letters is None else letters
    names = [letter for letter, _ in curve_keys(part)] if narrow else [series.name for series in part.series]
    gutter = 16.0 + max((svg.length_of(name) for name in names), default=0.0)
    left, right, top = 40.0, width - gutter, 30.0
    bottom = top + min((right - left) * 0.86, 270.0)
    force = [convert(value, "N", "lbf") for value in part.force]
    end = max(force[-1] if force else 1.0, 1e-6)

    def across(value: float) -> float:
        return left + (right - left) * min(max(value / end, 0.0), 1.0)

    def up(share: float) -> float:
        return bottom - (bottom - top) * share

    body = [svg.text(0, 14, "fires, of 100 feet on the pan", "f-p")]
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        body.append(svg.line([(left, up(share)), (right, up(share))], "g hair s-r"))
        body.append(svg.text(left - 8, up(share) + 5, f"{100 * share:.0f}", "end f-p"))
    step = next((step for step in (0.5, 1.0, 2.0, 5.0, 10.0) if end / step <= (6 if narrow else 9)), 20.0)
    tick = 0
    while tick * step <= end * 1.0001:
        place = across(tick * step)
        body.append(svg.line([(place, bottom), (place, bottom + 5)], "g thin"))
        body.append(svg.text(place, bottom + 21, f"{tick * step:g}", "mid f-p"))
        tick += 1
    body.append(svg.text((left + right) / 2, bottom + 40, "pan trip force, lbf", "mid f-p"))
    if part.advised is not None:
        low, high = (across(convert(value, "N", "lbf")) for value in part.advised)
        body.append(svg.line([(low, bottom - 3), (high, bottom - 3)], "g", ' stroke-width="6"'))
    for index, series in enumerate(part.series):
        shape = [(across(x), up(y)) for x, y in zip(force, series.high, strict=True)]
        shape += [(across(x), up(y)) for x, y in reversed(list(zip(force, series.low, strict=True)))]
        body.append(svg.area(shape, "", f"url(#{'h-band2' if index % 2 else 'h-band'})"))
    ends = svg.spread([up(series.median[-1]) for series in part.series], 18.0, top, bottom)
    for index, (series, name) in enumerate(zip(part.series, names, strict=True)):
        path = [(across(x), up(y)) for x, y in zip(force, series.median, strict=True)]
        body.append(svg.line(path, _line(series, index)))
        body.append(svg.line([(right, path[-1][1]), (right + 8, ends[index])], "g hair s-p"))
        classes = "t-b" if "target" in series.roles else ("f-l" if _kept(series) else "")
        body.append(svg.text(right + 11, ends[index] + 5, name, classes))
    median, low_yours, high_yours = (None if v is None else convert(v, "N", "lbf") for v in part.yours)
    if median is not None:
        place = across(median)
        body.append(svg.line([(place, top - 6), (place, bottom)], "g thin"))
        if low_yours is not None and high_yours is not None:
            body.append(svg.level_line(top - 6, [across(low_yours), across(high_yours)]))
        for series in part.series:
            hit = _at(force, series.median, median)
            body.append(f'<circle class="f-i" cx="{svg.num(place)}" cy="{svg.num(up(hit))}" r="3"/>')
        flip = place > (left + right) / 2
        body.append(
            svg.text(place + (-6 if flip else 6), bottom - 14, f"yours: {median:.1f}", "halo t-b" + " end" * flip)
        )
    return svg.drawing(
        width, bottom + 46, body, "Chance that a foot on the pan fires the trap, against pan trip force"
    )


def _at(xs: list[float], ys: list[float], x: float) -> float:
    return svg.height_at(list(zip(xs, ys, strict=True)), x)
