"""Curves of a trap: push and leverage over the jaw angle, angle over time, grip over the thickness of a limb."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from setwright.basis.units import metric
from setwright.draw import svg
from setwright.draw.trap_axes import Axis, Curve, Kind, Plot, highest, keys, lines, plot_field
from setwright.draw.trap_frame import figure, refusal, sized

_INCH = 0.0254
_POUND = 4.4482216152605
_DEGREE = math.pi / 180.0
_TALL = 230.0
_UNDER = 48.0


@dataclass(frozen=True, slots=True)
class Grip:
    """The clamp interval over limbs, in SI.

    Parameters
    ----------
    name : str
        Such as `as it lies on the bench`.
    limb : [m]
        Thicknesses, rising.
    closing, opening : [N]
        Force at the bar as the eye creeps up, and as the jaws are forced apart; infinite opening: it locks; NaN: it
        is not held.
    kind : {"now", "before", "twin"}
        As in `Curve`.
    closing_low, opening_high : [N]
        Outer ends of the 90 % bands; empty where there are none.

    """

    name: str
    limb: tuple[float, ...]
    closing: tuple[float, ...]
    opening: tuple[float, ...]
    kind: Kind = "now"
    closing_low: tuple[float, ...] = ()
    opening_high: tuple[float, ...] = ()


def _force() -> tuple[str, float]:
    """Name and size of the unit of force."""
    return ("N", 1.0) if metric() else ("lbf (1 lbf is 4.45 N)", _POUND)


def _size() -> tuple[str, float]:
    """Name and size of the unit of length."""
    return ("mm", 0.001) if metric() else ("in", _INCH)


def push_curves(push: Sequence[Curve], leverage: Sequence[Curve], width: float, where: str = "at the eye") -> str:
    """Draw the push of the springs and the leverage of the eye against the jaw angle [rad].

    Parameters
    ----------
    push : sequence of Curve
        Points (angle, force [N]).
    leverage : sequence of Curve
        Points (angle, rise of the eye for a turn of the jaw [m/rad]).
    width : float [px]
        Width of the drawing.
    where : str
        Where the push is felt: `at the eye`, or `at the bar`.

    """
    title = f"Push {where} and leverage of the eye, against jaw angle"
    known = [curve for curve in (*push, *leverage) if curve.line]
    if not known or not push or not leverage:
        return refusal(width, title, "No curves: the springs are not known.")
    end = max(90.0 * _DEGREE, max(x for curve in known for x, _ in curve.line))
    across = Axis("jaw angle above the hinge line", _DEGREE, 0.0, end, "°")
    body: list[str] = []
    bottom = 0.0
    panels = (
        (push, f"push {where}, {_force()[0]}", _force()[1]),
        (leverage, f"leverage: rise of the eye for 10° of jaw, {_size()[0]}", _size()[1] / (10.0 * _DEGREE)),
    )
    every = [curve.name for curves, _, _ in panels for curve in curves]
    for curves, words, unit in panels:
        left, top, right, under, narrow = plot_field(width, every, bottom + 28.0, 0.75 * _TALL)
        up = Axis(words, unit, 0.0, _top_of_leverage(curves) if curves is leverage else 1.08 * highest(curves, unit))
        plot = Plot(across, up, left, top, right, under)
        body += [*plot.frame(), *lines(plot, curves, narrow)]
        bottom = under + _UNDER
        if narrow:
            listed, bottom = keys(curves, under + 38.0)
            body += listed
            bottom += 12.0
    said = (
        "Leverage is small while the jaws lie low and grows steeply as they close; the push falls with the springs."
    )
    return figure(width, bottom, body, title, said)


def _top_of_leverage(curves: Sequence[Curve]) -> float:
    """The leverage grows without bound at the upright: the field ends where the rest would look flat."""
    values = sorted(y for curve in curves for _, y in curve.line if math.isfinite(y))
    middle = values[len(values) // 2] if values else _INCH
    return min(values[-1] if values else _INCH, 6.0 * middle) * 1.05


def angle_curve(
    curves: Sequence[Curve],
    width: float,
    separation: svg.Point | None = None,
    closed: tuple[float, float, float] | None = None,
) -> str:
    """Draw jaw angle [rad] against time [s].

    Parameters
    ----------
    curves : sequence of Curve
        Points (time, angle); bands lie between their early and late edges.
    width : float [px]
        Width of the drawing.
    separation : (time, angle), optional
        Where the jaws begin to run ahead of the eye.
    closed : (median, low, high), optional
        Closing time and the ends of its band [s], written into the field.

    """
    title = "Jaw angle against time"
    points = [p for curve in curves for part in (curve.line, curve.upper, curve.lower) for p in part]
    if not points or not all(math.isfinite(x) for x, _ in points):
        return refusal(width, title, "No curve: as described the trap does not close.")
    names = [curve.name for curve in curves]
    left, top, right, bottom, narrow = plot_field(width, names, 30.0, _TALL)
    across = Axis("ms after the pan lets go", 0.001, 0.0, 1.04 * max(x for x, _ in points))
    up = Axis("jaw angle", _DEGREE, 0.0, max(104.0 * _DEGREE, 1.02 * max(y for _, y in points)), "°")
    plot = Plot(across, up, left, top, right, bottom)
    body = [*plot.frame(), *lines(plot, curves, narrow)]
    if separation is not None and all(math.isfinite(value) for value in separation):
        x, y = plot.at(separation)
        body.append(f'<circle class="g inkw w-pap apart" cx="{svg.num(x)}" cy="{svg.num(y)}" r="4.5"/>')
        words = "jaws run ahead" if narrow else "jaws run ahead of the eye"
        body.append(svg.line([(x - 4.0, y), (x - 14.0, y)], "g hair s-p"))
        body.append(svg.text(x - 17.0, y + 5.0, words, "halo end"))
    said = "The jaws rise slowly at first and fastest at the end."
    if closed is not None and math.isfinite(closed[0]):
        middle, low, high = (f"{value * 1000.0:.1f}" for value in closed)
        body.append(svg.text(right - 6.0, bottom - 30.0, f"closed at {middle} ms", "halo end t-b"))
        body.append(svg.text(right - 6.0, bottom - 12.0, f"{low} to {high}", "halo end f-p"))
        said += f" Closed at {middle} ms, 90 of 100 between {low} and {high}."
    under = bottom + _UNDER
    if narrow:
        listed, under = keys(curves, bottom + 40.0)
        body += listed
        under += 8.0
    return figure(width, under, body, title, said)


def clamp_curve(grips: Sequence[Grip], width: float, gap: float = 0.0) -> str:
    """Draw the clamp interval (closing to opening) against limb thickness; hatched upright where it locks.

    Parameters
    ----------
    grips : sequence of Grip
        As it lies on the bench, before its readings, and with a change.
    width : float [px]
        Width of the drawing.
    gap : float [m]
        Offset gap: a limb no thicker than this is not held.

    """
    title = "Grip at the bar against the thickness of what is held"
    held = [value for grip in grips for value in grip.closing if math.isfinite(value)]
    if not held or max(held) <= 0.0:
        return refusal(width, title, "No curve: as described nothing is held.")
    curves = [curve for grip in grips for curve in _edges(grip)]
    left, top, right, bottom, narrow = plot_field(width, [curve.name for curve in curves], 30.0, _TALL)
    across = Axis(
        f"thickness of the limb, {_size()[0]}", _size()[1], 0.0, max(x for grip in grips for x in grip.limb)
    )
    finite = [value for grip in grips for value in (*grip.opening, *grip.opening_high) if math.isfinite(value)]
    top_force = 1.08 * min(max([*finite, 1.5 * max(held)]), 6.0 * max(held))
    up = Axis(f"force at the bar, {_force()[0]}", _force()[1], 0.0, top_force)
    plot = Plot(across, up, left, top, right, bottom)
    body = plot.frame()
    for grip in grips:
        if grip.kind != "now":
            body += _band(plot, grip)
    for grip in grips:
        if grip.kind == "now":
            body += _lock(plot, grip, 42.0 if gap > 0.0 else 22.0)
    body += lines(plot, curves, narrow)
    if gap > 0.0:
        body += plot.upright(gap, f"gap {sized(gap)}: slides")
    under = bottom + _UNDER
    if narrow:
        listed, under = keys(curves, bottom + 40.0)
        body += listed
        under += 8.0
    said = "Closing: the least that the springs hold; opening: what forces the jaws apart; locked: nothing does."
    return figure(width, under, body, title, said)


def _edges(grip: Grip) -> list[Curve]:
    """Lines of one interval: the lower one closing, the upper one opening."""
    closing = tuple(zip(grip.limb, grip.closing, strict=True))
    opening = tuple(zip(grip.limb, grip.opening, strict=True))
    if grip.kind == "before":
        # Its closing line stands for the whole hatched interval: the name hangs on it.
        return [Curve(grip.name, closing, kind="before")]
    return [
        Curve(f"{grip.name}: closing", closing, kind=grip.kind),
        Curve(f"{grip.name}: opening", opening, kind=grip.kind),
    ]


def _band(plot: Plot, grip: Grip) -> list[str]:
    """The whole interval of one grip hatched, from the least closing to the greatest opening."""
    low = grip.closing_low or grip.closing
    high = grip.opening_high or grip.opening
    fill = "url(#h-band)" if grip.kind == "before" else "url(#h-band2)"
    return _hatched(plot, [(x, a, b) for x, a, b in zip(grip.limb, low, high, strict=True) if math.isfinite(a)], fill)


def _hatched(plot: Plot, rows: Sequence[tuple[float, float, float]], fill: str) -> list[str]:
    if len(rows) < 2:
        return []
    top = plot.up.end
    lower = [plot.at((x, min(a, top))) for x, a, _ in rows]
    upper = [plot.at((x, min(b, top) if not math.isnan(b) else top)) for x, _, b in rows]
    return [svg.area([*lower, *reversed(upper)], "band", fill)]


def _lock(plot: Plot, grip: Grip, lift: float) -> list[str]:
    """Where no force at the bar opens the jaws: upright hatching over the closing force, and the word."""
    rows = [
        (x, a, plot.up.end)
        for x, a, b in zip(grip.limb, grip.closing, grip.opening, strict=True)
        if math.isinf(b) and math.isfinite(a)
    ]
    if not rows:
        return []
    if len(rows) == 1:
        step = grip.limb[1] - grip.limb[0] if len(grip.limb) > 1 else 0.001
        rows = [rows[0], (rows[0][0] + 0.5 * step, rows[0][1], rows[0][2])]
    strokes = []
    x, end = plot.at((rows[0][0], 0.0))[0], plot.at((rows[-1][0], 0.0))[0]
    middle = 0.5 * (x + end)
    floor = [plot.at((limb, low)) for limb, low, _ in rows]
    while x <= end:
        strokes.append(f"M{svg.num(x)} {svg.num(svg.height_at(floor, x))}V{svg.num(plot.top + lift - 20.0)}")
        x += 5.0
    return [
        f'<path class="g hair lock" d="{"".join(strokes)}"/>',
        svg.text(max(middle, plot.left + 22.0), plot.top + lift, "locks", "mid halo t-b"),
    ]
