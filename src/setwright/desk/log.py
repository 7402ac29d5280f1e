"""The log on the desk: where it lies, entries from a few keys, corrections; what is kept is told only when it is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from setwright.basis.errors import BadInput
from setwright.desk.log_words import (
    ALL,
    FIELDS,
    Wanted,
    check_animals,
    detail_value,
    moment_of,
    now_in,
    read_words,
)
from setwright.line.brief import Brief, BriefSite, named_site, read_brief
from setwright.log import kinds
from setwright.log.event import Event, new_id
from setwright.log.fold import LogState, Phase, fold
from setwright.log.objections import Objections
from setwright.log.store import Receipt, Store

SUFFIX = ".log.db"
DEVICE = "desk"
# In place of a file: the log that lies beside the book.
BESIDE = "beside"
CORRECTABLE = ("kind", "time", "set", "trap", "rig", "by")


@dataclass(frozen=True, slots=True)
class Kept:
    """Events that are safe in the store, as they were read, and where."""

    events: tuple[Event, ...]
    receipt: Receipt
    where: str


def store_place(book: Path, store: str | None = None) -> str:
    """Where the log of a book lies: what was asked for, or the file beside the book."""
    return store or str(book.with_name(book.stem + SUFFIX))


def add(
    book: Path,
    words: Sequence[str],
    *,
    store: str | None = None,
    at: str | None = None,
    visitor: str | None = None,
    device: str = DEVICE,
    now: dt.datetime | None = None,
) -> Kept:
    """Write entries into the log, all or none.

    Parameters
    ----------
    book : Path
        Line book.
    words : sequence of str
        Entries and their details, such as `3t`, `injuries=none`.
    store : str, optional
        File or URL; the file beside the book otherwise.
    at : str, optional
        When it was seen; now otherwise.
    visitor, device : str
        Who saw it, and what it is written on.
    now : datetime, optional
        Present time, for rehearsals.

    Raises
    ------
    BadInput, StoreFault
        When nothing was kept.
    """
    brief = read_brief(book)
    written = now or now_in(brief.zone)
    moment = written if at is None else moment_of(at, written)
    wanted = read_words(words)
    if not wanted:
        raise BadInput("nothing to write down", field="ENTRY", allowed="such as 3a, or no entry to be asked")
    with Store(store_place(book, store)) as place:
        scribe = _Scribe(book, brief, place, moment, written, visitor, device)
        events = scribe.events(wanted)
        scribe.object(events)
        receipt = place.append(events)
        return Kept(tuple(events), receipt, place.where)


class _Scribe:
    """Turns what was typed into events, with the rest filled from the book and from the log."""

    def __init__(
        self, book: Path, brief: Brief, store: Store, moment: dt.datetime, written: dt.datetime,
        visitor: str | None, device: str,
    ) -> None:  # fmt: skip
        self.book, self.brief, self.store = book, brief, store
        self.moment, self.written, self.visitor, self.device = moment, written, visitor, device
        self._known: dict[str, list[Event]] = {}
        self._visits: dict[str, str] = {}
        self._places: dict[str, int] = {}

    def known(self, set_id: str) -> list[Event]:
        """What the log has of a set."""
        if set_id not in self._known:
            self._known[set_id] = self.store.of_set(set_id)
        return self._known[set_id]

    def events(self, wanted: Iterable[Wanted]) -> list[Event]:
        """Events of the entries, in their order."""
        asked = list(wanted)
        named = {site.key for one in asked if one.site not in (None, ALL) for site in [self._site(one)] if site}
        found: list[Event] = []
        for one in asked:
            if one.site == ALL:
                found += [self._event(replace(one, site=key)) for key in self._lying() if key not in named]
            else:
                found.append(self._event(one))
        return found

    def _lying(self) -> list[str]:
        state = fold(self.store.read())
        out = {key for key, one in state.sets.items() if one.phase not in (Phase.PULLED, Phase.UNKNOWN)}
        return [site.key for site in self.brief.sites if site.key in out]

    def _site(self, one: Wanted) -> BriefSite | None:
        return None if one.site is None else named_site(self.brief, one.site, self.book)

    def _event(self, one: Wanted) -> Event:
        site = self._site(one)
        given = dict(one.given)
        fields: dict[str, Any] = {own: given.pop(name) for name, own in FIELDS.items() if name in given}
        details: dict[str, Any] = kinds.blank(one.kind)
        if site is not None:
            fields.setdefault("set_id", site.key)
            self._fill(one.kind, site, fields, details)
        details |= {name: detail_value(one.kind, name, text, self.moment) for name, text in given.items()}
        check_animals(self.brief, self.book, details)
        if one.kind == kinds.DONE and details["duty"] is not None:
            details["duty"] = self._duty(details["duty"])
        key = fields.get("set_id") or ""
        place = self._places[key] = self._places.get(key, -1) + 1
        return Event(
            id=new_id(), device=self.device, kind=one.kind, time=self.moment, written=self.written,
            visitor=fields.pop("visitor", self.visitor), visit=self._visits.setdefault(key, new_id()), place=place,
            details=details, **fields,
        )  # fmt: skip

    def _duty(self, name: str) -> str:
        """Full name of a duty of the log; that of a law pack stands as it is given."""
        found = [duty for duty in fold(self.store.read()).duties if duty.startswith(name)]
        return found[0] if len(found) == 1 else name

    def _fill(self, kind: str, site: BriefSite, fields: dict[str, Any], details: dict[str, Any]) -> None:
        if kind == kinds.SET:
            details.update(
                site=site.key, medium=site.medium, set_type=site.set_type, target=site.target, anchor=site.anchor
            )
            details |= {
                name: value for name, value in (("cover", site.cover), ("chain", site.chain)) if value is not None
            }
            trap = fields.setdefault("trap_id", site.trap)
        elif kind in kinds.OF_A_TRAP:
            state = fold(self.known(site.key)).sets.get(site.key)
            trap = fields.setdefault("trap_id", None if state is None else state.trap_id)
        else:
            trap = None
        if trap is not None:
            fields.setdefault("rig_id", self.brief.rigs.get(trap))
        if kind == kinds.CATCH:
            details["species"] = site.target
        if kind == kinds.CHECKED:
            details["method"] = "in person"

    def object(self, events: Sequence[Event]) -> None:
        """Raise what speaks against the first event that has something against it."""
        sets = {event.set_id for event in events if event.set_id is not None}
        known = [event for key in sorted(sets) for event in self.known(key)]
        judge = Objections([*known, *events], now=self.written, zone=self.brief.zone)
        for event in events:
            judge.check(event)
            if event.kind in kinds.LOOKS and event.set_id not in judge.made:
                raise BadInput(
                    f"{event.kind} on a set of which no making is written", field="set_id", found=event.set_id,
                    allowed=f"write first that it was set, such as {event.set_id}:s with --at",
                )  # fmt: skip


def correct(
    book: Path,
    event: str,
    words: Sequence[str],
    *,
    void: bool = False,
    reason: str | None = None,
    store: str | None = None,
    visitor: str | None = None,
    device: str = DEVICE,
    now: dt.datetime | None = None,
) -> Kept:
    """Write that an entry was wrong: new values of its parts, or that it is to be taken back.

    Parameters
    ----------
    book : Path
        Line book.
    event : str
        Id of the entry, or its first characters.
    words : sequence of str
        `name=value`: details of its kind, or `kind`, `time`, `set`, `trap`, `rig`, `by`.
    void : bool
        Take the entry back.
    reason : str, optional
        Why.
    store, visitor, device, now : optional
        As for `add`.

    Raises
    ------
    BadInput, StoreFault
        When nothing was kept.
    """
    brief = read_brief(book)
    now = now or now_in(brief.zone)
    if void == bool(words):
        raise BadInput("new values, or --void", field="NAME=VALUE", found=" ".join(words), allowed="one of both")
    with Store(store_place(book, store), create=False) as place:
        events = place.read()
        wrong = find(events, event)
        kind = kinds.VOID if void else kinds.CORRECTION
        details: dict[str, Any] = {"reason": reason}
        if not void:
            details["changes"] = _changes(brief, book, wrong, words, now)
        made = Event(
            id=new_id(), device=device, kind=kind, time=now, written=now, visitor=visitor, corrects=wrong.id,
            set_id=wrong.set_id, details=details,
        )  # fmt: skip
        refused = [one.reason for one in fold([*events, made]).refused if one.event.id == made.id]
        if refused:
            raise BadInput(f"this would make an entry that cannot be: {refused[0]}", found=" ".join(words))
        return Kept((made,), place.append([made]), place.where)


def _changes(brief: Brief, book: Path, wrong: Event, words: Sequence[str], now: dt.datetime) -> dict[str, Any]:
    changes: dict[str, Any] = {}
    given: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals:
            raise BadInput("a name, an equals sign and a value", field="NAME=VALUE", found=word)
        if name == "time":
            changes["time"] = moment_of(value, now, "time").isoformat()
        elif name in FIELDS:
            changes[FIELDS[name]] = named_site(brief, value, book).key if name == "set" else value
        elif name == "kind":
            changes["kind"] = value
        else:
            given[name] = value
    kind = str(changes.get("kind", wrong.kind))
    if kind not in kinds.KINDS or kind in kinds.AMENDMENTS:
        raise BadInput("no such kind of event", field="kind", found=kind, allowed=", ".join(sorted(kinds.KINDS)))
    details = {name: detail_value(kind, name, text, now) for name, text in given.items()}
    if kind != wrong.kind:
        details = {**kinds.blank(kind), **details}
    check_animals(brief, book, details)
    return {**changes, "details": details} if details else changes


def find(events: Sequence[Event], name: str) -> Event:
    """The event whose id begins so.

    Raises
    ------
    BadInput
        When there is none, or more than one.
    """
    found = [event for event in events if event.id.startswith(name.lower())] if name else []
    if len(found) != 1:
        words = "no such entry" if not found else "more than one entry begins so"
        raise BadInput(words, field="ID", found=name, allowed="an id as `log show` prints it, or its beginning")
    return found[0]


def read(book: Path, store: str | None = None) -> list[Event]:
    """Every event of the log of a book.

    Raises
    ------
    StoreFault
        When there is no log or it cannot be read.
    """
    with Store(store_place(book, store), create=False) as place:
        return place.read()


def read_on(book: Path, after: int, store: str | None = None) -> tuple[int, list[Event]]:
    """Events that came later than a place in the order of arrival (0: all of them), and the place of the last.

    Raises
    ------
    StoreFault
        When there is no log or it cannot be read.
    """
    with Store(store_place(book, store), create=False) as place:
        return place.read_on(after)


def state(book: Path, store: str | None = None) -> LogState:
    """State of sets, traps and duties of the log of a book."""
    return fold(read(book, store))
