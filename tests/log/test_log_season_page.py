"""The season book in a real browser: fits, asks for nothing, can be read; its plots are drawn from its figures."""

from __future__ import annotations

import datetime as dt
import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from log.makers import EAST
from setwright.desk import season_document as doc
from setwright.desk.demo_season import demo_season
from setwright.desk.season import summed_up
from setwright.draw import season as plots
from setwright.line.book import read_book
from setwright.sheets.season import season_page
from sheets.test_sheets_page import CONTRAST, HOSTILE

DEMO = Path(__file__).resolve().parents[2] / "src" / "setwright" / "data" / "demo" / "line-book.yaml"


@pytest.fixture(scope="module")
def found() -> doc.SeasonBook:
    """The season book of the demo line."""
    book, _ = read_book(DEMO)
    learned = doc.Learned(
        what="visits a night", about="Ridge: fox", unit="1/night", before=(0.4, 0.1, 1.2), after=(0.2, 0.1, 0.3),
        rests_on="log", used=True,
    )  # fmt: skip
    now = dt.datetime(2027, 3, 1, 12, 0, tzinfo=EAST)
    return summed_up(book, demo_season(DEMO), learned=[learned], now=now)


def opened(browser: Browser, path: Path, width: int, scheme: str = "light") -> tuple[Page, list[str]]:
    page = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme).new_page()
    faults: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.on("request", lambda asked: None if asked.url.startswith(("file:", "data:")) else faults.append(asked.url))
    page.goto(path.as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(part => part.open = true)")
    return page, faults


def test_the_page_fits_and_can_be_read(browser: Browser, found: doc.SeasonBook, tmp_path: Path) -> None:
    path = tmp_path / "season.html"
    path.write_text(season_page(found), encoding="utf-8")
    for width, scheme in ((390, "light"), (390, "dark"), (1280, "light"), (1280, "dark")):
        page, faults = opened(browser, path, width, scheme)
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert over == 0 and faults == [], f"{width} px {scheme}"
        assert page.evaluate(CONTRAST) >= 7.0
        levels = page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map(h => +h.tagName[1])")
        assert levels[0] == 1 and levels.count(1) == 1
        assert all(after - before <= 1 for before, after in pairwise(levels)), "no level is skipped"
        assert page.evaluate("document.querySelectorAll('th:not([scope])').length") == 0
        assert page.evaluate("document.querySelectorAll('svg:not([aria-hidden]):not([aria-label])').length") == 0
        page.context.close()


def test_hostile_names_are_shown_and_not_run(browser: Browser, found: doc.SeasonBook, tmp_path: Path) -> None:
    path = tmp_path / "season.html"
    for evil in HOSTILE:
        rows = [row.model_copy(update={"rig": evil}) for row in found.shrunk[0].rows]
        shrunk = found.shrunk[0].model_copy(update={"rows": rows})
        bars = [(evil, counts) for _, counts in found.injury_bars]
        hostile = found.model_copy(update={"line": evil, "shrunk": [shrunk], "injury_bars": bars})
        path.write_text(season_page(hostile), encoding="utf-8")
        page, faults = opened(browser, path, 390)
        assert page.evaluate("window.broken") is None and faults == []
        assert page.locator("h1").inner_text().strip() == evil.strip()
        page.context.close()


@pytest.mark.parametrize("width", [350.0, 520.0, 880.0])
def test_plots_are_well_formed_and_hold_every_figure(found: doc.SeasonBook, width: float) -> None:
    made = [
        plots.catch_over_time(found.weeks, width),
        *(plots.forest(part, width) for part in found.shrunk),
        plots.pan_drift(found.pans, width),
        plots.injury_bars(found.injury_bars, width),
    ]
    for drawing in made:
        ET.fromstring(drawing)
        numbers = [float(x) for x in re.findall(r"[MLHV ]([-\d.]+)", " ".join(re.findall(r'd="([^"]+)"', drawing)))]
        assert numbers and all(-60 <= x <= 1200 for x in numbers), "nothing is drawn far outside"
    bars = made[-1]
    for rig, counts in found.injury_bars:
        assert rig in bars and f"n = {sum(counts.values())}" in bars
    assert made[0].count("url(#h-band)") == sum(week.rate is not None for week in found.weeks)
    for part, drawing in zip(found.shrunk, made[1:], strict=False):
        assert drawing.count("<circle") == sum(row.raw is not None for row in part.rows)


def test_plots_of_nothing_are_empty_and_no_fault() -> None:
    for drawing in (plots.catch_over_time([], 400.0), plots.pan_drift([], 400.0), plots.injury_bars([], 400.0)):
        ET.fromstring(drawing)
    flat = doc.Span(begins="2026-11-01", catches=0, nights=7.0, rate=0.0, low=0.0, high=40.0)
    ET.fromstring(plots.catch_over_time([flat], 400.0))
