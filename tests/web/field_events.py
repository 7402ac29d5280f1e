"""Entries as devices make them, for the tests of sync; all of them are made up."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Any
from zoneinfo import ZoneInfo

from setwright.log import kinds

ZONE = ZoneInfo("America/New_York")
BEGIN = dt.datetime(2026, 1, 10, 7, 0, tzinfo=ZONE)


def entry(number: int, kind: str = kinds.CHECKED, *, device: str = "field-a", **given: Any) -> dict[str, Any]:
    """One entry as JSON; other words are details."""
    when = (BEGIN + dt.timedelta(minutes=number)).isoformat()
    own = {name: given.pop(name) for name in list(given) if name in ("set_id", "time", "corrects", "visit", "place")}
    details = kinds.blank(kind) | ({"method": "in person"} if kind == kinds.CHECKED else {}) | given
    found = {
        "id": str(uuid.UUID(int=number + 1)), "device": device, "kind": kind, "time": when, "written": when,
        "set_id": "track" if kind in kinds.OF_A_SET else None, "visit": str(uuid.UUID(int=10**6 + number)),
        "place": 0, "details": details,
    }  # fmt: skip
    return found | own
