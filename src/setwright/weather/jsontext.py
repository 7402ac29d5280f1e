"""JSON of forecasts, taken apart so that whatever is missing or odd is named."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta

from setwright.basis.errors import BadInput
from setwright.weather.records import check_size

_SPAN = re.compile(r"P(?:(\d{1,4})D)?(?:T(?:(\d{1,5})H)?(?:(\d{1,6})M)?(?:(\d{1,8})S)?)?", re.ASCII)


def load(text: str, file: str) -> Mapping[str, object]:
    """Object of a whole JSON text; BadInput with `file` and line when it is cut off or none."""
    check_size(text, file)

    def refused(word: str) -> float:
        raise BadInput("not a number", file=file, found=word)

    try:
        found = json.loads(text.lstrip("\ufeff"), parse_constant=refused)
    except json.JSONDecodeError as error:
        raise BadInput("broken or cut-off JSON", file=file, line=error.lineno, found=error.msg) from None
    except (RecursionError, ValueError):
        raise BadInput("JSON that no forecast has", file=file) from None
    if not isinstance(found, dict):
        raise BadInput("a JSON object is needed", file=file, found=type(found).__name__)
    return found


def mapping(part: Mapping[str, object], name: str, file: str) -> Mapping[str, object]:
    """Object called `name` in a `part` of the `file`."""
    found = part.get(name)
    if not isinstance(found, dict):
        raise BadInput("an object is missing", file=file, field=name, found=type(found).__name__)
    return found


def entries(part: Mapping[str, object], name: str, file: str, where: str = "") -> list[Mapping[str, object]]:
    """List of objects called `name` in a `part` of the `file`; `where` is the place of that part."""
    found = part.get(name)
    if not isinstance(found, list) or not all(isinstance(entry, dict) for entry in found):
        raise BadInput("a list of objects is missing", file=file, field=where + name, found=type(found).__name__)
    return found


def moment(part: Mapping[str, object], name: str, file: str, where: str = "") -> datetime:
    """Moment (UTC) called `name`, which must have its offset."""
    return _moment(part.get(name), file, where + name)


def interval(part: Mapping[str, object], name: str, file: str, where: str = "") -> tuple[datetime, timedelta]:
    """First moment (UTC) and length of a span such as `2026-11-25T06:00:00+00:00/PT3H`."""
    text = part.get(name)
    begin, slash, length = text.partition("/") if isinstance(text, str) else ("", "", "")
    match = _SPAN.fullmatch(length)
    if not slash or match is None or not any(match.groups()):
        raise BadInput(
            "not a span of time", file=file, field=where + name, found=text, allowed="such as 2026-11-25T06:00Z/PT3H"
        )
    days, hours, minutes, seconds = (int(part or 0) for part in match.groups())
    return _moment(begin, file, where + name), timedelta(days, seconds, 0, 0, minutes, hours)


def number(value: object, file: str, where: str) -> float:
    """A JSON number as it stands, NaN for null; BadInput for anything else at the place `where` of the `file`."""
    if value is None:
        return math.nan
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < 1e9:
        raise BadInput("a number or null is needed", file=file, field=where, found=value)
    return float(value)


def _moment(text: object, file: str, where: str) -> datetime:
    try:
        found = datetime.fromisoformat(text) if isinstance(text, str) else None
        if found is None or found.utcoffset() is None:
            raise ValueError
        return found.astimezone(UTC)
    except (ValueError, OverflowError):
        raise BadInput(
            "not a time with its offset",
            file=file,
            field=where,
            found=text,
            allowed="such as 2026-11-25T06:00:00+00:00",
        ) from None
