"""Settings: units, packs of rules, places and books in and out of files, copies of the log, where everything lies."""

from __future__ import annotations

from pathlib import Path
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, HTTPException, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from setwright.basis.errors import BadInput, SetwrightError
from setwright.desk import edit, edit_fields, new_line, packs
from setwright.desk import edit_acts as acts
from setwright.desk.log import store_place
from setwright.desk.log_copies import copy_of_log, log_from_copy
from setwright.desk.places import places_of
from setwright.sheets.speech import language_names, spoken
from setwright.web.api import Line
from setwright.web.forms import Book, Form, Sent, book_state, refusal, saved, shell, tried
from setwright.web.person import allowed

router = APIRouter(
    prefix="/settings", include_in_schema=False, default_response_class=HTMLResponse,
    dependencies=[Depends(allowed("change"))],
)  # fmt: skip
HERE = "/settings"
KEEP = [Depends(allowed("keep"))]


def _page(
    request: Request, *, error: SetwrightError | None = None, sent: Sent | None = None, done: str = ""
) -> HTMLResponse:
    state = book_state(request)
    data = state.data
    law, head = data.get("law") or {}, data.get("line") or {}
    used = tuple(str(name) for name in law.get("packs") or ())
    log = Path(store_place(state.path))
    known: dict[str, Any] = {
        "state": state, "units": str(head.get("units", "us")), "used": used,
        "position_form": str(head.get("position_form", "degrees")),
        "profile": law.get("profile", "best-practice") or "", "packs": packs.packs_at_hand(state.path, used),
        "animals": edit_fields.own_animals(data), "log": log if log.exists() else None, "done": done,
        "journal": state.path.with_name(f".{state.path.name}.edits.json"), "sent": {} if sent is None else sent.words,
        "languages": language_names(), "language": spoken(),
    }  # fmt: skip
    if error is not None:
        bad = error if isinstance(error, BadInput) else BadInput(str(error))
        known |= refusal(bad, {})
    return shell(request, "settings.html", HERE, **known)


@router.get("")
def settings(request: Request, done: str = "") -> HTMLResponse:
    """All settings."""
    told = {"units": "Units and positions kept.", "packs": "Packs kept.", "places": "Places added to the line.",
            "book": "The line book was put in place.", "log": "The copy was read into the log."}  # fmt: skip
    return _page(request, done=told.get(done, ""))


@router.post("/units")
def units(request: Request, form: Form) -> Response:
    """Choose units, and the form in which positions are shown."""

    def act() -> Response:
        acts.choose_units(book_state(request).path, form.seen, form.get("units"), form.get("position_form"))
        return saved(request, f"{HERE}?done=units")

    return tried(act, lambda error: _page(request, error=error, sent=form))


@router.post("/packs")
def chosen(request: Request, form: Form) -> Response:
    """Choose packs of rules."""

    def act() -> Response:
        acts.choose_packs(book_state(request).path, form.seen, form.many.get("pack", []), form.get("profile"))
        return saved(request, f"{HERE}?done=packs")

    return tried(act, lambda error: _page(request, error=error, sent=form))


@router.post("/places")
def places(request: Request, form: Form) -> Response:
    """Make sites of the places of a file."""

    def act() -> Response:
        name, content = form.files.get("file", ("", b""))
        found = places_of(content, name or "file")
        more = {"medium": form.get("medium"), "target": form.get("target")}
        acts.add_sites(book_state(request).path, form.seen, [{**place, **more} for place in found])
        return saved(request, f"{HERE}?done=places")

    return tried(act, lambda error: _page(request, error=error, sent=form))


@router.get("/book", dependencies=KEEP)
def book_out(state: Book) -> Response:
    """The line book as a file."""
    return _attached(state.path.read_bytes(), state.path.name, "application/yaml")


@router.post("/book", dependencies=KEEP)
def book_in(request: Request, form: Form) -> Response:
    """Put another line book in the place of this one; it can be undone."""

    def act() -> Response:
        _, content = form.files.get("file", ("", b""))
        text = new_line.book_text(content)
        edit.changed_text(book_state(request).path, form.seen, "put another book in place", text)
        return saved(request, f"{HERE}?done=book")

    return tried(act, lambda error: _page(request, error=error, sent=form))


@router.get("/log", dependencies=KEEP)
def log_out(line: Line) -> Response:
    """A copy of the log with its digest."""
    return _attached(copy_of_log(line.book), f"{line.book.stem}-log.zip", "application/zip")


@router.post("/log", dependencies=KEEP)
def log_in(request: Request, line: Line, form: Form) -> Response:
    """Read a copy of the log back: what is there stays, what it lacks is added."""
    name, content = form.files.get("file", ("", b""))
    try:
        log_from_copy(line.book, content, name or "file")
    except SetwrightError as error:
        return _page(request, error=error, sent=form)
    return RedirectResponse(f"{HERE}?done=log", status_code=303)


def _attached(content: bytes, name: str, kind: str) -> Response:
    headers = {"Content-Disposition": f"attachment; filename*=UTF-8''{quote(name)}"}
    return Response(content, media_type=kind, headers=headers)


def _pack_page(request: Request, name: str, text: str | None = None, **more: Any) -> HTMLResponse:
    try:
        found = packs.pack_text(book_state(request).path, name, text)
    except BadInput as error:
        raise HTTPException(404, str(error)) from None
    lines = found.text.splitlines()
    return shell(request, "pack.html", HERE, pack=found, lines=lines, **more)


@router.get("/packs/{name}")
def pack(request: Request, name: str, kept: int = 0) -> HTMLResponse:
    """A pack of rules as text, with everything that is wrong or doubtful in it by line."""
    return _pack_page(request, name, kept=bool(kept))


@router.post("/packs/{name}")
def pack_sent(request: Request, name: str, form: Form) -> Response:
    """Keep a pack, or only look it over."""
    text = form.words.get("text", "")
    if form.get("look") == "yes":
        return _pack_page(request, name, text)

    def act() -> Response:
        packs.keep_pack(book_state(request).path, name, form.seen, text)
        return saved(request, f"{HERE}/packs/{quote(name, safe='')}?kept=1")

    return tried(act, lambda error: _pack_page(request, name, text, **refusal(error, {})))


@router.post("/packs/{name}/copy")
def pack_copied(request: Request, name: str, form: Form) -> Response:
    """Copy a pack to a file beside the book."""

    def act() -> Response:
        made = packs.copy_pack(book_state(request).path, name, form.get("new"))
        return saved(request, f"{HERE}/packs/{quote(made, safe='')}")

    return tried(act, lambda error: _pack_page(request, name, **refusal(error, {})))
