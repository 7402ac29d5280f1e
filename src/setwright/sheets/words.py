"""Words for figures that the sheets print: shares, bands, clock times, distances."""

from __future__ import annotations

import math
from datetime import datetime

from setwright.basis.units import along, inches, pounds, pull

Triple = tuple[float | None, float | None, float | None]


def share(value: float | None) -> str:
    """A chance with as many decimals as it needs, a dash when unknown."""
    if value is None or not math.isfinite(value):
        return "–"
    if value == 0.0 or value >= 0.095:
        return f"{value:.2f}"
    if value < 0.0005:
        return "< 0.001"
    return f"{value:.3f}" if value < 0.0095 else f"{value:.2f}"


def band(low: float | None, high: float | None) -> str:
    """A 90 % band of chances."""
    if low is None or high is None:
        return "no figure"
    return f"{share(low)}–{share(high)}"


def gain(value: float | None) -> str:
    """A difference of two chances with its sign."""
    if value is None or not math.isfinite(value):
        return "–"
    sign = "+" if value > 0 else "−" if value < 0 else ""
    return f"{sign}{share(abs(value))}"


def signed(change: Triple) -> str:
    """A difference in waits of a hundred with its sign and band."""
    if any(value is None for value in change):
        return "cannot tell"
    middle, low, high = (f"{value:+.1f}".replace("-", "−") for value in change if value is not None)
    return f"{middle} ({low} to {high})"


def day(moment: str) -> str:
    """A date or a moment as 'Wed 18 Nov 2026'."""
    read = datetime.fromisoformat(moment)
    return f"{read:%a} {read.day} {read:%b %Y}"


def clock(moment: str | None) -> str:
    """A moment as 'Wed 18 Nov, 06:40'."""
    if moment is None:
        return "not known"
    read = datetime.fromisoformat(moment)
    return f"{read:%a} {read.day} {read:%b}, {read:%H:%M}"


def hour(moment: str | None) -> str:
    """A moment as '06:40'."""
    return "–" if moment is None else f"{datetime.fromisoformat(moment):%H:%M}"


def hours(value: float | None) -> str:
    """Hours left, to a tenth below ten."""
    if value is None or not math.isfinite(value):
        return "not known"
    text = f"{value:.1f}" if abs(value) < 10 else f"{value:.0f}"
    return f"{text.replace('-', '−')} h"


def leg(metres: float | None, bearing: float | None) -> str:
    """Distance and bearing of a leg, a dash where positions are left out."""
    return "–" if metres is None or bearing is None else f"{miles(metres)}, {bearing:.0f}°"


def miles(metres: float | None) -> str:
    """A distance along the line, a dash where positions are left out."""
    if metres is None:
        return "–"
    value, unit = along(metres)
    return f"{value:.2f} {unit}" if value < 10 else f"{value:.0f} {unit}"


def count(value: float) -> str:
    """A count without useless decimals."""
    return f"{value:g}"


def mass(value: float | None) -> str:
    """A mass in pounds, a dash when unknown."""
    return "–" if value is None else pounds(value)


def depth(value: float) -> str:
    """A term of the depth sum in inches."""
    return inches(value, 2)


def force(value: float) -> str:
    """A trip force in pounds, to the hundredth where it has one."""
    number, unit = pull(value)
    return f"{round(number, 2):g} {unit}"


def tally(triple: Triple) -> str:
    """How many in 100 nights, with the 90 % band."""
    middle, low, high = triple
    if middle is None or low is None or high is None:
        return "–"
    return f"{_number(middle)} ({_number(low)} to {_number(high)})"


def _number(value: float) -> str:
    return f"{value:.0f}" if value >= 9.95 else f"{value:.1f}" if value >= 0.05 else "< 0.1"
