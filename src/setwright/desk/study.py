"""Run a study: every case once, kept as it is done, taken up again after a break, summed up at the end."""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from setwright.basis.errors import BadInput
from setwright.desk import study_document as doc
from setwright.desk.study_case import Row
from setwright.desk.study_engine import work
from setwright.desk.study_file import Study, read_study
from setwright.desk.study_sums import summed_up

KEPT = "study-progress.jsonl"
Progress = Callable[[int, int], None]


def study(
    path: Path,
    folder: Path,
    *,
    engine: str = "serial",
    workers: int = 0,
    address: str | None = None,
    anew: bool = False,
    progress: Progress | None = None,
) -> doc.Study:
    """Run a study, or go on with one that was broken off.

    Parameters
    ----------
    path : Path
        Study file.
    folder : Path
        Where finished tasks are kept, one line each; what is there of the same study is not worked out again.
    engine, workers, address
        As `study_engine.work` has them.
    anew : bool
        Begin again, whatever the folder holds.
    progress : callable, optional
        Called with the number of finished tasks and of all.

    Returns
    -------
    Study
        All rows in the order of the file, whoever worked them out, and what they come to.

    Raises
    ------
    BadInput
        When the file cannot be used, a case cannot be worked out, or the folder holds another study.
    """
    asked = read_study(path)
    done: dict[int, list[Row]] = {}
    with _progress_of(asked, folder, anew) as (kept, file):
        done.update(kept)
        open_tasks = [number for number in range(asked.tasks) if number not in done]
        if progress is not None:
            progress(len(done), asked.tasks)
        for number, rows in work(asked, open_tasks, engine=engine, workers=workers, address=address):
            file.write(_line(number, rows))
            file.flush()
            os.fsync(file.fileno())
            done[number] = rows
            if progress is not None:
                progress(len(done), asked.tasks)
    rows = [row for number in range(asked.tasks) for row in done[number]]
    return summed_up(asked, rows)


@contextmanager
def _progress_of(asked: Study, folder: Path, anew: bool) -> Iterator[tuple[dict[int, list[Row]], IO[str]]]:
    """Tasks that were finished before, and the file to which those of now are added."""
    place = folder / KEPT
    try:
        folder.mkdir(parents=True, exist_ok=True)
        before = {} if anew or not place.exists() else _read(asked, place)
        head = json.dumps({"study": asked.digest, "tasks": asked.tasks}) + "\n"
        lines = (
            json.dumps({"task": number, "rows": rows}, ensure_ascii=False) + "\n" for number, rows in before.items()
        )
        # Written once more without what was torn at its end.
        beside = place.with_name(f".{KEPT}.part")
        beside.write_text(head + "".join(lines), encoding="utf-8")
        beside.replace(place)
        file = place.open("a", encoding="utf-8")
    except OSError as error:
        raise BadInput(
            "the study cannot be kept here", file=folder, found=error.strerror, allowed="a folder that can be written"
        ) from None
    with file:
        yield before, file


def _line(number: int, rows: list[Row]) -> str:
    return json.dumps({"task": number, "rows": rows}, ensure_ascii=False) + "\n"


def _read(asked: Study, place: Path) -> dict[int, list[Row]]:
    found: dict[int, list[Row]] = {}
    for number, line in enumerate(place.read_text(encoding="utf-8", errors="replace").split("\n"), start=1):
        try:
            one = json.loads(line)
            if number == 1:
                if one["study"] != asked.digest:
                    raise BadInput(
                        "this folder holds a study of other files or of another version", file=place,
                        allowed="another folder, or --anew to begin again",
                    )  # fmt: skip
            elif isinstance(one["rows"], list) and 0 <= one["task"] < asked.tasks:
                found[one["task"]] = one["rows"]
        except (ValueError, KeyError, TypeError):
            if number == 1:
                raise BadInput(
                    "this is not the progress of a study", file=place, allowed="another folder, or --anew"
                ) from None
            # A line that was cut off by a kill: its task is done again.
            continue
    return found
