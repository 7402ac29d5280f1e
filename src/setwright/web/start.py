"""The first run: where no book is yet, one is made question by question, or taken over, or the demo is written."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from setwright.basis.errors import BadInput
from setwright.desk import edit_acts as acts
from setwright.desk import edit_fields, new_line
from setwright.desk.demo import write_demo
from setwright.desk.edit_form import Field, Section, filled
from setwright.web.api import Line
from setwright.web.forms import Form, Sent, book_state, refusal, saved, shell, tried
from setwright.web.person import allowed

router = APIRouter(
    prefix="/start", include_in_schema=False, default_response_class=HTMLResponse,
    dependencies=[Depends(allowed("change"))],
)  # fmt: skip
STEPS = ("line", "law", "traps", "tackle", "site")
TITLES = {
    "line": "Where and when?", "law": "Which rules bind you there?", "traps": "Which traps do you own?",
    "tackle": "Which chains and anchors?", "site": "Where does the first set go?",
}  # fmt: skip
ZONES = (
    "America/New_York", "America/Chicago", "America/Denver", "America/Phoenix", "America/Los_Angeles",
    "America/Anchorage", "America/Halifax", "America/Winnipeg", "America/Edmonton", "America/Vancouver", "UTC",
)  # fmt: skip


@router.get("")
def start(request: Request, line: Line) -> Response:
    """Three ways to begin."""
    return _start(request, line.book.exists())


def _start(request: Request, there: bool, **more: Any) -> HTMLResponse:
    return shell(request, "start.html", "/start", there=there, **more)


@router.post("/demo")
def demo(request: Request, line: Line) -> Response:
    """Write the invented demo line here."""

    def act() -> Response:
        if line.book.exists():
            raise BadInput("a line book stands here already", file=line.book.name)
        made = write_demo(line.book.parent)
        if made != line.book:
            made.replace(line.book)
        return saved(request, "/planned?to=/")

    return tried(act, lambda error: _start(request, line.book.exists(), **refusal(error, {})))


@router.post("/file")
def file(request: Request, line: Line, form: Form) -> Response:
    """Take a book over that was made elsewhere."""

    def act() -> Response:
        _, content = form.files.get("file", ("", b""))
        new_line.take_over(line.book, content)
        return saved(request, "/planned?to=/")

    return tried(act, lambda error: _start(request, line.book.exists(), **refusal(error, {})))


def _sections(request: Request, step: str) -> tuple[Section, ...]:
    if step == "line":
        (first,) = new_line.first_form()
        fields = tuple(
            Field(f.path, f.label, "choice", tuple((z, z) for z in ZONES)) if f.path == "line.timezone" else f
            for f in first.fields
        )
        return (Section(first.head, fields, first.hint),)
    data = book_state(request).data
    if step == "traps":
        return (Section("Traps, alike ones in one row", (new_line.outfit_rows(data, "traps"),)),)
    if step == "tackle":
        rows = (new_line.outfit_rows(data, "chains"), new_line.outfit_rows(data, "anchors"))
        return (Section("Tackle, alike pieces in one row", rows),)
    if step == "site":
        asked = ("name", "position", "medium", "target", "set_type")
        known = {field.path: field for part in edit_fields.site_form(data) for field in part.fields}
        return (Section("The first set", tuple(known[path] for path in asked)),)
    return ()


def _page(request: Request, step: str, sent: Sent | None = None, error: BadInput | None = None) -> HTMLResponse:
    sections = _sections(request, step)
    node = {"line": {"date": dt.date.today().isoformat(), "timezone": "America/New_York"}} if step == "line" else {}
    values = {**filled(sections, node), **({} if sent is None else sent.words)}
    there = step != "line"
    known: dict[str, Any] = {
        "sections": sections, "values": values, "at": STEPS.index(step), "steps": STEPS, "title": TITLES[step],
        "rows": {f.path: new_line.ROWS for part in sections for f in part.fields if f.rowed},
        "digest": book_state(request).digest if there else "", "packs": edit_fields.packs(),
        "chosen": book_state(request).data.get("law", {}).get("packs", []) if there else [],
    }  # fmt: skip
    if error is not None:
        known |= refusal(error, values)
    return shell(request, "start_step.html", "/start", question=step, **known)


def _next(step: str) -> str:
    at = STEPS.index(step) + 1
    return f"/start/{STEPS[at]}" if at < len(STEPS) else "/planned?to=/"


def _add(line: Line, form: Form) -> dict[str, Callable[[], object]]:
    book = line.book
    return {
        "line": lambda: new_line.begin(book, form.words),
        "law": lambda: acts.choose_packs(book, form.seen, form.many.get("pack", []), "best-practice"),
        "traps": lambda: new_line.add_pieces(book, form.seen, ("traps",), form.words),
        "tackle": lambda: new_line.add_pieces(book, form.seen, ("chains", "anchors"), form.words),
        "site": lambda: acts.add_site(book, form.seen, form.words),
    }


@router.get("/{step}")
def asked(request: Request, step: str, line: Line) -> Response:
    """One question of a new line."""
    if step not in STEPS or (step != "line" and not line.book.exists()):
        return RedirectResponse("/start", status_code=303)
    return _page(request, step)


@router.post("/{step}")
def answered(request: Request, step: str, line: Line, form: Form) -> Response:
    """Keep an answer and go on to the next question."""
    if step not in STEPS:
        return RedirectResponse("/start", status_code=303)

    def act() -> Response:
        if form.get("later") != "yes":
            _add(line, form)[step]()
        return saved(request, _next(step))

    return tried(act, lambda error: _page(request, step, form, error))
