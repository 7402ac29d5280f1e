"""A progress bar on a terminal, nothing when piped."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def following() -> Iterator[Callable[[str], None]]:
    """Yield a function that is told the name of each piece of work as it begins."""
    if not sys.stderr.isatty():
        yield lambda _name: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, SpinnerColumn, TextColumn, TimeElapsedColumn

    columns = (SpinnerColumn(), TextColumn("{task.description:<40.40}"), BarColumn(), TimeElapsedColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("reading", total=None)
        yield lambda name: bar.update(task, description=name, advance=1)
