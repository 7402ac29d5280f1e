"""What is due, as the pages read it: kept between two askings, never older than log and book."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from setwright.desk.log import store_place
from setwright.desk.log_due import due
from setwright.web.open_line import OpenLine
from web.field_events import ZONE

YESTERDAY = (dt.datetime.now(ZONE) - dt.timedelta(days=1)).strftime("%Y-%m-%d 15:00")


def write(desk: TestClient, **fields: Any) -> None:
    token = desk.get("/api/session").json()["token"]
    answer = desk.post("/log/new", data={"token": token, **fields}, follow_redirects=False)
    assert answer.status_code == 303, answer.text


def same(line: OpenLine) -> bool:
    """Whether the pages are told what the log itself tells."""
    return line.ledger.owed(line.stamp())[1] == due(line.book)


def test_what_is_due_follows_every_entry_and_stays_otherwise(desk: TestClient, own_line: OpenLine) -> None:
    for number, site in enumerate(("track", "hedge"), start=1):
        write(desk, kind="set", site=site, at=YESTERDAY, trip_force="3.5", tag_present="yes")
        rows = own_line.ledger.owed(own_line.stamp())[1][0]
        assert sum(one.what == "look at the set" for one in rows) == number and same(own_line)
    before = own_line.ledger.owed(own_line.stamp())
    assert (
        own_line.ledger.owed(own_line.stamp())[1] is before[1]
        or before[0] != own_line.ledger.owed(own_line.stamp())[0]
    )
    write(desk, kind="pulled", site="track")
    assert same(own_line) and own_line.ledger.owed(own_line.stamp())[0] != before[0]


def test_another_log_in_its_place_is_read_from_its_beginning(
    desk: TestClient, own_line: OpenLine, tmp_path: Path
) -> None:
    place = Path(store_place(own_line.book))
    write(desk, kind="set", site="track", at=YESTERDAY, trip_force="3.5", tag_present="yes")
    early = Path(shutil.copy(place, tmp_path / "early"))
    write(desk, kind="pulled", site="track")
    assert same(own_line)
    for path in tmp_path.glob(f"{place.name}*"):
        path.unlink()
    early.rename(place)
    rows = own_line.ledger.owed(own_line.stamp())[1][0]
    assert any(one.what == "look at the set" for one in rows) and same(own_line)


@pytest.mark.parametrize("path", ["/", "/log", "/run"])
def test_a_page_shows_what_was_written_the_moment_before(desk: TestClient, path: str) -> None:
    assert "look at the set" not in desk.get(path).text.lower()
    write(desk, kind="set", site="track", at=YESTERDAY, trip_force="3.5", tag_present="no")
    first = desk.get(path).text.lower()
    assert "track" in first and ("look at the set" in first or path == "/run")
    write(desk, kind="set", site="hedge", at=YESTERDAY, trip_force="3.5", tag_present="no")
    assert desk.get(path).text.lower() != first


def test_a_page_is_kept_for_one_session_alone(own_line: OpenLine) -> None:
    from setwright.web.app import create_app

    one, two = (TestClient(create_app(own_line), base_url="http://127.0.0.1:8470") for _ in range(2))
    for path in ("/", "/set/track"):
        pages = [client.get(path).text for client in (one, two, one)]
        tokens = [client.get("/api/session").json()["token"] for client in (one, two)]
        assert tokens[0] != tokens[1] and pages[0] == pages[2]
        for page, (mine, other) in zip(pages, (tokens, tokens[::-1]), strict=False):
            assert other not in page and (mine in page or "token" not in page)
