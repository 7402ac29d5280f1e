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

import pytest
from axe_playwright_python.sync_playwright import Axe
from fastapi.routing import APIRoute
from playwright.sync_api import Browser, Page, Response

from setwright.desk.log import add
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.pages import PLACES
from setwright.web.serve import bound, server_of
from web.look_over import axe_faults, form_faults, keyboard_faults, paper_faults

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
# Pages that only the app on the network has; `test_web_lan_pages.py` looks after them.
NETWORK = {"/login", "/logout", "/invited", "/people"}
# Two of the four ways stand for all in daily work, the second of them at every other page.
WAYS = [
    (390, "light", 1),
    (1280, "dark", 2),
    pytest.param(1280, "dark", 1, marks=pytest.mark.slow),
    pytest.param(390, "dark", 1, marks=pytest.mark.slow),
    pytest.param(1280, "light", 1, marks=pytest.mark.slow),
]
WHOLE_AXE = {(390, "light"), (1280, "dark")}


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
    for _ in range(240):
        answer = page.goto(address)
        assert answer is not None
        if answer.status != 202:
            if is_page(answer):
                # The field pages are drawn by their script.
                page.wait_for_selector("h1", state="attached", timeout=10_000)
            return answer
        time.sleep(0.25)
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


@pytest.mark.parametrize(("width", "scheme", "each"), WAYS)
def test_pages_read_well(browser: Browser, served: tuple[str, list[str]], width: int, scheme: str, each: int) -> None:
    address, paths = served
    page = browser.new_context(viewport={"width": width, "height": 850}, color_scheme=scheme).new_page()
    faults: list[str] = []
    asked: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("request", lambda sent: asked.append(sent.url))
    axe, wrong = Axe(), []
    for path in paths[::each]:
        answer = opened(page, address + path)
        if not is_page(answer):
            continue
        wrong += [
            f"{path}: {words}"
            for words in (
                *faults,
                *form_faults(page, answer.status),
                *axe_faults(axe, page, whole=(width, scheme) in WHOLE_AXE),
            )
        ]
        faults.clear()
    assert wrong == []
    assert [url for url in asked if not url.startswith((address, "blob:" + address))] == []
    page.context.close()


def test_every_control_is_reached_by_keyboard_and_seen(browser: Browser, served: tuple[str, list[str]]) -> None:
    address, paths = served
    page = browser.new_context(viewport={"width": 1280, "height": 850}).new_page()
    wrong = []
    for path in paths:
        if not is_page(opened(page, address + path)):
            continue
        wrong += [f"{path}: {words}" for words in keyboard_faults(page)]
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
        wrong += [f"{path}: {words}" for words in paper_faults(page)]
    assert wrong == []
    page.context.close()


def test_the_paper_of_every_place_is_named() -> None:
    text = (EXAMPLE.parents[1] / "how" / "app.md").read_text(encoding="utf-8")
    named = [row.split("|")[1].strip() for row in text.split("## Paper for every page")[1].splitlines() if "|" in row]
    for _, name in PLACES:
        assert any(name in row for row in named), f"docs/how/app.md: which paper goes with {name}?"
