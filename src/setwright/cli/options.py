"""Arguments and options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Draws = Annotated[int, typer.Option(min=50, max=20000, help="Number of draws behind every band.")]
Seed = Annotated[int, typer.Option(min=0, max=2**31 - 1, help="Same seed, same draws.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of words.")]
Book = Annotated[Path, typer.Argument(metavar="BOOK", help="Line book (YAML).")]
Drawings = Annotated[Path | None, typer.Option(metavar="DIR", help="Write the drawings as SVG into a folder.")]
Log = Annotated[
    str | None,
    typer.Option("--log", metavar="PLACE", help="Learn from a log: a file, postgresql://…, or `beside`."),
]
Learning = Annotated[
    bool,
    typer.Option("--learning/--no-learning", help="With --log: learn from it, or plan by the book alone."),
]
