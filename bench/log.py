"""The log: a season book of 100,000 events, taking them in, and one entry from the command line."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from figure import Figure
from timing import seconds

from setwright.desk.demo import write_demo
from setwright.desk.log_files import take_in
from setwright.desk.season import summed_up
from setwright.line.book import read_book
from setwright.log.event import Event
from setwright.log.exchange import to_lines
from setwright.log.simulate import MadeUpAnimal, MadeUpSet, season
from setwright.log.store import Store

EVENTS, SETS, NIGHTS = 100_000, 800, 122


@dataclass(frozen=True)
class Log:
    """Seconds, and events a second."""

    book: float
    load: float
    taken: float
    sync: float

    def figures(self) -> list[Figure]:
        """Figures of the log."""
        return [
            Figure("season book of 100,000 events, after load", self.book, "s", most=1.0),
            Figure("loading them from SQLite", self.load, "s"),
            Figure("import of 100,000 events", self.taken, "/s", least=20_000.0, digits=0),
            Figure("sync of 5,000 events", self.sync, "s", most=3.0),
        ]


def _events() -> list[Event]:
    made = [
        MadeUpSet(
            f"S{k}", f"P{k}", "flat", "land", "red_fox", f"T{k}", f"R{k % 6}",
            {"red_fox": MadeUpAnimal(0.04, 0.5), "raccoon": MadeUpAnimal(0.02, 0.5, target=False)}, misfires=0.01,
        )
        for k in range(SETS)
    ]  # fmt: skip
    # One winter: the offset of the place does not change in it.
    begin = dt.datetime(2024, 11, 5, 8, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
    return season(made, begin, NIGHTS, 1)[:EVENTS]


def measured(folder: Path) -> Log:
    """Measure everything about the log, in files of its own."""
    path = write_demo(folder)
    book, _ = read_book(path)
    events = _events()
    file = folder / "events.jsonl"
    file.write_text(to_lines(events), encoding="utf-8")
    now = dt.datetime.now(dt.UTC)
    with Store(folder / "direct.db") as store:
        sync = seconds(lambda: store.append(events[:5000]), 1)
    taking = seconds(lambda: _taken(path, file, folder), 1)
    with Store(folder / "taken.db") as store:
        load = seconds(store.read, 1)
    return Log(seconds(lambda: summed_up(book, events, now=now), 3), load, len(events) / taking, sync)


def _taken(book: Path, file: Path, folder: Path) -> None:
    take_in(book, file, store=str(folder / "taken.db"))
