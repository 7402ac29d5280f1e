"""The commands that open the app: on a line of one's own, or on the invented one."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setwright.cli.options import Draws, Seed


def web(
    book: Annotated[
        Path, typer.Argument(metavar="BOOK", help="Line book, or a folder; without a book there, one is begun.")
    ] = Path(),
    port: Annotated[int, typer.Option(min=0, max=65535, help="Port on 127.0.0.1; 0 takes a free one.")] = 8470,
    lan: Annotated[bool, typer.Option("--lan", help="Also over your own network, with https and a login.")] = False,
    lan_port: Annotated[
        int, typer.Option(min=0, max=65534, help="Port there; the next one has the certificate. 0 takes free ones.")
    ] = 8471,
    address: Annotated[
        str | None, typer.Option(metavar="ADDRESS", help="Address of this machine there, where it is not found.")
    ] = None,
    catalogue: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Catalogue (.po) of one more language.")
    ] = None,
    draws: Draws = 600,
    seed: Seed = 20,
) -> None:
    """Open a line in the browser of this machine: plan it, look at it, change it; or begin a new one."""
    from setwright.web.open_line import OpenLine
    from setwright.web.serve import PATIENCE, book_at, on_network, serve

    if catalogue is not None:
        from setwright.sheets.speech import own_catalogue

        own_catalogue(catalogue)
    line = OpenLine(book_at(book), draws=draws, seed=seed, patience=PATIENCE)
    serve(line, port, typer.echo, on_network(lan_port, address) if lan else None)


def demo(
    out: Annotated[Path, typer.Option(metavar="DIR", help="Folder for the demo line and its plan.")] = Path(
        "demo-plan"
    ),
    serve: Annotated[bool, typer.Option(help="Open the line in the app afterwards.")] = True,
    port: Annotated[int, typer.Option(min=0, max=65535, help="Port on 127.0.0.1; 0 takes a free one.")] = 8470,
) -> None:
    """Write an invented line, plan it, sum a made-up season of it up, and open it in the app on 127.0.0.1."""
    import time

    from setwright.cli.progress import following
    from setwright.cli.show import plan_words
    from setwright.desk.demo import write_demo
    from setwright.desk.demo_season import write_demo_season
    from setwright.desk.season import season_book
    from setwright.sheets.season import write_season
    from setwright.sheets.write import write_plan
    from setwright.web.open_line import OpenLine
    from setwright.web.serve import PATIENCE

    begun = time.monotonic()
    line = OpenLine(write_demo(out))
    with following() as progress:
        line.progress = progress
        found = line.now().plan
        progress("sheets")
        files = write_plan(found, out)
        progress("season")
        files += write_season(season_book(write_demo_season(line.book)), out)
    line.progress, line.patience = None, PATIENCE
    typer.echo(plan_words(found, [line.book, *files]))
    typer.echo(f"Planned in {time.monotonic() - begun:.1f} s.")
    if serve:
        from setwright.web.serve import serve as open_app

        open_app(line, port, typer.echo)
