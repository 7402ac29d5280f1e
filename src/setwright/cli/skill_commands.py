"""The commands of the skill records: with consent, and gone when they are deleted."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setwright.cli.in_units import in_units_of_book

app = typer.Typer(
    help="Skill records of students: kept with consent, shown, given along, deleted.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
)

Book = Annotated[Path, typer.Argument(metavar="BOOK", help="Line book; the records lie beside it.")]
Who = Annotated[str, typer.Argument(metavar="NAME", help="Name or initials of the student.")]
On = Annotated[str | None, typer.Option("--on", metavar="DAY", help="Day of it; today unless given.")]


@app.command()
def add(
    book: Book,
    name: Who,
    consent_by: Annotated[
        str, typer.Option("--consent-by", metavar="WHO", help="Who agreed: the student, or the guardian of a minor.")
    ],
    on: On = None,
    minor: Annotated[bool, typer.Option("--minor", help="The student is under age; the guardian agrees.")] = False,
) -> None:
    """Take a student in. Nothing is kept of anybody without this."""
    from setwright.desk.lessons.skills import enrol, records_place

    enrol(book, name, consent_by, on=on, minor=minor)
    typer.echo(f"{name} is in {records_place(book)}; agreed by {consent_by}.")


@app.command()
def tick(
    book: Book,
    name: Who,
    item: Annotated[list[int], typer.Argument(metavar="ITEM", help="Numbers on the skill sheet, 1 to 18.")],
    not_yet: Annotated[bool, typer.Option("--not-yet", help="Tried, and not shown yet.")] = False,
    on: On = None,
) -> None:
    """Write down which skills a student has shown."""
    from setwright.desk.lessons.skills import SKILLS
    from setwright.desk.lessons.skills import tick as write

    write(book, name, item, done=not not_yet, on=on)
    for one in item:
        typer.echo(f"{one:2d}  {'not yet' if not_yet else 'shown'}  {SKILLS[one]}")


@app.command()
@in_units_of_book
def quiz(
    book: Book,
    name: Who,
    lesson: Annotated[str, typer.Argument(metavar="LESSON", help="Name of the lesson.")],
    answers: Annotated[Path, typer.Option("--answers", metavar="FILE", help="Answers, lines such as `1: 36 in`.")],
    seed: Annotated[int, typer.Option("--seed", metavar="N", min=0, max=2**31 - 1, help="Of the quiz.")] = 1,
    number: Annotated[int, typer.Option("--number", metavar="N", min=1, max=40, help="How many questions.")] = 6,
    on: On = None,
) -> None:
    """Mark the quiz of a student and keep the score; the answers themselves are not kept."""
    from setwright.cli.show_lesson import marked_words
    from setwright.desk.lessons.quiz import read_answers
    from setwright.desk.lessons.shelf import lesson_named, own_folder
    from setwright.desk.lessons.skills import mark_and_keep
    from setwright.sheets.lesson_figures import known

    found = lesson_named(lesson, known(), own_folder(book))
    typer.echo(marked_words(mark_and_keep(book, name, found, seed, number, read_answers(answers), on=on)))


@app.command()
def show(
    book: Book,
    name: Annotated[str | None, typer.Argument(metavar="NAME", help="One student; all of them otherwise.")] = None,
) -> None:
    """Show what is kept: of all students on a line each, or all of one."""
    from setwright.cli.show_lesson import record_words, records_words
    from setwright.desk.lessons.skills import record, records

    typer.echo(records_words(records(book)) if name is None else record_words(record(book, name)))


@app.command("export")
def give(
    book: Book,
    name: Who,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="File to write (JSON); - prints it.")],
) -> None:
    """Write all that is kept of a student into a file, for him to take along."""
    from setwright.desk.lessons.skills import record, record_json
    from setwright.sheets.write import write_files

    text = record_json(record(book, name))
    if str(file) == "-":
        typer.echo(text, nl=False)
        return
    write_files({file.name: text.encode("utf-8")}, file.parent)
    typer.echo(f"{file}")


@app.command()
def delete(
    book: Book,
    name: Who,
    yes: Annotated[bool, typer.Option("--yes", help="Do not ask.")] = False,
) -> None:
    """Delete a student and all that is kept of him. It cannot be brought back."""
    from setwright.desk.lessons.skills import forget, record

    record(book, name)
    if not yes and not typer.confirm(f"Delete all that is kept of {name}?", default=False, err=True):
        typer.echo("nothing deleted")
        raise typer.Exit(1)
    typer.echo(
        f"{forget(book, name)} rows of {name} deleted and overwritten; backups of the folder are yours to clear."
    )
