"""The log to look at: state of every set, trap and duty, or the whole history of one set or one entry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from setwright.desk.log import find, read
from setwright.desk.log_words import MEANING
from setwright.line.brief import named_site, read_brief
from setwright.log import kinds
from setwright.log.amend import history, standing, union
from setwright.log.details import moment
from setwright.log.event import Event
from setwright.log.fold import LogState, by_name, fold

SHORT = 8
# What goes without saying.
USUAL = {"method": "in person"}


@dataclass(frozen=True, slots=True)
class Line:
    """One entry as it is shown.

    Parameters
    ----------
    id, time, set_id, what, said : str
        First characters of its id, when, set, what it was, its details in words.
    standing : str
        `stands`, `voided`, `corrected`, `amends`, or why an amendment has no effect.

    """

    id: str
    time: str
    set_id: str
    what: str
    said: str
    standing: str


def states(book: Path, store: str | None = None) -> LogState:
    """Sets, traps and duties as they stand."""
    return fold(read(book, store))


def story(
    book: Path, *, site: str | None = None, event: str | None = None, store: str | None = None,
    most: int | None = None,
) -> list[Line]:  # fmt: skip
    """Entries of a set, of one entry and what was later said of it, or of the whole log; nothing is left out.

    Parameters
    ----------
    book : Path
        Line book.
    site, event : str, optional
        Id or number of a site; id of an entry, or its beginning.
    store : str, optional
        File or URL of the log.
    most : int, optional
        Only so many of the newest.

    Raises
    ------
    BadInput, StoreFault
        When the site or the entry is not known, or the log cannot be read.
    """
    events = union(read(book, store))
    brief = read_brief(book)
    zone = brief.zone
    if event is not None:
        wanted = history(events, find(events, event).id)
    elif site is not None:
        key = named_site(brief, site, book).key
        now = {one.id for one in standing(events).events if one.set_id == key}
        own = {one.id for one in events if one.set_id == key} | now
        wanted = [one for one in events if one.id in own or one.corrects in own]
    else:
        wanted = events
    if most is not None:
        wanted = wanted[-most:]
    found = standing(events)
    now_by = {one.id: one for one in found.events}
    refused = {one.event.id: one.reason for one in found.refused}
    return [
        Line(
            one.id[:SHORT], f"{one.time.astimezone(zone):%Y-%m-%d %H:%M}", one.set_id or "",
            MEANING.get(one.kind, one.kind.replace("_", " ")), words_of(one), _standing(one, now_by, refused),
        )
        for one in wanted
    ]  # fmt: skip


def _standing(one: Event, now: dict[str, Event], refused: dict[str, str]) -> str:
    if one.id in refused:
        return f"no effect: {refused[one.id]}"
    if one.kind in kinds.AMENDMENTS:
        return f"amends {(one.corrects or '')[:SHORT]}"
    if one.id not in now:
        return "voided"
    return "stands" if now[one.id] == one else "corrected"


def words_of(event: Event) -> str:
    """Details of an event in words, unknown ones left out."""
    parts = [f"trap {event.trap_id}"] if event.trap_id and event.kind in kinds.OF_A_TRAP else []
    for name, value in event.details.items():
        if value is None or (name == "site" and value == event.set_id) or value == USUAL.get(name):
            continue
        parts.append(f"{name.replace('_', ' ')} {_word(event.kind, name, value)}")
    return "; ".join(parts)


def _word(kind: str, name: str, value: Any) -> str:
    from setwright.basis.units import inches, pounds_force

    if name in ("trip_force", "force"):
        return pounds_force(float(value))
    if name in ("jaw_spread", "jaw_gap", "distance", "over_pan", "depth"):
        return inches(float(value), 8)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if name == "changes":
        return _changed(value)
    if isinstance(value, list):
        return ", ".join(str(part) for part in value) or "none seen"
    if kinds.SLOTS[kind][name].form == "moment":
        return f"{moment(value, name):%a %d %b %H:%M}"
    return str(value).replace("_", " ")


def _changed(changes: dict[str, Any]) -> str:
    parts = [f"{name} = {value}" for name, value in changes.items() if name != "details"]
    parts += [f"{name} = {value}" for name, value in (changes.get("details") or {}).items()]
    return ", ".join(parts)


def as_records(state: LogState) -> dict[str, Any]:
    """State as JSON has it."""
    return {
        "sets": [_record(state.sets[name]) for name in sorted(state.sets, key=by_name)],
        "traps": [_record(state.traps[name]) for name in sorted(state.traps, key=by_name)],
        "duties": [_record(one) for one in state.duties.values()],
        "without_effect": [{"id": one.event.id, "reason": one.reason} for one in state.refused],
    }


def _record(one: Any) -> dict[str, Any]:
    found = {}
    for name in one.__slots__:
        value = getattr(one, name)
        found[name] = value.isoformat() if hasattr(value, "isoformat") else value
    return found


def kinds_table() -> Sequence[tuple[str, str, str]]:
    """Key, meaning and whole word of every kind that has a key."""
    from setwright.desk.log_words import KEYS

    return [(key, MEANING[kind], kind) for key, kind in KEYS.items()]
