"""Forms that change files: what was sent, what is refused and where, and pages that need no plan."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Depends, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup
from starlette.datastructures import UploadFile

from setwright.basis.errors import BadInput
from setwright.desk.edit import OldState, State, state_of
from setwright.web import pages
from setwright.web.api import line_of
from setwright.web.open_line import NoBook
from setwright.web.person import person_of, token_of

PREFIX = re.compile(r"^(?:sites\.\d+|outfit\.(?:traps|chains|anchors|slides)\.\d+)\.")


@dataclass(frozen=True)
class Sent:
    """A form as it was sent: words by field, all words of fields that may come more than once, and files."""

    words: dict[str, str]
    many: dict[str, list[str]]
    files: dict[str, tuple[str, bytes]]

    @property
    def seen(self) -> str:
        """Digest of the state of the file that the form was made from."""
        return self.words.get("seen", "")

    def get(self, name: str) -> str:
        """Words of a field; nothing when it was not sent."""
        return self.words.get(name, "").strip()


async def sent_of(request: Request) -> Sent:
    """The form of a request."""
    form = await request.form()
    words: dict[str, str] = {}
    many: dict[str, list[str]] = {}
    files: dict[str, tuple[str, bytes]] = {}
    for name, value in form.multi_items():
        if isinstance(value, UploadFile):
            files[name] = (value.filename or "file", await value.read())
        elif name != "token":
            words[name] = value
            many.setdefault(name, []).append(value)
    return Sent(words, many, files)


Form = Annotated[Sent, Depends(sent_of)]


def book_state(request: Request) -> State:
    """The line book as it stands.

    Raises
    ------
    NoBook
        When there is none yet.
    """
    book = line_of(request).book
    if not book.exists():
        raise NoBook("there is no line book here yet", file=book)
    return state_of(book)


Book = Annotated[State, Depends(book_state)]


def shell(request: Request, name: str, here: str, *, status: int = 200, **more: Any) -> HTMLResponse:
    """A page that stands on files alone and needs no plan."""
    token = token_of(request)
    known = {
        "places": pages.places_of(person_of(request)), "here": here, "person": person_of(request), "token": token,
        "token_field": Markup('<input type="hidden" name="token" value="{}">').format(token),
        "step": line_of(request).step(), "errors": {}, "refused": "", "line_name": _line_name(request),
    }  # fmt: skip
    return HTMLResponse(pages.templates().get_template(name).render(**{**known, **more}), status_code=status)


def _line_name(request: Request) -> str:
    book = line_of(request).book
    try:
        head = state_of(book).data.get("line") if book.exists() else None
    except BadInput:
        return ""
    return str(head.get("name", "")) if isinstance(head, dict) else ""


def saved(request: Request, address: str) -> Response:
    """Go on after a change was written; planning it begins meanwhile."""
    line_of(request).begin()
    return RedirectResponse(address, status_code=303)


def refusal(error: BadInput, names: Mapping[str, str]) -> dict[str, Any]:
    """How a refused form is shown again: with the words beside the field that is meant, where there is one."""
    field = PREFIX.sub("", error.field or "")
    whole = (error.field or "").removeprefix("outfit.")
    name = next((one for one in (field, whole, *_shorter(field)) if one in names), "")
    words = error.message
    if error.found is not None:
        words += f"; found {error.found}"
    if error.allowed:
        words += f"; allowed: {error.allowed}"
    if name and not isinstance(error, OldState):
        return {"errors": {name: words}, "refused": "", "status": 422}
    place = f"{error.field}: " if error.field and not name else ""
    line = f"line {error.line}: " if error.line is not None and error.file == "the text" else ""
    return {"errors": {}, "refused": f"{line}{place}{words}", "status": 409 if isinstance(error, OldState) else 422}


def _shorter(field: str) -> list[str]:
    parts = field.split(".")
    return [".".join(parts[:k]) for k in range(len(parts) - 1, 0, -1)]


def tried(act: Callable[[], Response], again: Callable[[BadInput], Response]) -> Response:
    """Do it, or show the form again with what was refused."""
    try:
        return act()
    except BadInput as error:
        return again(error)
