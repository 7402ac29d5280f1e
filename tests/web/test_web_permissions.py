"""The permission round, and slips of one site."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from setwright.desk.permissions import permissions


@pytest.mark.parametrize(
    ("tenure", "given", "state"),
    [("private", "true", "given"), ("private", "null", "to ask"), ("private", "false", "refused"),
     ("public", "null", "cannot tell"), ("own", "null", "not needed"), ("null", "null", "cannot tell")],
)  # fmt: skip
def test_how_permission_stands(tmp_path: Path, book: Path, tenure: str, given: str, state: str) -> None:
    own = Path(shutil.copy(book, tmp_path / "line-book.yaml"))
    text = own.read_text("utf-8").replace("    tenure: private\n    permission: true\n",
                                          f"    tenure: {tenure}\n    permission: {given}\n", 1)  # fmt: skip
    own.write_text(text, "utf-8")
    told = permissions(own)
    track = next(one for one in told.sites if one.site == "track")
    assert track.state == state and bool(track.mend) == (state in ("to ask", "refused", "cannot tell"))
    settled = state in ("given", "not needed")
    assert told.say.startswith("Every site" if settled else "Not settled at 1 of 2 sites: 1.")
    assert told.sites[0].site == "track" or settled


def test_the_round_leads_to_the_slip_of_each_site(client: TestClient) -> None:
    page = client.get("/permissions").text
    assert "/handouts/permission.pdf?site=track" in page and 'href="/permissions"' in client.get("/line").text
    open_ = client.get("/api/permissions").json()["sites"][0]["open"]
    assert "Owner" in open_ and "Bird hunters: days" in open_ and "Land, parcel" not in open_
    slip = client.get("/handouts/permission.pdf?site=track")
    assert slip.status_code == 200 and slip.content.startswith(b"%PDF")
    assert client.get("/handouts/permission.pdf?site=nowhere").status_code == 422
