"""What the readings taught of one figure: before them hatched, after them in line, on one scale."""

from __future__ import annotations

import math

from setwright.draw import svg
from setwright.draw.trap_frame import figure, refusal

Band = tuple[float, float, float]
_TALL = 40.0


def before_after(name: str, before: Band, after: Band, width: float, ends: tuple[float, float] | None = None) -> str:
    """Draw the band before the readings and the band after them.

    Parameters
    ----------
    name : str
        Of the figure; spoken, not drawn: its words stand beside the drawing.
    before, after : (median, low, high)
        In one unit; low and high are the ends of the 90 % band.
    width : float [px]
        Width of the drawing.
    ends : (low, high), optional
        Ends of the scale, moved out where a band reaches past them; by default a little past both bands.

    Returns
    -------
    str
        The drawing; when a band is not known, words in its place.

    """
    title = f"{name}, before and after the readings"
    values = (*before, *after)
    if not all(math.isfinite(value) for value in values):
        return refusal(width, title, "Not known.")
    low, high = min(values), max(values)
    margin = 0.08 * (high - low)
    low, high = (low - margin, high + margin) if ends is None else (min(low, ends[0]), max(high, ends[1]))
    span = high - low if high > low else 1.0

    def at(value: float) -> float:
        return 4.0 + (width - 8.0) * (value - low) / span

    left, right = at(before[1]), at(before[2])
    body = [svg.line([(4.0, 30.0), (width - 4.0, 30.0)], "g hair s-r")]
    body.append(svg.area([(left, 12.0), (right, 12.0), (right, 30.0), (left, 30.0)], "before", "url(#h-band)"))
    body.append(svg.line([(at(before[0]), 12.0), (at(before[0]), 30.0)], "g thin dash"))
    body.append(svg.level_line(20.0, [at(after[1]), at(after[2])], "g inkw after"))
    body.append(svg.line([(at(after[0]), 5.0), (at(after[0]), 35.0)], "g heavy median"))
    share = (after[2] - after[1]) / (before[2] - before[1]) if before[2] > before[1] else 1.0
    said = f"The band after the readings is {100.0 * share:.0f} % as wide as the band before them."
    return figure(width, _TALL, body, title, said)
