"""The commands for the people who may open a line over the network."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

app = typer.Typer(
    help="Who may open a line over the network: invite, list, roles, passcodes.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
)

Book = Annotated[Path, typer.Argument(metavar="BOOK", help="Line book (YAML) that they may open.")]
Name = Annotated[str, typer.Argument(metavar="NAME", help="Name to log in with.")]
Role = Annotated[str, typer.Option("--role", metavar="ROLE", help="trapper, helper, instructor or viewer.")]


@app.command("list")
def listed(book: Book) -> None:
    """List everybody with his role."""
    from setwright.web.people import people_of

    people = people_of(book)
    for one in people.all():
        state = "passcode set" if one.passcode else "code is out" if one.until > people.clock() else "code ran out"
        typer.echo(f"{one.name}: {one.role}, {state}")
    if not people.all():
        typer.echo("Nobody can log in yet: setwright people add BOOK NAME --role trapper")


@app.command()
def add(book: Book, name: Name, role: Role = "viewer") -> None:
    """Invite somebody: prints a code that works once, with which he sets his own passcode in the app."""
    from setwright.web.people import people_of

    _tell(name, people_of(_there(book)).add(name, role))


@app.command()
def invite(book: Book, name: Name) -> None:
    """Make a new code for somebody who lost his passcode; all his logins end."""
    from setwright.web.people import people_of

    _tell(name, people_of(book).invite(name))


def _there(book: Path) -> Path:
    from setwright.basis.errors import BadInput

    if not book.exists():
        raise BadInput("there is no such line book", file=book)
    return book


def _tell(name: str, code: str) -> None:
    from setwright.web.people import INVITED_FOR

    typer.echo(f"Code for {name}: {code}")
    typer.echo(
        f"It works once, for {INVITED_FOR / 3600:.0f} hours. Tell it by mouth; choose `I have a code` in the app."
    )


@app.command()
def role(book: Book, name: Name, to: Annotated[str, typer.Argument(metavar="ROLE", help="The new role.")]) -> None:
    """Give somebody another role; all his logins end."""
    from setwright.web.people import people_of

    people_of(book).role(name, to)
    typer.echo(f"{name} is {to} now, and logs in again.")


@app.command()
def passcode(book: Book, name: Name) -> None:
    """Set somebody's passcode here: it is typed twice and not shown; all his logins end."""
    import getpass

    from setwright.basis.errors import BadInput
    from setwright.web.people import people_of

    if sys.stdin.isatty():
        first = getpass.getpass("Passcode: ")
        if getpass.getpass("Once more: ") != first:
            raise BadInput("the two are not the same", field="passcode")
    else:
        first = sys.stdin.readline().rstrip("\r\n")
    people_of(book).passcode(name, first)
    typer.echo(f"{name} has a new passcode.")


@app.command()
def remove(book: Book, name: Name) -> None:
    """Take somebody out; all his logins end."""
    from setwright.web.people import people_of

    people_of(book).remove(name)
    typer.echo(f"{name} is taken out.")
