"""The command that looks an installation over."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

WORDS = {"good": "good ", "mind": "mind ", "wrong": "WRONG"}


def self_check(
    book: Annotated[
        Path | None, typer.Argument(metavar="BOOK", help="Line book to look at as well, with its folder and log.")
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of words.")] = False,
) -> None:
    """Tell what is wrong with this installation and how to mend it; ends with 1 when something is wrong."""
    from setwright.desk.self_check import self_check as looked_over

    found = looked_over(book)
    wrong = [one for one in found if one.state == "wrong"]
    if json:
        import json as text

        typer.echo(text.dumps([one.model_dump() for one in found], indent=2, ensure_ascii=False))
    else:
        wide = max(len(one.what) for one in found)
        for one in found:
            typer.echo(f"{WORDS[one.state]}  {one.what:{wide}}  {one.found}")
            if one.remedy:
                typer.echo(f"       {'':{wide}}  remedy: {one.remedy}")
        typer.echo(
            "Nothing is wrong." if not wrong else f"{len(wrong)} wrong: {', '.join(one.what for one in wrong)}."
        )
    if wrong:
        raise typer.Exit(1)
