"""The app: first paint, what-if through HTTP, many readers while one writes, memory, and what a device keeps."""

from __future__ import annotations

import datetime as dt
import re
import shutil
import statistics
import subprocess
import sys
import threading
import time
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import httpx
from figure import Figure
from playwright.sync_api import sync_playwright

from setwright.desk.demo import write_demo
from setwright.log import kinds
from setwright.web.field import shell

READERS, SECONDS, PAUSE, WRITES = 50, 10.0, 0.5, 0.2
BEGIN = dt.datetime(2026, 1, 10, 7, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
PAINT = """() => new Promise(done => new PerformanceObserver(list => {
  for (const one of list.getEntries()) if (one.name === 'first-paint') done(one.startTime);
}).observe({type: 'paint', buffered: true}))"""


@dataclass(frozen=True)
class Web:
    """First paint, what-if, 95 % point of readers and longest wait of the writer [ms]; memory [MB]; shell [kB]."""

    paint: float
    whatif: float
    readers: float
    answers: int
    writer: float
    memory: float
    shell: float

    def figures(self) -> list[Figure]:
        """All of it, as figures of the table."""
        return [
            Figure("first paint of the slowest of three pages", self.paint, "ms", most=300.0, digits=0),
            Figure("what-if of one set through HTTP", self.whatif, "ms", most=100.0, digits=0),
            Figure(
                f"{READERS} readers while one writes, 95 % point", self.readers, "ms", most=300.0, digits=0,
                note=f"{self.answers} answers",
            ),
            Figure("the same, the longest that the writer waited", self.writer, "ms", digits=0),
            Figure("memory of the server after that", self.memory, "MB", most=400.0, digits=0),
            Figure("field pages as a device takes them", self.shell, "kB", most=150.0, digits=0),
        ]  # fmt: skip


@contextmanager
def served(book: Path) -> Iterator[tuple[str, int]]:
    """The app in a process of its own: its address when the line is planned, and the number of the process."""
    words = [sys.executable, "-c", "from setwright.cli.main import main; main()", "web", str(book), "--port", "0"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            found = re.search(r"http://[\d.:]+", process.stdout.readline())
            assert found is not None, "the app says where it is"
            until = time.monotonic() + 600
            while httpx.get(f"{found[0]}/api/plan", timeout=60).status_code != 200:
                assert time.monotonic() < until, "the demo line is planned"
                time.sleep(0.5)
            yield found[0], process.pid
        finally:
            process.terminate()


def painted(address: str, pages: tuple[str, ...]) -> float:
    """First paint of the slowest page, the median of five, in a browser that has nothing kept [ms]."""
    found = []
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        for path in pages:
            times = []
            for _ in range(5):
                context = browser.new_context()
                page = context.new_page()
                page.goto(address + path)
                times.append(float(page.evaluate(PAINT)))
                context.close()
            found.append(statistics.median(times))
        browser.close()
    return max(found)


def changed(address: str, site: str) -> float:
    """Median of thirty changes of one set [ms]."""
    times = []
    with httpx.Client(base_url=address, timeout=60) as client:
        for k in range(31):
            begun = time.perf_counter()
            client.get(f"/api/sets/{site}/what-if", params={"trip_force": f"{2 + k / 20:.2f} lbf"}).raise_for_status()
            times.append(1000.0 * (time.perf_counter() - begun))
    return statistics.median(times[1:])


def event(site: str, number: int) -> dict[str, object]:
    """A look at a set that a device hands in."""
    when = (BEGIN + dt.timedelta(minutes=number)).isoformat()
    return {
        "id": str(uuid.uuid4()), "device": "bench", "kind": kinds.CHECKED, "time": when, "written": when,
        "set_id": site, "visit": str(uuid.uuid4()), "place": 0,
        "details": kinds.blank(kinds.CHECKED) | {"method": "in person"},
    }  # fmt: skip


def together(address: str, pages: tuple[str, ...], site: str) -> tuple[float, int, float]:
    """95 % point of what readers wait [ms], how many answers there were, and the longest wait of the writer [ms]."""
    waited: list[float] = []
    wrote: list[float] = []
    faults: list[str] = []
    stop = time.monotonic() + SECONDS

    def read(number: int) -> None:
        with httpx.Client(base_url=address, timeout=120) as client:
            time.sleep(PAUSE * number / READERS)
            while time.monotonic() < stop:
                begun = time.perf_counter()
                answer = client.get(pages[number % len(pages)])
                waited.append(1000.0 * (time.perf_counter() - begun))
                faults.extend([answer.text[:200]] if answer.status_code != 200 else [])
                time.sleep(PAUSE)

    def write() -> None:
        with httpx.Client(base_url=address, timeout=120) as client:
            headers, number = {"X-Token": client.get("/api/session").json()["token"]}, 0
            while time.monotonic() < stop:
                begun = time.perf_counter()
                answer = client.post("/api/events", json={"events": [event(site, number)]}, headers=headers)
                wrote.append(1000.0 * (time.perf_counter() - begun))
                faults.extend([] if answer.status_code == 200 and answer.json()["added"] else [answer.text[:300]])
                number += 1
                time.sleep(WRITES)

    workers = [threading.Thread(target=read, args=(number,)) for number in range(READERS)]
    workers.append(threading.Thread(target=write))
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert not faults, faults[0]
    return statistics.quantiles(waited, n=20)[-1], len(waited), max(wrote)


def memory(process: int) -> float:
    """What a process holds in memory [MB]; not known where the system does not tell it as Linux does."""
    try:
        told = Path(f"/proc/{process}/status").read_text(encoding="utf-8")
    except OSError:
        return float("nan")
    found = re.search(r"VmRSS:\s+(\d+) kB", told)
    return float("nan") if found is None else float(found[1]) / 1024.0


def shell_size(address: str) -> float:
    """Bytes over the wire of every file of the field pages [kB]."""
    total = 0
    with httpx.Client(base_url=address, timeout=60, headers={"Accept-Encoding": "gzip"}) as client:
        for path in (*shell(), "/field/worker.js"):
            with client.stream("GET", path) as answer:
                total += sum(len(part) for part in answer.iter_raw())
    return total / 1000.0


def measured(folder: Path) -> Web:
    """Measure everything on the demo line."""
    book = write_demo(folder)
    with served(book) as (address, process):
        sites = [part["site"]["id"] for part in httpx.get(f"{address}/api/plan", timeout=60).json()["sets"]]
        pages = ("/", "/line", f"/set/{sites[0]}")
        whatif, paint = changed(address, sites[0]), painted(address, pages)
        read = ("/", f"/set/{sites[0]}", f"/set/{sites[1]}", f"/api/sets/{sites[2]}")
        readers, answers, writer = together(address, read, sites[0])
        return Web(paint, whatif, readers, answers, writer, memory(process), shell_size(address))


if __name__ == "__main__":
    import tempfile

    with tempfile.TemporaryDirectory() as place:
        for one in measured(Path(place)).figures():
            print(f"{one.name}: {one.shown()}, wished {one.wished() or '–'} {one.note}")
