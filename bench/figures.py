"""Measure the figures of README.md in this folder and print them as a table."""

from __future__ import annotations

import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path

import evening
import holding
import one_set
from closing import measured
from rich.console import Console
from rich.table import Table
from timing import seconds

import line
import log

WHAT_IF = ("coil-1.5", "--what-if", "springs=4,jaws=laminated,offset=6mm")
EXAMPLE = Path(__file__).resolve().parents[1] / "docs" / "examples" / "bench-coil-four.yaml"


def command(*words: str, compiled: Path) -> None:
    """Run the command line in a process of its own, bytecode kept in `compiled`; a failure stops the measurement."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run(
        [sys.executable, "-c", "from setwright.cli.main import main; main()", *words],
        stdout=subprocess.DEVNULL, check=True, env={**kept, "PYTHONPYCACHEPREFIX": str(compiled)},
    )  # fmt: skip


def main() -> None:
    """Measure everything and print one table."""
    table = Table(title=f"setwright on Python {platform.python_version()}, {platform.machine()}")
    table.add_column("figure")
    table.add_column("measured", justify="right")
    table.add_column("wished for", justify="right")
    with tempfile.TemporaryDirectory() as folder:
        out, compiled = Path(folder) / "plan", Path(folder) / "compiled"
        demo = seconds(lambda: command("demo", "--no-serve", "--out", str(out), compiled=compiled), 1)
        book = next(iter(sorted(out.glob("*.yaml"))))
        first = seconds(lambda: command("set", str(book), "1", compiled=Path(folder) / "none"), 1)
        command("set", str(book), "1", compiled=compiled)
        one = seconds(lambda: command("set", str(book), "1", compiled=compiled), 5)
        start = seconds(lambda: command("--help", compiled=compiled), 5)
        trap = seconds(lambda: command("trap", *WHAT_IF, compiled=compiled), 5)
        read = seconds(lambda: command("trap", str(EXAMPLE), compiled=compiled), 5)
        command("log", "add", str(book), "1s", compiled=compiled)
        entry = seconds(lambda: command("log", "add", str(book), "1a", compiled=compiled), 5)
    found = measured()
    table.add_row("demo plan", f"{demo:.1f} s", "≤ 20 s")
    table.add_row("one set, new process", f"{one:.2f} s", "≤ 1.5 s")
    table.add_row("the same, nothing compiled yet", f"{first:.2f} s", "")
    table.add_row("help, new process", f"{start:.2f} s", "≤ 0.3 s")
    table.add_row("log add, new process", f"{entry:.2f} s", "≤ 0.4 s")
    table.add_row("trap --what-if, new process", f"{trap:.2f} s", "≤ 0.8 s")
    table.add_row("trap with fifteen readings, new process", f"{read:.2f} s", "")
    with tempfile.TemporaryDirectory() as folder:
        shown = (
            *found.rows(),
            *one_set.rows(Path(folder)),
            *holding.rows(),
            *evening.measured().rows(),
            *line.rows(),
            *log.measured(Path(folder) / "log").rows(),
        )
        for name, value, wished in shown:
            table.add_row(name, value, wished)
    Console().print(table)


if __name__ == "__main__":
    main()
