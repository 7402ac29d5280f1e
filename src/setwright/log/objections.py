"""What speaks against an event that is well formed: a time to come, a set not known, a word slightly wrong."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable
from difflib import get_close_matches
from zoneinfo import ZoneInfo

from setwright.basis.errors import BadInput
from setwright.log import kinds
from setwright.log.amend import standing
from setwright.log.event import Event

SLACK = dt.timedelta(minutes=10)


class Objections:
    """Judge of a batch, with what is known beside it.

    Parameters
    ----------
    events : iterable of Event
        The log and the batch together: a set may be made and looked at in one file.
    now : datetime
        Present time, with its offset.
    zone : ZoneInfo or None
        Zone of the line: other offsets are refused. None asks nothing.
    sets, species : collection of str or None
        Names that may be used beside those made in `events`. None asks nothing.

    """

    def __init__(
        self,
        events: Iterable[Event],
        *,
        now: dt.datetime,
        zone: ZoneInfo | None = None,
        sets: Collection[str] | None = None,
        species: Collection[str] | None = None,
    ) -> None:
        self.now = now
        self.zone = zone
        self.species = species
        self.made: dict[str, list[tuple[int, int, bool]]] = {}
        for event in standing(events).events:
            if event.set_id is not None and event.kind in (kinds.SET, kinds.RESET, kinds.PULLED):
                row = (event.instant, event.place, event.kind != kinds.PULLED)
                self.made.setdefault(event.set_id, []).append(row)
        self.sets = None if sets is None else {*sets, *self.made}

    def check(self, event: Event) -> None:
        """Raise what speaks against an event.

        Parameters
        ----------
        event : Event
            One of the batch.

        Raises
        ------
        BadInput
            With the field, what was found and what is allowed.

        """
        if event.time > self.now + SLACK:
            raise BadInput("a time to come", field="time", found=event.time.isoformat(), allowed="not after now")
        if self.zone is not None and event.time.utcoffset() != event.time.astimezone(self.zone).utcoffset():
            raise BadInput(
                "the offset is not that of the line", field="time", found=event.time.isoformat(),
                allowed=event.time.astimezone(self.zone).isoformat(),
            )  # fmt: skip
        if event.kind not in kinds.OF_A_SET or event.set_id is None:
            return
        if self.sets is not None and event.set_id not in self.sets:
            raise BadInput(
                "no such set", field="set_id", found=event.set_id, allowed=_nearest(event.set_id, self.sets)
            )
        if event.kind in kinds.LOOKS:
            before = [row for row in self.made.get(event.set_id, ()) if row[:2] <= (event.instant, event.place)]
            if before and not before[-1][2]:
                raise BadInput(
                    f"{event.kind} on a set that was pulled", field="set_id", found=event.set_id,
                    allowed="a set that lies out, or set it again first",
                )  # fmt: skip
        found = event.details.get("species")
        if self.species is not None and found is not None and found not in self.species:
            raise BadInput(
                "no such animal", field="details.species", found=found, allowed=_nearest(found, self.species)
            )


def _nearest(found: str, known: Collection[str]) -> str:
    close = get_close_matches(found, list(known), n=3, cutoff=0.6)
    return ", ".join(close) if close else f"one of {len(known)} known names"
