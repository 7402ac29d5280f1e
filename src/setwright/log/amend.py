"""Corrections and voids: the events as they stand now, and the history of each of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

from setwright.basis.errors import SetwrightError
from setwright.log.event import Event, from_record
from setwright.log.kinds import AMENDMENTS, CORRECTION, VOID


@dataclass(frozen=True, slots=True)
class Refused:
    """A correction or void without effect.

    Parameters
    ----------
    event : Event
        The correction or void.
    reason : str
        Why it has none, in a plain sentence.

    """

    event: Event
    reason: str


@dataclass(frozen=True, slots=True)
class Standing:
    """Events as they stand.

    Parameters
    ----------
    events : tuple of Event
        Neither corrections nor voids, without what was voided, corrected, in order.
    voided : tuple of Event
        What was voided, as first written.
    refused : tuple of Refused
        Corrections and voids without effect: of an event not here (yet), or that would make it wrong.

    """

    events: tuple[Event, ...]
    voided: tuple[Event, ...]
    refused: tuple[Refused, ...]


_key = attrgetter("instant", "place", "id")


def union(*logs: Iterable[Event]) -> list[Event]:
    """Every event once, in order; the same whatever the order of arrival.

    Parameters
    ----------
    *logs : iterables of Event
        Events of several devices, with repeats. Where one id has two contents, the one whose digest comes first
        stands, so that every device picks the same.

    """
    found: dict[str, Event] = {}
    for log in logs:
        for event in log:
            held = found.get(event.id)
            if held is None or (held is not event and event.digest() < held.digest()):
                found[event.id] = event
    return sorted(found.values(), key=_key)


def standing(events: Iterable[Event] | Standing) -> Standing:
    """Apply corrections and voids.

    Parameters
    ----------
    events : iterable of Event, or Standing
        Any order, repeats allowed; what stands already is given back as it is.

    Notes
    -----
    A void takes away an event or a correction. Corrections of one event are applied in their order, each to what
    the earlier ones left; one that would make an event that cannot be is refused, with the reason.

    """
    if isinstance(events, Standing):
        return events
    every = union(events)
    amendments = [event for event in every if event.kind in AMENDMENTS]
    if not amendments:
        return Standing(tuple(every), (), ())
    known = {event.id: event for event in every}
    refused: list[Refused] = []
    gone: set[str] = set()
    changes: dict[str, list[Event]] = defaultdict(list)
    for event in amendments:
        target = known.get(event.corrects or "")
        if target is None:
            refused.append(Refused(event, "the event that it speaks of is not here"))
        elif event.kind == VOID and target.kind == VOID:
            refused.append(Refused(event, "a void cannot be taken back: write the event again"))
        elif event.kind == VOID:
            gone.add(target.id)
        elif target.kind in AMENDMENTS:
            refused.append(Refused(event, "a correction speaks of the event itself, not of another correction"))
        else:
            changes[target.id].append(event)
    events_now: list[Event] = []
    for event in every:
        if event.kind in AMENDMENTS or event.id in gone:
            continue
        now = event
        for change in changes.get(event.id, ()):
            if change.id not in gone:
                now = _apply(now, change, refused)
        events_now.append(now)
    voided = tuple(known[name] for name in known if name in gone)
    return Standing(
        tuple(sorted(events_now, key=_key)), voided, tuple(sorted(refused, key=lambda one: one.event.order))
    )


def _apply(event: Event, change: Event, refused: list[Refused]) -> Event:
    record: dict[str, Any] = event.record()
    wanted = dict(change.details["changes"])
    inner = wanted.pop("details", None)
    record.update(wanted)
    if inner is not None:
        # A new kind has details of its own; those of the old one would not fit it.
        kept = {} if "kind" in wanted and wanted["kind"] != event.kind else record["details"]
        record["details"] = {**kept, **inner}
    try:
        return from_record(record)
    except SetwrightError as error:
        refused.append(Refused(change, str(error)))
        return event


def history(events: Iterable[Event], id: str) -> list[Event]:
    """One event and everything that was later said of it, in order.

    Parameters
    ----------
    events : iterable of Event
        The whole log.
    id : str
        The event.

    """
    every = union(events)
    found = {id}
    for kind in (CORRECTION, VOID):
        found |= {event.id for event in every if event.kind == kind and event.corrects in found}
    return [event for event in every if event.id in found]
