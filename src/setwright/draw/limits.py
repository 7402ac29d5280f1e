"""Time to limit of one stop as a strip: heavy bar the limit, ring the planned visit, hatched the dark."""

from __future__ import annotations

from setwright.draw import svg

HIGH = 16.0


def limit_strip(
    width: float, span: tuple[float, float], visit: float, limit: float | None, light: tuple[float, float] | None
) -> str:
    """Draw one strip.

    Parameters
    ----------
    width : float
        Width [px].
    span : tuple of float
        First and last moment of the strip [s].
    visit, limit : float
        Planned begin and last lawful moment [s]; None where nothing binds.
    light : tuple of float or None
        Sunrise and sunset [s].

    """
    start, end = span

    def x(moment: float) -> float:
        return 6.0 + (width - 12.0) * min(1.0, max(0.0, (moment - start) / max(1.0, end - start)))

    body = [svg.line([(6.0, HIGH / 2), (width - 6.0, HIGH / 2)], "g hair s-r")]
    if light is not None:
        for a, b in ((start, light[0]), (light[1], end)):
            if b > a and x(b) > x(a):
                body.append(svg.line([(x(a), HIGH - 2.5), (x(b), HIGH - 2.5)], "g heavy s-r"))
    words = "planned visit"
    if limit is not None:
        beyond = limit > end
        place = x(limit)
        if beyond:
            body.append(svg.line([(place - 6, 4), (place, HIGH / 2), (place - 6, HIGH - 4)], "g inkw"))
        else:
            body.append(svg.line([(place, 0), (place, HIGH)], "g heavy"))
        words += ", then the limit"
    body.append(f'<circle class="g inkw w-pap" cx="{svg.num(x(visit))}" cy="{svg.num(HIGH / 2)}" r="4.5"/>')
    return svg.drawing(width, HIGH, body, words)
