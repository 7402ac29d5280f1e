"""The page of the law: every set against every rule, what to ask whom, and the packs behind it."""

from __future__ import annotations

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput
from setwright.desk.law_document import JudgedSet, LawSheet
from setwright.web.api import Line
from setwright.web.pages import rendered
from setwright.web.slow_answers import law_of, waiting

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
On = Annotated[str, Query(max_length=20, description="Day that is asked about; that of the book when not given.")]


def by_trap(found: LawSheet) -> list[tuple[str, list[JudgedSet]]]:
    """The sets by the trap that stands there: which traps comply as they are used."""
    traps: dict[str, list[JudgedSet]] = {}
    for one in found.sets:
        traps.setdefault(one.rig, []).append(one)
    return list(traps.items())


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise BadInput("not a day", field="on", found=text, allowed="a day such as 2026-12-21") from None


@router.get("/law")
def law_page(request: Request, line: Line, on: On = "") -> Response:
    """What the packs say of every set on a day."""
    refused = ""
    try:
        found = law_of(request, line, _day(on.strip()))
    except BadInput as error:
        if not on:
            return rendered(request, "law.html", "/law", law=None, on=on, refused=str(error), traps=[])
        refused = str(error)
        found = law_of(request, line, None)
    if found is None:
        return waiting(request, "/law", "Law")
    return rendered(request, "law.html", "/law", law=found, on=on or found.on, refused=refused, traps=by_trap(found))
