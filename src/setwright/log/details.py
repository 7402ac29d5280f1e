"""Details of an event, held against what its kind may say."""

from __future__ import annotations

import contextlib
import datetime as dt
import math
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import Any

from setwright.basis.errors import BadInput
from setwright.log.kinds import SLOTS, Slot

LONGEST = 2000
# Parts of an event that a correction may change; the rest says who wrote it and when.
CHANGEABLE = ("kind", "time", "set_id", "trap_id", "rig_id", "visitor", "visit", "place", "details")


def near(found: str, known: object) -> str:
    """What is allowed, with the nearest word first when one is near."""
    words = [str(word) for word in known] if isinstance(known, (tuple, list, set, frozenset, Mapping)) else []
    close = get_close_matches(found, words, n=1, cutoff=0.7)
    return (f"{close[0]} (nearest); " if close else "") + ", ".join(sorted(words))


def moment(text: Any, field: str) -> dt.datetime:
    """Read a time with its offset from UTC.

    Parameters
    ----------
    text : str or datetime
        ISO 8601.
    field : str
        Where it stands, for the message.

    """
    if isinstance(text, str):
        with contextlib.suppress(ValueError):
            text = dt.datetime.fromisoformat(text)
    if not isinstance(text, dt.datetime) or text.utcoffset() is None:
        raise BadInput(
            "a time with its offset is needed", field=field, found=text, allowed="such as 2026-11-25T07:10:00-05:00"
        )
    if not 1900 <= text.year <= 2199:
        raise BadInput("a time out of reason", field=field, found=text.isoformat(), allowed="years 1900 to 2199")
    return text


def writable(text: str) -> bool:
    """Whether a text can be kept as it is: no null sign, no half of a character.

    Parameters
    ----------
    text : str
        Any text.

    """
    return "\0" not in text and (text.isascii() or not any("\ud800" <= sign <= "\udfff" for sign in text))


def _text(value: Any, slot: Slot) -> str | None:
    good = isinstance(value, str) and 0 < len(value) <= LONGEST and writable(value)
    return None if good and (not slot.choices or value in slot.choices) else f"1 to {LONGEST} characters"


def _choice(value: Any, slot: Slot) -> str | None:
    return None if value in slot.choices else near(str(value), slot.choices)


def _number(value: Any, slot: Slot) -> str | None:
    good = isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value)
    return None if good and slot.low <= value <= slot.high else f"a number from {slot.low:g} to {slot.high:g}"


def _whole(value: Any, slot: Slot) -> str | None:
    good = isinstance(value, int) and not isinstance(value, bool) and slot.low <= value <= slot.high
    return None if good else f"a whole number from {slot.low:g} to {slot.high:g}"


def _yes_no(value: Any, _: Slot) -> str | None:
    return None if isinstance(value, bool) else "true, false"


def _moment(value: Any, _: Slot) -> str | None:
    if isinstance(value, str):
        try:
            moment(value, "")
        except BadInput as error:
            return error.allowed
        return None
    return "a time as text, with its offset"


def _words(value: Any, _: Slot) -> str | None:
    good = isinstance(value, list) and all(isinstance(word, str) and word and writable(word) for word in value)
    return None if good else "a list of words; empty when somebody looked and saw none"


def _photos(value: Any, _: Slot) -> str | None:
    good = isinstance(value, list) and all(
        isinstance(photo, dict)
        and set(photo) <= {"file", "sha256"}
        and isinstance(photo.get("file"), str)
        and all(isinstance(part, str) and writable(part) for part in photo.values())
        for photo in value
    )
    return None if good else 'a list of {"file": name, "sha256": digest}'


def _changes(value: Any, _: Slot) -> str | None:
    if isinstance(value, dict) and value and set(value) <= set(CHANGEABLE):
        changed = value.get("details", {})
        if isinstance(changed, dict):
            return None
    return f"new values of: {', '.join(CHANGEABLE)}"


_FORMS: Mapping[str, Callable[[Any, Slot], str | None]] = {
    "text": _text,
    "choice": _choice,
    "number": _number,
    "whole": _whole,
    "yes_no": _yes_no,
    "moment": _moment,
    "words": _words,
    "photos": _photos,
    "changes": _changes,
}
_NEEDED = {kind: tuple(name for name, slot in slots.items() if slot.needed) for kind, slots in SLOTS.items()}


def check(kind: str, details: Mapping[str, Any]) -> None:
    """Hold the details of an event against its kind.

    Parameters
    ----------
    kind : str
        Kind of event.
    details : mapping
        Name to value as JSON has them; None says *unknown*.

    Raises
    ------
    BadInput
        With the field, what was found and what is allowed.

    """
    slots = SLOTS.get(kind)
    if slots is None:
        raise BadInput("no such kind of event", field="kind", found=kind, allowed=near(str(kind), tuple(SLOTS)))
    for name in _NEEDED[kind]:
        if name not in details:
            raise BadInput(
                f"{kind} has to name it",
                field=f"details.{name}",
                found="nothing",
                allowed="a value, or null: unknown",
            )
    for name, value in details.items():
        slot = slots.get(name)
        if slot is None:
            raise BadInput(f"no such detail of {kind}", field="details", found=name, allowed=near(str(name), slots))
        if value is None:
            continue
        wrong = _FORMS[slot.form](value, slot)
        if wrong:
            raise BadInput("cannot be used as it stands", field=f"details.{name}", found=value, allowed=wrong)
