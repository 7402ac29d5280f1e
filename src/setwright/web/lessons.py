"""Pages of teaching: lessons with their live question, projector, quizzes; nothing is changed by them."""

from __future__ import annotations

import threading
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Any
from urllib.parse import urlencode
from weakref import WeakKeyDictionary

from fastapi import APIRouter, HTTPException, Query, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from setwright.basis.errors import BadInput
from setwright.desk.bench import sheet as bench_sheet
from setwright.desk.bench import student_of
from setwright.desk.lessons.live import LessonDesk, LiveAnswer, Picture, answer
from setwright.desk.lessons.markdown import Block, Span
from setwright.desk.lessons.model import Lesson
from setwright.desk.lessons.quiz import Marked, marked, quiz_of
from setwright.desk.lessons.shelf import FOLDER, read_lesson, shipped_folder
from setwright.desk.lessons.slides import slides_of
from setwright.desk.lessons.stations import practice, whole_course
from setwright.desk.lessons.strength import box
from setwright.sheets import page as sheet
from setwright.sheets.bench import Moving, moving
from setwright.sheets.lesson import PAPERS, lesson_pdf
from setwright.sheets.lesson_figures import draw_picture, figure_keys, known
from setwright.sheets.lesson_quiz import picture_of, quiz_pdf
from setwright.sheets.lesson_words import spoken_lesson
from setwright.sheets.speech import ENGLISH, translator
from setwright.sheets.speech import spoken as language_now
from setwright.web.api import Line
from setwright.web.open_line import MOTION_STEP, OpenLine, Planned
from setwright.web.pages import rendered

router = APIRouter(prefix="/lessons", include_in_schema=False, default_response_class=HTMLResponse)
HERE = "/lessons"
DESK, PHONE = 720.0, 350.0
STUDENTS, QUESTIONS = 8, 6
MOST_DRAWS = 200
SHAPES = {"right": "sound", "wrong": "fails", "open": "cannot tell"}
_desks: WeakKeyDictionary[OpenLine, tuple[Planned, LessonDesk]] = WeakKeyDictionary()
_lock = threading.Lock()

Text = Annotated[str, Query(max_length=60)]


def desk_of(line: OpenLine) -> LessonDesk:
    """What lessons ask of the open line, kept until one of its files changes."""
    planned = line.now()
    with _lock:
        kept = _desks.get(line)
        if kept is None or kept[0] is not planned:
            kept = (planned, LessonDesk(line.book, draws=min(line.draws, MOST_DRAWS), seed=line.seed))
            _desks[line] = kept
        return kept[1]


@lru_cache(maxsize=200)
def _read(path: str, changed_at: int, own: bool, language: str) -> Lesson:
    del changed_at
    found = read_lesson(Path(path), known(), own=own)
    return found if language == ENGLISH else spoken_lesson(found, translator(language))


def shelf(line: OpenLine) -> tuple[list[Lesson], list[str]]:
    """All lessons in order, and what is wrong with those of one's own that cannot be used."""
    found = [
        _read(str(path), path.stat().st_mtime_ns, False, language_now())
        for path in sorted(shipped_folder().glob("*.md"))
    ]
    faults: list[str] = []
    names = {one.name for one in found}
    for path in sorted((line.book.resolve().parent / FOLDER).glob("*.md")):
        try:
            one = _read(str(path), path.stat().st_mtime_ns, True, language_now())
            if one.name in names:
                raise BadInput("another lesson has this name", file=path.name, field="name", found=one.name)
        except BadInput as error:
            # Where the folder lies on this machine is nobody's business over the network.
            faults.append(str(error).replace(str(path), path.name))
            continue
        names.add(one.name)
        found.append(one)
    return sorted(found, key=lambda one: (one.own, one.head.order, one.name)), faults


def lesson_of(line: OpenLine, name: str) -> Lesson:
    """One lesson by name."""
    found = next((one for one in shelf(line)[0] if one.name == name), None)
    if found is None:
        raise HTTPException(404, "no such lesson")
    return found


