"""Write a plan's files: all made first, then put into place one by one, so that no half plan is left."""

from __future__ import annotations

import errno
import os
import shutil
import tempfile
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk.document import Plan
from setwright.sheets.cards import set_cards
from setwright.sheets.page import plan_page
from setwright.sheets.tables import kit_csv, line_geojson, line_gpx, run_csv

MAKERS: dict[str, Callable[[Plan], bytes]] = {
    "plan.json": lambda plan: (plan.model_dump_json(indent=2, by_alias=True) + "\n").encode("utf-8"),
    "plan.html": lambda plan: plan_page(plan).encode("utf-8"),
    "set-cards.pdf": lambda plan: set_cards(plan),
    "kit.csv": lambda plan: kit_csv(plan).encode("utf-8"),
    "run.csv": lambda plan: run_csv(plan).encode("utf-8"),
    "line.geojson": lambda plan: line_geojson(plan).encode("utf-8"),
    "line.gpx": lambda plan: line_gpx(plan).encode("utf-8"),
}
NAMES = tuple(MAKERS)


def contents(plan: Plan) -> dict[str, bytes]:
    """Every file of the plan by name, wholly made."""
    return {name: make(plan) for name, make in MAKERS.items()}


def write_plan(plan: Plan, folder: Path) -> list[Path]:
    """Write the plan into `folder`, made when absent; returns the files in a fixed order.

    All contents are made before anything is written; each file is written beside its place and renamed. When
    that fails half-way, the files of an earlier plan come back and nothing new stays.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    return write_files(contents(plan), folder)


def write_files(made: Mapping[str, bytes], folder: Path) -> list[Path]:
    """Put files into `folder`, all or none.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    new: list[Path] = []
    beside: list[tuple[Path, Path]] = []
    try:
        new = [path for path in (folder, *folder.parents) if not path.exists()]
        folder.mkdir(parents=True, exist_ok=True)
        taken = next((folder / name for name in made if (folder / name).is_dir()), None)
        if taken is not None:
            raise IsADirectoryError(errno.EISDIR, f"{taken.name} is a folder")
        try:
            for name, content in made.items():
                handle, partial = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
                beside.append((Path(partial), folder / name))
                with os.fdopen(handle, "wb") as stream:
                    stream.write(content)
                    stream.flush()
                    os.fsync(stream.fileno())
                Path(partial).chmod(0o644)
            _put(beside)
        except BaseException:
            for path, _ in beside:
                path.unlink(missing_ok=True)
            raise
    except BaseException as error:
        for path in new:
            with suppress(OSError):
                path.rmdir()
        if not isinstance(error, OSError):
            raise
        raise BadInput(
            "the files cannot be written here",
            file=folder,
            found=error.strerror or "error",
            allowed="a folder that can be written",
        ) from None
    return [place for _, place in beside]


def _put(beside: Sequence[tuple[Path, Path]]) -> None:
    """Rename every file into its place; on a failure put back what stood there, then raise."""
    kept: dict[Path, Path] = {}
    reached: list[Path] = []
    try:
        for path, place in beside:
            if place.exists():
                kept[place] = path.with_name(f"{path.name}.kept")
                shutil.copy2(place, kept[place])
        for path, place in beside:
            reached.append(place)
            path.replace(place)
    except BaseException:
        for place in reached:
            if place in kept:
                kept[place].replace(place)
            else:
                place.unlink(missing_ok=True)
        raise
    finally:
        for path in kept.values():
            path.unlink(missing_ok=True)
