"""The trip force curves: chance to fire, of 100 feet on the pan, and what 100 nights bring, against trip force."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from setwright.basis.units import pull
from setwright.draw import svg

if TYPE_CHECKING:
    from setwright.desk.document import CurveSeries, TripCurve

_PHONE = 400.0
_TOPS = (0.2, 0.4, 1.0, 2.0, 4.0, 6.0, 8.0, 12.0, 16.0, 20.0, 24.0, 32.0, 40.0, 60.0, 80.0)


@dataclass(frozen=True, slots=True)
class _Scale:
    """Axes of one chart: force to pixels along, value to pixels up."""

    left: float
    right: float
    top: float
    bottom: float
    end: float
    most: float

    def across(self, force: float) -> float:
        return self.left + (self.right - self.left) * min(max(force / self.end, 0.0), 1.0)

    def up(self, value: float) -> float:
        return self.bottom - (self.bottom - self.top) * min(max(value / self.most, 0.0), 1.0)

    def path(self, forces: Sequence[float], values: Sequence[float]) -> list[svg.Point]:
        return [(self.across(x), self.up(y)) for x, y in zip(forces, values, strict=True)]


def curve_keys(curve: TripCurve) -> list[tuple[str, str]]:
    """Letters that the narrow cut puts at the ends of the lines, with the names that they stand for."""
    return [(chr(ord("A") + index), series.name) for index, series in enumerate(curve.series)]


def curve(part: TripCurve, width: float, letters: bool | None = None, tallest: float = 270.0) -> str:
    """Draw the chance to fire of each animal with its band, its name at the end, and the user's pan as an upright."""
    return _chart(
        part,
        part.series,
        100.0,
        "fires, of 100 feet on the pan",
        "Chance that a foot on the pan fires the trap, against pan trip force",
        width=width,
        letters=letters,
        tallest=tallest,
        scale=100.0,
        bands=True,
    )


def nights(part: TripCurve, width: float, letters: bool | None = None, tallest: float = 270.0) -> str:
    """Draw the target held and the firings by each other animal in 100 nights; the band is that of the target."""
    lines = [*([] if part.catch is None else [part.catch]), *part.others]
    peak = max(
        [0.01, *(max(line.high if line is part.catch else line.median, default=0.0) for line in lines)], default=0.01
    )
    most = next((top for top in _TOPS if top >= peak), 100.0)
    return _chart(
        part,
        lines,
        most,
        "in 100 nights: target held, others firing",
        "Target held and firings by others in 100 nights, against pan trip force",
        width=width,
        letters=letters,
        tallest=tallest,
        scale=1.0,
        bands=False,
    )


def _chart(
    part: TripCurve,
    lines: Sequence[CurveSeries],
    most: float,
    above: str,
    title: str,
    *,
    width: float,
    letters: bool | None,
    tallest: float,
    scale: float,
    bands: bool,
) -> str:
    narrow = width < _PHONE if letters is None else letters
    order = {series.species: index for index, series in enumerate(part.series)}
    keys = {series.species: letter for series, (letter, _) in zip(part.series, curve_keys(part), strict=True)}
    names = [keys.get(line.species, _short(line.name)) if narrow else _short(line.name) for line in lines]
    gutter = 16.0 + max((svg.length_of(name) for name in names), default=0.0)
    force = [pull(value)[0] for value in part.force]
    left, right, top = 40.0, width - gutter, 30.0
    at = _Scale(
        left, right, top, top + min((right - left) * 0.86, tallest), max(force[-1] if force else 1.0, 1e-6), most
    )
    body = [
        f"<desc>{escape(_told(part, lines, scale))}</desc>",
        svg.text(0, 14, above, "f-p"),
        *_axes(at, narrow),
    ]
    if part.advised is not None:
        low, high = (at.across(pull(value)[0]) for value in part.advised)
        body.append(svg.line([(low - 1.5, at.bottom - 3), (high + 1.5, at.bottom - 3)], "g", ' stroke-width="6"'))
    for line in lines:
        if bands or line is part.catch:
            shape = at.path(force, [scale * value for value in line.high])
            shape += reversed(at.path(force, [scale * value for value in line.low]))
            fill = "h-band" if _is_target(part, line) or order.get(line.species, 0) % 2 == 0 else "h-band2"
            body.append(svg.area(shape, "", f"url(#{fill})"))
    body += _ends(part, at, force, lines, names, order, scale)
    body += _yours(part, at, force, lines, scale, low=bands)
    return svg.drawing(width, at.bottom + 46, body, title)


