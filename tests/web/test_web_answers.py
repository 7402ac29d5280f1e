"""Run, season and law in the app: what the desk worked out, on the page, on paper and as JSON."""

from __future__ import annotations

import datetime as dt
import re
import shutil
import threading
import time
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from fastapi import Request
from starlette.testclient import TestClient

from setwright.basis.errors import BadInput
from setwright.desk.law_document import LawSheet
from setwright.desk.log import add
from setwright.desk.red_list import red_list
from setwright.desk.run import run
from setwright.desk.run_document import RunDocument
from setwright.desk.season_document import SeasonBook
from setwright.desk.worth import worth
from setwright.web.app import create_app
from setwright.web.background import Background
from setwright.web.open_line import OpenLine
from setwright.web.person import Person

ROOT = Path(__file__).resolve().parents[2]
EXAMPLE = ROOT / "docs" / "examples" / "dogs-run.yaml"
TOO_LONG = ROOT / "docs" / "examples" / "run-too-long.yaml"
NOW = dt.datetime(2026, 11, 23, 12, tzinfo=ZoneInfo("America/New_York"))


def shown(client: TestClient, path: str) -> str:
    """A page, asked again while it is being worked out."""
    for _ in range(120):
        answer = client.get(path)
        if answer.status_code != 202:
            assert answer.status_code == 200, answer.text
            return answer.text
        assert "Look again now" in answer.text and answer.headers["refresh"] == "3"
        time.sleep(0.5)
    raise AssertionError(path)


@pytest.fixture(scope="module")
def logged(tmp_path_factory: pytest.TempPathFactory) -> OpenLine:
    own = Path(shutil.copy(EXAMPLE, tmp_path_factory.mktemp("answers") / "line-book.yaml"))
    add(own, ("1s", "tag_present=yes", "2s", "tag_present=yes"), at="2026-11-20T09:00-05:00", now=NOW)
    add(own, ("1a", "2t", "injuries=none", "alive=yes", "2d", "2r"), at="2026-11-21T09:00-05:00", now=NOW)
    return OpenLine(own, draws=50)


@pytest.fixture(scope="module")
def asked(logged: OpenLine) -> TestClient:
    return TestClient(create_app(logged), base_url="http://localhost")


def test_the_run_page_has_every_stop_with_its_limit(client: TestClient, book: Path) -> None:
    page = shown(client, "/run?day=1&days=1")
    found = run(book, "1", days=1)
    assert found.bears.say in page and found.checked.say.split(".")[0] in page
    for stop in found.days[0].stops:
        assert f"{stop.number} {stop.name}" in page
    assert "Take it into the field" in page and "Kit, by where it rides" in page
    told = RunDocument.model_validate(client.get("/api/run?day=1&days=1").json())
    assert told.days == found.days and told.sets == found.sets


def test_a_day_that_is_none_is_said_and_the_first_is_shown(client: TestClient) -> None:
    page = shown(client, "/run?day=soon&days=1")
    assert "Not shown:" in page and "not a day" in page and "Red list" in page
    assert client.get("/api/run?day=soon").status_code == 422
    for query in ("days=0", "days=99", "days=many"):
        assert client.get(f"/run?{query}").status_code == 422, query


def test_papers_of_the_run(client: TestClient) -> None:
    sheet = client.get("/run/run.pdf?day=1&days=1")
    assert sheet.status_code == 200 and sheet.content.startswith(b"%PDF")
    assert "holds alive" in client.get("/run/run.csv?day=1&days=1").text
    assert "<gpx" in client.get("/run/run.gpx?day=1&days=1").text
    assert client.get("/run/secret.txt").status_code == 422


def test_a_line_too_long_names_the_sets_and_why() -> None:
    found = run(TOO_LONG, "1", days=1)
    red = red_list(found)
    missed = {site for day in found.days for site in day.missed}
    assert missed and {one.site for one in red if one.word == "too late"} == missed
    for one in red:
        assert one.why and one.mend
        if one.word == "too late":
            assert ("Pull it" in one.mend) == (one.site in found.bears.pull)


def test_a_stop_near_its_limit_is_told() -> None:
    found = run(EXAMPLE, "1", days=1)
    day = found.days[0]
    near = [stop.model_copy(update={"left": 1800.0, "late_chance": 0.0}) for stop in day.stops[:1]]
    often = [stop.model_copy(update={"left": 9e4, "late_chance": 0.2}) for stop in day.stops[1:2]]
    red = red_list(found.model_copy(update={"days": [day.model_copy(update={"stops": [*near, *often]})]}))
    assert [one.word for one in red] == ["near the limit", "often late"]
    assert "20 of 100" in red[1].why
    calm = [stop.model_copy(update={"left": 9e4, "late_chance": 0.0}) for stop in day.stops]
    assert red_list(found.model_copy(update={"days": [day.model_copy(update={"stops": calm})]})) == []


