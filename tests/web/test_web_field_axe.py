"""Field and log pages before a reader for the blind: nothing to object to, by day and by night."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from setwright.web.open_line import OpenLine
from web.harbour import Harbour

FIELD = ("next", "run", "cards", "card/track", "unsent", "set/hedge", "set/hedge/other", "set/hedge/other/set",
         "set/nowhere")  # fmt: skip
LOG = ("/log", "/log/set/track", "/log/new?kind=catch_target&site=track", "/log/sprung/track?ground=hoof marks",
       "/log/sheet")  # fmt: skip
FLOWS = (
    ("[data-found=armed]",),
    ("[data-found=held]", "[data-animal]", "[data-injury=seen]", "[data-scale=I03]"),
    ("[data-found=sprung]", "[data-ask]", "[data-look]"),
)


@pytest.fixture
def harbour(own_line: OpenLine) -> Iterator[Harbour]:
    found = Harbour(own_line)
    found.open()
    yield found
    found.close()


def objections(page: Page) -> list[tuple[str, list[str]]]:
    found = Axe().run(page).response["violations"]
    return [(one["id"], [node["html"][:140] for node in one["nodes"]]) for one in found]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(browser: Browser, harbour: Harbour, scheme: str) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844}, color_scheme=scheme, bypass_csp=True)
    page = context.new_page()
    page.goto(f"{harbour.address}/field")
    page.wait_for_selector("[data-found]")
    for place in FIELD:
        page.goto(f"{harbour.address}/field#/{place}")
        page.wait_for_timeout(200)
        assert objections(page) == [], place
    for marks in FLOWS:
        page.goto(f"{harbour.address}/field#/set/track")
        for mark in marks:
            page.locator(mark).first.click()
            page.wait_for_timeout(150)
        assert objections(page) == [], marks
        again = page.get_by_role("button", name="Start again")
        if again.count():
            again.click()
        else:
            page.locator(".again").first.click()
            page.wait_for_timeout(150)
    for path in LOG:
        page.goto(harbour.address + path)
        assert objections(page) == [], path
    context.close()
