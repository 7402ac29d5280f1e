"""Pictures a second of the slow motion at the width of a phone, with the processor of the browser slowed down."""

from __future__ import annotations

import shutil
import threading
import time
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from figure import Figure
from playwright.sync_api import CDPSession, sync_playwright

from setwright.web.open_line import OpenLine
from setwright.web.serve import bound, server_of

EXAMPLE = Path(__file__).resolve().parents[1] / "docs" / "examples" / "dogs-run.yaml"
PAGE = "/bench/A-01?what_if=springs%3D4"
SLOWER = 4
# Counts what the page paints while it plays, from the first picture after the press to the end of the closing.
COUNT = """() => new Promise(done => {
  const player = document.querySelector('slow-motion'), button = player.querySelector('button');
  const moments = [];
  const next = now => {
    moments.push(now);
    if (button.textContent === 'Play' && moments.length > 5) done(moments);
    else requestAnimationFrame(next);
  };
  button.click();
  requestAnimationFrame(next);
})"""


@dataclass(frozen=True)
class Motion:
    """Pictures a second, the share [%] that came more than half a step late, and the work for one picture [ms]."""

    rate: float
    late: float
    work: float

    def figures(self) -> list[Figure]:
        """All three, as figures of the table."""
        name = f"slow motion on a phone, processor {SLOWER} times slower"
        return [
            Figure(name, self.rate, "pictures/s", least=59.0, digits=0),
            Figure("the same, pictures that came late", self.late, "%", digits=1),
            Figure("the same, work of the page for one picture", self.work, "ms", most=1000.0 / 60.0, digits=1),
        ]


def measured(book: Path = EXAMPLE) -> Motion:
    """Play the closing of two traps side by side, without software that slows the screen down further."""
    line = OpenLine(book, draws=60)
    line.now()
    with bound(0) as made, sync_playwright() as play:
        server = server_of(line)
        worker = threading.Thread(target=server.run, kwargs={"sockets": [made]}, daemon=True)
        worker.start()
        while not server.started:
            time.sleep(0.05)
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_context(viewport={"width": 390, "height": 844}, device_scale_factor=2).new_page()
        page.goto(f"http://127.0.0.1:{made.getsockname()[1]}{PAGE}")
        inside = page.context.new_cdp_session(page)
        inside.send("Performance.enable")
        inside.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
        page.locator("slow-motion").scroll_into_view_if_needed()
        before = _busy(inside)
        moments = page.evaluate(COUNT)
        busy = _busy(inside) - before
        browser.close()
        server.should_exit = True
        worker.join(10)
    gaps = [second - first for first, second in pairwise(moments)]
    late = 100.0 * sum(gap > 25.0 for gap in gaps) / len(gaps)
    return Motion(1000.0 * len(gaps) / (moments[-1] - moments[0]), late, 1000.0 * busy / len(gaps))


def _busy(inside: CDPSession) -> float:
    """Time that the page has worked so far, s."""
    told = inside.send("Performance.getMetrics")["metrics"]
    return next(float(one["value"]) for one in told if one["name"] == "TaskDuration")


if __name__ == "__main__":
    for figure in measured().figures():
        print(figure.name, figure.shown(), figure.wished())
