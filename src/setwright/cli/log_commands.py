"""The commands of the log."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from setwright.basis.errors import SetwrightError

app = typer.Typer(
    help="Write down what was seen, show it, take it in and out, keep it safe.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
)

Book = Annotated[Path, typer.Argument(metavar="BOOK", help="Line book (YAML); its log lies beside it.")]
Place = Annotated[
    str | None, typer.Option("--store", metavar="PLACE", help="Another file, or postgresql://… for a database.")
]
By = Annotated[str | None, typer.Option("--by", metavar="NAME", help="Who saw it.")]
Device = Annotated[str, typer.Option("--device", metavar="NAME", help="What it is written on.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON instead of words.")]
File = Annotated[Path, typer.Argument(metavar="FILE", help="File.")]


@app.command()
def add(
    book: Book,
    entry: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="ENTRY", help="Site and key, such as 3a; its details follow as name=value. *a: all others."
        ),
    ] = None,
    at: Annotated[str | None, typer.Option(metavar="TIME", help="When it was seen; now unless given.")] = None,
    by: By = None,
    device: Device = "desk",
    store: Place = None,
) -> None:
    """Write entries down, all or none; without an entry it asks, and keeps each line as it is typed."""
    from setwright.desk.log import add as write

    if entry:
        from setwright.cli.show_log import kept_words

        typer.echo(kept_words(write(book, entry, store=store, at=at, visitor=by, device=device)))
        return
    _asked(book, at, by, device, store)


def _asked(book: Path, at: str | None, by: str | None, device: str, store: str | None) -> None:
    """Entries line by line: a wrong one is told and asked again, an empty line ends."""
    import shlex

    from setwright.cli.show_log import kept_words, key_words
    from setwright.desk.log import add as write
    from setwright.line.brief import read_brief

    typer.echo(key_words(read_brief(book)))
    while True:
        if sys.stdin.isatty():
            typer.echo("> ", nl=False)
        line = sys.stdin.readline()
        if not line.strip():
            return
        try:
            typer.echo(kept_words(write(book, shlex.split(line), store=store, at=at, visitor=by, device=device)))
        except ValueError as error:
            typer.echo(f"not kept: {error}", err=True)
        except SetwrightError as error:
            typer.echo(f"not kept: {error}", err=True)


@app.command()
def show(
    book: Book,
    site: Annotated[
        str | None, typer.Argument(metavar="SITE", help="Id or number: the whole history of its set.")
    ] = None,
    event: Annotated[
        str | None, typer.Option("--event", metavar="ID", help="One entry and what was later said of it.")
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="Every entry of the log.")] = False,
    json: AsJson = False,
    store: Place = None,
) -> None:
    """Show how every set, trap and duty stands, or the history of one set or entry."""
    from setwright.cli import show_log
    from setwright.desk.log_show import states, story

    if site is None and event is None and not every:
        state = states(book, store)
        show_log.print_json(state) if json else show_log.print_state(state)
        return
    lines = story(book, site=site, event=event, store=store)
    show_log.print_lines_json(lines) if json else show_log.print_story(lines)


@app.command()
def correct(
    book: Book,
    event: Annotated[str, typer.Argument(metavar="ID", help="Id of the entry, or its beginning.")],
    change: Annotated[
        list[str] | None, typer.Argument(metavar="NAME=VALUE", help="New values; time, set, trap, kind too.")
    ] = None,
    void: Annotated[bool, typer.Option("--void", help="Take the entry back.")] = False,
    reason: Annotated[str | None, typer.Option(metavar="TEXT", help="Why.")] = None,
    by: By = None,
    device: Device = "desk",
    store: Place = None,
) -> None:
    """Write that an entry was wrong; the first words stay in the history."""
    from setwright.cli.show_log import kept_words
    from setwright.desk.log import correct as write

    typer.echo(
        kept_words(write(book, event, change or (), void=void, reason=reason, store=store, visitor=by, device=device))
    )


@app.command()
def sprung(
    book: Book,
    site: Annotated[str, typer.Argument(metavar="SITE", help="Id or number of the site.")],
    look: Annotated[
        list[str] | None, typer.Argument(metavar="LOOK=ANSWER", help="Such as lies='in the bed'; it asks for more.")
    ] = None,
    look_only: Annotated[bool, typer.Option("--look-only", help="Write nothing down.")] = False,
    at: Annotated[str | None, typer.Option(metavar="TIME", help="When it was seen; now unless given.")] = None,
    by: By = None,
    store: Place = None,
) -> None:
    """Find out what fired a trap that lies empty: a few looks, likely causes, one change; then write it down."""
    from setwright.cli.show_log import kept_words, likely_words
    from setwright.desk.log_sprung import likely, read_looks, write

    seen = read_looks(look or ())
    found = likely(book, site, seen)
    while found.next is not None:
        answers = list(found.next.answers)
        typer.echo(f"{found.next.question} ({found.next.key}; an empty line ends)")
        for number, answer in enumerate(answers, start=1):
            typer.echo(f"  {number}  {answer}")
        told = sys.stdin.readline().strip()
        if not told:
            break
        seen[found.next.key] = answers[int(told) - 1] if told.isdecimal() and 0 < int(told) <= len(answers) else told
        found = likely(book, site, seen)
    typer.echo(likely_words(found))
    if not look_only:
        typer.echo(kept_words(write(book, site, seen, store=store, at=at, visitor=by)))


@app.command()
def due(book: Book, json: AsJson = False, store: Place = None) -> None:
    """List what is due: looks by the check interval, duties and deadlines of the law pack, pans, tags."""
    from setwright.cli.show_log import print_due
    from setwright.desk.log_due import due as found

    rows, untold = found(book, store=store)
    print_due(rows, untold, as_json=json)


@app.command("import")
def take_in(
    book: Book,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Events as .jsonl or .csv.")],
    all_or_nothing: Annotated[
        bool, typer.Option("--all-or-nothing", help="Keep nothing when a row is refused.")
    ] = False,
    store: Place = None,
) -> None:
    """Take a file of events in; refused rows are listed with their reasons, and end with exit code 1."""
    from setwright.cli.show_log import taken_words
    from setwright.desk.log_files import take_in as take

    found = take(book, file, all_or_nothing=all_or_nothing, store=store)
    typer.echo(taken_words(found))
    if found.refused or found.receipt.conflicts:
        raise typer.Exit(1)


@app.command("export")
def give_out(
    book: Book,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Ends in .jsonl or .csv; - prints JSON Lines.")],
    store: Place = None,
) -> None:
    """Write every event into a file, corrections and voids included, without loss."""
    from setwright.desk.log_files import give_out as give

    count, text = give(book, None if str(file) == "-" else file, store=store)
    typer.echo(text, nl=False) if text else typer.echo(f"{count} events written to {file}")


@app.command()
def backup(book: Book, file: File, store: Place = None) -> None:
    """Copy the log into one new file while others may write, with its digest beside it, and read it back."""
    from setwright.desk.log_files import save

    count, note = save(book, file, store)
    typer.echo(f"{count} events saved in {file}, read back and found whole; digest in {note}")


@app.command()
def restore(book: Book, file: File, store: Place = None) -> None:
    """Read a backup into the log: what is there stays, what it lacks is added; a damaged backup is refused."""
    from setwright.desk.log_files import bring_back

    found = bring_back(book, file, store)
    typer.echo(f"{len(found.added)} events brought back, {len(found.known)} were there already")
    if found.conflicts:
        typer.echo(f"{len(found.conflicts)} stand there with other words; these were left as they are")
        raise typer.Exit(1)


@app.command()
def verify(
    book: Book,
    file: Annotated[Path | None, typer.Argument(metavar="FILE", help="A backup; the log itself otherwise.")] = None,
    store: Place = None,
) -> None:
    """Hold every event against its digest; exit code 1 when anything is wrong."""
    from setwright.desk.log_files import look_through

    found = look_through(book, file, store)
    typer.echo(f"{found.events} events read, {'all whole' if found.sound else 'not all whole'}")
    for words in (*found.faults, *(f"damaged: {name}" for name in found.damaged)):
        typer.echo(f"  {words}")
    if not found.sound:
        raise typer.Exit(1)
