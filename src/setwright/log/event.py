"""One event: what somebody saw or did at a set, written once and never changed."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import re
import uuid
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from setwright.basis.errors import BadInput
from setwright.log import details as detail
from setwright.log.kinds import AMENDMENTS, CORRECTION, OF_A_SET, SLOTS

_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
_NAMES = ("set_id", "trap_id", "rig_id", "visitor")
_EPOCH = dt.datetime(1970, 1, 1, tzinfo=dt.UTC)
_MICRO = dt.timedelta(microseconds=1)
FIELDS = (
    "id", "device", "kind", "time", "written", "set_id", "trap_id", "rig_id", "visitor", "visit", "place", "corrects",
    "details",
)  # fmt: skip


_LINE = json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def new_id() -> str:
    """Make a name for an event that no other device will make."""
    return str(uuid.uuid4())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Event:
    """What somebody saw or did.

    Parameters
    ----------
    id : str
        UUID made by the device that wrote it, in lower case.
    device : str
        Which device wrote it.
    kind : str
        One of `kinds.KINDS`.
    time : datetime
        When it was seen, with the offset of the place.
    written : datetime or None
        When it was written, by the clock of the device, which may be wrong.
    set_id, trap_id, rig_id, visitor : str or None
        Set, single trap, kind of trap with its tuning, person.
    visit : str or None
        UUID that the events of one visit share.
    place : int
        Place within the visit: 0 first.
    corrects : str or None
        Event that a correction or a void speaks of.
    details : mapping
        What the kind has to say; as JSON has it.

    Raises
    ------
    BadInput
        With the field, what was found and what is allowed.

    """

    id: str
    device: str
    kind: str
    time: dt.datetime
    written: dt.datetime | None = None
    set_id: str | None = None
    trap_id: str | None = None
    rig_id: str | None = None
    visitor: str | None = None
    visit: str | None = None
    place: int = 0
    corrects: str | None = None
    details: Mapping[str, Any] = field(default_factory=dict)
    instant: int = field(init=False)

    def __post_init__(self) -> None:
        _identity(self.id, "id")
        if not isinstance(self.device, str) or not 0 < len(self.device) <= 80 or not detail.writable(self.device):
            raise BadInput("name of the device", field="device", found=self.device, allowed="1 to 80 characters")
        object.__setattr__(self, "time", detail.moment(self.time, "time"))
        if self.written is not None:
            object.__setattr__(self, "written", detail.moment(self.written, "written"))
        for name in _NAMES:
            value = getattr(self, name)
            if value is not None and not (isinstance(value, str) and 0 < len(value) <= 80 and detail.writable(value)):
                raise BadInput("a name", field=name, found=value, allowed="1 to 80 characters")
        if self.visit is not None:
            _identity(self.visit, "visit")
        if not isinstance(self.place, int) or isinstance(self.place, bool) or not 0 <= self.place < 10000:
            raise BadInput("place within the visit", field="place", found=self.place, allowed="0 to 9999")
        if not isinstance(self.details, Mapping):
            raise BadInput("details of the event", field="details", found=self.details, allowed="names and values")
        detail.check(self.kind, self.details)
        if self.kind in OF_A_SET and self.set_id is None:
            raise BadInput(f"{self.kind} speaks of a set", field="set_id", found="nothing", allowed="name of the set")
        if (self.kind in AMENDMENTS) != (self.corrects is not None):
            raise BadInput(
                "only a correction or a void speaks of another event, and it has to",
                field="corrects", found=self.corrects, allowed="id of the event",
            )  # fmt: skip
        if self.corrects is not None:
            _identity(self.corrects, "corrects")
            if self.corrects == self.id:
                raise BadInput("an event cannot speak of itself", field="corrects", found=self.corrects)
        if self.kind == CORRECTION:
            _changes(self.details["changes"])
        object.__setattr__(self, "instant", (self.time - _EPOCH) // _MICRO)

    @property
    def order(self) -> tuple[int, int, str]:
        """Key that puts events in order on every device: time, place within the visit, id."""
        return (self.instant, self.place, self.id)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Event) and self.text() == other.text()

    def __hash__(self) -> int:
        return hash(self.id)

    def record(self) -> dict[str, Any]:
        """Everything of the event as JSON has it, times in ISO 8601 with their offsets."""
        found = {name: getattr(self, name) for name in FIELDS}
        found["time"] = self.time.isoformat()
        found["written"] = None if self.written is None else self.written.isoformat()
        found["details"] = dict(self.details)
        return found

    def text(self) -> str:
        """The record as one line of JSON, always the same for the same event."""
        return _LINE.encode(self.record())

    def digest(self) -> str:
        """SHA-256 of the line."""
        return line_digest(self.text())


def line_digest(line: str) -> str:
    """SHA-256 of the line of an event.

    Parameters
    ----------
    line : str
        As `Event.text` gives it.

    """
    return hashlib.sha256(line.encode()).hexdigest()


def from_record(record: Mapping[str, Any]) -> Event:
    """Make an event from what `Event.record` gives.

    Parameters
    ----------
    record : mapping
        Field to value; what is not there is unknown.

    Raises
    ------
    BadInput
        With the field, what was found and what is allowed.

    """
    if not isinstance(record, Mapping):
        raise BadInput("an event is names and values", found=record)
    for name in record:
        if name not in FIELDS:
            raise BadInput(
                "no such field of an event", field=str(name), found=name, allowed=detail.near(str(name), FIELDS)
            )
    for name in ("id", "device", "kind", "time"):
        if record.get(name) is None:
            raise BadInput("every event has one", field=name, found="nothing")
    given = {name: value for name, value in record.items() if value is not None}
    return Event(**given)


def _identity(value: Any, name: str) -> None:
    if not isinstance(value, str) or not _ID.fullmatch(value):
        raise BadInput("a UUID in lower case", field=name, found=value, allowed="8-4-4-4-12 digits of 0-9a-f")


def _changes(changes: Mapping[str, Any]) -> None:
    if "kind" in changes and (changes["kind"] not in SLOTS or changes["kind"] in AMENDMENTS):
        raise BadInput("no such kind of event", field="details.changes.kind", found=changes["kind"])
    if "time" in changes:
        detail.moment(changes["time"], "details.changes.time")
