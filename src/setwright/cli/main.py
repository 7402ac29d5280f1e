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

app = typer.Typer(
    name="setwright",
    help="Plans, explains and checks foothold-trap sets: visit, step, fire, close, hold, check.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

Draws = Annotated[int, typer.Option(min=50, max=20000, help="Number of draws behind every band.")]
Seed = Annotated[int, typer.Option(min=0, max=2**31 - 1, help="Same seed, same draws.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of words.")]
Book = Annotated[Path, typer.Argument(metavar="BOOK", help="Line book (YAML).")]


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
def plan(
    book: Book,
    out: Annotated[Path, typer.Option(metavar="DIR", help="Folder for the plan; made when absent.")],
    draws: Draws = 600,
    seed: Seed = 20,
) -> None:
    """Plan a whole line and write plan.json, plan.html, set-cards.pdf, kit.csv, run.csv, line.geojson, line.gpx."""
    from setwright.cli.progress import following
    from setwright.desk.plan import plan as make
    from setwright.sheets.write import write_plan

    with following() as progress:
        found = make(book, draws=draws, seed=seed, progress=progress)
        progress("sheets")
        files = write_plan(found, out)
    from setwright.cli.show import plan_words

    typer.echo(plan_words(found, files))


@app.command("set")
def one_set(
    book: Book,
    site: Annotated[str, typer.Argument(metavar="SITE", help="Id or number of the site in the book.")],
    json: AsJson = False,
    draws: Draws = 300,
    seed: Seed = 20,
) -> None:
    """Explain one set: every link of the chain, who fires it, the gates, and what would mend it."""
    from setwright.desk.plan import one_set as explain

    found = explain(book, site, draws=draws, seed=seed)
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True))
        return
    from setwright.cli.show import print_set

    print_set(found)


@app.command()
def trap(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A trap described by itself (YAML).")],
    json: AsJson = False,
) -> None:
    """Explain one trap: closing, clamp, lock, pan, from its pattern and bench readings."""
    from setwright.desk.bench import bench

    found = bench(file)
    if json:
        typer.echo(found.model_dump_json(indent=2))
        return
    from setwright.cli.show import print_trap

    print_trap(found)


@app.command()
def schema(
    name: Annotated[str, typer.Argument(metavar="NAME", help="line-book, law-pack, plan or trap.")],
) -> None:
    """Print the JSON Schema of a file format."""
    from setwright.desk.schemas import schema_of

    typer.echo(schema_of(name))


@app.command()
def demo(
    out: Annotated[Path, typer.Option(metavar="DIR", help="Folder for the demo line and its plan.")] = Path(
        "demo-plan"
    ),
    serve: Annotated[bool, typer.Option(help="Serve the plan on this machine afterwards.")] = True,
    port: Annotated[int, typer.Option(min=0, max=65535, help="Port on 127.0.0.1; 0 takes a free one.")] = 8470,
) -> None:
    """Write an invented line, plan it, say where the files are and serve the plan on 127.0.0.1."""
    import time

    from setwright.cli.progress import following
    from setwright.cli.show import plan_words
    from setwright.desk.demo import write_demo
    from setwright.desk.plan import plan as make
    from setwright.sheets.write import write_plan

    begun = time.monotonic()
    book = write_demo(out)
    with following() as progress:
        found = make(book, progress=progress)
        progress("sheets")
        files = write_plan(found, out)
    typer.echo(plan_words(found, [book, *files]))
    typer.echo(f"Planned in {time.monotonic() - begun:.1f} s.")
    if serve:
        from setwright.web.serve import serve_folder

        serve_folder(out, port, typer.echo)


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
