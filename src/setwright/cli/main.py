"""The command line: parse, call the desk, show. Everything heavy is imported inside the commands."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Callable
from typing import Annotated, Any

import typer

import setwright
from setwright.basis.errors import SetwrightError
from setwright.cli import (
    app_commands,
    lesson_commands,
    line_commands,
    log_commands,
    people_commands,
    rule_commands,
    sheet_commands,
)
from setwright.cli.language_command import language
from setwright.cli.self_check_command import self_check
from setwright.cli.study_command import study
from setwright.cli.trap_command import trap

app = typer.Typer(
    name="setwright",
    help="Plans, explains and checks foothold-trap sets: visit, step, fire, close, hold, check.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

COMMANDS: dict[str, Callable[..., None]] = {
    "demo": app_commands.demo, "web": app_commands.web, "plan": line_commands.plan, "set": line_commands.one_set,
    "design": line_commands.design, "tonight": line_commands.tonight, "trap": trap, "run": line_commands.run,
    "law": rule_commands.law, "season": rule_commands.season, "sheets": sheet_commands.sheets, "study": study,
    "language": language, "self-check": self_check, "schema": rule_commands.schema,
}  # fmt: skip
for _name, _command in COMMANDS.items():
    app.command(_name)(_command)
for _name, _group in {"log": log_commands.app, "lesson": lesson_commands.app, "people": people_commands.app}.items():
    app.add_typer(_group, name=_name)


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
