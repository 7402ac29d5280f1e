"""Pages on which the outfit and the figures of animals are changed."""

from __future__ import annotations

from typing import Any
from urllib.parse import quote

from fastapi import Depends, HTTPException, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput
from setwright.desk import edit_acts as acts
from setwright.desk import edit_fields
from setwright.desk.edit import State
from setwright.desk.edit_form import Field, Section
from setwright.line.brief import expand
from setwright.web.edit import form_page, router
from setwright.web.forms import Book, Form, book_state, saved, tried


def _kind(kind: str) -> str:
    if kind not in edit_fields.KINDS:
        raise HTTPException(404, "no such part of the outfit")
    return kind


Kind = Depends(_kind)


def _piece(state: State, kind: str, name: str) -> tuple[dict[str, Any], list[str]]:
    """The entry that has this id or tag, and all its tags."""
    for entry in (state.data.get("outfit") or {}).get(kind) or []:
        count = entry.get("count", 1) if kind == "traps" else 1
        tags = expand(str(entry.get("id")), count if isinstance(count, int) else 1)
        if name in (str(entry.get("id")), *tags):
            return dict(entry), tags
    raise HTTPException(404, "nothing of this name in the outfit")


def _new_form(state: State, kind: str) -> tuple[Section, ...]:
    first, *rest = edit_fields.piece_form(state.data, kind)
    example = {"traps": "T-01; with six alike T-01 to T-06", "chains": "short-12"}.get(kind, "rod")
    named = Field("id", "tag" if kind == "traps" else "name", needed=True, example=example)
    return (Section(first.head, (named, *first.fields), first.hint), *rest)


@router.get("/outfit/{kind}")
def new_piece(request: Request, state: Book, kind: str = Kind) -> HTMLResponse:
    """Something new for the outfit."""
    title = f"A new {edit_fields.ONE[kind]}"
    return form_page(request, state, _new_form(state, kind), {}, f"/edit/outfit/{kind}", title, new=True)


@router.post("/outfit/{kind}")
def new_piece_sent(request: Request, form: Form, kind: str = Kind) -> Response:
    """Add it."""

    def act() -> Response:
        acts.add_entry(book_state(request).path, form.seen, kind, form.words)
        return saved(request, "/edit#outfit")

    def again(error: BadInput) -> Response:
        state = book_state(request)
        return form_page(
            request, state, _new_form(state, kind), {}, f"/edit/outfit/{kind}", f"A new {edit_fields.ONE[kind]}",
            new=True, sent=form.words, error=error,
        )  # fmt: skip

    return tried(act, again)


def _piece_page(request: Request, kind: str, name: str, **more: Any) -> HTMLResponse:
    state = book_state(request)
    node, tags = _piece(state, kind, name)
    address = f"/edit/outfit/{kind}/{quote(name, safe='')}"
    known = {"piece": name, "kind": kind, "tags": tags, "address": address, **more}
    return form_page(request, state, edit_fields.piece_form(state.data, kind), node, address, name, **known)


@router.get("/outfit/{kind}/{name}")
def piece(request: Request, name: str, kind: str = Kind) -> HTMLResponse:
    """One piece of the outfit."""
    return _piece_page(request, kind, name)


@router.post("/outfit/{kind}/{name}")
def piece_sent(request: Request, name: str, form: Form, kind: str = Kind) -> Response:
    """Keep it; of several traps alike all of them, or only the one."""
    node, _ = _piece(book_state(request), kind, name)

    def act() -> Response:
        only = form.get("only") == "yes"
        words = {key: text for key, text in form.words.items() if not (only and key == "count")}
        named = name if only else str(node["id"])
        acts.change_entry(book_state(request).path, form.seen, kind, named, words, only=only)
        return saved(request, "/edit#outfit")

    return tried(act, lambda error: _piece_page(request, kind, name, sent=form.words, error=error))


@router.post("/outfit/{kind}/{name}/retire")
def piece_retired(request: Request, name: str, form: Form, kind: str = Kind) -> Response:
    """Take it out of the outfit."""
    _piece(book_state(request), kind, name)

    def act() -> Response:
        acts.retire(book_state(request).path, form.seen, kind, name)
        return saved(request, "/edit#outfit")

    return tried(act, lambda error: _piece_page(request, kind, name, error=error))


@router.get("/covers")
def covers(request: Request, state: Book) -> HTMLResponse:
    """Covers, boards and what is held back."""
    return form_page(request, state, edit_fields.outfit_form(), state.data, "/edit/covers", "Covers and boards")


@router.post("/covers")
def covers_sent(request: Request, form: Form) -> Response:
    """Keep them."""

    def act() -> Response:
        acts.change_outfit(book_state(request).path, form.seen, form.words)
        return saved(request, "/edit#outfit")

    def again(error: BadInput) -> Response:
        state = book_state(request)
        return form_page(
            request, state, edit_fields.outfit_form(), state.data, "/edit/covers", "Covers and boards",
            sent=form.words, error=error,
        )  # fmt: skip

    return tried(act, again)


def _animal_page(request: Request, animal: str, **more: Any) -> HTMLResponse:
    state = book_state(request)
    known = dict(edit_fields.own_animals(state.data))
    if animal not in known:
        raise HTTPException(404, "no such animal")
    node = (state.data.get("animals") or {}).get(animal) or {}
    address = f"/edit/animal/{quote(animal, safe='')}"
    return form_page(request, state, edit_fields.animal_form(), node, address, known[animal], animal=animal, **more)


@router.get("/animal/{animal}")
def animal_page(request: Request, animal: str) -> HTMLResponse:
    """Figures of one animal that go before the table's."""
    return _animal_page(request, animal)


@router.get("/animal")
def animal_chosen(request: Request, animal: str) -> HTMLResponse:
    """The same, chosen from a list."""
    return _animal_page(request, animal)


@router.post("/animal/{animal}")
def animal_sent(request: Request, animal: str, form: Form) -> Response:
    """Keep them."""

    def act() -> Response:
        acts.change_animal(book_state(request).path, form.seen, animal, form.words)
        return saved(request, "/edit#animals")

    return tried(act, lambda error: _animal_page(request, animal, sent=form.words, error=error))
