"""One chart on plain axes: median heavy, band hatched, before hatched and after in line, names at the line's end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from setwright.draw import svg
from setwright.draw.trap_frame import LINE

Kind = Literal["now", "before", "twin"]
_PHONE = 420.0


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of a chart, in SI.

    Parameters
    ----------
    name : str
        Stands at the end of the line.
    line : sequence of points
        The median.
    lower, upper : sequence of points
        Edges of the 90 % band, empty where there is none.
    kind : {"now", "before", "twin"}
        As it lies on the bench (after the readings, where there are any); before the readings; with one change.

    """

    name: str
    line: tuple[svg.Point, ...]
    lower: tuple[svg.Point, ...] = ()
    upper: tuple[svg.Point, ...] = ()
    kind: Kind = "now"


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: words with the unit, what one unit is in SI, and its ends in SI."""

    words: str
    unit: float
    start: float
    end: float
    mark: str = ""


class Plot:
    """A field of a drawing with its two axes.

    Parameters
    ----------
    across, up : Axis
        The axes.
    left, top, right, bottom : [px]
        Edges of the field.

    """

    def __init__(self, across: Axis, up: Axis, left: float, top: float, right: float, bottom: float) -> None:
        self.across, self.up = across, up
        self.left, self.top, self.right, self.bottom = left, top, right, bottom

    def at(self, point: svg.Point) -> svg.Point:
        """Place of a point in SI [px]."""
        x = self.left + (self.right - self.left) * (point[0] - self.across.start) / (
            self.across.end - self.across.start
        )
        y = self.bottom - (self.bottom - self.top) * (point[1] - self.up.start) / (self.up.end - self.up.start)
        return x, y

    def path(self, line: Sequence[svg.Point]) -> list[list[svg.Point]]:
        """Stretches of a line that lie in the field [px], cut where it leaves through the top or is not known."""
        runs: list[list[svg.Point]] = [[]]
        known = [p if math.isfinite(p[0]) and math.isfinite(p[1]) else None for p in line]
        for index, point in enumerate(known):
            before = known[index - 1] if index else None
            if point is None:
                runs.append([])
                continue
            inside = point[1] <= self.up.end
            if before is not None and (before[1] <= self.up.end) != inside:
                share = (self.up.end - before[1]) / (point[1] - before[1])
                cut = (before[0] + share * (point[0] - before[0]), self.up.end)
                runs[-1].append(self.at(cut))
                if not inside:
                    runs.append([])
            if inside:
                runs[-1].append(self.at(point))
        return [run for run in runs if len(run) > 1]

    def frame(self) -> list[str]:
        """Hairs, ticks, figures and the words of both axes."""
        body = [svg.text(0.0, self.top - 14.0, self.up.words, "f-p")]
        for value in ticks(self.up, 4):
            y = self.at((self.across.start, value))[1]
            body.append(svg.line([(self.left, y), (self.right, y)], "g hair s-r"))
            body.append(svg.text(self.left - 7.0, y + 5.0, _figure(value, self.up), "end f-p"))
        body.append(svg.line([(self.left, self.bottom), (self.right, self.bottom)], "g thin"))
        room = max(int((self.right - self.left) // 44.0), 2)
        for value in ticks(self.across, min(room, 8)):
            x = self.at((value, self.up.start))[0]
            body.append(svg.line([(x, self.bottom), (x, self.bottom + 5.0)], "g thin"))
            body.append(svg.text(x, self.bottom + 20.0, _figure(value, self.across), "mid f-p"))
        body.append(svg.text(0.5 * (self.left + self.right), self.bottom + 38.0, self.across.words, "mid f-p"))
        return body

    def upright(self, value: float, words: str, classes: str = "g thin s-l") -> list[str]:
        """A line across the field at a value of the level axis, with its words at the top, inside the field."""
        x = self.at((value, self.up.start))[0]
        flip = x + 6.0 + svg.length_of(words) > self.right
        said = svg.text(x - 5.0 if flip else x + 5.0, self.top + 13.0, words, "halo f-l end" if flip else "halo f-l")
        return [svg.line([(x, self.top), (x, self.bottom)], classes), said]


def ticks(axis: Axis, most: int) -> list[float]:
    """Round values of an axis, in SI, at most `most` steps apart."""
    low, high = axis.start / axis.unit, axis.end / axis.unit
    span = high - low
    scale = 10.0 ** math.floor(math.log10(span / most))
    steps = [15.0, 30.0, 45.0, 90.0] if axis.mark == "°" else [scale * k for k in (1.0, 2.0, 2.5, 5.0, 10.0, 20.0)]
    step = next((step for step in steps if span / step <= most), steps[-1])
    first = math.ceil(low / step - 1e-9)
    return [k * step * axis.unit for k in range(first, math.floor(high / step + 1e-9) + 1)]


def _figure(value: float, axis: Axis) -> str:
    return f"{value / axis.unit:.4g}{axis.mark}".replace("-", "−")


def plot_field(
    width: float, names: Sequence[str], top: float, tall: float
) -> tuple[float, float, float, float, bool]:
    """Left, top, right and bottom of a field, and whether names are letters with a list beneath."""
    narrow = width < _PHONE
    longest = max((svg.length_of(name) for name in names), default=0.0)
    gutter = 22.0 if narrow else 16.0 + longest
    left, right = 44.0, width - gutter
    return left, top, right, top + min(tall, 0.75 * (right - left)), narrow


def lines(plot: Plot, curves: Sequence[Curve], narrow: bool, first: str = "A") -> list[str]:
    """Bands, lines and names of the curves; the last point in the field carries the name."""
    body: list[str] = []
    before = any(curve.kind == "before" for curve in curves)
    for curve in curves:
        shape = [run for run in (plot.path(curve.lower), plot.path(curve.upper)) if run]
        if len(shape) == 2 and (curve.kind != "now" or not before):
            low, high = [p for run in shape[0] for p in run], [p for run in shape[1] for p in run]
            fill = "url(#h-band2)" if curve.kind == "twin" else "url(#h-band)"
            body.append(svg.area([*low, *reversed(high)], "band", fill))
        elif len(shape) == 2:
            body += [svg.line(run, "g thin edge") for part in shape for run in part]
    ends = []
    for curve in curves:
        style = {"now": "g heavy", "before": "g thin dash", "twin": "g inkw dash"}[curve.kind]
        runs = plot.path(curve.line)
        body += [svg.line(run, f"{style} line") for run in runs]
        ends.append(runs[-1][-1] if runs else (plot.right, plot.bottom))
    # Of lines that end level, the one that ends first is named above, so that no leader crosses another line.
    level = [sum(abs(y - other) < 2.0 and there > x for there, other in ends) for x, y in ends]
    wanted = [y - (LINE + 1.0) * count for (_, y), count in zip(ends, level, strict=True)]
    places = svg.spread(wanted, LINE + 1.0, plot.top - 10.0, plot.bottom)
    for index, (curve, end, y) in enumerate(zip(curves, ends, places, strict=True)):
        name = chr(ord(first) + index) if narrow else curve.name
        body.append(svg.line([end, (plot.right + 8.0, y)], "g hair s-p"))
        body.append(svg.text(plot.right + 11.0, y + 5.0, name, "t-b" if curve.kind == "now" else ""))
    return body


def keys(curves: Sequence[Curve], y: float, first: str = "A") -> tuple[list[str], float]:
    """The letters of a narrow chart with their names, beneath it; also the lower edge of the list."""
    body = []
    for index, curve in enumerate(curves):
        y += LINE + 2.0
        body.append(svg.text(0.0, y, chr(ord(first) + index), "t-b"))
        body.append(svg.text(18.0, y, curve.name))
    return body, y


def highest(curves: Sequence[Curve], least: float) -> float:
    """The highest known value of the curves and their bands, at least `least`."""
    values = [y for curve in curves for part in (curve.line, curve.upper, curve.lower) for _, y in part]
    return max([least, *(value for value in values if math.isfinite(value))])
