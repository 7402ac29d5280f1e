"""Entries as devices make them, for the tests of sync; all of them are made up."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Any
from zoneinfo import ZoneInfo

from fastapi import Request
from starlette.testclient import TestClient

from setwright.log import kinds
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.person import Person

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


def desk_of(line: OpenLine, person: Person) -> TestClient:
    """The app as somebody else than the owner sees it."""
    app = create_app(line)

    @app.middleware("http")
    async def known(request: Request, call_next: Any) -> Any:
        request.state.person = person
        return await call_next(request)

    return TestClient(app, base_url="http://127.0.0.1:8470")
