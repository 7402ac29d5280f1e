"""A quiz: questions of the kinds of a lesson, the same for the same seed; marked, with the way to each answer."""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import load, plain, read_text
from setwright.desk.lessons.kinds import KINDS
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.question import Mark, Question, mark

QUESTIONS = 6
MOST = 40


@dataclass(frozen=True)
class Quiz:
    """Questions of one lesson.

    Parameters
    ----------
    lesson : str
        Name of the lesson.
    seed : int
        The same seed gives the same questions.
    questions : tuple of Question
        In order.

    """

    lesson: str
    seed: int
    questions: tuple[Question, ...]


@dataclass(frozen=True)
class Marked:
    """A quiz with its answers marked.

    Parameters
    ----------
    quiz : Quiz
        The questions.
    marks : tuple of Mark
        One for each.

    """

    quiz: Quiz
    marks: tuple[Mark, ...]

    @property
    def right(self) -> int:
        """How many were right."""
        return sum(one.word == "right" for one in self.marks)

    @property
    def open(self) -> int:
        """How many have no answer."""
        return sum(one.word == "open" for one in self.marks)


def quiz_of(lesson: Lesson, seed: int = 1, number: int = QUESTIONS) -> Quiz:
    """Questions for a lesson: its kinds in turn, each with figures of its own.

    Parameters
    ----------
    lesson : Lesson
        Its head names the kinds.
    seed : int
        The same seed gives the same questions.
    number : int
        How many.

    Raises
    ------
    BadInput
        When the lesson names no kinds, or for more than a quiz holds.

    """
    if not 1 <= number <= MOST:
        raise BadInput("not a number of questions", field="--number", found=number, allowed=f"1 to {MOST}")
    if not lesson.head.quiz:
        raise BadInput(
            "this lesson names no kinds of questions", file=lesson.place, field="quiz", allowed=", ".join(KINDS)
        )
    return quiz_from(lesson.head.quiz, seed, number, lesson.name)


def quiz_from(kinds: list[str], seed: int, number: int, name: str = "") -> Quiz:
    """Questions of stated kinds, in turn."""
    found: list[Question] = []
    for place in range(number):
        kind = kinds[place % len(kinds)]
        turn = place // len(kinds)
        # By name and turn: one kind more in a lesson leaves the questions of the others as they are.
        question = KINDS[kind].make(random.Random(f"{seed}/{kind}/{turn}"))
        for retry in range(1, 20):
            if all(question.ask != one.ask for one in found):
                break
            question = KINDS[kind].make(random.Random(f"{seed}/{kind}/{turn}/{retry}"))
        found.append(question)
    return Quiz(name, seed, tuple(found))


def marked(quiz: Quiz, answers: Mapping[int, str]) -> Marked:
    """Mark answers, numbered from 1; a question without one is open.

    Raises
    ------
    BadInput
        For the answer to a question that is not in the quiz.

    """
    count = len(quiz.questions)
    for number in answers:
        if not 1 <= number <= count:
            raise BadInput("no such question in this quiz", field="answers", found=number, allowed=f"1 to {count}")
    return Marked(quiz, tuple(mark(one, answers.get(place, "")) for place, one in enumerate(quiz.questions, start=1)))


def read_answers(path: Path) -> dict[int, str]:
    """Answers from a file of lines such as `1: 36 in` and `2: b`.

    Raises
    ------
    BadInput
        When it cannot be read, with file and line.

    """
    data = plain(load(read_text(path), file=path))
    found: dict[int, str] = {}
    for name, value in data.items():
        if not str(name).isdecimal():
            raise BadInput(
                "answers stand behind the number of the question", file=path, found=name, allowed="1: 36 in"
            )
        if isinstance(value, (dict, list)):
            raise BadInput("one answer a line", file=path, field=str(name), found=value)
        found[int(name)] = "" if value is None else str(value)
    return found