def drawn(desk: LessonDesk, picture: Picture | Block, width: float) -> Markup:
    """A drawing, or why there is none."""
    try:
        return sheet.safe(draw_picture(desk, picture, width))
    except BadInput as error:
        return Markup('<p class="refused">No drawing: {}</p>').format(str(error))


def keys_of(desk: LessonDesk, picture: Picture | Block) -> list[tuple[str, str]]:
    """Letters on the narrow drawing with their words."""
    try:
        return figure_keys(desk, picture)
    except BadInput:
        return []


def spoken(spans: tuple[Span, ...]) -> Markup:
    """Words with their voice; all of them escaped."""
    found = Markup("")
    for span in spans:
        words = Markup("{}").format(span.text)
        for kind, on in (("code", span.code), ("em", span.em), ("strong", span.strong)):
            if on:
                words = Markup("<{0}>{1}</{0}>").format(Markup(kind), words)
        if span.link.startswith("lesson:"):
            words = Markup('<a href="/lessons/{}">{}</a>').format(span.link.removeprefix("lesson:"), words)
        elif span.link:
            words = Markup('<a href="{}" rel="noreferrer">{}</a>').format(span.link, words)
        found += words
    return found


def _helpers(desk: LessonDesk) -> dict[str, Any]:
    return {
        "spoken": spoken,
        "figure": lambda picture, wide: drawn(desk, picture, DESK if wide else PHONE),
        "figure_keys": lambda picture: keys_of(desk, picture),
        "shapes": SHAPES,
        "letters": "abcdefgh",
    }


@router.get("")
def all_lessons(
    request: Request, line: Line, students: Annotated[int, Query(ge=1, le=200)] = STUDENTS
) -> HTMLResponse:
    """All lessons, and what the whole course needs."""
    found, faults = shelf(line)
    return rendered(
        request, "lessons.html", HERE, lessons=found, faults=faults, students=students,
        kit=whole_course(found, students), minutes=sum(one.head.minutes for one in found),
    )  # fmt: skip


def _live(desk: LessonDesk, lesson: Lesson, value: str) -> tuple[LiveAnswer, str]:
    """The answer, and why the change was refused when it was."""
    try:
        return answer(desk, lesson.head.live, value), ""
    except BadInput as error:
        return answer(desk, lesson.head.live), str(error).replace(str(desk.book), desk.book.name)


def _moving(desk: LessonDesk, lesson: Lesson, told: LiveAnswer) -> Moving | None:
    """Slow motion of the trap as it stands and as changed, where the question is about the closing."""
    picture = told.picture
    if lesson.head.live.tool != "trap" or picture is None or picture.name != "trap-strip":
        return None
    change = picture.given.get("change", "")
    with desk.lock:
        found = bench_sheet(
            desk.picked(picture.given["trap"]), what_if=(change,) if change else (), drawn_too=True,
            frame_step=MOTION_STEP, draws=50, seed=desk.seed,
        )  # fmt: skip
    return moving(found)


@router.get("/{name}")
def one_lesson(
    request: Request,
    name: str,
    line: Line,
    change: Text = "",
    students: Annotated[int, Query(ge=1, le=200)] = STUDENTS,
    presses: Text = "",
    weighs: Text = "",
    projector: Annotated[int, Query(ge=0, le=1)] = 0,
    slide: Annotated[int, Query(ge=1, le=500)] = 1,
) -> HTMLResponse:
    """One lesson as a page, or a slide of it for the projector."""
    lesson, desk = lesson_of(line, name), desk_of(line)
    head = lesson.head
    if projector:
        return _projected(request, lesson, desk, change, slide)
    told, refused = _live(desk, lesson, change)
    traps, strength = [], ""
    if presses.strip() or weighs.strip():
        try:
            traps = box(student_of(presses.strip() or None, weighs.strip() or None), book=line.book, draws=100)
        except BadInput as error:
            strength = str(error)
    given = {key: value for key, value in (("students", students), ("presses", presses), ("weighs", weighs)) if value}
    return rendered(
        request, "lesson.html", HERE, lesson=lesson, head=head, told=told, refused=refused, change=change,
        students=students, presses=presses, weighs=weighs, plan=line.now().plan, practice=practice(lesson, students),
        traps=traps, strength=strength, strongbox=bool(presses.strip() or weighs.strip()),
        moving=_moving(desk, lesson, told), sheet_query=urlencode(given), papers=tuple(PAPERS), **_helpers(desk),
    )  # fmt: skip


