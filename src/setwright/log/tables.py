"""Tables of the log: what fires a trap that is found empty, and what one sees then."""

from __future__ import annotations

import csv
from functools import cache

from setwright.basis.errors import BadTable
from setwright.basis.tables import CONFIDENCE, DATA
from setwright.log.sprung import Cause, Look, Tree

_CAUSES, _LOOKS = "sprung_causes.csv", "sprung_looks.csv"
QUESTIONS = {
    "lies": "Where does the trap lie?",
    "chain": "Is the chain drawn tight?",
    "jaws": "What is between the jaws?",
    "ground": "What does the ground show?",
    "night": "What was the night like?",
}


def _rows(name: str) -> list[dict[str, str]]:
    path = DATA / "log" / name
    lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line and line[0] != "#"]
    rows = list(csv.DictReader(lines, strict=True))
    for row in rows:
        if row["confidence"] not in CONFIDENCE or not row["source"]:
            raise BadTable("a row needs its source and how sure it is", file=name, found=row)
    return rows


@cache
def sprung_tree() -> Tree:
    """Causes and looks of a trap that is found sprung and empty.

    Raises
    ------
    BadTable
        When a share is none, or those of one look do not sum to one.
    """
    causes = tuple(
        Cause(row["key"], row["medium"], _share(row["share"], _CAUSES), row["label"], row["evidence"], row["change"])
        for row in _rows(_CAUSES)
    )
    found: dict[str, dict[str, tuple[float, ...]]] = {}
    for row in _rows(_LOOKS):
        shares = tuple(_share(row[cause.key], _LOOKS) for cause in causes)
        found.setdefault(row["look"], {})[row["answer"]] = shares
    for name, answers in found.items():
        for number, cause in enumerate(causes):
            total = sum(shares[number] for shares in answers.values())
            if abs(total - 1.0) > 1e-6:
                raise BadTable(
                    "shares of one look do not sum to one", file=_LOOKS, field=f"{name}, {cause.key}", found=total
                )
    return Tree(causes, tuple(Look(name, QUESTIONS[name], answers) for name, answers in found.items()))


def _share(text: str, file: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not 0.0 <= value <= 1.0:
        raise BadTable("a share", file=file, found=text, allowed="0 to 1")
    return value
