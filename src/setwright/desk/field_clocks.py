"""Deadlines of the law packs that begin with a catch, told for every animal that may be caught."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from setwright.desk.field_document import FieldClock
from setwright.desk.log_due import begins_and_applies, deadlines
from setwright.line.lawbook import NamedPack
from setwright.log import kinds
from setwright.log.event import Event, new_id

# Stands for an animal that nobody has named.
UNNAMED = "*"


def clocks(packs: Sequence[NamedPack], animals: Sequence[str]) -> list[FieldClock]:
    """Deadlines with the animals that begin them: as target, as another animal, as a pet or stock.

    Parameters
    ----------
    packs : sequence of NamedPack
        Packs of the line.
    animals : sequence of str
        Every animal that may be named.
    """
    found = []
    for named in packs:
        for rule, deadline in deadlines(named.pack):
            target, other, domestic = (
                [key for key, event in told.items() if begins_and_applies(rule, deadline, event, named.pack)]
                for told in _caught(animals)
            )
            if target or other or domestic:
                source = f"{named.title}: {rule.citation}"
                found.append(
                    FieldClock(
                        act=deadline.act, within=deadline.within, source=source, target=target, other=other,
                        domestic=domestic,
                    )
                )  # fmt: skip
    return found


def _caught(animals: Sequence[str]) -> tuple[dict[str, Event], ...]:
    """A catch of every animal, as target, as another animal, as a pet or stock."""
    ways = ((kinds.CATCH, None), (kinds.NONTARGET, False), (kinds.NONTARGET, True))
    return tuple({key: _catch(kind, key, domestic) for key in (UNNAMED, *animals)} for kind, domestic in ways)


def _catch(kind: str, animal: str, domestic: bool | None) -> Event:
    details = kinds.blank(kind) | {"species": None if animal == UNNAMED else animal}
    if kind == kinds.NONTARGET:
        details["domestic"] = domestic
    return Event(
        id=new_id(), device="rehearsal", kind=kind, time=dt.datetime(2000, 1, 1, tzinfo=dt.UTC), set_id="any",
        details=details,
    )  # fmt: skip
