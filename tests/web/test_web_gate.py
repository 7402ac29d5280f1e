"""Every page of the app, whoever made it: readable, usable by keyboard, on both widths and themes, and on paper."""

from __future__ import annotations

import datetime as dt
import re
import shutil
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from zoneinfo import ZoneInfo

import pypdfium2
import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi.routing import APIRoute
from playwright.sync_api import Browser, Page, Response

from setwright.desk.log import add
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.pages import PLACES
from setwright.web.serve import bound, server_of

EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"
NOW = dt.datetime(2026, 11, 23, 12, tzinfo=ZoneInfo("America/New_York"))
# One example for each parameter of a path; a page with another parameter needs one here.
EXAMPLES = {"site": "hedge", "tag": "A-01"}
# Whole addresses where the parameter alone does not do.
WHOLE = {
    "/edit/site/{key}": "/edit/site/hedge", "/edit/text/{where}": "/edit/text/book",
    "/edit/text/{where}/{name}": "/edit/text/sites/hedge", "/edit/outfit/{kind}": "/edit/outfit/chains",
    "/edit/outfit/{kind}/{name}": "/edit/outfit/traps/A-01", "/edit/animal/{animal}": "/edit/animal/red_fox",
    "/edit/animal": "/edit/animal?animal=red_fox", "/settings/packs/{name}": "/settings/packs/orrin",
    "/start/{step}": "/start/site",
    "/lessons/{name}": "/lessons/coils", "/lessons/{name}/quiz": "/lessons/coils/quiz",
}  # fmt: skip
# What is no page: files, pictures, scripts, typefaces, and the interface.
FILES = re.compile(
    r"^/(api|fonts|scripts|static|files/|style\.css|icon\.svg|run/|season/|field/|leaflet/|planned|lessons/skills/export"
    r"|settings/(book|log)$|log/export|.*\.pdf$)"
)
# Pages that only the app on the network has; `test_web_access.py` looks after them.
NETWORK = {"/login", "/logout", "/invited", "/people"}
# Two of the four ways stand for all in daily work.
WAYS = [
    (390, "light"),
    (1280, "dark"),
    pytest.param(390, "dark", marks=pytest.mark.slow),
    pytest.param(1280, "light", marks=pytest.mark.slow),
]
WHOLE_AXE = {(390, "light"), (1280, "dark")}
# On paper a form keeps its fields, which show what stands in them; nothing that is pressed is left.
PRESSED = "button, input[type=submit], input[type=file], nav a"
CONTROLS = "button, input:not([type=hidden]), select, textarea, nav a"


def _routes(of: object) -> Iterator[APIRoute]:
    """Every route of the app, those of its parts too."""
    for route in of.routes:
        inner = getattr(route, "original_router", None)
        if inner is not None:
            yield from _routes(inner)
        elif isinstance(route, APIRoute):
            yield route


def _paths(app: object) -> list[str]:
    found = []
    for route in _routes(app):
        if "GET" not in route.methods or FILES.match(route.path):
            continue
        path = route.path
        if path in NETWORK:
            continue
        path = WHOLE.get(path, path)
        for name in re.findall(r"{(\w+)(?::\w+)?}", path):
            assert name in EXAMPLES, f"{path}: give an example for {name}"
            path = re.sub(rf"{{{name}(?::\w+)?}}", EXAMPLES[name], path)
        found.append(path)
    return list(dict.fromkeys(found))


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, list[str]]]:
    """The app with a log beside its book, and the addresses of all its pages."""
    own = Path(shutil.copy(EXAMPLE, tmp_path_factory.mktemp("gate") / "line-book.yaml"))
    for day, words in (
        (20, ("1s", "tag_present=yes", "2s", "tag_present=yes", "trip_force=2 lbf")),
        (21, ("1a", "2t", "injuries=none", "alive=yes", "2d", "2r", "trip_force=2.2 lbf")),
        (22, ("1e", "2a")),
    ):
        kept = add(own, words, at=f"2026-11-{day}T09:00-05:00", now=NOW)
    WHOLE["/log/entry/{name}"] = f"/log/entry/{kept.events[0].id}"
    line = OpenLine(own, draws=60)
    line.now()
    paths = _paths(create_app(line))
    with bound(0) as made:
        server = server_of(line)
        worker = threading.Thread(target=server.run, kwargs={"sockets": [made]}, daemon=True)
        worker.start()
        while not server.started:
            time.sleep(0.05)
        yield f"http://127.0.0.1:{made.getsockname()[1]}", paths
        server.should_exit = True
        worker.join(10)


def opened(page: Page, address: str) -> Response:
    """Open a page; one that is still being worked out is asked again."""
    for _ in range(60):
        answer = page.goto(address)
        assert answer is not None
        if answer.status != 202:
            if is_page(answer):
                # The field pages are drawn by their script.
                page.wait_for_selector("h1", state="attached", timeout=10_000)
            return answer
        time.sleep(1.0)
    raise AssertionError(f"{address} was never worked out")


def is_page(answer: Response) -> bool:
    return "text/html" in answer.headers.get("content-type", "")


def test_all_places_of_the_navigation_are_pages(served: tuple[str, list[str]]) -> None:
    _, paths = served
    assert {
        "/",
        "/line",
        "/set/hedge",
        "/bench",
        "/bench/A-01",
        "/bench/A-01/readings",
        "/run",
        "/season",
        "/law",
        "/files",
    } <= set(paths)
    assert len(paths) == len(set(paths))


