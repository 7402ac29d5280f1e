"""A quiz on paper, and its key."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from setwright.desk.lessons.live import LessonDesk, Picture
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.question import LETTERS, Question
from setwright.desk.lessons.quiz import Quiz
from setwright.sheets.lesson import drawing, paper_named
from setwright.sheets.speech import ENGLISH
from setwright.sheets.typeset import spoken, typeset
from setwright.sheets.write import write_files


def write_quiz(
    lesson: Lesson, quiz: Quiz, desk: LessonDesk, path: Path, *, paper: str = "letter", key: bool = False
) -> Path:
    """Write a quiz as a PDF, with its key behind it when that is wanted; returns its path.

    Raises
    ------
    BadInput
        For a paper that is not known, and a place that cannot be written.

    """
    return write_files({path.name: quiz_pdf(lesson, quiz, desk, paper=paper, key=key)}, path.parent)[0]


def quiz_pdf(
    lesson: Lesson, quiz: Quiz, desk: LessonDesk, *, paper: str = "letter", key: bool = False, language: str = ENGLISH
) -> bytes:
    """A quiz as a PDF; the same bytes for the same seed."""
    wide, high, writing = paper_named(paper)
    data = {
        **spoken("quiz.typ", language),
        "paper": {"width": wide, "height": high, "small": paper == "a5"},
        "title": f"Quiz: {lesson.head.title}",
        "seed": str(quiz.seed),
        "questions": [_values(one, desk, writing) for one in quiz.questions],
        "key": [[one.key, one.worked, one.source] for one in quiz.questions] if key else [],
        "foot": f"setwright: quiz on {lesson.head.title}, number {quiz.seed}",
    }
    return typeset("quiz.typ", data)


def picture_of(one: Question) -> Picture | None:
    """The drawing that a question is read from."""
    if not one.figure:
        return None
    return Picture(one.figure, {name: str(value) for name, value in one.given.items() if name in ("trap", "site")})


def _values(one: Question, desk: LessonDesk, writing: float) -> dict[str, Any]:
    picture = picture_of(one)
    return {
        "ask": one.ask,
        "how": one.how,
        "choices": [[LETTERS[place], words] for place, words in enumerate(one.choices)],
        "unit": one.unit_shown,
        "drawing": None if picture is None else drawing(desk, picture, writing),
    }