def _axes(at: _Scale, narrow: bool) -> list[str]:
    body = []
    for part in (0.0, 0.25, 0.5, 0.75, 1.0):
        value = at.most * part
        body.append(svg.line([(at.left, at.up(value)), (at.right, at.up(value))], "g hair s-r"))
        body.append(svg.text(at.left - 8, at.up(value) + 5, f"{value:.3g}", "end f-p"))
    fits = (step for step in (0.2, 0.5, 1.0, 2.0, 5.0, 10.0) if at.end / step <= (6 if narrow else 9))
    step = next(fits, 20.0)
    tick = 0
    while tick * step <= at.end * 1.0001:
        place = at.across(tick * step)
        body.append(svg.line([(place, at.bottom), (place, at.bottom + 5)], "g thin"))
        body.append(svg.text(place, at.bottom + 21, f"{tick * step:g}", "mid f-p"))
        tick += 1
    body.append(svg.text((at.left + at.right) / 2, at.bottom + 40, f"pan trip force, {pull(0.0)[1]}", "mid f-p"))
    return body


def _ends(
    part: TripCurve,
    at: _Scale,
    force: Sequence[float],
    lines: Sequence[CurveSeries],
    names: Sequence[str],
    order: dict[str, int],
    scale: float,
) -> list[str]:
    """The medians with their names at the line's end."""
    body = []
    heights = svg.spread([at.up(scale * line.median[-1]) for line in lines], 18.0, at.top, at.bottom)
    for line, name, height in zip(lines, names, heights, strict=True):
        path = at.path(force, [scale * value for value in line.median])
        body.append(svg.line(path, _stroke(line, order.get(line.species, 0), target=_is_target(part, line))))
        body.append(svg.line([(at.right, path[-1][1]), (at.right + 8, height)], "g hair s-p"))
        classes = "t-b" if _is_target(part, line) else ("f-l" if _kept(line) else "")
        body.append(svg.text(at.right + 11, height + 5, name, classes))
    return body


def _yours(
    part: TripCurve,
    at: _Scale,
    force: Sequence[float],
    lines: Sequence[CurveSeries],
    scale: float,
    *,
    low: bool,
) -> list[str]:
    """The user's pan as an upright with its scatter, and a dot where it meets each line."""
    median, least, most = (None if value is None else pull(value)[0] for value in part.yours)
    if median is None:
        return []
    place = at.across(median)
    body = [svg.line([(place, at.top - 6), (place, at.bottom)], "g thin")]
    if least is not None and most is not None:
        body.append(svg.level_line(at.top - 6, [at.across(least), at.across(most)]))
    for line in lines:
        hit = svg.height_at(list(zip(force, line.median, strict=True)), median)
        body.append(f'<circle class="f-i" cx="{svg.num(place)}" cy="{svg.num(at.up(scale * hit))}" r="3"/>')
    flip = place > (at.left + at.right) / 2
    words = f"yours: {round(median, 2):g}"
    height = at.bottom - 14 if low else at.top + 14
    body.append(svg.text(place + (-6 if flip else 6), height, words, "halo t-b" + " end" * flip))
    return body


def _told(part: TripCurve, lines: Sequence[CurveSeries], scale: float) -> str:
    """What the chart shows, in words, for whoever hears it."""
    if not lines or not part.force:
        return "No line is drawn."
    ends = [pull(part.force[place])[0] for place in (0, -1)]
    told = [f"{line.name}: {scale * line.median[0]:.3g} to {scale * line.median[-1]:.3g}" for line in lines]
    return f"From {ends[0]:g} to {ends[1]:g} {pull(0.0)[1]}. {'; '.join(told)}."


def _short(name: str) -> str:
    """A name without its bracket, which the plot needs the room of."""
    return name.split(" (")[0]


def _kept(series: CurveSeries) -> bool:
    return bool({"protected", "pet", "person"} & set(series.roles))


def _is_target(part: TripCurve, line: CurveSeries) -> bool:
    """An animal that may be a target elsewhere is none here."""
    return part.catch is not None and line.species == part.catch.species


def _stroke(series: CurveSeries, index: int, *, target: bool) -> str:
    if target:
        return "g heavy"
    return "g inkw s-l dash" if _kept(series) else ("g inkw" if index % 2 else "g inkw dash")
