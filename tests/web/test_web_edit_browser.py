"""Building and editing a line in a real browser: first run, map, undo, files, two windows, packs, keyboard alone."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from setwright.line.book import read_book
from setwright.web.open_line import OpenLine
from setwright.web.serve import PATIENCE
from web.conftest import served

EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"
SLOW = 90_000
PAGES = ("/edit", "/edit/line", "/edit/site", "/edit/site/hedge", "/edit/outfit/traps/A-02", "/edit/outfit/chains",
         "/edit/covers", "/edit/animal/beaver", "/edit/text/sites/hedge", "/settings", "/settings/packs/orrin",
         "/start", "/start/line", "/start/law", "/start/traps", "/start/tackle", "/start/site", "/line")  # fmt: skip


class Open:
    """An app of its own with a page in the browser."""

    def __init__(self, browser: Browser, line: OpenLine, address: str, **options: Any) -> None:
        self.line, self.book, self.address = line, line.book, address
        self.faults: list[str] = []
        self.asked: list[str] = []
        self.page = self.another(browser, **options)

    def another(self, browser: Browser, **options: Any) -> Page:
        """One more window."""
        page = browser.new_context(base_url=self.address, **options).new_page()
        page.set_default_timeout(SLOW)
        page.on("console", lambda said: self.faults.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: self.faults.append(str(error)))
        page.on("request", lambda sent: self.asked.append(sent.url))
        return page


@pytest.fixture
def here(tmp_path: Path, browser: Browser) -> Iterator[Open]:
    """A folder with a book."""
    line = OpenLine(Path(shutil.copy(EXAMPLE, tmp_path / "line-book.yaml")), draws=50)
    line.now()
    line.patience = PATIENCE
    for address in served(line):
        found = Open(browser, line, address)
        yield found
        found.page.context.close()


@pytest.fixture
def empty(tmp_path: Path, browser: Browser) -> Iterator[Open]:
    """A folder without one."""
    line = OpenLine(tmp_path / "line-book.yaml", draws=50, patience=PATIENCE)
    for address in served(line):
        found = Open(browser, line, address, java_script_enabled=False)
        yield found
        found.page.context.close()


def test_from_nothing_to_the_first_plan_without_script(empty: Open) -> None:
    page = empty.page
    page.goto("/")
    page.get_by_role("link", name="Begin with the first question").click()
    page.get_by_label("name", exact=False).first.fill("Brook line")
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("orrin", exact=True).check()
    page.get_by_role("button", name="Go on").click()
    page.locator("[name='traps.0.pattern']").select_option("coil-2")
    page.locator("[name='traps.0.count']").fill("six")
    page.get_by_role("button", name="Go on").click()
    expect(page.locator("[aria-invalid]")).to_have_count(1)
    assert page.locator("[name='traps.0.count']").input_value() == "six", "what was typed stays"
    page.locator("[name='traps.0.count']").fill("6")
    page.get_by_role("button", name="Go on").click()
    page.get_by_role("button", name="leave it for later").click()
    page.locator("[name=name]").fill("Fence corner")
    page.locator("[name=position]").fill("36.1, -79.95")
    page.locator("[name=medium]").select_option("land")
    page.locator("[name=target]").select_option("red_fox")
    page.get_by_role("button", name="Plan the line").click()
    page.wait_for_url(f"{empty.address}/")
    expect(page.locator("h1")).to_have_text("Brook line")
    assert read_book(empty.book)[0].outfit.traps[0].count == 6
    assert empty.faults == [fault for fault in empty.faults if "503" in fault or "422" in fault]


def test_a_set_is_added_by_tapping_the_map_moved_by_dragging_and_undone(here: Open) -> None:
    page, before = here.page, here.book.read_bytes()
    page.goto("/line")
    page.wait_for_selector("#map-sheet .mapmark")
    page.get_by_role("button", name="Add a set").click()
    page.locator("#map-sheet").scroll_into_view_if_needed()
    box = page.locator("#map-sheet").bounding_box()
    assert box is not None
    page.mouse.click(box["x"] + box["width"] * 0.3, box["y"] + box["height"] * 0.3)
    page.wait_for_url(re.compile(r"/edit/site\?latitude="))
    assert re.fullmatch(r"-?\d+\.\d+, -?\d+\.\d+", page.locator("[name=position]").input_value())
    page.locator("[name=name]").fill("Tapped")
    page.locator("[name=medium]").select_option("land")
    page.locator("[name=target]").select_option("raccoon")
    page.get_by_role("button", name="Add it").click()
    page.wait_for_url(re.compile("/edit/site/tapped"))
    first = read_book(here.book)[0].sites[-1].position
    assert first is not None
    here.line.patience = None
    here.line.now()
    page.goto("/line")
    page.wait_for_selector("#map-sheet .mapmark")
    page.get_by_role("button", name="Move sets").click()
    pin = page.get_by_title("Set 3, Tapped")
    pin.scroll_into_view_if_needed()
    spot = pin.bounding_box()
    assert spot is not None
    page.mouse.move(spot["x"] + 24, spot["y"] + 16)
    page.mouse.down()
    page.mouse.move(spot["x"] + 84, spot["y"] + 56, steps=5)
    page.mouse.up()
    expect(page.locator("#map-say")).to_contain_text("Tapped: moved by")
    page.get_by_role("button", name="Keep the new place").click()
    page.wait_for_url(re.compile("/line#map"))
    second = read_book(here.book)[0].sites[-1].position
    assert second is not None and second.longitude > first.longitude and second.latitude < first.latitude
    page.goto("/edit")
    page.get_by_role("button", name="Undo: moved Tapped").click()
    page.get_by_role("button", name="Undo: added Tapped").click()
    expect(page.get_by_role("button", name="Do again: added Tapped")).to_be_visible()
    assert here.book.read_bytes() == before
    assert here.faults == [] and [url for url in here.asked if not url.startswith(here.address)] == []


def test_the_map_by_keyboard_alone(here: Open) -> None:
    page = here.page
    page.goto("/line")
    page.wait_for_selector("#map-sheet .mapmark")
    page.get_by_role("button", name="Add a set").focus()
    page.keyboard.press("Enter")
    page.locator("#map-sheet").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/edit/site\?latitude="))


def test_two_windows_do_not_write_over_each_other(here: Open, browser: Browser) -> None:
    one, two = here.page, here.another(browser)
    for page in (one, two):
        page.goto("/edit/site/hedge")
    one.locator("[name=note]").fill("first")
    one.get_by_role("button", name="Keep", exact=True).click()
    one.wait_for_url(re.compile("kept=1"))
    two.locator("[name=note]").fill("second")
    two.get_by_role("button", name="Keep", exact=True).click()
    expect(two.get_by_role("alert")).to_contain_text("sites hedge note: nothing became first")
    assert two.locator("[name=note]").input_value() == "second"
    two.get_by_role("button", name="Keep", exact=True).click()
    two.wait_for_url(re.compile("kept=1"))
    assert "note: second" in here.book.read_text(encoding="utf-8")
    two.context.close()


def test_waypoints_and_a_pack(here: Open, tmp_path: Path) -> None:
    page = here.page
    file = tmp_path / "places.gpx"
    file.write_text(
        '<gpx version="1.1" creator="x"><wpt lat="36.11" lon="-79.96"><name>Oak</name></wpt></gpx>', "utf-8"
    )
    page.goto("/settings")
    page.locator("#places [name=file]").set_input_files(file)
    page.locator("#places [name=medium]").select_option("land")
    page.locator("#places [name=target]").select_option("red_fox")
    page.get_by_role("button", name="Read places").click()
    expect(page.get_by_role("status").first).to_contain_text("Places added")
    assert read_book(here.book)[0].sites[-1].name == "Oak"
    page.goto("/settings/packs/orrin")
    page.locator("[name=new]").fill("my-county")
    page.get_by_role("button", name="Copy it").click()
    page.wait_for_url(re.compile("my-county.yaml"))
    text = page.locator("textarea").input_value()
    page.locator("textarea").fill(text.replace("kind: law", "kind: lore", 1))
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_role("alert")).to_contain_text("Not kept")
    expect(page.locator("#remarks-h + ul")).to_contain_text("kind: lore")
    page.locator("textarea").fill(text.replace("title:", "title: Mine,", 1))
    page.get_by_role("button", name="Keep", exact=True).click()
    expect(page.get_by_role("status")).to_have_text("Kept.")


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1280, "light")])
def test_pages_fit_are_large_enough_to_touch_and_told_to_all(
    here: Open, browser: Browser, width: int, scheme: str
) -> None:
    page = here.another(browser, viewport={"width": width, "height": 850}, color_scheme=scheme)
    for path in PAGES:
        page.goto(path)
        if path == "/line":
            page.wait_for_selector("#map-sheet .mapmark")
        wider = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wider <= 0, f"{path} is {wider} px wider than the screen"
        small = page.evaluate(
            "[...document.querySelectorAll('nav a, button, a.touch, .acts a, select, textarea, .leaflet-bar a,"
            " input:not([type=hidden])')].filter(e => e.offsetParent && !e.closest('.pick')"
            " && e.getBoundingClientRect().height < 47.5).map(e => e.outerHTML.slice(0, 120))"
        )
        assert small == [], f"{path}: too small to touch"
        picks = page.evaluate("[...document.querySelectorAll('.pick')].filter(e => e.offsetHeight < 47.5).length")
        assert picks == 0
        found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa"]})
        assert found.violations_count == 0, f"{path}: {found.generate_report()}"
    assert here.faults == []
    page.context.close()
