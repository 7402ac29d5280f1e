"""Measure the figures of README.md in this folder, print them as a table and keep them."""

from __future__ import annotations

import argparse
import datetime as dt
import json
import os
import platform
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import evening
import field
import growth
import holding
import links
import one_set
import pages_motion
import paper
import peers
import sweep
from closing import measured
from figure import Figure
from rich.console import Console
from rich.table import Table
from timing import pace, seconds

import line
import log
import setwright
import web

WHAT_IF = ("coil-1.5", "--what-if", "springs=4,jaws=laminated,offset=6mm")
EXAMPLE = Path(__file__).resolve().parents[1] / "docs" / "examples" / "bench-coil-four.yaml"


def command(*words: str, compiled: Path) -> None:
    """Run the command line in a process of its own, bytecode kept in `compiled`; a failure stops the measurement."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run(
        [sys.executable, "-c", "from setwright.cli.main import main; main()", *words],
        stdout=subprocess.DEVNULL, check=True, env={**kept, "PYTHONPYCACHEPREFIX": str(compiled)},
    )  # fmt: skip


def commands(folder: Path) -> Iterator[Figure]:
    """Whole commands, each in a new process."""
    out, compiled = folder / "plan", folder / "compiled"
    yield Figure(
        "demo plan", seconds(lambda: command("demo", "--no-serve", "--out", str(out), compiled=compiled), 1), "s",
        most=20.0, digits=1,
    )  # fmt: skip
    book = str(next(iter(sorted(out.glob("*.yaml")))))
    first = seconds(lambda: command("set", book, "1", compiled=folder / "none"), 1)
    command("set", book, "1", compiled=compiled)
    one = seconds(lambda: command("set", book, "1", compiled=compiled), 5)
    yield Figure("one set, new process", one, "s", most=1.5)
    yield Figure("the same, nothing compiled yet", first, "s")
    yield Figure("help, new process", seconds(lambda: command("--help", compiled=compiled), 5), "s", most=0.3)
    command("log", "add", book, "1s", compiled=compiled)
    entry = seconds(lambda: command("log", "add", book, "1a", compiled=compiled), 5)
    yield Figure("log add, new process", entry, "s", most=0.4)
    trap = seconds(lambda: command("trap", *WHAT_IF, compiled=compiled), 5)
    yield Figure("trap --what-if, new process", trap, "s", most=0.8)
    read = seconds(lambda: command("trap", str(EXAMPLE), compiled=compiled), 5)
    yield Figure("trap with its readings, new process", read, "s")


def usual() -> Iterator[Figure]:
    """Every figure of the table, in order, as it is measured."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        yield from commands(folder / "commands")
        yield from measured().figures()
        yield from one_set.figures(folder)
        yield from holding.figures()
        yield from evening.measured().figures()
        yield from line.figures()
        yield from log.measured(folder / "log").figures()
        yield from web.measured(folder / "web").figures()
        yield from field.figures(folder / "field")
        yield from paper.figures(folder / "paper")
        yield from pages_motion.measured().figures()
        yield from peers.figures()
        yield from links.figures(folder)
        yield from sweep.figures(folder)


def shown(figures: list[Figure], title: str) -> Table:
    """The figures as a table."""
    table = Table(title=title)
    table.add_column("figure")
    table.add_column("measured", justify="right")
    table.add_column("wished for", justify="right")
    table.add_column("")
    for one in figures:
        name = f"{one.name} ({one.note})" if one.note else one.name
        table.add_row(name, one.shown(), one.wished(), {True: "", False: "missed", None: ""}[one.met])
    return table


def kept(file: Path, figures: list[Figure], own: float) -> None:
    """Keep a run as JSON, whole or not at all."""
    record = {
        "version": setwright.__version__, "python": platform.python_version(), "machine": platform.machine(),
        "cores": os.cpu_count(), "time": dt.datetime.now(dt.UTC).isoformat(timespec="seconds"), "pace": own,
        "figures": [one.record() for one in figures],
    }  # fmt: skip
    beside = file.with_name(file.name + ".part")
    beside.write_text(json.dumps(record, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    beside.replace(file)


def main() -> None:
    """Measure, print, keep."""
    parser = argparse.ArgumentParser(description="Measure speed.")
    parser.add_argument("--keep", type=Path, metavar="FILE", help="keep the figures as JSON")
    parser.add_argument("--growth", action="store_true", help="growth with sets, sites, events and draws too")
    asked = parser.parse_args()
    own = pace()
    figures = [*usual(), *(growth.figures() if asked.growth else ())]
    title = f"setwright {setwright.__version__} on Python {platform.python_version()}, {platform.machine()}"
    screen = Console()
    # A file or a pipe has room for whole names.
    (screen if screen.is_terminal else Console(width=130)).print(shown(figures, title))
    if asked.keep:
        kept(asked.keep, figures, own)


if __name__ == "__main__":
    main()