def test_pull_or_stay_is_the_plan_times_the_visits(line: OpenLine, book: Path) -> None:
    plan, found = line.now().plan, run(book, "1", days=2)
    told = worth(plan, found, 4)
    assert {one.site for one in told} == {part.site.id for part in plan.sets}
    for one in told:
        part = next(part for part in plan.sets if part.site.id == one.site)
        held = next(each.held for each in part.outcome if each.species == part.site.target)
        service = next(each.service for each in found.sets if each.site == one.site)
        assert one.visits == 4 and one.minutes == pytest.approx(4 * service / 60.0)
        assert one.expected == pytest.approx((4 * held[0], 4 * held[1], 4 * held[2]))
        assert one.an_hour == pytest.approx(held[0] * 3600.0 / service)
    assert [one.an_hour for one in told] == sorted(one.an_hour for one in told)
    blind = plan.model_copy(update={"sets": [plan.sets[0].model_copy(update={"outcome": []})]})
    assert worth(blind, found)[0].an_hour is None, "what nothing can be told of is not a nought"


def test_positions_stay_with_those_who_may_see_them(line: OpenLine) -> None:
    app = create_app(line)

    @app.middleware("http")
    async def as_viewer(request: Request, call_next):
        request.state.person = Person("Wren", "viewer")
        return await call_next(request)

    viewer = TestClient(app, base_url="http://localhost")
    page, whole = (
        shown(one, "/run?day=1&days=1") for one in (viewer, TestClient(create_app(line), base_url="http://localhost"))
    )
    ways = re.compile(r"\b(?:truck|foot|boat)(?: to [^,]+)?, \d+ min")
    assert ways.search(whole) and not ways.search(page)
    assert "Map of the line" not in page and "run.gpx" not in page
    for path in ("/run/run.pdf?day=1", "/run/run.gpx?day=1", "/run/run.csv?day=1", "/api/run?day=1"):
        assert viewer.get(path).status_code == 403, path


def test_law_rule_by_rule_with_clause_and_cure(client: TestClient) -> None:
    page = shown(client, "/law")
    told = LawSheet.model_validate(client.get("/api/law").json())
    assert told.say in page.replace("&#39;", "'")
    for one in told.sets:
        for rule in one.rules:
            assert rule.citation.split('"')[0][:20] in page
    assert all(pack.title in page for pack in told.packs)
    assert any(rule.answer != "meets" for one in told.sets for rule in one.rules)
    assert page.count("Ask:") >= sum(bool(rule.question) for one in told.sets for rule in one.rules)


def test_law_on_a_day_when_the_pack_is_stale_and_on_no_day(client: TestClient) -> None:
    page = shown(client, "/law?on=2031-01-05")
    assert "Cannot be relied on" in page
    wrong = shown(client, "/law?on=someday")
    assert "Not judged:" in wrong and "not a day" in wrong and "Set by set" in wrong
    assert client.get("/api/law?on=someday").status_code == 422


def test_the_season_begins_with_the_first_entry(client: TestClient, asked: TestClient, logged: OpenLine) -> None:
    assert "Nothing to sum up yet" in client.get("/season").text
    assert client.get("/api/season").status_code == 422
    page = shown(asked, "/season")
    told = SeasonBook.model_validate(asked.get("/api/season").json())
    assert all(words in page for words in told.say) and "Duties to report" in page
    assert asked.get("/season/season.pdf").content.startswith(b"%PDF")
    assert "red_fox" in asked.get("/season/harvest.csv").text
    before = told.events
    add(logged.book, ("1a",), at="2026-11-22T09:00-05:00", now=NOW)
    assert asked.get("/api/season").json()["events"] == before + 1, "a new entry is summed up at once"


def test_money_is_on_the_page_and_in_the_interface_alike(asked: TestClient, logged: OpenLine) -> None:
    beside = logged.book.parent / "accounts.yaml"
    prices = "schema: setwright/accounts/1\ncurrency: crowns\nprices: {red_fox: {low: 8, likely: 15, high: 40}}\n"
    assert asked.get("/api/season").json()["money"] is None
    try:
        beside.write_text(prices, encoding="utf-8")
        told = asked.get("/api/season").json()["money"]
        assert told["currency"] == "crowns" and told["gross_animals"] == {"red_fox": 1}
        assert "crowns" in shown(asked, "/season")
        beside.write_text(prices.replace("low: 8", "low: 20"), encoding="utf-8")
        for answer in (asked.get("/api/season"), asked.get("/season")):
            assert "prices.red_fox" in answer.text and "accounts.yaml" in answer.text
    finally:
        beside.unlink()


def test_limits_by_the_log_stand_on_the_run_page(asked: TestClient) -> None:
    page = shown(asked, "/run?day=1&days=1")
    assert "By the log, now" in page and "last seen" in page


@pytest.fixture
def background() -> Background:
    return Background()


def test_a_slow_answer_is_waited_for_once_and_then_kept(background: Background) -> None:
    go, made = threading.Event(), []

    def slow() -> str:
        go.wait(10)
        made.append(1)
        return "done"

    assert background.ask("a", slow, 0.05) is None
    assert background.ask("a", slow, 0.05) is None
    go.set()
    assert background.ask("a", slow, None) == "done" and background.ask("a", slow) == "done" and made == [1]


def test_a_refused_answer_is_refused_each_time_and_tried_again(background: Background) -> None:
    tries = []

    def refused() -> str:
        tries.append(1)
        raise BadInput("not today")

    for _ in range(2):
        with pytest.raises(BadInput, match="not today"):
            background.ask("b", refused)
    assert len(tries) == 2
