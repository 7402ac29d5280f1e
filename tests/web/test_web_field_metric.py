"""Entries typed in metric units, on the field pages and at the desk; what is kept is the same."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser
from starlette.testclient import TestClient

from setwright.desk.log import read
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from web.forms_of import forms_of
from web.harbour import Harbour, wait_count

# One pound-force in newtons (NIST Special Publication 811, B.8; by definition).
POUND = 4.4482216152605
US = re.compile(r"\d ?(?:lbf|lb|in|ft|mi|yd|mph|°F)\b")


@pytest.fixture
def metric_line(own_line: OpenLine) -> OpenLine:
    text = own_line.book.read_text(encoding="utf-8")
    own_line.book.write_text(text.replace("line:\n", "line:\n  units: metric\n", 1), encoding="utf-8")
    return OpenLine(own_line.book, draws=own_line.draws)


@pytest.fixture
def harbour(metric_line: OpenLine) -> Iterator[Harbour]:
    metric_line.now()
    found = Harbour(metric_line)
    found.open()
    yield found
    found.close()


def test_a_pull_typed_in_newtons_is_kept_in_newtons(browser: Browser, harbour: Harbour) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{harbour.address}/field")
    page.wait_for_selector("[data-found]")
    page.goto(f"{harbour.address}/field#/set/hedge/other/reset")
    page.wait_for_selector("#slot-trip_force")
    assert page.locator("label[for=slot-trip_force]").inner_text().endswith(", N")
    page.fill("#slot-trip_force", "15,5")
    page.locator("[data-write]").click()
    page.get_by_text("Written down: set 2").first.wait_for()
    page.goto(f"{harbour.address}/field#/set/track/other/level_at_mark")
    page.wait_for_selector("#slot-over_pan")
    assert page.locator("label[for=slot-over_pan]").inner_text().endswith(", mm")
    page.fill("#slot-over_pan", "35")
    page.locator("[data-write]").click()
    page.get_by_text("Written down: set 1").first.wait_for()
    # A desk that is reached is sent to at once, without being asked.
    wait_count(page, 0)
    kept = {one.kind: one.details for one in read(harbour.line.book)}
    assert kept["reset"]["trip_force"] == pytest.approx(15.5)
    assert kept["level_at_mark"]["over_pan"] == pytest.approx(0.035)

    def asked(draft: dict[str, Any]) -> Any:
        told = "{ try { return it.forceDetails(draft) } catch (error) { return error.message } }"
        call = f"(draft) => import('/field/set.js').then((it) => {told})"
        return page.evaluate(call, draft)

    assert asked({"force": "15", "forceUnit": "N"}) == {"trip_force": 15}
    # Typed before the units were chosen anew: its own unit goes with it.
    assert asked({"force": "3.5", "forceUnit": "lbf"})["trip_force"] == pytest.approx(3.5 * POUND)
    assert asked({"force": "3.5"})["trip_force"] == pytest.approx(3.5 * POUND)
    assert "newtons" in asked({"force": "500", "forceUnit": "N"}) and "pounds" in asked({"force": "101"})
    context.close()


def test_the_desk_asks_and_tells_in_metric(metric_line: OpenLine) -> None:
    client = TestClient(create_app(metric_line), base_url="http://127.0.0.1", follow_redirects=False)
    path = "/log/new?kind=set&site=hedge"
    metric_line.now()
    page = client.get(path).text
    assert '<span class="now">N</span>' in page and '<span class="now">mm</span>' in page and ">lbf<" not in page
    form = next(one for one in forms_of(page) if one.method == "post")
    sent = {**form.values, "trip_force": "15.5", "jaw_spread": "5 1/4 in"}
    assert client.post(form.action, data=sent).status_code == 303
    (kept,) = read(metric_line.book)
    assert kept.details["trip_force"] == pytest.approx(15.5) and kept.details["jaw_spread"] == pytest.approx(0.13335)
    told = re.sub(r"<[^>]+>", " ", client.get("/log").text)
    assert "trip force 15.5 N" in told and "jaw spread 133 mm" in told and not US.search(told)


def test_the_pack_for_the_field_is_in_metric(metric_line: OpenLine) -> None:
    metric_line.now()
    pack = TestClient(create_app(metric_line), base_url="http://127.0.0.1").get("/api/field-pack").json()
    assert pack["line"]["units"] == "metric"
    # Names of the trade, such as a 30 in stake, and "17 h 18 in hand" keep their words.
    words = re.sub(r"\d\d h \d\d in hand|30 in T-bar stake", "", json.dumps(pack, ensure_ascii=False))
    assert not US.findall(words) and re.search(r"\d (?:mm|cm|m|N|kg)\b", words)
