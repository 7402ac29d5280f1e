"""The commands for a line: plan it, explain one set, search one site, the evening, the check run."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from setwright.cli.in_units import in_units_of_book
from setwright.cli.options import AsJson, Book, Drawings, Draws, Learning, Log, Seed


@in_units_of_book
def plan(
    book: Book,
    out: Annotated[Path, typer.Option(metavar="DIR", help="Folder for the plan; made when absent.")],
    log: Log = None,
    learning: Learning = True,
    blur: Annotated[
        str | None, typer.Option(metavar="SIZE", help="Positions as middles of squares: 1km, 5km or 10km.")
    ] = None,
    draws: Draws = 600,
    seed: Seed = 20,
) -> None:
    """Plan a whole line and write plan.json, plan.html, set-cards.pdf, kit.csv, run.csv, line.geojson, line.gpx."""
    from setwright.cli.progress import following
    from setwright.desk.plan import plan as make
    from setwright.desk.positions import blurred, size_of
    from setwright.sheets.write import write_plan

    if blur is not None:
        size_of(blur)  # a wrong size is said before the work
    with following() as progress:
        found = make(book, draws=draws, seed=seed, progress=progress, log=log if learning else None)
        if blur is not None:
            found = blurred(found, blur)
        progress("sheets")
        files = write_plan(found, out)
    from setwright.cli.show import plan_words

    typer.echo(plan_words(found, files))


@in_units_of_book
def one_set(
    book: Book,
    site: Annotated[str, typer.Argument(metavar="SITE", help="Id or number of the site in the book.")],
    what_if: Annotated[
        str | None, typer.Option(metavar="CHANGES", help="Such as 'trip_force=3 lbf, chain=short-12'.")
    ] = None,
    drawings: Drawings = None,
    json: AsJson = False,
    log: Log = None,
    learning: Learning = True,
    draws: Draws = 300,
    seed: Seed = 20,
) -> None:
    """Explain one set: every link of the chain, anchor and bed, who fires it, the gates, and what would mend it."""
    if what_if is not None:
        from setwright.desk.set_whatif import one_set_changed

        changed = one_set_changed(book, site, what_if, draws=draws, seed=seed)
        if drawings is not None:
            _draw(changed.after, drawings)
        if json:
            typer.echo(changed.model_dump_json(indent=2, by_alias=True))
            return
        from setwright.cli.show_set_whatif import print_set_whatif

        print_set_whatif(changed)
        return
    from setwright.desk.plan import one_set as explain

    found = explain(book, site, draws=draws, seed=seed, log=log if learning else None)
    if drawings is not None:
        _draw(found, drawings)
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    from setwright.cli.show import print_set

    print_set(found)


def _draw(part: Any, folder: Path) -> None:
    """Write the drawings of one set and say where."""
    from setwright.sheets.set_drawings import write_set_drawings

    for path in write_set_drawings(part, folder):
        typer.echo(f"{path}", err=True)


@in_units_of_book
def design(
    book: Book,
    site: Annotated[str, typer.Argument(metavar="SITE", help="Id or number of the site in the book.")],
    json: AsJson = False,
    draws: Draws = 300,
    seed: Seed = 20,
) -> None:
    """Search your outfit for one site: what cannot be bettered under law and welfare, and what to measure first."""
    from setwright.desk.design import design_site

    found = design_site(book, site, draws=draws, seed=seed)
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    from setwright.cli.show_design import print_design

    print_design(found)


@in_units_of_book
def tonight(
    book: Book,
    forecast: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Forecast (JSON, grid cell or hourly) or hourly CSV.")
    ] = None,
    gauge: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Gauge record: CSV, JSON of either form, tab text.")
    ] = None,
    gauge_site: Annotated[
        str | None, typer.Option(metavar="NUMBER", help="Gauge, where the file holds more than one.")
    ] = None,
    now: Annotated[
        str | None, typer.Option(metavar="TIME", help="Moment asked for, or `clock`; else as the book says.")
    ] = None,
    minutes: Annotated[
        float | None, typer.Option(metavar="N", help="Minutes left for work; to sunset when not given.")
    ] = None,
    additive: Annotated[
        str | None,
        typer.Option(metavar="KEY", help="What an additive would take, such as sodium-chloride."),
    ] = None,
    nights: Annotated[int, typer.Option(metavar="N", help="Coming nights to look at in every cover, 0 to 7.")] = 0,
    drawings: Drawings = None,
    fetch: Annotated[
        bool, typer.Option("--fetch", help="Fetch forecast and gauge from the addresses of the book.")
    ] = False,
    allow_stale: Annotated[
        bool, typer.Option("--allow-stale", help="Use a forecast older than 12 hours; the answer says so.")
    ] = False,
    json: AsJson = False,
    draws: Draws = 300,
    seed: Seed = 20,
) -> None:
    """Tell which sets will work tonight, which still submerge, and the least work that saves most before dark."""
    from setwright.desk.tonight import tonight as answer
    from setwright.desk.tonight_files import evening_files, fetched_files, moment_of

    fresh = evening_files(forecast, gauge, gauge_site, allow_stale)
    found = answer(
        book, fresh=fetched_files(book, fresh) if fetch else fresh, now=moment_of(now), minutes=minutes,
        additive=additive, nights=nights, draws=draws, seed=seed,
    )  # fmt: skip
    if drawings is not None:
        from setwright.sheets.evening import write_evening_drawings

        for path in write_evening_drawings(found, drawings):
            typer.echo(f"{path}", err=True)
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    from setwright.cli.show_tonight import print_tonight

    print_tonight(found)


@in_units_of_book
def run(
    book: Book,
    day: Annotated[str, typer.Option(metavar="DAY", help="First day: a date, or 1 for the day after setting.")] = "1",
    days: Annotated[int, typer.Option(metavar="N", min=1, max=370, help="Number of days.")] = 1,
    out: Annotated[
        Path | None, typer.Option(metavar="DIR", help="Write run.json, run.csv, run.gpx, run.svg and run.pdf.")
    ] = None,
    json: AsJson = False,
    seed: Seed = 20,
    iterations: Annotated[
        int | None, typer.Option(metavar="N", min=1, max=1000000, help="Of the search for the order.")
    ] = None,
) -> None:
    """Plan the check run: which sets on which day in which order, time left at each, what the line can bear."""
    from setwright.cli.progress import following
    from setwright.desk.run import run as make

    with following() as progress:
        found = make(book, day, days=days, seed=seed, iterations=iterations, progress=progress)
    if out is not None:
        from setwright.sheets.run import write_run

        for path in write_run(found, out):
            typer.echo(f"{path}", err=True)
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    from setwright.cli.show_run import print_run

    print_run(found)
