"""The commands of teaching: lessons, quizzes, who can set which trap, skill records."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from setwright.cli import skill_commands
from setwright.cli.in_units import in_units_of_book

app = typer.Typer(
    help="Teach: lessons with live questions, quizzes made from the model, skill records.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
)
app.add_typer(skill_commands.app, name="skills")

Name = Annotated[str, typer.Argument(metavar="NAME", help="Name of a lesson, or a file of your own ending in .md.")]
Book = Annotated[
    Path | None, typer.Option("--book", metavar="BOOK", help="Your line book; the invented demo line otherwise.")
]
Students = Annotated[int, typer.Option("--students", metavar="N", min=1, max=200, help="Size of the class.")]
Presses = Annotated[
    str | None, typer.Option("--presses", metavar="FORCE", help="Push of a student with one hand, such as '45 lbf'.")
]  # fmt: skip
Weighs = Annotated[str | None, typer.Option("--weighs", metavar="MASS", help="What the student weighs.")]
Seed = Annotated[int, typer.Option("--seed", metavar="N", min=0, max=2**31 - 1, help="Same seed, same questions.")]
Language = Annotated[
    str, typer.Option("--language", metavar="LANGUAGE", help="Such as es; `setwright language` lists them.")
]
Paper = Annotated[str, typer.Option("--paper", metavar="PAPER", help="a4, letter or a5.")]


@app.command("list")
def list_all(book: Book = None) -> None:
    """List the lessons in their order, shipped ones and your own beside the book."""
    from setwright.cli.show_lesson import list_words
    from setwright.desk.lessons.shelf import lessons, own_folder
    from setwright.sheets.lesson_figures import known

    typer.echo(list_words(lessons(known(), own_folder(book))))


@app.command("figures")
def figures() -> None:
    """List the drawings that a lesson may call by name, and what may be said of each."""
    from setwright.cli.show_lesson import figure_words
    from setwright.sheets.lesson_figures import FIGURES

    typer.echo(figure_words({name: (one.title, one.may) for name, one in FIGURES.items()}))


@app.command()
@in_units_of_book
def show(
    name: Name,
    book: Book = None,
    change: Annotated[
        str | None, typer.Option(metavar="VALUE", help="What the live question is changed to; all choices otherwise.")
    ] = None,
    students: Students = 8,
    presses: Presses = None,
    weighs: Weighs = None,
    language: Language = "en",
) -> None:
    """Show a lesson: aim, live question computed now, stations and kit for the class, what to check."""
    from setwright.cli.show_lesson import print_lesson
    from setwright.desk.bench import student_of
    from setwright.desk.lessons.live import LessonDesk, answer, every
    from setwright.desk.lessons.shelf import lesson_named, own_folder
    from setwright.desk.lessons.stations import practice
    from setwright.desk.lessons.strength import box
    from setwright.sheets.lesson_figures import known
    from setwright.sheets.lesson_words import spoken_lesson
    from setwright.sheets.speech import translator

    lesson = spoken_lesson(lesson_named(name, known(), own_folder(book)), translator(language))
    desk = LessonDesk(book)
    answers = every(desk, lesson.head.live) if change is None else [answer(desk, lesson.head.live, change)]
    student = student_of(presses, weighs)
    traps = box(student, book=book) if student is not None else []
    print_lesson(lesson, answers, practice(lesson, students), traps)


@app.command("print")
@in_units_of_book
def print_pdf(
    name: Name,
    out: Annotated[Path, typer.Option("--out", metavar="PDF", help="File to write.")],
    book: Book = None,
    students: Students = 8,
    presses: Presses = None,
    weighs: Weighs = None,
    paper: Paper = "letter",
    language: Language = "en",
) -> None:
    """Print a lesson: text and drawings, the live question worked out, station cards, kit, what to check."""
    from setwright.desk.bench import student_of
    from setwright.desk.lessons.live import LessonDesk
    from setwright.desk.lessons.shelf import lesson_named, own_folder
    from setwright.sheets.lesson import write_lesson
    from setwright.sheets.lesson_figures import known
    from setwright.sheets.lesson_words import spoken_lesson
    from setwright.sheets.speech import translator

    lesson = spoken_lesson(lesson_named(name, known(), own_folder(book)), translator(language))
    written = write_lesson(
        lesson, LessonDesk(book), out, paper=paper, students=students, student=student_of(presses, weighs),
        book=book, language=language,
    )  # fmt: skip
    typer.echo(f"{written}")


@app.command()
@in_units_of_book
def quiz(
    name: Name,
    book: Book = None,
    seed: Seed = 1,
    number: Annotated[int, typer.Option("--number", metavar="N", min=1, max=40, help="How many questions.")] = 6,
    answers: Annotated[
        Path | None, typer.Option("--answers", metavar="FILE", help="Answers to mark, lines such as `1: 36 in`.")
    ] = None,
    key: Annotated[bool, typer.Option("--key", help="With the right answers and the way to each.")] = False,
    paper_file: Annotated[
        Path | None, typer.Option("--print", metavar="PDF", help="Write the quiz as a PDF.")
    ] = None,
    paper: Paper = "letter",
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of words.")] = False,
) -> None:
    """Make a quiz from the model, the same for the same seed; mark answers; print it with or without the key."""
    from setwright.cli.show_lesson import marked_words, quiz_json, quiz_words
    from setwright.desk.lessons.quiz import marked, quiz_of, read_answers
    from setwright.desk.lessons.shelf import lesson_named, own_folder
    from setwright.sheets.lesson_figures import known

    lesson = lesson_named(name, known(), own_folder(book))
    made = quiz_of(lesson, seed, number)
    found = None if answers is None else marked(made, read_answers(answers))
    if paper_file is not None:
        from setwright.desk.lessons.live import LessonDesk
        from setwright.sheets.lesson_quiz import write_quiz

        written = write_quiz(lesson, made, LessonDesk(book), paper_file, paper=paper, key=key)
        typer.echo(f"{written}", err=True)
    if json:
        typer.echo(quiz_json(made, found, key=key))
    elif found is not None:
        typer.echo(marked_words(found))
    else:
        typer.echo(quiz_words(made, key=key))


@app.command("box")
@in_units_of_book
def trap_box(
    book: Book = None,
    presses: Presses = None,
    weighs: Weighs = None,
) -> None:
    """List every trap of the box with the force that it asks for, and which of them a student can surely set."""
    from setwright.cli.show_lesson import print_box
    from setwright.desk.bench import student_of
    from setwright.desk.lessons.strength import box

    student = student_of(presses, weighs)
    print_box(box(student, book=book), told=student is not None)


@app.command()
def course(
    book: Book = None,
    students: Students = 8,
) -> None:
    """Lay out the whole course: lessons in order with their minutes, and everything to bring for the class."""
    from setwright.cli.show_lesson import course_words
    from setwright.desk.lessons.shelf import lessons, own_folder
    from setwright.desk.lessons.stations import whole_course
    from setwright.sheets.lesson_figures import known

    every = lessons(known(), own_folder(book))
    typer.echo(course_words(every, whole_course(every, students), students))
