"""The log at the desk: entries, corrections, duties, files, sprung traps; all of it in forms without script."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from setwright.desk.log import read, state, store_place
from setwright.log import kinds
from setwright.log.fold import Phase
from setwright.web.open_line import OpenLine
from setwright.web.person import Person
from web.field_events import ZONE, desk_of, entry

YESTERDAY = (dt.datetime.now(ZONE) - dt.timedelta(days=1)).strftime("%Y-%m-%d 15:00")


def sent(desk: TestClient, path: str, **fields: Any) -> Any:
    token = desk.get("/api/session").json()["token"]
    return desk.post(path, data={"token": token, **fields}, follow_redirects=False)


@pytest.fixture
def made(desk: TestClient) -> TestClient:
    """Both sets made yesterday."""
    for site in ("track", "hedge"):
        answer = sent(desk, "/log/new", kind="set", site=site, at=YESTERDAY, trip_force="3.5", tag_present="yes")
        assert answer.status_code == 303, answer.text
    return desk


def test_an_empty_log_says_how_to_begin_and_makes_no_file(desk: TestClient, own_line: OpenLine) -> None:
    page = desk.get("/log")
    assert page.status_code == 200 and "Nothing is written yet" in page.text and "set made" in page.text
    for path in ("/log/set/track", "/log/sprung/track", "/log/sheet", "/log/new?kind=checked&site=track"):
        assert desk.get(path).status_code == 200, path
    assert not Path(store_place(own_line.book)).exists()


def test_an_entry_from_a_form_is_in_the_log_with_units_and_what_the_book_knows(
    made: TestClient, own_line: OpenLine
) -> None:
    events = read(own_line.book)
    assert [one.kind for one in events] == ["set", "set"]
    assert events[0].details["trip_force"] == pytest.approx(3.5 * 4.4482, rel=1e-4)
    assert events[0].details["target"] == "red_fox" and events[0].details["tag_present"] is True
    page = made.get("/log")
    assert "look at the set" in page.text and "set made" in page.text and "3.5 lbf" in page.text


def test_a_catch_is_never_blank_about_injuries(made: TestClient, own_line: OpenLine) -> None:
    answer = sent(made, "/log/new", kind="catch_target", site="1", species="red_fox", injuries=["I01", "I03"])
    assert answer.status_code == 303
    assert read(own_line.book)[-1].details["injuries"] == ["I01", "I03"]
    assert sent(made, "/log/new", kind="catch_target", site="2", injuries="none").status_code == 303
    assert read(own_line.book)[-1].details["injuries"] == []
    assert sent(made, "/log/new", kind="catch_target", site="2").status_code == 303
    assert "injuries of a held animal" in made.get("/log").text, "what nobody wrote stays to be done"


@pytest.mark.parametrize(
    ("fields", "kept", "words"),
    [
        ({"kind": "proof_pull", "site": "track", "force": "much"}, "much", "not a number"),
        ({"kind": "checked", "site": "track", "at": "25:00"}, "25:00", "a time is needed"),
        ({"kind": "checked", "site": "track", "at": "2199-01-01 07:00"}, "2199-01-01 07:00", "a time to come"),
        ({"kind": "reset", "site": "track", "trip_force": "9 inches"}, "9 inches", ""),
    ],
)
def test_a_form_that_is_refused_keeps_what_was_typed_and_says_why_beside_it(
    made: TestClient, own_line: OpenLine, fields: dict[str, str], kept: str, words: str
) -> None:
    before = len(read(own_line.book))
    answer = sent(made, "/log/new", **fields)
    assert answer.status_code == 422 and f'value="{kept}"' in answer.text and words in answer.text
    assert 'aria-invalid="true"' in answer.text and "Traceback" not in answer.text
    assert len(read(own_line.book)) == before


@pytest.mark.parametrize(
    "fields", [{"kind": "nothing", "site": "track"}, {"kind": "checked", "site": "nowhere"}, {"kind": "checked"},
               {"kind": "void", "site": "track"}, {"kind": "checked", "site": "track", "colour": "red"}, {}],
)  # fmt: skip
def test_a_form_that_is_none_is_refused(made: TestClient, own_line: OpenLine, fields: dict[str, str]) -> None:
    assert sent(made, "/log/new", **fields).status_code == 422
    assert len(read(own_line.book)) == 2


def test_a_look_before_the_set_was_made_is_told(desk: TestClient) -> None:
    answer = sent(desk, "/log/new", kind="checked", site="track")
    assert answer.status_code == 422 and "no making is written" in answer.text


def test_an_entry_is_corrected_and_taken_back_and_its_first_words_stay(made: TestClient, own_line: OpenLine) -> None:
    sent(made, "/log/new", kind="catch_target", site="track", injuries="none", part="fore foot")
    name = read(own_line.book)[-1].id[:8]
    assert "It was wrong" in made.get(f"/log/entry/{name}").text
    answer = sent(
        made, f"/log/entry/{name}", act="correct", words="part=hind foot\nsex=female", reason="looked again"
    )
    assert answer.status_code == 303
    page = made.get(f"/log/entry/{name}").text
    assert "part fore foot" in page and "hind foot" in page and "corrected" in page and f"amends {name}" in page
    wrong = sent(made, f"/log/entry/{name}", act="correct", words="alive=perhaps")
    assert wrong.status_code == 422 and "alive=perhaps" in wrong.text and "yes or no" in wrong.text
    assert sent(made, f"/log/entry/{name}", act="correct", words="").status_code == 422
    assert sent(made, f"/log/entry/{name}", act="void", reason="another set").status_code == 303
    assert "voided" in made.get(f"/log/entry/{name}").text
    assert state(own_line.book).sets["track"].phase is Phase.ARMED
    assert made.get("/log/entry/ffffffff").status_code == 404 and made.get("/log/set/nowhere").status_code == 404


def test_the_story_of_a_set_holds_its_entries_only(made: TestClient) -> None:
    sent(made, "/log/new", kind="checked", site="hedge")
    page = made.get("/log/set/hedge").text
    assert page.count("armed, undisturbed") >= 1 and "/log/set/track" not in page and "last seen in person" in page


def test_a_duty_is_settled(made: TestClient) -> None:
    sent(made, "/log/new", kind="duty", act="write to the owner", due=YESTERDAY)
    page = made.get("/log").text
    assert "write to the owner" in page and "late" in page
    duty = re.search(r'name="duty" value="([^"]+)"', page)
    assert duty is not None
    assert sent(made, "/log/done", duty=duty[1]).status_code == 303
    assert 'name="duty"' not in made.get("/log").text


def test_a_sprung_trap_is_asked_for_its_cause_and_written(made: TestClient, own_line: OpenLine) -> None:
    first = made.get("/log/sprung/track")
    asked = re.findall(r'<input type="radio" name="(\w+)" value="([^"]+)"', first.text)
    assert asked and first.text.count("<fieldset>") == 1
    page = made.get("/log/sprung/track?ground=hoof marks")
    assert "stock or deer" in page.text and "Change one thing" in page.text
    assert sent(made, "/log/sprung/track", ground="hoof marks", at="").status_code == 303
    kept = read(own_line.book)[-1]
    assert kept.kind == kinds.SPRUNG and kept.details["evidence"] == "stock" and kept.details["change"]
    assert made.get("/log/sprung/track?ground=gold").status_code == 422
    assert made.get("/log/sprung/nowhere").status_code == 404


def test_files_go_out_and_in_and_nothing_comes_in_twice(made: TestClient, own_line: OpenLine) -> None:
    def put(name: str, body: bytes, **more: str) -> Any:
        token = made.get("/api/session").json()["token"]
        files = {"file": (name, body, "application/octet-stream")}
        return made.post("/log/import", data={"token": token, **more}, files=files)

    for ending in ("jsonl", "csv"):
        out = made.get(f"/log/export.{ending}")
        assert out.status_code == 200 and "attachment" in out.headers["content-disposition"]
        again = put(f"log.{ending}", out.content)
        assert (
            again.status_code == 200 and "0 entries taken in" in again.text and "2 were there already" in again.text
        )
    lines = "".join(json.dumps(one) + "\n" for one in (entry(1), entry(2, set_id="nowhere")))
    whole = put("phone.jsonl", lines.encode(), whole="yes")
    assert whole.status_code == 422 and len(read(own_line.book)) == 2
    part = put("phone.jsonl", lines.encode())
    assert part.status_code == 422 and "1 entries taken in" in part.text and "line 2" in part.text
    assert len(read(own_line.book)) == 3
    for name, body in (("a.txt", b"x"), ("a.jsonl", b"\xff\xfe"), ("a.csv", b"a,b\n"), ("", b"")):
        answer = put(name, body)
        assert answer.status_code == 422 and "Traceback" not in answer.text, name
    assert made.get("/log/export.exe").status_code == 404


def test_a_viewer_reads_the_log_and_writes_nothing(made: TestClient, own_line: OpenLine) -> None:
    assert made
    made = desk_of(own_line, Person("Vera", "viewer"))
    page = made.get("/log")
    assert page.status_code == 200 and "Write it down" not in page.text and "/log/import" not in page.text
    assert made.get("/log/new?kind=checked&site=track").status_code == 403
    for path in ("/log/new", "/log/done", "/log/import", "/log/sprung/track", "/log/entry/x"):
        assert sent(made, path, kind="checked", site="track").status_code == 403, path
    assert made.get("/log/export.jsonl").status_code == 403
    assert len(read(own_line.book)) == 2


def test_what_a_helper_writes_bears_his_name(made: TestClient, own_line: OpenLine) -> None:
    assert made
    assert (
        sent(desk_of(own_line, Person("Ada", "helper")), "/log/new", kind="checked", site="track").status_code == 303
    )
    assert read(own_line.book)[-1].visitor == "Ada"


@pytest.mark.parametrize("evil", ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "{{ 7 * 7 }}"])
def test_words_of_an_entry_stay_words(made: TestClient, own_line: OpenLine, evil: str) -> None:
    sent(made, "/log/new", kind="note", note=evil)
    name = read(own_line.book)[-1].id[:8]
    for path in ("/log", f"/log/entry/{name}", "/log?refused=" + evil, "/log?kept=" + evil):
        text = made.get(path).text
        assert "<script>" not in text and "<img" not in text, path
    assert "49" not in made.get(f"/log/entry/{name}").text.split("Entry")[1][:200] or not evil.startswith("{{")
