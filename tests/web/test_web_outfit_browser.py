"""Looking traps over in a browser: one after another, by keyboard, on a phone; nothing scrolls sideways."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser

from setwright.desk.edit import state_of
from setwright.web.open_line import OpenLine
from web.conftest import served, watched


@pytest.fixture
def own_address(own_line: OpenLine) -> Iterator[str]:
    yield from served(own_line)


def test_two_traps_are_looked_over_by_keyboard_and_the_list_tells(
    browser: Browser, own_line: OpenLine, own_address: str
) -> None:
    page, faults, asked = watched(browser, viewport={"width": 390, "height": 844})
    page.goto(f"{own_address}/outfit/look/A-01")
    page.get_by_label("rivets and pins").select_option("missing")
    page.get_by_label("I looked at all of it").press("Space")
    page.get_by_role("button", name="Keep, and on to A-02").press("Enter")
    page.wait_for_url("**/outfit/look/A-02")
    page.get_by_label("frame, laid on a flat board").select_option("cracked")
    page.get_by_role("button", name="Keep, and back to the list").press("Enter")
    page.wait_for_url("**/outfit/overhaul")
    entries = state_of(own_line.book).data["outfit"]["traps"]
    assert [one["looked"]["frame"] for one in entries[:2]] == ["straight", "cracked"]
    own_line.patience = None
    page.goto(f"{own_address}/outfit/overhaul")
    rows = page.locator("#traps tbody tr")
    assert "repair" in rows.nth(0).inner_text() and "scrap" in rows.nth(1).inner_text()
    assert "rivet" in page.locator("#parts").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    assert faults == [] and all(url.startswith(own_address) for url in asked)
    page.context.close()


def test_own_clock_is_read_by_everybody(browser: Browser, address: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, bypass_csp=True)
    page = context.new_page()
    page.goto(f"{address}/run/clock")
    page.get_by_label("minutes for a look at a set").fill("7")
    page.get_by_role("button", name="Work it out").click()
    page.wait_for_url("**look=7**")
    page.wait_for_selector("#setout")
    assert "2 of 2 daily sets" in page.locator("h1").inner_text()
    found = Axe().run(page).response["violations"]
    assert [one["id"] for one in found] == []
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
    context.close()
