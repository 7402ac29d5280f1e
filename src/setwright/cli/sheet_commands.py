"""The command that prints handouts."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def sheets(
    book: Annotated[
        Path | None, typer.Argument(metavar="BOOK", help="Line book to fill them from; blank sheets without.")
    ] = None,
    out: Annotated[Path | None, typer.Option(metavar="DIR", help="Folder for the PDFs; made when absent.")] = None,
    paper: Annotated[str, typer.Option(metavar="PAPER", help="letter, a4 or a5.")] = "letter",
    large: Annotated[bool, typer.Option("--large", help="Large print, on letter or a4.")] = False,
    only: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help="Only this handout; may be repeated.")
    ] = None,
    site: Annotated[
        str | None, typer.Option(metavar="SITE", help="Site (id or number) for sheets on one set.")
    ] = None,
    students: Annotated[int, typer.Option(metavar="N", help="Students of the course.")] = 12,
    pot: Annotated[str, typer.Option(metavar="VOLUME", help="Pot of the yearly treatment.")] = "20 gal",
    language: Annotated[
        str, typer.Option(metavar="LANGUAGE", help="Such as es; `setwright language` lists them.")
    ] = "en",
    names: Annotated[bool, typer.Option("--list", help="List the handouts and write nothing.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print what stands on them as JSON.")] = False,
) -> None:
    """Print handouts, one page each: blank, or filled from a line book."""
    from setwright.basis.errors import BadInput
    from setwright.desk.handouts import handouts, pot_of

    found = handouts(book, only=tuple(only or ()), site=site, students=students, pot=pot_of(pot))
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    if names:
        wide = max(len(one.name) for one in found.handouts)
        for one in found.handouts:
            typer.echo(f"{one.name:{wide}}  {one.title}{' (for students)' if one.student else ''}")
        return
    if out is None:
        raise BadInput("where shall the sheets go?", field="--out", found="nothing", allowed="a folder, or --list")
    from setwright.sheets.handouts import Style, write_handouts

    for path in write_handouts(found, out, Style(paper=_paper(paper), large=large, language=language), book=book):
        typer.echo(f"{path}")


def _paper(text: str) -> str:
    return text.strip().lower()
