"""The outfit off the season: traps looked over, kept, mended or scrapped."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from setwright.desk.buying import buying
from setwright.desk.edit import changed, state_of
from setwright.desk.overhaul import overhauled
from setwright.desk.overhaul_document import TrapOverhaul
from setwright.desk.plan import read_job
from setwright.line import retouch
from setwright.web.open_line import OpenLine


def _token(page: str) -> dict[str, str]:
    return dict(re.findall(r'<input type="hidden" name="(token|seen)" value="([^"]*)"', page))


def _judged(book: Path) -> dict[str, TrapOverhaul]:
    return {one.trap: one for one in overhauled(read_job(book, draws=4)).traps}


@pytest.fixture
def loose(tmp_path: Path, book: Path) -> Path:
    """A copy of the book to write into."""
    return Path(shutil.copy(book, tmp_path / "line-book.yaml"))


def _read(path: Path, tag: str, **fields: object) -> None:
    from setwright.desk.edit_acts import trap_entry

    def act(data: object) -> None:
        for name, value in fields.items():
            retouch.put(trap_entry(data, tag), name, value)  # the whole map is checked when it is kept

    changed(path, "", "test", act)


def test_nothing_is_kept_unseen(client: TestClient) -> None:
    told = client.get("/api/outfit/overhaul").json()
    assert told["counts"] == {"scrap": 0, "repair": 0, "retune": 0, "cannot tell": 8, "keep": 0}
    assert all(one["unread"] and one["why"] for one in told["traps"])
    page = client.get("/outfit/overhaul").text
    assert "Of 8 traps: 8 cannot be told." in page and page.count("never") >= 8


def test_minutes_that_no_trap_is_worth_are_refused_and_the_list_stays(client: TestClient) -> None:
    answer = client.get("/outfit/overhaul?most=soon")
    assert answer.status_code == 422 and "5 to 600" in answer.text and "Trap by trap" in answer.text
    assert client.get("/api/outfit/overhaul?most=0.1").status_code == 422


def test_what_was_found_is_kept_and_the_next_trap_comes(desk: TestClient, own_line: OpenLine) -> None:
    page = desk.get("/outfit/look/A-01").text
    assert "Keep, and on to A-02" in page
    sent = {**_token(page), "frame": "cracked", "rest": "sound", "then": "next"}
    answer = desk.post("/outfit/look/A-01", data=sent, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/outfit/look/A-02")
    entry = state_of(own_line.book).data["outfit"]["traps"][0]
    assert entry["id"] == "A-01" and entry["looked"]["frame"] == "cracked" and entry["looked"]["dog"] == "square"
    told = _judged(own_line.book)
    assert told["A-01"].verdict == "scrap" and "cracks on" in told["A-01"].why
    assert told["A-02"].verdict == "cannot tell"


def test_a_word_that_is_none_is_refused_and_nothing_is_written(desk: TestClient, own_line: OpenLine) -> None:
    before = own_line.book.read_bytes()
    token = _token(desk.get("/outfit/look/A-01").text)
    answer = desk.post("/outfit/look/A-01", data={**token, "frame": "wobbly", "play": "<b>1"})
    assert answer.status_code == 422 and "straight, bent, cracked" in answer.text and "<b>1" not in answer.text
    assert desk.post("/outfit/look/A-01", data=token).status_code == 422
    assert desk.get("/outfit/look/Z-99").status_code == 404
    assert own_line.book.read_bytes() == before


def test_a_weak_spring_shows_against_the_others_of_its_kind(loose: Path) -> None:
    for tag, force in (("A-01", "31 lbf"), ("A-02", "30 lbf"), ("A-03", "30 lbf"), ("A-04", "18 lbf")):
        one = {"read": "lever_force", "value": force, "lever_angle": "10 deg"}
        _read(loose, tag, readings=[one])
    told = _judged(loose)
    weak = told["A-04"]
    assert weak.verdict == "repair" and any(
        "60 %" in one.found and "of 4 of its kind" in one.found for one in weak.findings
    )
    assert told["A-01"].verdict == "cannot tell" and not told["A-01"].findings
    parts = overhauled(read_job(loose, draws=4)).parts
    assert [(one.count, one.traps) for one in parts] == [(2, ["A-04"])]
    assert told["A-11"].unread and any("no force was read" in one.why.lower() for one in told["A-11"].unread)


def test_a_spring_is_held_against_what_it_was(loose: Path) -> None:
    def rate(value: str, day: str) -> dict[str, str]:
        return {"read": "spring_rate", "value": value, "date": day}

    _read(loose, "A-01", readings=[rate("30 lbf/in", "2024-05-01"), rate("20 lbf/in", "2026-05-01")])
    _read(loose, "A-02", readings=[rate("30 lbf/in", "2024-05-01"), rate("29.5 lbf/in", "2026-05-01")])
    told = _judged(loose)
    assert told["A-01"].verdict == "repair" and "2024-05-01" in told["A-01"].findings[0].found
    assert told["A-02"].verdict == "cannot tell" and not any("spring" in one.what for one in told["A-02"].unread[-2:])


def test_a_notch_that_creeps_is_retuned_and_play_wears_a_hinge_out(loose: Path) -> None:
    _read(loose, "A-11", notch={"overlap": "2 mm", "arm": "12 mm", "rake": "-5 deg"})
    _read(loose, "A-12", looked={"play": "3 mm"})
    _read(loose, "A-21", looked={"play": "0.3 mm"})
    told = _judged(loose)
    assert told["A-11"].verdict == "retune" and "unsafe to set" in told["A-11"].why
    assert told["A-12"].verdict == "repair" and told["A-12"].findings[0].what == "play of a jaw end in its hole"
    assert told["A-21"].verdict == "cannot tell"


def test_a_pan_outside_the_band_of_its_target_is_retuned(loose: Path) -> None:
    rig = {"trap": "A-11", "chain": "short-12", "anchor": "rod"}

    def act(data: dict[str, object]) -> None:
        sites = data["sites"]
        assert isinstance(sites, list)
        retouch.put(sites[0], "rig", rig)

    changed(loose, "", "test", act)
    _read(loose, "A-11", trip_force="9 lbf")
    told = _judged(loose)["A-11"]
    assert told.verdict == "retune" and told.stands == "track" and "red fox" in told.why


def test_what_one_more_trap_would_bring(client: TestClient) -> None:
    told = client.get("/api/outfit/gain?count=2").json()
    assert [one["site"] for one in told["sites"]] == ["track", "hedge"]
    assert all(one["owned_best"] and one["owned_held"] > 0.0 and not one["why"] for one in told["sites"])
    # What a pattern of the table brings more than what he has is less than the table is worth.
    assert len(told["buys"]) <= 2 and not any(one["told_apart"] for one in told["buys"])
    assert told["say"].endswith("more than the model can tell from nothing.")
    page = client.get("/outfit/gain?count=2")
    assert page.status_code == 200 and told["say"] in page.text and "not to be told from nothing" in page.text
    assert client.get("/outfit/gain?count=0").status_code == 422


def test_one_size_that_is_not_owned_is_the_first_to_buy(loose: Path) -> None:
    def act(data: dict[str, object]) -> None:
        outfit = data["outfit"]
        assert isinstance(outfit, dict)
        retouch.put(outfit, "traps", [{"id": "A-01", "pattern": "long-4", "jaws": "regular", "toothed": False}])

    changed(loose, "", "test", act)
    told = buying(loose, 2, draws=20)
    hedge = told.sites[1]
    assert hedge.owned_best == "" and hedge.buy_best and "spread" in hedge.why.lower()
    first = told.buys[0]
    assert (first.sites_more, first.site, first.owned, first.told_apart) == (1, "hedge", 0, True)
    assert [one.site for one in told.buys] == ["hedge", "track"] and "one to buy would" in told.say


def test_the_notch_says_how_much_to_file_and_where_to_stop(client: TestClient) -> None:
    empty = client.get("/bench/A-01/notch").text
    assert "Cannot tell yet" in empty and "Keep these readings" not in empty
    told = client.get("/bench/A-01/notch?overlap=3 mm&arm=12 mm&rake=-5 deg&travel=3 mm&force=3 lbf").text
    assert "creeps" in told and "Not to be set before it is squared." in told
    assert "0.3 mm off its high end, and stop there" in told and "Turn the bolt." in told
    assert "is the bolt" in told and "Keep these readings of A-01" in told
    stop = client.get("/bench/A-01/notch?overlap=1.2 mm&arm=12 mm&rake=2 deg&travel=0.5 mm&force=0.05 N")
    assert stop.status_code == 422
    stop = client.get("/bench/A-01/notch?overlap=1.2 mm&arm=12 mm&rake=2 deg&travel=0.5 mm&force=0.1 N").text
    assert "Stop at 1.0 mm of overlap" in stop and "Brush and polish it, do not deepen it" in stop


@pytest.mark.parametrize("words", ["overlap=3 lbf", "overlap=3 mm&arm=2 mm", "rake=90 deg", "moon=full"])
def test_a_notch_that_cannot_be_is_refused(client: TestClient, words: str) -> None:
    assert client.get(f"/bench/A-01/notch?{words}").status_code == 422


def test_a_notch_is_kept_and_can_be_seen_in_the_list_of_traps(desk: TestClient, own_line: OpenLine) -> None:
    token = _token(desk.get("/bench/A-02/notch?overlap=2 mm&arm=12 mm").text)
    sent = {**token, "overlap": "2 mm", "arm": "12 mm", "rake": "-15 deg"}
    assert desk.post("/bench/A-02/notch", data={**token, "overlap": "2 mm"}).status_code == 422
    assert desk.post("/bench/A-02/notch", data=sent, follow_redirects=False).status_code == 303
    told = _judged(own_line.book)["A-02"]
    assert told.verdict == "retune" and "lets go by itself" in told.findings[0].found


def test_treatment_and_cover_are_pages_and_answers(client: TestClient) -> None:
    told = client.get("/api/outfit/treatment?pot=10 gal").json()
    page = client.get("/outfit/treatment?pot=10 gal").text
    assert told["say"] in page and "Hot wax burns" in page and "/bench/A-01/readings" in page
    refused = client.get("/outfit/treatment?pot=<i>")
    assert refused.status_code == 422 and "<i>" not in refused.text
    season = client.get("/api/outfit/cover?weeks=4&anew=2").json()
    assert season["sets"] == 2 and season["say"] in client.get("/outfit/cover?weeks=4&anew=2").text
    # Every bed is filled once, eight times anew, and as often as the plan has it fired.
    assert all(bed["fillings"] >= 9.0 for bed in season["beds"])
    assert client.get("/outfit/cover?weeks=never").status_code == 422
    bench = client.get("/bench").text
    assert all(f'href="/outfit/{name}"' in bench for name in ("overhaul", "gain", "treatment", "cover"))
