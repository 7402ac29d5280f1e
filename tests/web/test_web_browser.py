"""The pages in a real browser: both widths, both themes, with and without script."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from web.conftest import watched

PAGES = ("/", "/line", "/set/hedge", "/bench", "/bench/A-01", "/files", "/nothing")


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_pages_fit_and_ask_only_this_machine(browser: Browser, address: str, width: int, scheme: str) -> None:
    page, faults, asked = watched(browser, viewport={"width": width, "height": 850}, color_scheme=scheme)
    for path in PAGES:
        page.goto(address + path)
        wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wider <= 0, f"{path} is {wider} px wider than the screen"
        small = page.evaluate(
            "[...document.querySelectorAll('nav a, button, input, select')]"
            ".filter(e => e.offsetParent && e.getBoundingClientRect().height < 47.5).map(e => e.outerHTML)"
        )
        assert small == [], f"{path}: too small to touch"
    assert [url for url in asked if not url.startswith(address)] == []
    assert [text for text in faults if "404" not in text] == [], "the policy lets every page be as it is"
    page.context.close()


def test_figures_follow_the_form(browser: Browser, address: str) -> None:
    page, faults, _ = watched(browser)
    page.goto(f"{address}/set/hedge")
    before = page.locator("#changed .say").first.inner_text()
    page.locator("[name=trip_force]").fill("1 lbf")
    page.locator("[name=trip_force]").press("Tab")
    page.wait_for_selector("#changed:has-text('If pan set to 1.0 lbf')")
    assert page.locator("#changed .say").first.inner_text() != before
    assert page.url.endswith("/set/hedge?trip_force=1+lbf"), "the address says what is shown"
    assert page.evaluate("performance.getEntriesByType('navigation').length") == 1
    page.locator("[name=jaws]").select_option("offset")
    page.wait_for_selector("#changed:has-text('offset jaws')")
    page.locator("[name=trip_force]").fill("3")
    page.get_by_role("button", name="Work it out").click()
    page.wait_for_selector("#changed:has-text('Not changed')")
    assert "the unit is missing" in page.locator("#changed").inner_text()
    page.reload()
    assert page.locator("[name=trip_force]").input_value() == "3"
    assert faults == []
    page.context.close()


def test_the_same_without_script(browser: Browser, address: str) -> None:
    page, faults, _ = watched(browser, java_script_enabled=False)
    page.goto(f"{address}/set/hedge")
    page.locator("[name=trip_force]").fill("1 lbf")
    page.get_by_role("button", name="Work it out").click()
    assert "If pan set to 1.0 lbf" in page.locator("#changed").inner_text()
    page.get_by_role("link", name="as planned").click()
    assert "If pan set" not in page.locator("#changed").inner_text()
    assert faults == []
    page.context.close()


def test_by_keyboard_alone(browser: Browser, address: str) -> None:
    page, _, _ = watched(browser)
    page.goto(f"{address}/")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    assert page.url.endswith("#answer")
    page.goto(f"{address}/set/hedge")
    page.locator("[name=trip_force]").focus()
    page.keyboard.type("2 lbf")
    page.keyboard.press("Enter")
    page.wait_for_selector("#changed:has-text('If pan set to 2.0 lbf')")
    page.context.close()


def test_on_paper_no_controls(browser: Browser, address: str) -> None:
    page, _, _ = watched(browser)
    page.emulate_media(media="print")
    page.goto(f"{address}/set/hedge")
    assert not page.locator("#whatif").is_visible() and page.locator("#changed").is_visible()
    page.context.close()
