"""A lesson on paper: text and drawings, the question worked out, station cards, kit, what to ask.

Words go to the typesetter as values, never as markup.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from setwright.basis.errors import BadInput
from setwright.desk.lessons.live import LessonDesk, LiveAnswer, Picture, every
from setwright.desk.lessons.markdown import Block, Span
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.skills import SKILLS
from setwright.desk.lessons.stations import Practice, practice
from setwright.desk.lessons.strength import BoxTrap, box
from setwright.draw import svg
from setwright.sheets.lesson_figures import draw_picture
from setwright.sheets.speech import ENGLISH
from setwright.sheets.typeset import spoken, typeset
from setwright.sheets.write import write_files

# Width and height of the sheet, and of the writing inside its margins, mm.
PAPERS = {"a4": (210.0, 297.0, 176.0), "letter": (215.9, 279.4, 181.9), "a5": (148.0, 210.0, 129.0)}
# Drawings have so many pixels to a millimetre that their smallest text prints at 9.5 pt or more.
_PIXELS_PER_MM = 13.5 / 9.5 * 72.0 / 25.4
# Drawings are not stretched over a wide sheet beyond what their lines are made for.
_WIDEST = 720.0
_TALLEST, _TALLEST_SMALL, _SMALL = 78.0, 66.0, 150.0
_SHARES, _LEAST = (1.0, 0.82, 0.68), 0.72
# Below this width [px] drawings put letters on their parts in place of names.
_NAMED = 480.0
_SIZE = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


def paper_named(name: str) -> tuple[float, float, float]:
    """Width, height and writing width of a paper.

    Raises
    ------
    BadInput
        When it is not known.

    """
    if name not in PAPERS:
        raise BadInput("no such paper", field="--paper", found=name, allowed=", ".join(PAPERS))
    return PAPERS[name]


def write_lesson(
    lesson: Lesson,
    desk: LessonDesk,
    path: Path,
    *,
    paper: str = "letter",
    students: int = 8,
    student: tuple[float, float] | None = None,
    book: Path | None = None,
    language: str = ENGLISH,
) -> Path:
    """Write a lesson as a PDF; returns its path.

    Raises
    ------
    BadInput
        For a paper that is not known, a drawing that cannot be made, and a place that cannot be written.

    """
    made = lesson_pdf(lesson, desk, paper=paper, students=students, student=student, book=book, language=language)
    return write_files({path.name: made}, path.parent)[0]


def lesson_pdf(
    lesson: Lesson,
    desk: LessonDesk,
    *,
    paper: str = "letter",
    students: int = 8,
    student: tuple[float, float] | None = None,
    book: Path | None = None,
    language: str = ENGLISH,
) -> bytes:
    """A lesson as a PDF; the same bytes for the same lesson, book and class. Its own words are in their language."""
    wide, high, writing = paper_named(paper)
    head = lesson.head
    plan = practice(lesson, students)
    answers = every(desk, head.live)
    traps = box(student, book=book) if student is not None else []
    data = {
        **spoken("lesson.typ", language),
        "paper": {"width": wide, "height": high, "small": paper == "a5"},
        "title": head.title,
        "minutes": head.minutes,
        "aim": head.aim,
        "body": [block_values(block, desk, writing) for block in lesson.body],
        "live": _live(answers, desk, writing),
        "practice": _practice(plan),
        "traps": [[one.title, one.hand, one.setters, one.feet, _ways(one)] for one in traps],
        "beliefs": [[one.believed, one.fact, f"{one.source} ({one.confidence})"] for one in head.beliefs],
        "check": [[one.ask, one.answer] for one in head.check],
        "skills": [[str(item), SKILLS[item]] for item in head.skills],
        "cautions": head.cautions,
        "foot": f"setwright: {head.title}" + ("" if desk.own else "; places and readings are invented"),
    }
    return typeset("lesson.typ", data)


def _ways(one: BoxTrap) -> str:
    return " or ".join(one.ways) if one.ways else "not this one"


def _live(answers: list[LiveAnswer], desk: LessonDesk, writing: float) -> dict[str, Any]:
    first, last = answers[0], answers[-1]
    same = len({one.about for one in answers}) == 1
    # The text shows how things stand; the question shows where the change leads.
    picture = last.picture
    return {
        "ask": first.ask,
        "about": first.about if same else "",
        "label": first.label,
        "heads": [number.label for number in first.numbers],
        "rows": [[one.words, *(number.after for number in one.numbers)] for one in answers],
        "learn": first.learn,
        "note": first.note,
        "picture": None if picture is None else drawing(desk, picture, writing),
        "drawn": last.words,
    }


def _practice(plan: Practice) -> dict[str, Any]:
    return {
        "students": plan.students,
        "helpers": plan.helpers,
        "stations": [
            {
                "name": one.station.name,
                "number": one.number,
                "minutes": one.station.minutes,
                "students": one.station.students,
                "steps": one.station.steps,
                "kit": [[str(number), what] for number, what in one.kit],
                "caution": one.station.caution,
            }
            for one in plan.stations
        ],
        "kit": [[str(number), what] for number, what in plan.kit],
    }


def drawing(desk: LessonDesk, picture: Picture | Block, writing: float) -> dict[str, Any]:
    """A drawing in black on white, and the share of the writing width [mm] that it takes.

    A drawing that would be too tall is drawn anew for less width, so that its letters keep their size.
    """
    widest = min(writing * _PIXELS_PER_MM, _WIDEST)
    most = _TALLEST_SMALL if writing < _SMALL else _TALLEST
    tried: list[tuple[float, float, str]] = []
    for width in [share * widest for share in _SHARES if share == 1.0 or share * widest >= _NAMED]:
        made = draw_picture(desk, picture, width)
        found = _SIZE.search(made)
        wide, high = (width, 0.0) if found is None else (float(found[1]), float(found[2]))
        tried.append((high / _PIXELS_PER_MM, wide, made))
        if tried[-1][0] <= most:
            break
    else:
        tried.sort(key=lambda one: one[0])
        tried.append(tried[0])
    high, wide, made = tried[-1]
    # One that stays too tall at any width is made a little smaller as a whole.
    shrunk = min(1.0, max(most / high, _LEAST)) if high else 1.0
    return {"svg": svg.standalone(made), "share": min(1.0, shrunk * wide / _PIXELS_PER_MM / writing)}


def spans_values(spans: tuple[Span, ...]) -> list[list[Any]]:
    """Words with their voice, for the typesetter; an address is printed behind its words."""
    found: list[list[Any]] = []
    for span in spans:
        found.append([span.text, span.strong, span.em, span.code])
        if span.link.startswith("http"):
            found.append([f" ({span.link})", False, False, False])
    return found


def block_values(block: Block, desk: LessonDesk, writing: float) -> dict[str, Any]:
    """One part of the running text, for the typesetter."""
    values: dict[str, Any] = {
        "kind": block.kind,
        "level": block.level,
        "spans": spans_values(block.spans),
        "rows": [[spans_values(cell) for cell in row] for row in block.rows],
    }
    if block.kind == "figure":
        values["drawing"] = drawing(desk, block, writing)
        values["alt"] = "".join(span.text for span in block.spans)
    return values
