"""The command line: parse, call the desk, show. Everything heavy is imported inside the commands."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path
from typing import Annotated, Any

import typer

import setwright
from setwright.basis.errors import SetwrightError
from setwright.cli import lesson_commands, log_commands, people_commands, sheet_commands
from setwright.cli.in_units import in_units_of_book
from setwright.cli.language_command import language
from setwright.cli.self_check_command import self_check
from setwright.cli.study_command import study

app = typer.Typer(
    name="setwright",
    help="Plans, explains and checks foothold-trap sets: visit, step, fire, close, hold, check.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

app.add_typer(log_commands.app, name="log")
app.add_typer(people_commands.app, name="people")
app.add_typer(lesson_commands.app, name="lesson")
app.command()(study)
app.command()(language)
app.command("self-check")(self_check)
app.command("sheets")(sheet_commands.sheets)

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


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"setwright {setwright.__version__}")
        raise typer.Exit


@app.callback()
def root(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Plans, explains and checks foothold-trap sets: visit, step, fire, close, hold, check."""
    del version


@app.command()
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


@app.command("set")
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
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


@app.command()
def schema(
    name: Annotated[
        str,
        typer.Argument(
            metavar="NAME", help="line-book, law-pack, plan, design, tonight, trap, season, accounts, study."
        ),
    ],
) -> None:
    """Print the JSON Schema of a file format."""
    from setwright.desk.schemas import schema_of

    typer.echo(schema_of(name))


@app.command()
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


@app.command()
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


def main() -> None:
    """Entry point: one clear line and exit code 2 for everything that the user can mend."""
    # A command builds much and lives briefly: fewer sweeps for garbage save a tenth of its time.
    gc.set_threshold(100_000, 20, 20)
    for stream in (sys.stdout, sys.stderr):
        reconfigure: Any = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(encoding="utf-8", errors="replace")
    try:
        app()
    except SetwrightError as error:
        typer.echo(f"setwright: {error}", err=True)
        sys.exit(2)
    except BrokenPipeError:
        sys.exit(0)
    except KeyboardInterrupt:
        typer.echo("setwright: stopped", err=True)
        sys.exit(130)
    except OSError as error:
        typer.echo(f"setwright: {error.strerror or error}: {error.filename or ''}", err=True)
        sys.exit(2)
    except Exception as error:
        # A fault of the program must not look like the user's, nor bury the terminal under a traceback.
        if os.environ.get("SETWRIGHT_DEBUG"):
            raise
        typer.echo(
            f"setwright: a fault of the program, not of your files: {type(error).__name__}: {error}\n"
            "Run it again with SETWRIGHT_DEBUG=1 to see where, and report that.",
            err=True,
        )
        sys.exit(1)
