"""Pages that only the app on the network has: login, invitation, people, logout, the page of the certificate."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from setwright.web.open_line import OpenLine
from setwright.web.people import people_of
from setwright.web.serve import Lan, on_network, over_network
from web.look_over import axe_faults, form_faults, keyboard_faults, paper_faults

SECRET = "heron kettle oblong fence"


@pytest.fixture(scope="module")
def lan(line: OpenLine, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lan]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SETWRIGHT_DATA", str(Path(tmp_path_factory.mktemp("own")) / "own"))
        people_of(line.book).add("Wren", "trapper")
        people_of(line.book).passcode("Wren", SECRET)
        found = on_network(0, "127.0.0.1")
        with over_network(line, found):
            yield found


def typed(page: Page, *words: str) -> None:
    """Words by keyboard alone: each into the field that the focus comes to next; Enter sends them."""
    for one in words:
        page.keyboard.press("Tab")
        page.keyboard.type(one)
    page.keyboard.press("Enter")


def to_field(page: Page, name: str) -> None:
    """Go on by Tab to the stop before a field."""
    stops = page.evaluate(
        "(name) => [...document.querySelectorAll('a[href],button,input:not([type=hidden]),select,textarea')]"
        ".filter(e => e.checkVisibility()).findIndex(e => e.name === name)",
        name,
    )
    assert stops >= 0
    for _ in range(stops):
        page.keyboard.press("Tab")


@pytest.mark.parametrize(("width", "scheme"), [(390, "light"), (1280, "dark")])
def test_they_read_well_go_by_keyboard_and_print(browser: Browser, lan: Lan, width: int, scheme: str) -> None:
    context = browser.new_context(
        ignore_https_errors=True, viewport={"width": width, "height": 850}, color_scheme=scheme
    )
    page, axe, wrong = context.new_page(), Axe(), []

    def looked(name: str, status: int, wanted: int = 200, *, skip: bool = True) -> None:
        faults = [*form_faults(page, status, wanted), *axe_faults(axe, page, whole=True)]
        theme = "dark" if scheme == "light" else "light"
        page.emulate_media(color_scheme=theme)
        faults += [f"{words} ({theme})" for words in axe_faults(axe, page, whole=False)]
        page.emulate_media(color_scheme=scheme)
        if width > 1000:
            reached = keyboard_faults(page)
            faults += reached if skip else [one for one in reached if "first stop" not in one]
            page.emulate_media(media="print")
            page.set_viewport_size({"width": 1040, "height": 700})
            faults += paper_faults(page)
            page.set_viewport_size({"width": width, "height": 850})
            page.emulate_media(media="screen")
        wrong.extend(f"{name}: {one}" for one in faults)

    for path in ("login", "invited"):
        looked(path, page.goto(lan.address + path).status)
    looked("the certificate", page.goto(lan.trusted_at).status, skip=False)

    page.goto(lan.address + "login")
    to_field(page, "name")
    with page.expect_navigation() as sent:
        typed(page, "Wren", "not it at all")
    looked("a wrong passcode", sent.value.status, 403)
    page.goto(lan.address + "login")
    to_field(page, "name")
    with page.expect_navigation():
        typed(page, "Wren", SECRET)
    assert page.url == lan.address, "in by keyboard alone"

    looked("people", page.goto(lan.address + "people").status)
    page.goto(lan.address + "people")
    to_field(page, "name")
    with page.expect_navigation() as sent:
        typed(page, f"Lark {width}")
    assert page.locator(".codeword").is_visible(), "invited by keyboard alone"
    looked("a code", sent.value.status)
    with page.expect_navigation() as sent:
        page.get_by_role("button", name=f"Take Lark {width} out").press("Enter")
    assert page.get_by_role("button", name=f"Take Lark {width} out").count() == 0
    looked("logout", page.goto(lan.address + "logout").status)
    with page.expect_navigation():
        page.get_by_role("button", name="Log out").press("Enter")
    assert page.url.endswith("/login"), "out by keyboard alone"
    assert wrong == []
    context.close()
