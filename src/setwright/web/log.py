"""The log at the desk: what is due, entries and their corrections, files in and out; works without script."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Depends, HTTPException, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile

from setwright.basis.errors import BadInput, SetwrightError
from setwright.desk import log as desk_log
from setwright.desk.log_due import Due
from setwright.desk.log_files import FORMS, give_out, take_text
from setwright.desk.log_form import entry_kinds, form, write_form
from setwright.desk.log_show import Line as Entry
from setwright.desk.log_show import states, story
from setwright.desk.log_sprung import likely
from setwright.desk.log_sprung import write as write_sprung
from setwright.desk.log_sync import has_log
from setwright.desk.log_words import now_in
from setwright.line.brief import Brief, named_site, read_brief
from setwright.web.api import Line
from setwright.web.open_line import OpenLine
from setwright.web.owed import due_of
from setwright.web.pages import rendered
from setwright.web.person import Asking, allowed, person_of

router = APIRouter(prefix="/log", include_in_schema=False, default_response_class=HTMLResponse)
HERE = "/log"
SHOWN, MOST = 60, 5000
WRITES = [Depends(allowed("log"))]
LOOKS = [Depends(allowed("look"))]
TYPES = {".jsonl": "application/x-ndjson", ".csv": "text/csv; charset=utf-8"}
Word = Annotated[str, Query(max_length=400)]


def _list(line: OpenLine) -> tuple[list[Due], list[str]]:
    return due_of(line) or ([], [])


def _entries(line: OpenLine, **which: Any) -> list[Entry]:
    return story(line.book, **which) if has_log(line.book) else []


def _brief(line: OpenLine) -> Brief:
    return read_brief(line.book)


def _whose(request: Request) -> str | None:
    return person_of(request).name or None


@router.get("", dependencies=LOOKS)
def log_page(request: Request, line: Line, kept: Word = "", all: Word = "", refused: str = "") -> HTMLResponse:
    """What is due, the newest entries, and a form to begin another."""
    return _page(request, line, kept=kept, whole=bool(all), refused=refused[:400])


def _page(request: Request, line: OpenLine, *, status: int = 200, **more: Any) -> HTMLResponse:
    rows, untold = _list(line)
    told: dict[str, Any] = {"kept": "", "whole": False, "refused": "", "taken": None, **more}
    entries = _entries(line, most=MOST if told["whole"] else SHOWN)
    late = sum(one.late for one in rows)
    return rendered(
        request, "log_page.html", HERE, status=status, due=rows, untold=untold, late=late,
        entries=list(reversed(entries)), kinds=entry_kinds(), sites=_brief(line).sites, any_log=has_log(line.book),
        when=_when, shown=SHOWN, **told,
    )  # fmt: skip


def _when(moment: dt.datetime | None) -> str:
    return "soon" if moment is None else f"{moment:%a %d %b %H:%M}"


@router.get("/set/{site}", dependencies=LOOKS)
def set_story(site: str, request: Request, line: Line) -> HTMLResponse:
    """Everything that was written of one set."""
    brief = _brief(line)
    here = named_site(brief, site, line.book) if brief.site(site) else None
    if here is None:
        raise HTTPException(404, "no such set in the book")
    state = states(line.book).sets.get(here.key) if has_log(line.book) else None
    rows = [one for one in _list(line)[0] if one.about == here.key]
    return rendered(
        request, "log_set.html", HERE, site=here, state=state, due=rows, when=_when, kinds=entry_kinds(),
        entries=list(reversed(_entries(line, site=here.key))),
    )  # fmt: skip


def _form(request: Request, line: OpenLine, kind: str, site: str, status: int = 200, **more: Any) -> HTMLResponse:
    told: dict[str, Any] = {"refused": None, "given": {}, "at": "", **more}
    asks = form(line.book, kind, site or None, told["given"])
    named = _brief(line).site(site) if site else None
    words = dict(pair for _, members in entry_kinds() for pair in members)[kind]
    return rendered(
        request, "log_form.html", HERE, status=status, asks=asks, kind=kind, words=words, site=site, named=named,
        **told,
    )  # fmt: skip


@router.get("/new", dependencies=WRITES)
def new_form(request: Request, line: Line, kind: Word = "", site: Word = "") -> Response:
    """The form of one kind of entry."""
    if not kind:
        return RedirectResponse(HERE, status_code=303)
    try:
        return _form(request, line, kind, site)
    except BadInput as error:
        return _page(request, line, status=422, refused=str(error))


@router.post("/new", dependencies=WRITES)
async def new_entry(request: Request, line: Line, person: Asking) -> Response:
    """Write an entry down."""
    sent = _texts(await request.form())
    kind, site, at = sent.pop("kind", ""), sent.pop("site", ""), sent.pop("at", "")
    return await run_in_threadpool(_write_new, request, line, kind, site, at, sent, person.name or None)


def _write_new(
    request: Request, line: OpenLine, kind: str, site: str, at: str, sent: dict[str, str], visitor: str | None
) -> Response:
    try:
        kept = write_form(line.book, kind, site or None, sent, at=at, visitor=visitor)
    except SetwrightError as error:
        try:
            return _form(request, line, kind, site, 422, refused=error, given=sent, at=at)
        except BadInput:
            return _page(request, line, status=422, refused=str(error))
    return _back(kept)


def _texts(sent: FormData) -> dict[str, str]:
    """Fields of a form as text; several values of one field with commas between; no token among them."""
    found: dict[str, str] = {}
    for name, value in sent.multi_items():
        if isinstance(value, str) and name != "token":
            found[name] = f"{found[name]},{value}" if found.get(name) else value
    return found


def _back(kept: desk_log.Kept) -> Response:
    names = ",".join(one.id[:8] for one in kept.events)
    return RedirectResponse(f"{HERE}?kept={names}#entries", status_code=303)


@router.get("/entry/{name}", dependencies=LOOKS)
def one_entry(name: str, request: Request, line: Line) -> HTMLResponse:
    """One entry, and all that was later said of it."""
    return _entry(request, line, name)


def _entry(request: Request, line: OpenLine, name: str, status: int = 200, **more: Any) -> HTMLResponse:
    if not has_log(line.book):
        raise HTTPException(404, "there is no log yet")
    try:
        event = desk_log.find(desk_log.read(line.book), name)
    except BadInput as error:
        raise HTTPException(404, error.message) from None
    told: dict[str, Any] = {"refused": None, "words": "", "reason": "", **more}
    return rendered(
        request, "log_entry.html", HERE, status=status, entries=story(line.book, event=event.id), event=event,
        names=_names(event.kind), **told,
    )  # fmt: skip


def _names(kind: str) -> list[str]:
    from setwright.log import kinds

    return [*desk_log.CORRECTABLE, *kinds.SLOTS[kind]]


@router.post("/entry/{name}", dependencies=WRITES)
async def amend(name: str, request: Request, line: Line, person: Asking) -> Response:
    """Correct an entry, or take it back."""
    sent = _texts(await request.form())
    return await run_in_threadpool(_amend, request, line, name, sent, person.name or None)


def _amend(request: Request, line: OpenLine, name: str, sent: Mapping[str, str], visitor: str | None) -> Response:
    words, reason, void = sent.get("words", ""), sent.get("reason", "").strip(), sent.get("act") == "void"
    changes = [] if void else [one.strip() for one in words.splitlines() if one.strip()]
    try:
        kept = desk_log.correct(line.book, name, changes, void=void, reason=reason or None, visitor=visitor)
    except SetwrightError as error:
        return _entry(request, line, name, 422, refused=error, words=words, reason=reason)
    return _back(kept)


@router.post("/done", dependencies=WRITES)
async def done(request: Request, line: Line, person: Asking) -> Response:
    """Settle a duty."""
    sent = _texts(await request.form())

    def act() -> Response:
        duty = sent.get("duty", "")
        try:
            return _back(write_form(line.book, "done", None, {"duty": duty}, visitor=person.name or None))
        except SetwrightError as error:
            return _page(request, line, status=422, refused=str(error))

    return await run_in_threadpool(act)


@router.get("/sprung/{site}", dependencies=LOOKS)
def sprung(site: str, request: Request, line: Line) -> HTMLResponse:
    """Short questions about a trap that lies sprung and empty, one at a time."""
    return _sprung(request, line, site, dict(request.query_params))


def _sprung(
    request: Request, line: OpenLine, site: str, seen: Mapping[str, str], status: int = 200, refused: str = ""
) -> HTMLResponse:
    here = _brief(line).site(site)
    if here is None:
        raise HTTPException(404, "no such set in the book")
    looked = {name: answer for name, answer in seen.items() if answer}
    try:
        found = likely(line.book, site, looked)
    except BadInput as error:
        found, looked, refused, status = likely(line.book, site, {}), {}, str(error), 422
    return rendered(
        request, "log_sprung.html", HERE, status=status, site=here, seen=looked, found=found, refused=refused
    )


@router.post("/sprung/{site}", dependencies=WRITES)
async def sprung_written(site: str, request: Request, line: Line, person: Asking) -> Response:
    """Write the sprung trap down with what was seen."""
    sent = _texts(await request.form())
    at = sent.pop("at", "").strip()

    def act() -> Response:
        try:
            seen = {name: answer for name, answer in sent.items() if answer}
            return _back(write_sprung(line.book, site, seen, at=at or None, visitor=person.name or None))
        except SetwrightError as error:
            return _sprung(request, line, site, sent, 422, str(error))

    return await run_in_threadpool(act)


@router.post("/import", dependencies=WRITES)
async def files_in(request: Request, line: Line) -> Response:
    """Take a file of entries in; refused rows are listed with their reasons."""
    sent = await request.form()
    file = sent.get("file")
    whole = sent.get("whole") == "yes"
    if not isinstance(file, UploadFile) or not file.filename:
        return await run_in_threadpool(lambda: _page(request, line, status=422, refused="choose a file first"))
    name, raw = file.filename, await file.read()

    def act() -> Response:
        try:
            ending = next((one for one in FORMS if name.lower().endswith(one)), None)
            if ending is None:
                raise BadInput("no such kind of file", file=name[-80:], allowed=", ".join(FORMS))
            taken = take_text(line.book, _decoded(raw, name), ending, all_or_nothing=whole)
        except SetwrightError as error:
            return _page(request, line, status=422, refused=str(error))
        return _page(request, line, status=200 if not taken.refused else 422, taken=taken)

    return await run_in_threadpool(act)


def _decoded(raw: bytes, name: str) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadInput("the file is no text in UTF-8", file=name[-80:]) from None


@router.get("/export.{form}", dependencies=WRITES)
def files_out(form: str, line: Line) -> Response:
    """Every entry, corrections and voids included."""
    ending = f".{form}"
    if ending not in FORMS or not has_log(line.book):
        raise HTTPException(404, "no such file, or no log yet")
    _, text = give_out(line.book, None, form=ending)
    headers = {"Content-Disposition": f'attachment; filename="log{ending}"'}
    return Response(text, media_type=TYPES[ending], headers=headers)


@router.get("/sheet", dependencies=LOOKS)
def sheet(request: Request, line: Line) -> HTMLResponse:
    """A ruled sheet to write on where no device will do, in the order of the run."""
    now = now_in(_brief(line).zone)
    return rendered(request, "log_sheet.html", HERE, stops=line.now().plan.run.stops, day=f"{now:%a %d %b %Y}")
