"""A study as a page that needs nothing else, a table of all cases, the grid as a drawing, and JSON."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import TYPE_CHECKING, Any

from setwright.draw import svg
from setwright.draw.study_grid import study_grid
from setwright.sheets import fonts, study_parquet
from setwright.sheets.page import templates
from setwright.sheets.svg_files import with_letters
from setwright.sheets.write import write_files

if TYPE_CHECKING:
    from setwright.desk.study_document import Cell, Study

DESK, PHONE = 1180.0, 340.0
NAMES = ("study.html", "study.json", "cases.csv", "grid.svg")


def grid(found: Study, width: float) -> str:
    """The grid of a study."""
    rows = [one.row for one in found.best]
    by_row = [[cell for cell in found.cells if cell.row == row] for row in rows]
    columns = [list(cell.choice.values()) or ["as it is"] for cell in by_row[0]]
    return study_grid(rows, columns, [[(c.good, c.untold, c.bad) for c in cells] for cells in by_row], width)


def span(figure: tuple[float, float, float] | None) -> str:
    """A figure over the cases: the middle, then the least and the greatest."""
    if figure is None:
        return "cannot tell"
    middle, low, high = figure
    return f"{middle:.1f} ({low:.1f} to {high:.1f})"


def choice_words(choice: dict[str, str]) -> str:
    """A choice for the rig in words."""
    return ", ".join(f"{name} {level}" for name, level in choice.items()).replace("_", " ") or "the rig as it is"


def cases_csv(found: Study) -> str:
    """Every case as a row; what cannot be told is an empty cell, and none begins like a formula."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(found.columns)
    for row in found.table:
        writer.writerow([_cell(row.get(name)) for name in found.columns])
    return out.getvalue()


def _cell(value: Any) -> Any:
    if value is None:
        return ""
    return f"'{value}" if isinstance(value, str) and value.startswith(("=", "+", "-", "@")) else value


def study_page(found: Study) -> str:
    """The study as a self-contained page without script; all words of the file are escaped."""
    from markupsafe import Markup

    made = templates()
    by_row: dict[str, list[Cell]] = {one.row: [c for c in found.cells if c.row == one.row] for one in found.best}
    return made.get_template("study.html").render(
        study=found, by_row=by_row, span=span, choice_words=choice_words, grid=Markup(grid(found, DESK)),
        style=Markup(made.get_template("sheet.css").render()), notice=Markup(fonts.NOTICE),
        faces=[(family, fonts.page_face(family)) for family in fonts.FACES], patterns=Markup(svg.PATTERNS),
    )  # fmt: skip


def write_study(found: Study, folder: Path, *, parquet: bool = False) -> list[Path]:
    """Write page, JSON, table of cases and grid into a folder, all or none; the cases as Parquet too when asked.

    Raises
    ------
    BadInput
        When the folder cannot be made or written, or Parquet is asked for and its library is not installed.
    """
    made = {
        "study.html": study_page(found).encode(),
        "study.json": (found.model_dump_json(indent=2, by_alias=True, exclude={"table"}) + "\n").encode(),
        "cases.csv": cases_csv(found).encode(),
        "grid.svg": with_letters(svg.standalone(grid(found, DESK))).encode(),
    }
    more = {study_parquet.NAME: study_parquet.cases_parquet(found)} if parquet else {}
    return write_files({name: made[name] for name in NAMES} | more, folder)
