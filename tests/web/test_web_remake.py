"""The list for a set that has caught."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from setwright.desk.after_catch import after_catch, spare_of
from setwright.desk.plan import read_job


def test_the_list_is_filled_from_the_set(client: TestClient) -> None:
    told = client.get("/api/sets/hedge/after-catch").json()
    do = " ".join(one["here"] for one in told["do"])
    assert [one["what"][:12] for one in told["do"][:2]] == ["Let the pan ", "Clean blood,"]
    assert (
        "For red fox: 1.5 lbf to 3.0 lbf." in do and "3/8 in" in do.replace("⅜", "3/8") and "swivels must turn" in do
    )
    bring = {one["what"]: one["here"] for one in told["bring"]}
    assert bring["a dry trap of the same kind, its pan read"].startswith("No. 1")
    assert bring["dry cover for one bed"].endswith("gal") and bring["meat, as it was"] == ""
    note = [one["what"] for one in told["note"]]
    assert note[0] == "the catch" and any("report" in one.lower() or "tag" in one.lower() for one in note[2:])
    assert all(one["source"] for part in ("do", "bring", "note") for one in told[part])


def test_the_page_leads_to_the_log_and_back_and_stays_one_sheet(client: TestClient) -> None:
    page = client.get("/set/hedge/remake")
    assert page.status_code == 200 and "/log/new?kind=catch_target&amp;site=hedge" in page.text
    assert 'href="/set/hedge/remake"' in client.get("/set/hedge").text
    assert 'href="/set/hedge/remake"' in client.get("/log/set/hedge").text
    assert 'href="/set/hedge/remake"' in client.get("/log/new?kind=catch_target&site=hedge").text
    assert client.get("/log/new?kind=reset&site=hedge").status_code == 200
    assert client.get("/set/nowhere/remake").status_code == 404


@pytest.mark.parametrize("spoil", ["used", "repair"])
def test_a_trap_in_use_or_in_need_of_repair_is_no_spare(tmp_path: Path, book: Path, spoil: str) -> None:
    own = Path(shutil.copy(book, tmp_path / "line-book.yaml"))
    text = own.read_text("utf-8")
    text = text.replace("id: A-11, pattern: coil-1.75, count: 2,", "id: A-11, pattern: coil-1.75, count: 1,")
    rig = "    rig: {trap: A-11, chain: short-12, anchor: rod}\n"
    text += rig
    own.write_text(text, "utf-8")
    job = read_job(own, draws=4)
    assert spare_of(job, job.traps["A-01"]) == ["A-01", "A-02", "A-03", "A-04"]
    if spoil == "repair":
        own.write_text(text.replace("id: A-01, ", "id: A-01, state: repair, "), "utf-8")
        job = read_job(own, draws=4)
        assert spare_of(job, job.traps["A-01"]) == []
        return
    assert spare_of(job, job.traps["A-11"]) == []
    rigged = next(iter(job.stated.values()))
    told = after_catch(job, job.contexts["hedge"], rigged, ["animal"], None)
    assert "none is idle" in told.bring[0].here and "No trap of its kind is idle." in told.say
