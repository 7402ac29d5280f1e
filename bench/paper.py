"""Speed of the paper: all handouts of the demo line, filled, with the drawings on them."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

from figure import Figure
from timing import seconds

from setwright.desk.demo import write_demo
from setwright.desk.handouts import HANDOUTS, handouts
from setwright.sheets.handouts import Style, make


def figures(folder: Path) -> Iterator[Figure]:
    """Wall-clock time of all handouts on two papers, and the work of the processor on the first of them."""
    book = write_demo(folder)
    spent: list[float] = []

    def all_of_them(paper: str) -> None:
        begun = time.process_time()
        pages = [pdf for _, pdf in make(handouts(book), Style(paper), book=book)]
        spent.append(time.process_time() - begun)
        assert len(pages) == len(HANDOUTS)

    note = f"{len(HANDOUTS)} handouts"
    yield Figure(
        "handouts of the demo line, letter", seconds(lambda: all_of_them("letter"), 2), "s", most=10.0, note=note
    )
    yield Figure("its work of the processor", min(spent), "s")
    yield Figure("the same on A5", seconds(lambda: all_of_them("a5"), 1), "s", most=10.0)
