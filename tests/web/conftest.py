"""The app of a small invented book, asked directly and through a real browser."""

from __future__ import annotations

import shutil
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from starlette.testclient import TestClient

from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.serve import bound, server_of

EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"


@pytest.fixture(scope="session")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("line")
    return Path(shutil.copy(EXAMPLE, folder / "line-book.yaml"))


@pytest.fixture(scope="session")
def line(book: Path) -> OpenLine:
    found = OpenLine(book, draws=60)
    found.now()
    return found


@pytest.fixture(scope="session")
def client(line: OpenLine) -> TestClient:
    return TestClient(create_app(line), base_url="http://127.0.0.1:8470")


def served(line: OpenLine) -> Iterator[str]:
    """The address of a line while it is served."""
    with bound(0) as made:
        server = server_of(line)
        worker = threading.Thread(target=server.run, kwargs={"sockets": [made]}, daemon=True)
        worker.start()
        for _ in range(200):
            if server.started:
                break
            time.sleep(0.05)
        yield f"http://127.0.0.1:{made.getsockname()[1]}"
        server.should_exit = True
        worker.join(10)


def watched(browser: Browser, **options: object) -> tuple[Page, list[str], list[str]]:
    """A page in a context of its own, with what it complains of and what it asks for."""
    page = browser.new_context(**options).new_page()
    faults: list[str] = []
    asked: list[str] = []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("request", lambda sent: asked.append(sent.url))
    return page, faults, asked


@pytest.fixture(scope="session")
def address(line: OpenLine) -> Iterator[str]:
    yield from served(line)


@pytest.fixture
def own_line(tmp_path: Path, book: Path, line: OpenLine) -> OpenLine:
    """A copy of the book with a log of its own; planned once for all of them."""
    found = OpenLine(Path(shutil.copy(book, tmp_path / "line-book.yaml")), draws=line.draws)
    found._kept = (found.stamp(), line.now())
    return found


@pytest.fixture
def desk(own_line: OpenLine) -> TestClient:
    return TestClient(create_app(own_line), base_url="http://127.0.0.1:8470")
