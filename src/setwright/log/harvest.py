"""Every held animal with what reports ask for: species, sex, age, when, where, with what, and what became of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace

from setwright.log import kinds
from setwright.log.amend import Standing, standing
from setwright.log.event import Event

FATES = {kinds.RELEASE: "let go", kinds.DISPATCH: "dispatched", kinds.SUBMERGED: "dead under water"}
NOT_WRITTEN = "not written"


@dataclass(frozen=True, slots=True)
class Animal:
    """One held animal; None is what nobody wrote down.

    Parameters
    ----------
    id : str
        Event of the catch.
    time : datetime
        When it was found.
    species, sex, age : str or None
        As written.
    target, domestic, alive : bool or None
        Whether it was a target, a pet or stock, alive when found.
    set_id, trap_id, rig_id, site, set_type, medium, visitor : str or None
        Where, with what, and who found it.
    part, tag : str or None
        Held part of the animal; number of its tag or seal.
    injuries : tuple of str or None
        Empty when somebody looked and saw none.
    looked_over : str or None
        How far it was looked over.
    fate : str
        What became of it, or `not written`.

    """

    id: str
    time: dt.datetime
    species: str | None
    sex: str | None
    age: str | None
    target: bool
    domestic: bool | None
    alive: bool | None
    set_id: str | None
    trap_id: str | None
    rig_id: str | None
    site: str | None
    set_type: str | None
    medium: str | None
    visitor: str | None
    part: str | None
    tag: str | None
    injuries: tuple[str, ...] | None
    looked_over: str | None = None
    fate: str = NOT_WRITTEN


def animals(events: Iterable[Event] | Standing) -> list[Animal]:
    """Held animals of a log in the order of their finding.

    Parameters
    ----------
    events : iterable of Event, or Standing
        In any order, with repeats, corrections and voids.

    """
    made: dict[str, Event] = {}
    waiting: dict[str, int] = {}
    found: list[Animal] = []
    for event in standing(events).events:
        key = event.set_id or ""
        if event.kind == kinds.SET:
            made[key] = event
        elif event.kind in kinds.CATCHES:
            waiting[key] = len(found)
            found.append(_animal(event, made.get(key)))
        elif event.kind in kinds.ENDS and key in waiting:
            at = waiting.pop(key)
            injuries = event.details.get("injuries")
            one = replace(found[at], fate=FATES[event.kind])
            found[at] = one if injuries is None else replace(one, injuries=tuple(injuries))
        elif event.kind in (kinds.RESET, kinds.PULLED):
            waiting.pop(key, None)
    return found


def _animal(event: Event, made: Event | None) -> Animal:
    own, place = event.details, {} if made is None else made.details
    injuries = own.get("injuries")
    return Animal(
        id=event.id, time=event.time, species=own["species"], sex=own["sex"], age=own["age"],
        target=event.kind == kinds.CATCH, domestic=own.get("domestic"), alive=own["alive"], set_id=event.set_id,
        trap_id=event.trap_id or (made.trap_id if made else None),
        rig_id=event.rig_id or (made.rig_id if made else None), site=place.get("site"),
        set_type=place.get("set_type"), medium=place.get("medium"), visitor=event.visitor, part=own["part"],
        tag=own.get("tag"), injuries=None if injuries is None else tuple(injuries),
        looked_over=own.get("looked_over"),
    )  # fmt: skip
