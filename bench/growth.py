"""How time grows: sets of a plan, sites of a check run, events of a season book, draws of a set."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

import numpy as np
from evening import line_of
from figure import Figure
from timing import seconds

import line
from setwright.desk.demo import write_demo
from setwright.desk.plan import read_job
from setwright.desk.season import summed_up
from setwright.line.assemble import plan_line
from setwright.line.book import read_book
from setwright.line.roll import roll
from setwright.log.simulate import MadeUpAnimal, MadeUpSet, season
from setwright.sets.evaluate import evaluate


def power(times: Mapping[int, float]) -> float:
    """Slope of log time over log size: 1 grows as the size, 2 as its square."""
    sizes = np.log(np.array(list(times), dtype=float))
    return float(np.polyfit(sizes, np.log(np.array(list(times.values()))), 1)[0])


def _curve(what: str, times: Mapping[int, float]) -> list[Figure]:
    found = [Figure(f"{what}: {size:,}", taken, "s", digits=2) for size, taken in times.items()]
    return [*found, Figure(f"{what}: time grows to the power of", power(times), digits=2)]


def _plan(folder: Path) -> dict[int, float]:
    def act(count: int) -> Callable[[], object]:
        book = line_of(count, folder)
        return lambda: plan_line(read_job(book, draws=100))

    act(2)()
    return {count: seconds(act(count), 1) for count in (10, 30, 100, 300, 1000)}


def _run() -> dict[int, float]:
    return {count: seconds(partial(roll, line.made(count)), 1) for count in (10, 30, 60, 150, 300)}


def _book(folder: Path) -> dict[int, float]:
    book, _ = read_book(write_demo(folder))
    begin = dt.datetime(2024, 11, 5, 8, 0, tzinfo=dt.timezone(dt.timedelta(hours=-5)))
    animals = {"red_fox": MadeUpAnimal(0.04, 0.5), "raccoon": MadeUpAnimal(0.02, 0.5, target=False)}
    now, found = dt.datetime(2025, 4, 1, tzinfo=dt.UTC), {}
    for count in (1_000, 10_000, 100_000, 1_000_000):
        sets = [
            MadeUpSet(f"S{k}", f"P{k}", "flat", "land", "red_fox", f"T{k}", f"R{k % 6}", animals, misfires=0.01)
            for k in range(max(10, count // 120))
        ]
        events = season(sets, begin, 122, 1)[:count]
        found[len(events)] = seconds(partial(summed_up, book, events, now=now), 1)
    return found


def _draws(folder: Path) -> dict[int, float]:
    book, found = write_demo(folder), {}
    for draws in (100, 300, 1_000, 3_000, 10_000):
        job = read_job(book, draws=draws)
        context, rig = job.contexts["ridge"], job.stated["ridge"]
        evaluate(context, rig, job.person)
        found[draws] = seconds(partial(evaluate, context, rig, job.person), 3)
    return found


def figures() -> list[Figure]:
    """Growth curves with the power that fits them."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        return [
            *_curve("plan, sets at 100 draws", _plan(folder)),
            *_curve("check run of 14 days, sites", _run()),
            *_curve("season book, events", _book(folder / "book")),
            *_curve("one set, draws", _draws(folder / "draws")),
        ]
