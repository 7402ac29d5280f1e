"""The command for one trap on the bench."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setwright.cli.in_units import in_units_of_book
from setwright.cli.options import AsJson, Drawings, Draws, Seed


@in_units_of_book
def trap(
    what: Annotated[
        str, typer.Argument(metavar="TRAP", help="Trap file (YAML), pattern, tag with --book, or `all` patterns.")
    ],
    book: Annotated[Path | None, typer.Option(metavar="BOOK", help="Line book whose outfit has the tag.")] = None,
    what_if: Annotated[
        list[str] | None,
        typer.Option(metavar="CHANGES", help="Such as springs=4,jaws=laminated,offset=6mm; may be repeated."),
    ] = None,
    frames: Annotated[
        bool, typer.Option("--frames", help="Slow motion: jaws, loop and force, step by step.")
    ] = False,
    step: Annotated[float, typer.Option(metavar="MS", min=0.1, max=20.0, help="Step of the slow motion.")] = 2.0,
    presses: Annotated[
        str | None, typer.Option(metavar="FORCE", help="What a student presses with one hand, such as '45 lbf'.")
    ] = None,
    weighs: Annotated[str | None, typer.Option(metavar="MASS", help="What the student weighs.")] = None,
    card: Annotated[Path | None, typer.Option(metavar="PDF", help="Write the bench card.")] = None,
    paper: Annotated[str, typer.Option(metavar="PAPER", help="Of the card: a5, letter or a4.")] = "a5",
    drawings: Drawings = None,
    json: AsJson = False,
    draws: Draws = 200,
    seed: Seed = 20,
) -> None:
    """Explain one trap: closing, grip, lock, springs, force to set it, pan, from its pattern and bench readings."""
    if what == "all" and book is None:
        from setwright.desk.bench import all_patterns

        sheets = all_patterns(draws)
        if json:
            typer.echo("[" + ",\n".join(one.model_dump_json(indent=2, by_alias=True) for one in sheets) + "]")
            return
        from setwright.cli.show_trap import print_patterns

        print_patterns(sheets)
        return
    from setwright.desk.bench import bench, student_of

    found = bench(
        what, book=book, what_if=what_if or (), student=student_of(presses, weighs),
        frame_step=step / 1000.0 if frames else None, drawn_too=card is not None or drawings is not None,
        draws=draws, seed=seed,
    )  # fmt: skip
    if card is not None or drawings is not None:
        from setwright.sheets.bench import write_card, write_drawings

        written = [] if card is None else [write_card(found, card, paper)]
        written += [] if drawings is None else write_drawings(found, drawings)
        for path in written:
            typer.echo(f"{path}", err=True)
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    from setwright.cli.show_trap import print_frames, print_trap

    print_frames(found) if frames else print_trap(found)
