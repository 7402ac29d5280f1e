"""A desk that can be reached, goes away, and comes back at the same address: no signal is not only pretended."""

from __future__ import annotations

import threading
import time
from typing import Any

import uvicorn
from fastapi import Request, Response
from playwright.sync_api import Error as BrowserError
from playwright.sync_api import Page

from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.person import Person
from setwright.web.serve import bound

FIELD = "setwright-field"


class Harbour:
    """The app of one line, at an address that stays the same."""

    def __init__(self, line: OpenLine) -> None:
        self.line = line
        # True: pages are given out, but nothing is answered to those who ask the interface.
        self.deaf = False
        with bound(0) as made:
            self.port = made.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"
        self.server: uvicorn.Server | None = None
        self.worker: threading.Thread | None = None

    def open(self, person: Person | None = None) -> None:
        """Be there, with a new secret as after any start."""
        app = create_app(self.line)
        if person is not None:

            @app.middleware("http")
            async def known(request: Request, call_next: Any) -> Any:
                request.state.person = person
                return await call_next(request)

        @app.middleware("http")
        async def heard(request: Request, call_next: Any) -> Any:
            if self.deaf and request.url.path.startswith("/api/"):
                return Response(status_code=503)
            return await call_next(request)

        made = bound(self.port)
        made.listen(64)
        self.server = uvicorn.Server(
            uvicorn.Config(app, log_level="critical", lifespan="off", timeout_graceful_shutdown=1)
        )
        self.worker = threading.Thread(target=self.server.run, kwargs={"sockets": [made]}, daemon=True)
        self.worker.start()
        while not self.server.started:
            time.sleep(0.02)

    def close(self) -> None:
        """Be gone."""
        if self.server is not None and self.worker is not None:
            self.server.should_exit = True
            self.server.force_exit = True
            self.worker.join(15)
            assert not self.worker.is_alive()
        self.server = None


def until(page: Page, told: str, seconds: float = 25.0) -> None:
    """Wait until something is true on the page; its policy lets no polling be built from text within it."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        try:
            if page.evaluate(told):
                return
        except BrowserError as error:  # the page is being loaded again
            if "Execution context" not in str(error) and "navigation" not in str(error):
                raise
        page.wait_for_timeout(60)
    raise AssertionError(f"not within {seconds:g} s: {told}; the page says: {page.locator('body').inner_text()}")


def aboard(page: Page, address: str) -> None:
    """Open the field pages and wait until they, and the pack, are on the device."""
    page.goto(f"{address}/field")
    page.wait_for_selector("html[data-ready]")
    page.wait_for_selector("[data-found]")
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    page.wait_for_selector("[data-found]")
    until(page, "navigator.serviceWorker.controller !== null")


def count(page: Page) -> int:
    """Entries that wait, as every screen shows them."""
    return int(page.locator("#count").inner_text())


def wait_count(page: Page, wanted: int) -> None:
    until(page, f"document.getElementById('count').textContent === '{wanted}'")


def rows(page: Page) -> list[dict[str, Any]]:
    """What lies in the store of the device."""
    found: list[dict[str, Any]] = page.evaluate(
        """() => new Promise((done, failed) => {
            const asked = indexedDB.open("setwright-field");
            asked.onerror = () => failed(asked.error);
            asked.onsuccess = () => {
                const all = asked.result.transaction("events").objectStore("events").getAll();
                all.onsuccess = () => { asked.result.close(); done(all.result); };
            };
        })"""
    )
    return found
