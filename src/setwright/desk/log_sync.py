"""Events of other devices into the log and back: a union, in any order, that can be sent as often as one likes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from pydantic import Field

from setwright.basis.errors import SetwrightError
from setwright.desk.log import store_place
from setwright.desk.log_words import now_in
from setwright.desk.shape import Shape
from setwright.line.brief import Brief, read_brief
from setwright.log import kinds
from setwright.log.event import Event, from_record
from setwright.log.objections import Objections
from setwright.log.store import Store

MOST = 5000
LAST_PLACE = 2**62


class NotTaken(Shape):
    """An event that was not kept: its id where it has one, its place in what was sent, the part, and why."""

    id: str
    at: int
    field: str
    reason: str


class SyncReceipt(Shape):
    """What became of every event that was sent; `added` and `known` are safe in the log of this line."""

    line: str
    added: list[str] = Field(default_factory=list)
    known: list[str] = Field(default_factory=list)
    conflicts: list[str] = Field(default_factory=list)
    refused: list[NotTaken] = Field(default_factory=list)


class SyncPage(Shape):
    """Events that the log took in after a place, in the order of their arrival; ask again from `last` on."""

    line: str
    events: list[dict[str, Any]]
    last: int
    more: bool


def take(
    book: Path, records: Sequence[Any], *, store: str | None = None, now: dt.datetime | None = None
) -> SyncReceipt:
    """Take events of a device in: each by itself, so that one that cannot be kept holds up no other.

    Parameters
    ----------
    book : Path
        Line book: its zone, sites and animals are what events are held against.
    records : sequence
        Events as JSON has them, in any order, with repeats.
    store : str, optional
        File or URL; the file beside the book otherwise.
    now : datetime, optional
        Present time, for rehearsals.

    Raises
    ------
    BadInput, StoreFault
        When nothing was kept.

    Notes
    -----
    What is asked of an event does not hang on what came before it, so that devices may send in any order and end at
    the same log. A look at a set that was pulled meanwhile is therefore kept: somebody saw something there.
    """
    brief = read_brief(book)
    events: list[tuple[int, Event]] = []
    refused: list[NotTaken] = []
    for at, record in enumerate(records):
        try:
            event = from_record(record)
            event.text().encode()
            events.append((at, event))
        except UnicodeEncodeError:
            refused.append(_not_taken(at, record, "", "a text of it holds half a character"))
        except SetwrightError as error:
            refused.append(_not_taken(at, record, error.field or "", _words(error)))
    with Store(store_place(book, store)) as place:
        judge = _judge(brief, place, [event for _, event in events], now or now_in(brief.zone))
        kept: list[Event] = []
        for at, event in events:
            try:
                judge.check(event)
                kept.append(event)
            except SetwrightError as error:
                refused.append(NotTaken(id=event.id, at=at, field=error.field or "", reason=_words(error)))
        receipt = place.append(kept)
    return SyncReceipt(
        line=brief.name, added=list(receipt.added), known=list(receipt.known), conflicts=list(receipt.conflicts),
        refused=sorted(refused, key=lambda one: one.at),
    )  # fmt: skip


def given(book: Path, after: int = 0, most: int = MOST, *, store: str | None = None) -> SyncPage:
    """Events that the log took in after a place; none when there is no log yet.

    Raises
    ------
    BadInput, StoreFault
        When book or log cannot be read.
    """
    name = read_brief(book).name
    if not has_log(book, store):
        return SyncPage(line=name, events=[], last=0, more=False)
    with Store(store_place(book, store), create=False) as place:
        found = place.page(after, most)
    return SyncPage(line=name, events=[one.record() for one in found.events], last=found.last, more=found.more)


def has_log(book: Path, store: str | None = None) -> bool:
    """Whether the log of a book is there; a database by its URL always is."""
    place = store_place(book, store)
    return "://" in place or Path(place).exists()


def _judge(brief: Brief, place: Store, events: Sequence[Event], now: dt.datetime) -> Objections:
    from setwright.animal.tables import species

    sites = {site.key for site in brief.sites}
    elsewhere = sorted({event.set_id for event in events if event.set_id is not None} - sites)
    known = [event for key in elsewhere for event in place.of_set(key)]
    # Only the making of a set counts: what depends on the last that happened there would depend on who sent first.
    made = [event for event in (*known, *events) if event.kind == kinds.SET]
    return Objections(made, now=now, zone=brief.zone, sets=sites, species=[*species(), *brief.animals])


def _not_taken(at: int, record: Any, field: str, reason: str) -> NotTaken:
    name = record.get("id") if isinstance(record, Mapping) else None
    shown = name if isinstance(name, str) and len(name) <= 80 and name.isascii() else ""
    return NotTaken(id=shown, at=at, field=field, reason=reason)


def _words(error: SetwrightError) -> str:
    """The fault without its file, ready for a small screen; a half of a character is shown as a question mark."""
    text = error.message
    if error.found is not None:
        text += f"; found {error.found}"
    if error.allowed:
        text += f"; allowed: {error.allowed}"
    return text.encode("utf-8", "replace").decode("utf-8")