def _projected(request: Request, lesson: Lesson, desk: LessonDesk, change: str, number: int) -> HTMLResponse:
    """One slide with ways on and back."""
    slides = slides_of(lesson)
    number = min(number, len(slides))
    one = slides[number - 1]
    live = one.kind == "live"
    told, refused = _live(desk, lesson, change) if live else (None, "")
    return rendered(
        request, "lesson_slide.html", HERE, lesson=lesson, head=lesson.head, slide=one, number=number,
        count=len(slides), told=told, refused=refused, change=change,
        moving=None if told is None else _moving(desk, lesson, told), **_helpers(desk),
    )  # fmt: skip


@router.get("/{name}/lesson.pdf")
def lesson_paper(
    name: str,
    line: Line,
    students: Annotated[int, Query(ge=1, le=200)] = STUDENTS,
    presses: Text = "",
    weighs: Text = "",
    paper: Text = "letter",
) -> Response:
    """The same lesson on paper."""
    lesson, desk = lesson_of(line, name), desk_of(line)
    student = student_of(presses.strip() or None, weighs.strip() or None)
    with desk.lock:
        made = lesson_pdf(
            lesson, desk, paper=paper, students=students, student=student, book=line.book,
            language=language_now(),
        )  # fmt: skip
    return _pdf(made, f"{lesson.name}.pdf")


def _pdf(made: bytes, name: str) -> Response:
    return Response(made, media_type="application/pdf", headers={"Content-Disposition": f'inline; filename="{name}"'})


Seed = Annotated[int, Query(ge=0, le=2**31 - 1)]
Number = Annotated[int, Query(ge=1, le=40)]


@router.get("/{name}/quiz")
def quiz_page(request: Request, name: str, line: Line, seed: Seed = 1, number: Number = QUESTIONS) -> HTMLResponse:
    """A quiz; with answers in the address it is marked."""
    lesson, desk = lesson_of(line, name), desk_of(line)
    made = quiz_of(lesson, seed, number)
    answers = _answers(request, number)
    found: Marked | None = marked(made, answers) if answers or "mark" in request.query_params else None
    return rendered(
        request, "lesson_quiz.html", HERE, lesson=lesson, head=lesson.head, quiz=made, found=found, answers=answers,
        number=number, picture_of=picture_of, **_helpers(desk),
    )  # fmt: skip


def _answers(request: Request, number: int) -> dict[int, str]:
    """Answers in the address, `a1` to the last; empty ones are none."""
    given = {place: request.query_params.get(f"a{place}", "").strip()[:80] for place in range(1, number + 1)}
    return {place: text for place, text in given.items() if text}


@router.get("/{name}/quiz.pdf")
def quiz_paper(
    name: str, line: Line, seed: Seed = 1, number: Number = QUESTIONS, key: Annotated[int, Query(ge=0, le=1)] = 0,
    paper: Text = "letter",
) -> Response:  # fmt: skip
    """The same quiz on paper, with its key behind it when that is wanted."""
    lesson, desk = lesson_of(line, name), desk_of(line)
    with desk.lock:
        asked = quiz_of(lesson, seed, number)
        made = quiz_pdf(lesson, asked, desk, paper=paper, key=bool(key), language=language_now())
    return _pdf(made, f"{lesson.name}-quiz-{seed}.pdf")
