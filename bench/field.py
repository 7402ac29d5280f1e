"""The field pages: bytes of the shell, taps and seconds of a check, and 5,000 entries from a phone to the desk."""

from __future__ import annotations

import datetime as dt
import json
import shutil
import sys
import tempfile
import threading
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
from figure import Figure
from playwright.sync_api import Page, sync_playwright

from setwright.log import kinds
from setwright.web import field
from setwright.web.open_line import OpenLine
from setwright.web.serve import bound, server_of

EXAMPLE = Path(__file__).resolve().parents[1] / "docs" / "examples" / "dogs-run.yaml"
ENTRIES, BATCH = 5000, 500
WAYS = {
    "armed": ("[data-found=armed]", "[data-write]"),
    "sprung": ("[data-found=sprung]", "[data-sign=stock]", "[data-write]"),
    "will not work": ("[data-found=not]", "[data-cause=frozen]", "[data-write]"),
    "target held": ("[data-found=held]", "[data-animal]", "[data-write]"),
}
# Puts entries into the store of the device, as if they had been written there one by one.
FILL = """(records) => import("/field/app.js").then(async ({ keep }) => {
  await keep(records);
  return records.length;
})"""


@contextmanager
def _desk(folder: Path) -> Iterator[str]:
    """A desk with a log of its own."""
    folder.mkdir(parents=True, exist_ok=True)
    opened = OpenLine(Path(shutil.copy(EXAMPLE, folder / "line-book.yaml")), draws=60)
    opened.now()
    with bound(0) as made:
        server = server_of(opened)
        worker = threading.Thread(target=server.run, kwargs={"sockets": [made]}, daemon=True)
        worker.start()
        while not server.started:
            time.sleep(0.05)
        yield f"http://127.0.0.1:{made.getsockname()[1]}"
        server.should_exit = True
        worker.join(10)


def _records(count: int) -> list[dict[str, Any]]:
    begin = dt.datetime(2026, 1, 5, 7, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
    return [
        {
            "id": str(uuid.UUID(int=7 * 10**9 + k)), "device": "field-bench", "kind": kinds.CHECKED,
            "time": (begin + dt.timedelta(minutes=k)).isoformat(), "written": None,
            "set_id": ("track", "hedge")[k % 2], "trap_id": None, "rig_id": None, "visitor": None, "visit": None,
            "place": 0, "corrects": None, "details": {"method": "in person"},
        }
        for k in range(count)
    ]  # fmt: skip


def shell_bytes(address: str) -> int:
    """Bytes on the way to a device that opens the field pages for the first time, heads of the answers included."""
    total = 0
    for path in (*field.shell(), field.WORKER):
        with httpx.stream("GET", address + path, headers={"Accept-Encoding": "gzip"}) as answer:
            total += sum(len(part) for part in answer.iter_raw())
            total += sum(len(name) + len(value) + 4 for name, value in answer.headers.raw)
    return total


def sync_seconds(address: str) -> float:
    """Seconds for 5,000 entries in batches, from the first byte to the last receipt, by a bare client."""
    records = _records(ENTRIES)
    with httpx.Client(base_url=address, timeout=120.0) as client:
        token = {"X-Token": client.get("/api/session").json()["token"]}
        begun = time.perf_counter()
        for at in range(0, ENTRIES, BATCH):
            answer = client.post("/api/events", json={"events": records[at : at + BATCH]}, headers=token)
            assert len(answer.json()["added"]) == BATCH, answer.text
        return time.perf_counter() - begun


def _opened(page: Page, address: str) -> None:
    page.goto(f"{address}/field")
    page.wait_for_selector("[data-found]")


def check_seconds(page: Page, address: str, marks: tuple[str, ...]) -> float:
    """Seconds from the first tap to *written down*, the taps as fast as the page follows."""
    _opened(page, address)
    page.wait_for_timeout(500)
    begun = time.perf_counter()
    for mark in marks:
        page.locator(mark).first.click()
        sure = page.locator("[data-sure]")
        if mark == "[data-write]" and sure.count():
            sure.click()
    page.wait_for_function("() => document.getElementById('spoken').textContent.startsWith('Written down')")
    return time.perf_counter() - begun


def phone_seconds(page: Page, address: str) -> float:
    """Seconds from *Send now* until a phone with 5,000 entries has a receipt for every one of them."""
    _opened(page, address)
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    page.context.route("**/api/**", lambda route: route.abort())
    page.evaluate(FILL, _records(ENTRIES))
    page.goto(f"{address}/field#/unsent")
    page.wait_for_selector("[data-send]")
    page.context.unroute("**/api/**")
    begun = time.perf_counter()
    page.locator("[data-send]").click()
    page.wait_for_function("() => document.getElementById('count').textContent === '0'", timeout=300_000)
    return time.perf_counter() - begun


def figures(folder: Path) -> list[Figure]:
    """Every figure of the field pages, as measured."""
    found = []
    with _desk(folder / "bare") as address:
        found.append(Figure("field pages, on the way", shell_bytes(address) / 1000.0, "kB", most=150.0, digits=1))
        found.append(Figure("sync of 5,000 entries over HTTP", sync_seconds(address), "s", most=3.0))
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for name, marks in WAYS.items():
            with _desk(folder / name.replace(" ", "-")) as address:
                page = browser.new_context(viewport={"width": 390, "height": 844}).new_page()
                took = check_seconds(page, address, marks)
                found.append(Figure(f"check, {name}", took, "s", most=5.0, note=f"{len(marks)} taps"))
                page.context.close()
        with _desk(folder / "phone") as address:
            page = browser.new_context(viewport={"width": 390, "height": 844}).new_page()
            found.append(Figure("the same from a phone's own store", phone_seconds(page, address), "s", most=3.0))
            page.context.close()
        browser.close()
    return found


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        json.dump([one.record() for one in figures(Path(place))], sys.stdout, indent=1, ensure_ascii=False)
        print()
