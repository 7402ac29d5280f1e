"""The plan page in a real browser: fits, asks for nothing, logs no error, shows every set, can be read."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from setwright.desk.document import Plan
from setwright.sheets.page import plan_page
from sheets.example_plan import document, example

HOSTILE = (
    '<script>window.broken=1</script><img src=x onerror="window.broken=1">',
    '"><svg onload=window.broken=1> {{ 7*7 }} #import',
    "A-very-long-name-without-any-space-" * 6,
)
CONTRAST = """() => {
  const light = c => { const v = c.map(x => { x /= 255; return x <= .04045 ? x/12.92 : ((x+.055)/1.055)**2.4 });
    return .2126*v[0] + .7152*v[1] + .0722*v[2] };
  const read = text => text.match(/[\\d.]+/g).slice(0, 3).map(Number);
  const ground = light(read(getComputedStyle(document.documentElement).backgroundColor));
  let worst = 21;
  for (const node of document.querySelectorAll('main *, header *, footer *')) {
    // Title and description of a drawing are read out, not shown.
    if (['title', 'desc'].includes(node.tagName)) continue;
    if (![...node.childNodes].some(n => n.nodeType === 3 && n.textContent.trim())) continue;
    const style = getComputedStyle(node);
    if (style.display === 'none') continue;
    const ink = node.ownerSVGElement ? style.fill : style.color;
    if (!ink.startsWith('rgb')) continue;
    const l = light(read(ink));
    worst = Math.min(worst, (Math.max(l, ground) + .05) / (Math.min(l, ground) + .05));
  }
  return worst;
}"""


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "plan.html"
    path.write_text(plan_page(example()), encoding="utf-8")
    return path


def opened(browser: Browser, path: Path, width: int, scheme: Any = "light") -> tuple[Page, list[str]]:
    page = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=scheme).new_page()
    faults: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("request", lambda asked: None if asked.url.startswith(("file:", "data:")) else faults.append(asked.url))
    page.goto(path.as_uri())
    page.evaluate("document.fonts.ready.then(() => 1)")
    return page, faults


@pytest.mark.parametrize("width", [390, 768, 1280])
def test_the_page_fits_and_stands_alone(browser: Browser, written: Path, width: int) -> None:
    page, faults = opened(browser, written, width)
    over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
    assert over == 0, f"no sideways scroll at {width} px"
    assert faults == [], "no error and no outside request"
    assert page.evaluate("document.fonts.check('600 16px \"Archivo Narrow\"')"), "the labels' typeface is inside"
    assert page.evaluate("[...document.fonts].filter(f => f.status === 'loaded').length") == 2
    page.context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_all_text_is_seven_to_one(browser: Browser, written: Path, scheme: str) -> None:
    page, _ = opened(browser, written, 1280, scheme)
    assert page.evaluate(CONTRAST) >= 7.0, "text against its ground"
    page.context.close()


def test_hostile_names_are_shown_and_not_run(browser: Browser, tmp_path: Path) -> None:
    path = tmp_path / "hostile.html"
    path.write_text(plan_page(example(HOSTILE)), encoding="utf-8")
    for width in (390, 1280):
        page, faults = opened(browser, path, width)
        assert page.evaluate("window.broken") is None, "no word of the user runs"
        assert faults == []
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert over == 0, f"long names wrap at {width} px"
        for number, name in enumerate(HOSTILE, 1):
            assert page.locator(f"#set-{number}-h").inner_text().strip() == name.strip(), "the name as it was written"
        page.context.close()


def test_every_set_has_its_article_and_every_link_its_place(browser: Browser, written: Path) -> None:
    plan = example()
    page, _ = opened(browser, written, 1280)
    for part in plan.sets:
        article = page.locator(f"article#set-{part.site.number}")
        assert article.count() == 1
        words = article.inner_text()
        assert part.say in words
        assert part.must in words
        for link in part.links:
            assert link.question in words
        for caution in part.cautions:
            assert caution.text in words
        pan = part.trip_curve
        assert pan is not None
        for said in (pan.say, pan.rule, *pan.words, *(entry.reason for entry in pan.no_figure), *part.release):
            assert said in words, "what the pan does and does not do"
        assert "7.6 (1.9 to 19)" in words, "the cost at the end of the span"
        for gate in part.welfare:
            assert gate.criterion in words and gate.source in words
        for fact in part.bearing:
            assert fact.why in words and fact.source in words, "each fact with its source"
        assert part.record is not None and f"Record of the rig: {part.record.word}." in words
        assert "What will the night be?" in words, "what is not known is asked"
        assert "Held before it is seen: 7.5 h" in words
        assert article.locator("figure.desk svg[role=img]").count() == 3, "section and two curves"
        assert article.locator(".chain li").count() == 6
    missing = page.evaluate(
        "[...document.querySelectorAll('a[href^=\"#\"]')].map(a => a.getAttribute('href'))"
        ".filter(place => !document.querySelector(place))"
    )
    assert missing == [], "every anchor leads somewhere"
    page.context.close()


def test_structure_for_readers(browser: Browser, written: Path) -> None:
    page, _ = opened(browser, written, 1280)
    levels = page.evaluate("[...document.querySelectorAll('h1,h2,h3,h4')].map(h => +h.tagName[1])")
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels)), "no level is skipped"
    assert page.evaluate("document.querySelectorAll('th:not([scope])').length") == 0, "every header has its scope"
    assert page.evaluate("document.querySelectorAll('svg:not([aria-hidden]):not([aria-label])').length") == 0
    assert page.evaluate("document.querySelectorAll('script, link, iframe, img').length") == 0
    assert page.evaluate("document.querySelector('body').firstElementChild.className") == "skip"
    identifiers = page.evaluate("[...document.querySelectorAll('[id]')].map(n => n.id)")
    assert len(identifiers) == len(set(identifiers)), "each id once"
    page.context.close()


def test_marks_always_stand_beside_words(browser: Browser, written: Path) -> None:
    page, _ = opened(browser, written, 1280)
    alone = page.evaluate("[...document.querySelectorAll('.ans, .six li')].filter(n => !n.textContent.trim()).length")
    assert alone == 0
    page.context.close()


def test_it_prints_on_landscape_sheets(browser: Browser, written: Path) -> None:
    page, _ = opened(browser, written, 1280)
    paper = page.pdf(prefer_css_page_size=True)
    boxes = re.findall(rb"/MediaBox ?\[ ?0 0 ([\d.]+) ([\d.]+)", paper)
    assert boxes, "sheets were printed"
    assert all(abs(float(w) - 842) < 2 and abs(float(h) - 595) < 2 for w, h in boxes), "A4 landscape"
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    page.context.close()


def test_drawings_in_the_page_are_well_formed() -> None:
    found = re.findall(r"<svg xmlns.*?</svg>", plan_page(example()), re.DOTALL)
    assert len(found) == 2 + 3 * 6, "two cuts of the run, and of each section and each of two curves"
    for text in found:
        ET.fromstring(text)


def test_stand_in_records_and_unknowns_are_said() -> None:
    text = plan_page(example())
    assert "stand-in record" in text
    assert "cannot tell" in text
    assert "invented place" in text


def test_a_bare_plan_still_makes_a_page() -> None:
    data = document()
    for part in data["sets"]:
        part.update(
            trip_curve=None,
            hours_held=None,
            bearing=[],
            record=None,
            release=[],
            rigs=[],
            law=[],
            welfare=[],
            advice=[],
            steps=[],
            outcome=[],
            cautions=[],
        )
        part["figure"] = {"kind": part["figure"]["kind"]}
    data["run"]["stops"] = []
    data.update(kit=[], questions=[], cautions=[], notes=[])
    plan = Plan.model_validate(data)
    assert plan_page(plan).count("<article") == 3
    plan.sets.clear()
    assert "<article" not in plan_page(plan)


def test_the_same_plan_gives_the_same_page() -> None:
    assert plan_page(example()) == plan_page(example())