@pytest.mark.parametrize(("width", "scheme"), WAYS)
def test_pages_read_well(browser: Browser, served: tuple[str, list[str]], width: int, scheme: str) -> None:
    address, paths = served
    page = browser.new_context(viewport={"width": width, "height": 850}, color_scheme=scheme).new_page()
    faults: list[str] = []
    asked: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("request", lambda sent: asked.append(sent.url))
    axe, wrong = Axe(), []
    for path in paths:
        answer = opened(page, address + path)
        if not is_page(answer):
            continue
        wrong += [
            f"{path}: {words}"
            for words in (*faults, *_form(page, answer.status), *_axe(axe, page, whole=(width, scheme) in WHOLE_AXE))
        ]
        faults.clear()
    assert wrong == []
    assert [url for url in asked if not url.startswith((address, "blob:" + address))] == []
    page.context.close()


def _form(page: Page, status: int) -> list[str]:
    told = page.evaluate(
        """() => ({
        wider: document.documentElement.scrollWidth - document.documentElement.clientWidth,
        heads: document.querySelectorAll('h1').length, lang: document.documentElement.lang,
        title: document.title.trim(),
        small: [...document.querySelectorAll('nav a, button, select, input:not([type=hidden]):not([type=checkbox])' +
            ':not([type=radio])')].filter(e => e.offsetParent && e.getBoundingClientRect().height < 47.5)
            .map(e => e.outerHTML.slice(0, 120)),
        })"""
    )
    found = [] if status == 200 else [f"answers {status}"]
    if told["wider"] > 0:
        found.append(f"{told['wider']} px wider than the screen")
    if told["heads"] != 1:
        found.append(f"{told['heads']} heads")
    if told["lang"] != "en" or not told["title"]:
        found.append("no language or no title")
    return found + [f"too small to touch: {one}" for one in told["small"]]


def _axe(axe: Axe, page: Page, *, whole: bool) -> list[str]:
    # Every rule at both widths and in both themes; in the other two, what hangs on both together.
    only = {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
    both = {"type": "rule", "values": ["color-contrast", "target-size"]}
    options = {"runOnly": only if whole else both}
    found = axe.run(page, options=options).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:160]} ({len(one['nodes'])})" for one in found]


def test_every_control_is_reached_by_keyboard_and_seen(browser: Browser, served: tuple[str, list[str]]) -> None:
    address, paths = served
    page = browser.new_context(viewport={"width": 1280, "height": 850}).new_page()
    wrong = []
    for path in paths:
        if not is_page(opened(page, address + path)):
            continue
        page.keyboard.press("Tab")
        if page.evaluate("!document.activeElement || !document.activeElement.matches('a.skip')"):
            wrong.append(f"{path}: the first stop is no way past the navigation")
        elif page.evaluate("!document.querySelector(document.activeElement.getAttribute('href'))"):
            wrong.append(f"{path}: the way past the navigation leads nowhere")
        told = page.evaluate(
            """all => [...document.querySelectorAll(all)].filter(e =>
                e.checkVisibility() && !e.disabled).flatMap(e => {
                const name = e.outerHTML.slice(0, 100);
                if (e.tabIndex < 0) return [`not reached: ${name}`];
                e.focus({ focusVisible: true, preventScroll: true });
                if (document.activeElement !== e) return [`takes no focus: ${name}`];
                const style = getComputedStyle(e);
                const seen = style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2;
                return seen ? [] : [`focus not seen: ${name}`];
            })""",
            f"a[href], summary, {CONTROLS}",
        )
        wrong += [f"{path}: {words}" for words in told[:5]]
    assert wrong == []
    page.context.close()


def test_every_page_prints_itself_whole_and_without_controls(browser: Browser, served: tuple[str, list[str]]) -> None:
    address, paths = served
    # The width of an A4 sheet across, less its margins.
    page = browser.new_context(viewport={"width": 1040, "height": 700}).new_page()
    page.emulate_media(media="print")
    wrong = []
    for path in paths:
        if not is_page(opened(page, address + path)):
            continue
        told = page.evaluate(
            """controls => ({
            controls: [...document.querySelectorAll(controls)].filter(e => e.checkVisibility()).length,
            clipped: [...document.querySelectorAll('table')].filter(e => e.checkVisibility() &&
                (e.scrollWidth > e.clientWidth + 1 || e.getBoundingClientRect().right > innerWidth + 1)).length,
            shut: [...document.querySelectorAll('details')].filter(e => e.scrollHeight > 0 &&
                !e.lastElementChild.checkVisibility()).length,
            head: (document.querySelector('h1') || document.body).innerText.trim(),
            })""",
            PRESSED,
        )
        if told["controls"] or told["clipped"] or told["shut"]:
            wrong.append(f"{path}: {told}")
        paper = pypdfium2.PdfDocument(page.pdf(prefer_css_page_size=True))
        first = " ".join(paper[0].get_textpage().get_text_range().split())
        if "".join(told["head"].split()) not in "".join(first.split()):
            wrong.append(f"{path}: its head is not on the first sheet: {told['head']!r} not in {first[:80]!r}")
    assert wrong == []
    page.context.close()


def test_the_paper_of_every_place_is_named() -> None:
    text = (EXAMPLE.parents[1] / "how" / "app.md").read_text(encoding="utf-8")
    named = [row.split("|")[1].strip() for row in text.split("## Paper for every page")[1].splitlines() if "|" in row]
    for _, name in PLACES:
        assert any(name in row for row in named), f"docs/how/app.md: which paper goes with {name}?"
