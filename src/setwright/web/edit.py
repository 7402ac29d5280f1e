"""Pages on which the line is built and changed: line, sites, outfit, animals, the book as text, undo."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, HTTPException, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput
from setwright.desk import edit, edit_fields
from setwright.desk import edit_acts as acts
from setwright.desk.edit import State
from setwright.desk.edit_form import Section, fields_of, filled, row_count
from setwright.web.forms import Book, Form, book_state, refusal, saved, shell, tried
from setwright.web.person import allowed

router = APIRouter(
    prefix="/edit", include_in_schema=False, default_response_class=HTMLResponse,
    dependencies=[Depends(allowed("change"))],
)  # fmt: skip
HERE = "/line"


def form_page(
    request: Request, state: State, sections: tuple[Section, ...], node: dict[str, Any], action: str, title: str,
    *, sent: dict[str, str] | None = None, error: BadInput | None = None, **more: Any,
) -> HTMLResponse:  # fmt: skip
    """A form over a part of the book, as it stands or as it was sent and refused."""
    values = filled(sections, node)
    values |= {name: text for name, text in (sent or {}).items() if name != "seen"}
    known = {
        "sections": sections, "values": values, "action": action, "title": title, "state": state,
        "rows": {f.path: max(row_count(f, values), 1) for f in fields_of(sections) if f.rowed},
        "data": state.data, **more,
    }  # fmt: skip
    if error is not None:
        known |= refusal(error, values)
    return shell(request, "edit_form.html", HERE, **known)


@router.get("")
def whole(request: Request, state: Book) -> HTMLResponse:
    """Everything that can be changed, and what was changed last."""
    data = state.data
    return shell(
        request, "edit.html", HERE, state=state, data=data, kinds=edit_fields.KINDS, one=edit_fields.ONE,
        traps=dict(edit_fields.patterns(data)), animals=dict(edit_fields.own_animals(data)),
    )  # fmt: skip


@router.get("/line")
def line(request: Request, state: Book) -> HTMLResponse:
    """The line as a whole."""
    return form_page(request, state, edit_fields.line_form(state.data), state.data, "/edit/line", "The line")


@router.post("/line")
def line_sent(request: Request, form: Form) -> Response:
    """Keep the line as a whole."""

    def act() -> Response:
        acts.change_line(book_state(request).path, form.seen, form.words)
        return saved(request, "/edit")

    def again(error: BadInput) -> Response:
        state = book_state(request)
        return form_page(
            request, state, edit_fields.line_form(state.data), state.data, "/edit/line", "The line", sent=form.words,
            error=error,
        )  # fmt: skip

    return tried(act, again)


@router.get("/site")
def new_site(
    request: Request, state: Book, latitude: float | None = None, longitude: float | None = None, medium: str = ""
) -> HTMLResponse:
    """A site that is not in the book yet, at a place tapped on the map."""
    node: dict[str, Any] = {"medium": medium if medium in ("land", "water") else ""}
    if latitude is not None and longitude is not None:
        node["position"] = {"latitude": round(latitude, 6), "longitude": round(longitude, 6)}
    return form_page(request, state, edit_fields.site_form(state.data), node, "/edit/site", "A new site", new=True)


@router.post("/site")
def new_site_sent(request: Request, form: Form) -> Response:
    """Add a site."""

    def act() -> Response:
        _, key = acts.add_site(book_state(request).path, form.seen, form.words)
        return saved(request, f"/edit/site/{quote(key, safe='')}?kept=1")

    def again(error: BadInput) -> Response:
        state = book_state(request)
        sections = edit_fields.site_form(state.data)
        return form_page(
            request, state, sections, {}, "/edit/site", "A new site", new=True, sent=form.words, error=error
        )

    return tried(act, again)


def _site(state: State, key: str) -> dict[str, Any]:
    found = next((one for one in state.data.get("sites") or [] if str(one.get("id")) == key), None)
    if found is None:
        raise HTTPException(404, "no such site in the book")
    return dict(found)


def _site_page(request: Request, key: str, **more: Any) -> HTMLResponse:
    state = book_state(request)
    node = _site(state, key)
    sections = edit_fields.site_form(state.data, str(node.get("medium") or ""))
    address = f"/edit/site/{quote(key, safe='')}"
    title = str(node.get("name", key))
    return form_page(
        request, state, sections, node, address, title, site=key, address=address, rigged="rig" in node, **more
    )


@router.get("/site/{key}")
def site(request: Request, key: str, kept: int = 0) -> HTMLResponse:
    """One site and its set."""
    return _site_page(request, key, kept=bool(kept))


@router.post("/site/{key}")
def site_sent(request: Request, key: str, form: Form) -> Response:
    """Keep a site."""

    def act() -> Response:
        acts.change_site(book_state(request).path, form.seen, key, form.words)
        return saved(request, f"/edit/site/{quote(key, safe='')}?kept=1")

    _site(book_state(request), key)
    return tried(act, lambda error: _site_page(request, key, sent=form.words, error=error))


@router.post("/site/{key}/move")
def site_moved(request: Request, key: str, form: Form) -> Response:
    """Put a site elsewhere on the map."""
    _site(book_state(request), key)
    acts.move_site(book_state(request).path, form.seen, key, form.get("position"))
    return saved(request, "/line#map")


@router.post("/site/{key}/remove")
def site_removed(request: Request, key: str, form: Form) -> Response:
    """Take a site out."""
    _site(book_state(request), key)

    def act() -> Response:
        acts.remove_site(book_state(request).path, form.seen, key)
        return saved(request, "/edit")

    return tried(act, lambda error: _site_page(request, key, error=error))


@router.post("/site/{key}/clear")
def site_cleared(request: Request, key: str, form: Form) -> Response:
    """State no rig any more."""
    _site(book_state(request), key)

    def act() -> Response:
        acts.clear_rig(book_state(request).path, form.seen, key)
        return saved(request, f"/edit/site/{quote(key, safe='')}?kept=1")

    return tried(act, lambda error: _site_page(request, key, error=error))


@router.post("/undo")
def undo(request: Request, form: Form) -> Response:
    """Take the last edit back."""
    edit.undone(book_state(request).path, form.seen)
    return saved(request, "/edit")


@router.post("/redo")
def redo(request: Request, form: Form) -> Response:
    """Make it again."""
    edit.redone(book_state(request).path, form.seen)
    return saved(request, "/edit")


def _text_page(request: Request, where: str, name: str, **more: Any) -> HTMLResponse:
    state = book_state(request)
    text = state.text if where == "book" else acts.part_text(state, where, name)
    title = "The whole line book as text" if where == "book" else f"{name} as text"
    known = {"text": text, "state": state, "title": title, "back": "/edit", **more}
    return shell(request, "edit_text.html", HERE, action=request.url.path, **known)


def _where(where: str) -> str:
    if where not in ("book", "sites", *edit_fields.KINDS):
        raise HTTPException(404, "no such part of the book")
    return where


@router.get("/text/{where}")
@router.get("/text/{where}/{name}")
def as_text(request: Request, where: str, name: str = "") -> HTMLResponse:
    """The book, or a part of it, as text: everything that no form has a field for."""
    return _text_page(request, _where(where), name)


@router.post("/text/{where}")
@router.post("/text/{where}/{name}")
def text_sent(request: Request, where: str, form: Form, name: str = "") -> Response:
    """Keep a text."""
    text = form.words.get("text", "")

    def act() -> Response:
        path = book_state(request).path
        if _where(where) == "book":
            edit.changed_text(path, form.seen, "changed the book as text", text)
        else:
            acts.change_part_text(path, form.seen, where, name, text)
        return saved(request, "/edit")

    def again(error: BadInput) -> Response:
        line = error.line if where == "book" or error.file == "the text" else None
        return _text_page(request, where, name, text=text, line=line, **refusal(error, {}))

    return tried(act, again)
