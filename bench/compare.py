"""Two runs of the measurements beside each other: what became slower, what became quicker."""

from __future__ import annotations

import json
import math
import sys
from pathlib import Path
from typing import Any

from figure import Figure
from rich.console import Console
from rich.table import Table

# Nearer than this to the other run, after both machines' own paces are taken out, is no news.
NEWS = 1.25
TIMES = ("s", "ms")
RATES = ("/s",)


def read(file: Path) -> tuple[dict[str, Any], dict[str, Figure]]:
    """A kept run: what it says of itself, and its figures by name.

    Raises
    ------
    SystemExit
        With words, when the file is no kept run.
    """
    try:
        found = json.loads(file.read_text(encoding="utf-8"))
        figures = {one["name"]: Figure(**one) for one in found["figures"]}
        float(found["pace"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise SystemExit(f"{file}: not a kept run of the measurements ({error})") from None
    return found, figures


def change(before: Figure, after: Figure, pace: float) -> float:
    """How much worse the later figure is: above 1 worse, below 1 better, NaN when neither way is better.

    Parameters
    ----------
    before, after : Figure
        The same figure of two runs.
    pace : float
        How much longer the later machine takes for the same plain work.
    """
    better_less = after.less_is_better
    if better_less is None or min(before.value, after.value) <= 0.0:
        return math.nan
    worse = after.value / before.value if better_less else before.value / after.value
    return worse / pace if after.unit in (*TIMES, *RATES) else worse


def compared(first: Path, second: Path) -> tuple[Table, list[str]]:
    """A table of both runs, and the figures that became worse."""
    one, before = read(first)
    two, after = read(second)
    pace = float(two["pace"]) / float(one["pace"])
    title = f"{first.name}, {second.name}; plain work takes {pace:.2f} times as long on the later machine"
    table = Table(title=title)
    for head, right in (("figure", False), ("before", True), ("after", True), ("times worse", True), ("", False)):
        table.add_column(head, justify="right" if right else "left")
    worse: list[str] = []
    for name in (*before, *(name for name in after if name not in before)):
        old, new = before.get(name), after.get(name)
        if old is None or new is None:
            table.add_row(name, old.shown() if old else "–", new.shown() if new else "–", "", "only in one")
            continue
        found = change(old, new, pace)
        missed = new.met is False and old.met is not False
        word = "wish missed" if missed else "worse" if found > NEWS else "better" if found < 1.0 / NEWS else ""
        if missed or found > NEWS:
            worse.append(name)
        table.add_row(name, old.shown(), new.shown(), "" if math.isnan(found) else f"{found:.2f}", word)
    return table, worse


def main(words: list[str]) -> int:
    """Compare two kept runs; 1 when something became worse."""
    table, worse = compared(Path(words[0]), Path(words[1]))
    screen = Console()
    screen = screen if screen.is_terminal else Console(width=130)
    screen.print(table)
    screen.print(f"Worse: {'; '.join(worse)}" if worse else "Nothing became worse.")
    return 1 if worse else 0


if __name__ == "__main__":
    if len(sys.argv) != 3:
        raise SystemExit("two kept runs are compared: compare.py BEFORE.json AFTER.json")
    sys.exit(main(sys.argv[1:]))
