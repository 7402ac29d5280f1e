"""Handouts: the page that lists them, and each as PDF, filled from the line that is open or blank."""

from __future__ import annotations

from functools import cache
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput
from setwright.desk.handouts import HANDOUTS, handouts
from setwright.sheets.handouts import Style, handout_pdf
from setwright.sheets.speech import spoken
from setwright.web.api import Line
from setwright.web.pages import KINDS, rendered
from setwright.web.person import Asking

router = APIRouter(include_in_schema=False)
# Who may not see where sets are gets these blank.
TELLS_PLACES = frozenset(("hand-over", "landowner", "permission"))


@cache
def _titles() -> list[tuple[str, str]]:
    """Name and title of every handout, as a blank one says it."""
    return [(one.name, one.title) for one in handouts().handouts]


@router.get("/handouts")
def all_handouts(request: Request) -> HTMLResponse:
    """Every handout, filled from the line or blank."""
    return rendered(request, "handouts.html", "/handouts", handouts=_titles())


@router.get("/handouts/{name}.pdf")
def handout(
    name: str,
    line: Line,
    person: Asking,
    paper: Annotated[str, Query(max_length=10)] = "letter",
    large: bool = False,
    blank: bool = False,
    site: Annotated[str, Query(max_length=60)] = "",
    language: Annotated[str, Query(max_length=10)] = "",
) -> Response:
    """One handout, filled from the line book (and from one site of it) or blank."""
    if name not in HANDOUTS:
        raise BadInput("no such handout", field="address", found=name, allowed=", ".join(HANDOUTS))
    empty = blank or (name in TELLS_PLACES and not person.may("places"))
    book = None if empty else line.book
    made = handouts(book, only=(name,), site=None if book is None or not site else site)
    content = handout_pdf(made.handouts[0], Style(paper, large, language or spoken()), made=made, book=book)
    headers = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return Response(content, media_type=KINDS["pdf"], headers=headers)
