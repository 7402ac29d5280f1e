"""What the cases of a study come to: in how many each choice is good, and what it holds there."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np

import setwright
from setwright.desk import study_document as doc
from setwright.desk.study_case import Row
from setwright.desk.study_file import FIGURES, Study, changes, levels

WHOLE = "all cases"
NOTES = (
    "A case is good when every answer asked for says meets; cannot tell is no meets.",
    "Welfare and practice are gates: a choice that breaks one is not weighed against its catch.",
    "Visits are guesses from sign: compare choices, which share their draws, rather than absolute numbers.",
    "Figures are in 100 waits of one check interval: the middle of the cases, then their least and greatest.",
)


def summed_up(study: Study, table: Sequence[Row]) -> doc.Study:
    """The document of a study from all its rows in order."""
    file = study.file
    first = next(iter(file.vary), None)
    rows = [WHOLE] if first is None else list(levels(file.vary[first]))
    choices = changes(study)
    cells = [_cell(study, row, choice, _those(table, first, row, choice)) for row in rows for choice in choices]
    best = [_best(row, [cell for cell in cells if cell.row == row]) for row in rows]
    settled = sum(one.good == one.cases for one in best)
    columns = list(dict.fromkeys(name for row in table for name in row))
    return doc.Study(
        program=setwright.__version__, digest=study.digest, name=file.name, meets=list(file.meets),
        rows=first or "", factors=study.factors, repeats=file.repeats, draws=file.draws, seed=file.seed,
        cells=cells, best=best,
        say=f"{len(table):,} cases; {settled} of {len(best)} rows have a choice that is good in all of theirs.",
        notes=list(NOTES), columns=columns, table=[dict(row) for row in table],
    )  # fmt: skip


def _those(table: Sequence[Row], first: str | None, row: str, choice: dict[str, str]) -> list[Row]:
    return [
        one
        for one in table
        if (first is None or one[first] == row) and all(one[name] == level for name, level in choice.items())
    ]


def _cell(study: Study, row: str, choice: dict[str, str], cases: Sequence[Row]) -> doc.Cell:
    answers = [_answers(study, case) for case in cases]
    good = sum(all(answer == "meets" for answer in each) for each in answers)
    bad = sum("breaks" in each for each in answers)
    figures = {name: _span([case[name] for case in cases]) for name in FIGURES}
    whys = Counter(_why(case) for case, each in zip(cases, answers, strict=True) if set(each) != {"meets"})
    return doc.Cell(
        row=row, choice=choice, cases=len(cases), good=good, bad=bad, untold=len(cases) - good - bad,
        why=whys.most_common(1)[0][0] if whys else "", **figures,
    )  # fmt: skip


def _answers(study: Study, case: Row) -> list[str]:
    """Every answer that is asked for, the chain's standing among them."""
    found = [case[name] for name in study.file.meets]
    if study.file.stands is not None:
        enough = {"sound": "meets", "thin": "meets" if study.file.stands == "thin" else "breaks"}
        found.append(enough.get(case["standing"], "cannot tell" if case["standing"] == "cannot tell" else "breaks"))
    return found


def _why(case: Row) -> str:
    """The gate or rule that stands in the way, or else the weakest link."""
    return str(case["why"]).split(":")[0] or f"{case['weakest']} {case['standing']}"


def _span(values: Sequence[float | None]) -> tuple[float, float, float] | None:
    known = [value for value in values if value is not None]
    if len(known) < len(values) or not known:
        return None
    return float(np.median(known)), min(known), max(known)


def _best(row: str, cells: Sequence[doc.Cell]) -> doc.Best:
    most = max(cell.good for cell in cells)
    order = sorted(cells, key=lambda cell: (-cell.good, cell.bad, -(cell.held[0] if cell.held else -1.0)))
    chosen = [cell for cell in order if cell.good == most] if most else []
    total = cells[0].cases
    if not chosen:
        why = Counter(cell.why for cell in cells if cell.why).most_common(1)
        say = "no choice is good in any case" + (f"; most often in the way: {why[0][0]}" if why else "")
    else:
        named = (f"{name.replace('_', ' ')} {level}" for name, level in chosen[0].choice.items())
        words = ", ".join(named) or "the rig as it is"
        more = f" (and {len(chosen) - 1} more choices)" if len(chosen) > 1 else ""
        held = "" if chosen[0].held is None else f"; holds {chosen[0].held[0]:.0f} in 100 waits"
        say = f"{words}: good in {most} of {total}{held}{more}"
    return doc.Best(row=row, choices=[cell.choice for cell in chosen], good=most, cases=total, say=say)
