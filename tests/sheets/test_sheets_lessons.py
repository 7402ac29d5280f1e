"""Lessons and quizzes on paper: every word there, nothing beyond the margins, the same bytes on every day."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from setwright.basis.errors import BadInput
from setwright.desk.lessons.live import LessonDesk, every
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.quiz import quiz_of
from setwright.desk.lessons.shelf import lessons
from setwright.desk.lessons.stations import practice
from setwright.sheets.lesson import PAPERS, lesson_pdf, write_lesson
from setwright.sheets.lesson_figures import known
from setwright.sheets.lesson_quiz import quiz_pdf

COURSE: dict[str, Lesson] = {one.name: one for one in lessons(known())}
MM = 72.0 / 25.4


@pytest.fixture(scope="module")
def desk() -> LessonDesk:
    return LessonDesk(draws=60)


def bare(words: str) -> str:
    """Letters and digits alone: where a line breaks or a word is hyphenated does not matter."""
    return "".join(letter for letter in words.lower() if letter.isalnum())


def words_of(paper: bytes) -> str:
    return bare(" ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(paper)))


def ink_outside(paper: bytes, name: str) -> list[str]:
    """Pages with ink nearer to an edge than the margin."""
    wide, high, _ = PAPERS[name]
    left, right, top, bottom = (10.5, 7.5, 8.0, 4.0) if name == "a5" else (19.5, 13.0, 13.0, 5.0)
    found = []
    for number, page in enumerate(pypdfium2.PdfDocument(paper), start=1):
        assert page.get_width() == pytest.approx(wide * MM, abs=0.6)
        assert page.get_height() == pytest.approx(high * MM, abs=0.6)
        dark = np.asarray(page.render(scale=2.0).to_pil().convert("L")) < 160
        rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
        assert rows.size, f"page {number} is empty"
        scale = 2.0 * MM
        edges = (columns[0] / scale, wide - columns[-1] / scale, rows[0] / scale, high - rows[-1] / scale)
        if any(edge < least for edge, least in zip(edges, (left, right, top, bottom), strict=True)):
            found.append(f"page {number}: {edges}")
    return found


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", COURSE)
def test_a_lesson_is_whole_on_every_paper(desk: LessonDesk, name: str, paper: str) -> None:
    lesson = COURSE[name]
    made = lesson_pdf(lesson, desk, paper=paper, students=9)
    assert ink_outside(made, paper) == []
    text = words_of(made)
    head = lesson.head
    wanted = [head.title, *head.aim, *head.cautions, head.live.ask, head.live.learn]
    wanted += [block.words for block in lesson.body if block.kind in ("heading", "paragraph")]
    wanted += [step for station in head.stations for step in (*station.steps, station.caution)]
    wanted += [part for one in head.beliefs for part in (one.believed, one.fact, one.source)]
    wanted += [part for one in head.check for part in (one.ask, one.answer)]
    assert [words for words in wanted if bare(words) not in text] == []


def test_figures_on_paper_are_those_of_the_desk(desk: LessonDesk) -> None:
    for name in ("coils", "submersion", "pan"):
        text = words_of(lesson_pdf(COURSE[name], desk, students=9))
        for told in every(desk, COURSE[name].head.live):
            for number in told.numbers:
                assert bare(number.after) in text
        for count, what in practice(COURSE[name], 9).kit:
            assert bare(f"{count} {what}") in text


def test_a_student_stands_on_the_sheet_when_he_is_asked_for(desk: LessonDesk) -> None:
    with_him = words_of(lesson_pdf(COURSE["hands"], desk, student=(150.0, 40.0)))
    assert bare("Which traps this student can set") in with_him and bare("by hand or with setters") in with_him
    assert bare("Which traps this student can set") not in words_of(lesson_pdf(COURSE["hands"], desk))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["parts-and-firing", "submersion", "chain-and-anchor"])
def test_a_quiz_is_whole_on_every_paper(desk: LessonDesk, name: str, paper: str) -> None:
    quiz = quiz_of(COURSE[name], 4, 8)
    made = quiz_pdf(COURSE[name], quiz, desk, paper=paper, key=True)
    assert ink_outside(made, paper) == []
    text = words_of(made)
    for one in quiz.questions:
        assert bare(one.ask) in text and bare(one.worked) in text and bare(one.key) in text
        assert all(bare(choice) in text for choice in one.choices)
    plain = words_of(quiz_pdf(COURSE[name], quiz, desk, paper=paper))
    assert all(bare(one.worked) not in plain for one in quiz.questions), "no key unless it is wanted"


def test_the_same_bytes_in_another_process(desk: LessonDesk) -> None:
    here = hashlib.sha256(lesson_pdf(COURSE["coils"], desk, paper="a5")).hexdigest()
    program = (
        "import hashlib\n"
        "from setwright.desk.lessons.live import LessonDesk\n"
        "from setwright.desk.lessons.shelf import lesson_named\n"
        "from setwright.sheets.lesson import lesson_pdf\n"
        "from setwright.sheets.lesson_figures import known\n"
        "made = lesson_pdf(lesson_named('coils', known()), LessonDesk(draws=60), paper='a5')\n"
        "print(hashlib.sha256(made).hexdigest())\n"
    )
    source = str(Path(__file__).resolve().parents[2] / "src")
    other = {**os.environ, "PYTHONPATH": source, "PYTHONHASHSEED": "77", "TZ": "Asia/Tokyo"}
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, env=other, check=True)
    assert done.stdout.strip() == here


def test_what_cannot_be_printed_is_said(desk: LessonDesk, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such paper"):
        lesson_pdf(COURSE["coils"], desk, paper="a0")
    taken = tmp_path / "taken"
    taken.write_text("x", encoding="utf-8")
    with pytest.raises(BadInput, match="cannot be written"):
        write_lesson(COURSE["coils"], desk, taken / "coils.pdf", paper="a5")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["taken"], "nothing half-written"
