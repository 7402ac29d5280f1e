"""What a record without a single case leaves open, against the number of nights."""

from __future__ import annotations

import math

from setwright.draw import svg

HIGH, LEFT, BOTTOM, TOP = 250.0, 46.0, 204.0, 22.0
MOST, STEPS = 12.0, (20, 50, 100, 200, 500, 1000)
FIRST, LAST = 20.0, 1000.0


def none_seen_curve(nights: float, upper: float, width: float, level: float = 0.95) -> str:
    """Draw the upper limit of a share of which none was seen.

    Parameters
    ----------
    nights : float
        How many were looked at.
    upper : float
        The limit for that many, of 100.
    width : float
        Width [px].
    level : float
        Confidence of the one side.

    """
    right = width - 16.0

    def x(count: float) -> float:
        share = math.log(count / FIRST) / math.log(LAST / FIRST)
        return LEFT + (right - LEFT) * min(max(share, 0.0), 1.0)

    def y(value: float) -> float:
        return BOTTOM - (BOTTOM - TOP) * min(max(value / MOST, 0.0), 1.0)

    body = []
    for value in (0, 3, 6, 9, 12):
        body.append(svg.line([(LEFT, y(value)), (right, y(value))], "g hair s-r"))
        body.append(svg.text(LEFT - 8.0, y(value) + 5.0, f"{value}", "end"))
    for count in STEPS:
        body.append(svg.line([(x(count), BOTTOM), (x(count), BOTTOM + 6.0)], "g thin"))
        body.append(svg.text(x(count), BOTTOM + 22.0, f"{count}", "mid" if count < LAST else "end"))
    counts = [FIRST * (LAST / FIRST) ** (step / 80.0) for step in range(81)]
    limits = [100.0 * -math.expm1(math.log(1.0 - level) / count) for count in counts]
    shown = [(x(count), y(limit)) for count, limit in zip(counts, limits, strict=True) if limit <= MOST]
    under = [*shown, (right, BOTTOM), (shown[0][0], BOTTOM)]
    body.append(svg.area(under, fill="url(#h-band)"))
    body.append(svg.line(shown, "g heavy"))
    body.append(svg.line([(x(nights), y(0)), (x(nights), y(upper))], "g thin s-l"))
    body.append(f'<circle class="g inkw w-pap" cx="{svg.num(x(nights))}" cy="{svg.num(y(upper))}" r="5"/>')
    near_end = x(nights) > 0.6 * width
    side = svg.text(
        x(nights) + (-10.0 if near_end else 10.0), y(upper) - 16.0, f"up to {upper:.2g} of 100",
        f"t-b f-l halo{' end' if near_end else ''}",
    )  # fmt: skip
    body.append(side)
    body.append(svg.text(LEFT, 14.0, "dogs in 100 trap-nights that it leaves open", "f-p halo"))
    body.append(svg.text(right, BOTTOM + 42.0, "trap-nights without a dog", "f-p end"))
    told = f"No dog in {nights:g} trap-nights leaves up to {upper:.2g} in 100 open"
    return svg.drawing(width, HIGH + 4.0, body, told)
