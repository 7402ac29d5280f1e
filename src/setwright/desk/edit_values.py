"""What is written into a field of a form, as it stands in the file, and back."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import Any

from ruamel.yaml.scalarstring import DoubleQuotedScalarString

from setwright.basis.errors import BadInput
from setwright.desk.edit_utm import EXAMPLE, grid_value, grid_words

UNKNOWN = object()
# Words and figures that some reader of YAML takes for something else than text.
TAKEN = re.compile(r"(?i)y|n|yes|no|on|off|true|false|null|~|[-+.\d:_]+|0x[0-9a-f]+|\d[\d_.]*e[-+]?\d+")
WAY = re.compile(
    r"(?P<first>[NSEW]?)\s*(?P<sign>[-−+]?)\s*(?P<deg>\d{1,3}(?:\.\d+)?)\s*[°d\s]?\s*"
    r"(?:(?P<min>\d{1,2}(?:\.\d+)?)\s*[′'m]?\s*(?:(?P<sec>\d{1,2}(?:\.\d+)?)\s*[″\"s]?\s*)?)?(?P<last>[NSEW]?)",
    re.IGNORECASE,
)


def text_value(text: str) -> Any:
    """Text as the file keeps it: quoted where it would be read as something else."""
    clean = text.strip("\n").strip()
    if TAKEN.fullmatch(clean) or "\n" in clean:
        return DoubleQuotedScalarString(clean)
    return clean


def quantity_value(text: str) -> Any:
    """A quantity as written in one line: `3.5 lbf`, or `3.5 lbf; 3.0 lbf to 4.0 lbf; three pulls with a scale`.

    The middle part may be `± 0.2 lbf` (one standard deviation), and either of the last two may be missing.
    """
    parts = [part.strip() for part in text.split(";", 2)]
    if len(parts) == 1:
        return text_value(parts[0])
    found: dict[str, Any] = {"value": text_value(parts[0])}
    rest = parts[1:]
    if rest[0].startswith(("±", "+-")):
        found["sd"] = text_value(rest.pop(0).lstrip("±+-").strip())
    elif " to " in rest[0] and rest[0][:1] in "-−+.0123456789½¼¾⅛⅜⅝⅞":
        low, _, high = rest.pop(0).partition(" to ")
        found |= {"low": text_value(low), "high": text_value(high)}
    if rest:
        found["source"] = text_value("; ".join(rest))
    return found


def quantity_words(found: Any) -> str:
    """A quantity of the file in one line, as `quantity_value` reads it."""
    if not isinstance(found, Mapping):
        return "" if found is None else str(found)
    parts = [str(found.get("value", ""))]
    if "sd" in found:
        parts.append(f"± {found['sd']}")
    elif "low" in found or "high" in found:
        parts.append(f"{found.get('low', found.get('value'))} to {found.get('high', found.get('value'))}")
    if "source" in found:
        parts.append(str(found["source"]))
    return "; ".join(parts)


def day_value(text: str) -> Any:
    """A day as a date of the file; what is none stays text, and the reader says so."""
    try:
        return dt.date.fromisoformat(text.strip())
    except ValueError:
        return text_value(text)


def clock_value(text: str) -> Any:
    """A time of day, quoted: unquoted it would be read as sixties."""
    return DoubleQuotedScalarString(text.strip())


def whole_value(text: str) -> Any:
    """A whole number; what is none stays text, and the reader says so."""
    try:
        return int(text.strip())
    except ValueError:
        return text_value(text)


def number_value(text: str) -> Any:
    """A plain number; what is none stays text, and the reader says so."""
    try:
        found = float(text.strip())
    except ValueError:
        return text_value(text)
    return int(found) if found.is_integer() and "." not in text else found


def names_value(text: str) -> list[Any]:
    """Names parted by commas."""
    return [text_value(part) for part in text.split(",") if part.strip()]


def position_value(text: str, field: str = "position") -> dict[str, float]:
    """A place on the map: `36.1062, -79.9421`, `36° 6.372' N 79° 56.526' W`, with seconds, or on the UTM grid.

    Raises
    ------
    BadInput
        When it is no place.
    """
    on_grid = grid_value(text, field)
    if on_grid is not None:
        return on_grid
    clean = text.strip().replace(",", " , ")
    halves = clean.split(" , ") if " , " in clean else _halves(clean)
    if len(halves) == 2:
        found = [_way(half.strip()) for half in halves]
        if None not in found:
            (a, a_axis), (b, b_axis) = (one for one in found if one is not None)
            if a_axis == "x" or b_axis == "y":
                (a, a_axis), (b, b_axis) = (b, b_axis), (a, a_axis)
            if a_axis in ("", "y") and b_axis in ("", "x") and abs(a) <= 90.0 and abs(b) <= 180.0:
                return {"latitude": round(a, 7), "longitude": round(b, 7)}
    raise BadInput(
        "this is no place on the map", field=field, found=text,
        allowed=f"latitude, longitude: 36.1062, -79.9421, 36° 6.372' N, 79° 56.526' W, or UTM: {EXAMPLE}",
    )  # fmt: skip


def _halves(text: str) -> list[str]:
    """The two halves of a position without a comma: parted after the first letter of the sky, or in the middle."""
    after = re.fullmatch(r"(.*?[NS])\s+(.*)", text, re.IGNORECASE)
    if after and text[:1].upper() not in "NSEW":
        return [after.group(1), after.group(2)]
    before = re.fullmatch(r"([NS].*?)\s+([EW].*)", text, re.IGNORECASE)
    if before:
        return [before.group(1), before.group(2)]
    return text.split() if len(text.split()) == 2 else [text]


def _way(text: str) -> tuple[float, str] | None:
    """Degrees of one half, and whether it says that it is a latitude (`y`) or a longitude (`x`)."""
    match = WAY.fullmatch(text)
    if match is None:
        return None
    part = match.groupdict()
    letter = (part["first"] or part["last"]).upper()
    if (part["first"] and part["last"]) or (letter and part["sign"]):
        return None
    minutes, seconds = float(part["min"] or 0.0), float(part["sec"] or 0.0)
    if minutes >= 60.0 or seconds >= 60.0 or (part["min"] and "." in part["deg"]):
        return None
    size = float(part["deg"]) + minutes / 60.0 + seconds / 3600.0
    down = part["sign"] in ("-", "−") or letter in ("S", "W")
    return (-size if down and part["sign"] != "+" else size), {"N": "y", "S": "y", "E": "x", "W": "x"}.get(letter, "")


def position_words(found: Any, *, grid: bool = False) -> str:
    """A place as it is typed, in degrees or on the UTM grid."""
    if not isinstance(found, Mapping):
        return ""
    latitude, longitude = found.get("latitude", ""), found.get("longitude", "")
    if grid and all(isinstance(one, (int, float)) for one in (latitude, longitude)):
        return grid_words(float(latitude), float(longitude))
    return f"{latitude}, {longitude}"
