"""What came of every small change: kept, summed up by room, shown as a table.

Usage: python proof/rows.py
"""

from __future__ import annotations

import csv
import sys
from dataclasses import dataclass, fields
from pathlib import Path

from scipy.stats import binomtest

ROOMS = ("trap", "tackle", "ground", "water", "weather", "animal", "sets", "log", "law")
KEPT = Path(__file__).resolve().parent / "mutants.csv"
DRAWN = Path(__file__).resolve().parent / "drawn.csv"
# A change is noticed by the tests as they were at the draw, or by one written since because it was not.
NOTICED, SLOW, MENDED = "noticed", "too slow", "noticed since"
SURVIVED, NOT_REACHED = "survived", "not reached"
_WORDS = ("room", "module", "kind", "outcome", "before", "after", "explanation")


@dataclass(frozen=True)
class Row:
    """One change and what came of it."""

    room: str
    module: str
    line: int
    kind: str
    occurrence: int
    outcome: str
    before: str
    after: str
    explanation: str = ""

    @property
    def name(self) -> tuple[str, str, str, str]:
        """What stays the same while the file moves around the line."""
        return self.module, self.kind, self.before, self.after

    @property
    def left(self) -> bool:
        """True where no test notices the change."""
        return self.outcome in (SURVIVED, NOT_REACHED)


def read(file: Path = KEPT) -> list[Row]:
    """Rows kept before; none where there is no file."""
    if not file.exists():
        return []
    with file.open(encoding="utf-8", newline="") as stream:
        return [
            Row(**{name: row[name] for name in _WORDS}, line=int(row["line"]), occurrence=int(row["occurrence"]))
            for row in csv.DictReader(stream)
        ]


def write(file: Path, rows: list[Row]) -> None:
    """Keep rows, sorted."""
    names = [field.name for field in fields(Row)]
    aside = file.with_suffix(".new")
    with aside.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(names)
        for row in sorted(rows, key=lambda row: (ROOMS.index(row.room), row.module, row.line, row.kind, row.after)):
            writer.writerow([getattr(row, name) for name in names])
    aside.replace(file)


def sizes(file: Path = DRAWN) -> dict[str, int]:
    """How many changes a room had when the last sample was drawn."""
    if not file.exists():
        return {}
    with file.open(encoding="utf-8", newline="") as stream:
        return {row["room"]: int(row["changes"]) for row in csv.DictReader(stream)}


def note_size(room: str, count: int, file: Path = DRAWN) -> None:
    """Keep how many changes a room has."""
    known = sizes(file) | {room: count}
    with file.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.writer(stream, lineterminator="\n")
        writer.writerow(["room", "changes"])
        writer.writerows([name, known[name]] for name in ROOMS if name in known)


def share(noticed: int, drawn: int) -> str:
    """Share in percent with its 95 % interval (Wilson)."""
    if drawn == 0:
        return "none drawn"
    band = binomtest(noticed, drawn).proportion_ci(0.95, method="wilson")
    return f"{100.0 * noticed / drawn:.0f} ({100.0 * band.low:.0f} to {100.0 * band.high:.0f})"


def table(rows: list[Row], known: dict[str, int]) -> list[str]:
    """Lines of a table in Markdown, one a room and their sum."""
    found = [
        "| room | changes | drawn | noticed at the draw, % | noticed since | left, explained | noticed now |",
        "|---|---|---|---|---|---|---|",
    ]
    for room in (*ROOMS, "all"):
        mine = [row for row in rows if room in (row.room, "all")]
        if not mine:
            continue
        since = sum(row.outcome == MENDED for row in mine)
        left = sum(row.left for row in mine)
        drawn = len(mine)
        count = sum(known.get(one, 0) for one in {row.room for row in mine})
        found.append(
            f"| {room} | {count} | {drawn} | {share(drawn - since - left, drawn)} | {since} | {left} "
            f"| {drawn - left} of {drawn} |"
        )
    return found


if __name__ == "__main__":
    print("\n".join(table(read(), sizes())))
    sys.exit(any(row.left and not row.explanation for row in read()))
