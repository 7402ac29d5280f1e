"""Sentences and figures in the user's words and units."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from setwright.basis import units
from setwright.basis.errors import BadInput
from setwright.basis.say import Say
from setwright.basis.source import Quantity

if TYPE_CHECKING:
    from setwright.desk.document import Triple

# A template cannot know whether the word that fills it begins with a vowel.
_ARTICLE = re.compile(r"\b([Aa]) ([aeioAEIO])")
_FIELD = re.compile(r"\{(\w+):(\w+)\}")


def render(say: Say | None) -> str:
    """Put a sentence into words: every number in field units, None as an empty string."""
    if say is None:
        return ""
    values = dict(say.values)
    text = _FIELD.sub(lambda match: show(values[match.group(1)], match.group(2)), say.template)
    return _ARTICLE.sub(r"\1n \2", text)


def show(value: Any, kind: str) -> str:
    """One value of a kind of `basis.say.KINDS` as text; what is not a number is a dash."""
    if kind == "word":
        return str(value)
    if kind == "say":
        return render(value)
    if kind == "clock":
        return clock(value)
    number = float(value)
    if math.isnan(number):
        return "–"
    if math.isinf(number):
        return "no limit"
    return _SHOW[kind](number)


def clock(moment: datetime) -> str:
    """Day and time on the field: Wed 9 Dec 07:40."""
    return f"{moment:%a} {moment.day} {moment:%b %H:%M}"


def day_of(text: str | None, field: str) -> date | None:
    """A day as it is typed, 2026-12-20; BadInput names the field when it is none."""
    try:
        return None if text is None else date.fromisoformat(text)
    except ValueError:
        raise BadInput("not a day", field=field, found=text, allowed="a day such as 2026-12-20") from None


def share(value: float) -> str:
    """A probability with no more digits than it bears."""
    if math.isnan(value):
        return "–"
    if 0 < value < 0.005:
        return "<0.01"
    if 0.995 < value < 1:
        return ">0.99"
    return f"{value:.2f}".replace("-", "−")


def plain(value: float) -> str:
    """A plain number to two or three figures."""
    if math.isnan(value):
        return "–"
    if value == 0:
        return "0"
    if abs(value) < 0.01:
        return "<0.01" if value > 0 else ">−0.01"
    digits = 2 if abs(value) < 1 else 1 if abs(value) < 10 else 0
    return f"{value:.{digits}f}".replace("-", "−")


def hours(value: float) -> str:
    """A span of hours: 17 h 20."""
    if math.isnan(value):
        return "–"
    sign = "−" if value < 0 else ""
    whole, part = divmod(round(abs(value) * 60), 60)
    return f"{sign}{whole} h {part:02d}" if part else f"{sign}{whole} h"


def distance(metres: float) -> str:
    """A distance on the map: feet near by, miles farther off; metres and kilometres where those are shown."""
    if units.metric():
        return f"{metres:.0f} m" if metres < 1000.0 else f"{metres / 1000.0:.1f} km"
    if metres < 305:
        return f"{metres / 0.3048:.0f} ft"
    if metres < 805:
        return f"{metres / 0.9144:.0f} yd"
    return f"{metres / 1609.344:.1f} mi"


def _time(seconds: float) -> str:
    if abs(seconds) < 5400:
        return f"{seconds / 60:.0f} min"
    return hours(seconds / 3600.0)


def _torque(value: float) -> str:
    return f"{value:.1f} N m".replace("-", "−")


_SHOW: dict[str, Callable[[float], str]] = {
    "length": units.feet,
    "distance": distance,
    "force": units.pounds_force,
    "mass": units.pounds,
    "temperature": units.fahrenheit,
    "share": share,
    "number": plain,
    "count": lambda value: f"{value:.0f}",
    "time": _time,
    "hours": hours,
    "short_time": lambda value: f"{value * 1000:.0f} ms".replace("-", "−"),
    "pressure": lambda value: f"{value / 1000:.0f} kPa".replace("-", "−"),
    "torque": _torque,
    "speed": lambda value: f"{value * 3.6:.0f} km/h" if units.metric() else f"{value / 0.44704:.0f} mph",
    "volume": lambda value: f"{value * 1000.0:.1f} L" if units.metric() else f"{value / 0.003785411784:.1f} gal",
    "angle": lambda value: f"{math.degrees(value):.0f}°".replace("-", "−"),
    "fine_length": lambda value: f"{value * 1000:.1f} mm",
    "ratio": lambda value: f"{value:.2f}",
    "percent": lambda value: f"{100.0 * value:.0f} %",
    "metres_a_second": lambda value: f"{value:.1f} m/s".replace("-", "−"),
    "momentum": lambda value: f"{value:.2f} N s".replace("-", "−"),
    "energy": lambda value: f"{value:.1f} J".replace("-", "−"),
    "megapascals": lambda value: f"{value / 1e6:.0f} MPa",
    "rate": lambda value: f"{value / 1000.0:.2f} N/mm" if units.metric() else f"{value / 175.126835:.1f} lbf/in",
    "turning_rate": lambda value: f"{value:.1f} N m/rad",
}


def springs_of(family: str, count: int) -> str:
    """Springs in the trade's words."""
    if family == "coil":
        return f"{count} coils"
    return "single spring" if count == 1 else "two springs"


def trip_words(force: Quantity) -> str:
    """Trip force in words, or that it was not read."""
    return "not read" if force.value is None else units.pounds_force(force.value)


def with_band(middle: float, low: float, high: float, kind: str) -> str:
    """Median with its band, the unit said once: 13 ms (10 to 17); what has no limit is named by `no limit`."""
    text, *ends = (show(value, kind) for value in (middle, low, high))
    if ends[0] == ends[1]:
        return text
    return f"{text} ({_shared_unit(ends[0], ends[1], text)} to {_shared_unit(ends[1], ends[1], text)})"


def _shared_unit(words: str, other: str, text: str) -> str:
    """Words without the unit that all share."""
    number, _, unit = words.partition(" ")
    shared = unit and all(one.partition(" ")[2] == unit for one in (other, text))
    return number if shared and number[-1:].isdigit() else words


def band_words(triple: Triple, kind: str) -> str:
    """The 90 % band of a triple as text, without the median."""
    _, low, high = triple
    if low is None or high is None:
        return ""
    return f"{show(low, kind)}–{show(high, kind)}"


def sentence(text: str) -> str:
    """A sentence with its first letter raised and a full stop."""
    text = text.strip()
    if not text:
        return ""
    text = text[0].upper() + text[1:]
    return text if text[-1] in ".?!" else text + "."
