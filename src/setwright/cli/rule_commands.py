"""The commands for law packs, the season book and the schemas of files."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setwright.cli.in_units import in_units_of_book
from setwright.cli.options import AsJson, Book


@in_units_of_book
def law(
    pack: Annotated[str, typer.Argument(metavar="PACK", help="Law pack: a file (YAML), or one that comes along.")],
    book: Annotated[Path | None, typer.Option(metavar="BOOK", help="Line book to judge set by set.")] = None,
    site: Annotated[str | None, typer.Option(metavar="SITE", help="Only this site of the book.")] = None,
    on: Annotated[str | None, typer.Option(metavar="DATE", help="Day that is asked about: 2026-12-20.")] = None,
    json: AsJson = False,
) -> None:
    """Look a law pack over; with a book, judge every set by it, rule by rule, with citation and cure."""
    from setwright.desk.law import law as judge
    from setwright.desk.wording import day_of

    found = judge(pack, book=book, site=site, on=day_of(on, "--on"))
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    from setwright.cli.show_law import print_law

    print_law(found)


@in_units_of_book
def season(
    book: Book,
    out: Annotated[
        Path | None, typer.Option(metavar="DIR", help="Write season.html, .pdf, .json and tables of the harvest.")
    ] = None,
    accounts: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Prices, costs, colonies, a job to quote (YAML).")
    ] = None,
    store: Annotated[
        str | None, typer.Option(metavar="PLACE", help="Log elsewhere than beside the book: a file or postgresql://…")
    ] = None,
    learning: Annotated[
        bool, typer.Option("--learning/--no-learning", help="Show what the next plan learns from this log.")
    ] = True,
    json: AsJson = False,
) -> None:
    """Sum the log up: effort, catch, rigs, injuries, what is shown and what is not, harvest, money."""
    from setwright.desk.season import season_book
    from setwright.desk.season_accounts import read_accounts

    money = None if accounts is None else read_accounts(accounts)
    found = season_book(book, store=store, accounts=money, learning=learning)
    if out is not None:
        from setwright.sheets.season import write_season

        for path in write_season(found, out):
            typer.echo(f"{path}", err=True)
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    from setwright.cli.show_season import print_season

    print_season(found)


def schema(
    name: Annotated[
        str,
        typer.Argument(
            metavar="NAME",
            help="line-book, law-pack, trap, accounts, study; plan, design, tonight, bench, run, law, season, "
            "field-pack.",
        ),
    ],
) -> None:
    """Print the JSON Schema of a file format."""
    from setwright.desk.schemas import schema_of

    typer.echo(schema_of(name))
