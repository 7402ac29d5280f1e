"""A study on one worker and on two: how much of the second is gained."""

from __future__ import annotations

import shutil
from functools import partial
from pathlib import Path

from figure import Figure
from timing import seconds

from setwright.desk.study_engine import work
from setwright.desk.study_file import Study, read_study

EXAMPLE = Path(__file__).resolve().parents[1] / "docs" / "examples" / "study-practice"
TASKS = 24


def _done(asked: Study, workers: int) -> None:
    for _ in work(asked, range(TASKS), engine="processes", workers=workers):
        pass


def figures(folder: Path) -> list[Figure]:
    """Time of some tasks of the example on one and on two workers, both warm."""
    place = Path(shutil.copytree(EXAMPLE, folder / "study"))
    asked = read_study(place / "jaws-and-pans.yaml")
    taken = {}
    for workers in (1, 2):
        # The first tasks start the workers and fill their tables.
        list(work(asked, range(2 * workers), engine="processes", workers=workers))
        taken[workers] = seconds(partial(_done, asked, workers), 2)
    cases = TASKS * asked.rows / asked.tasks
    return [
        Figure("study, cases a second on one worker", cases / taken[1], "/s", digits=0),
        Figure("study, two workers over one", taken[1] / taken[2], "×", least=1.7),
    ]
