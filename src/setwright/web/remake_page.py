"""The list for a set that has caught: do, bring, write down."""

from __future__ import annotations

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import HTMLResponse

from setwright.basis.errors import BadInput
from setwright.basis.units import shown_in
from setwright.desk.after_catch import after_catch
from setwright.desk.after_catch_document import AfterCatch
from setwright.desk.log_form import form
from setwright.web.api import FAULTS, Line
from setwright.web.open_line import OpenLine
from setwright.web.pages import rendered

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
answers = APIRouter(prefix="/api", responses=FAULTS)


def list_of(line: OpenLine, site: str) -> AfterCatch:
    """The list of one set, by id or number of its site."""
    planned = line.now()
    one = planned.planned_set(site)
    if one is None or one.result is None:
        raise HTTPException(404, "no such set in the plan")
    key = one.context.site.key
    night = None if isinstance(planned.evening, BadInput) else planned.evening
    tonight = None if night is None else next((found for found in night.sets if found.site == key), None)
    asks = [ask.label for ask in form(line.book, "catch_target", key)]
    with shown_in(planned.units):
        return after_catch(planned.assembly.job, one.context, one.result.rig, asks, tonight)


@answers.get("/sets/{site}/after-catch")
def list_answer(site: str, line: Line) -> AfterCatch:
    """What to do, bring and write down at a set that has caught."""
    return list_of(line, site)


@router.get("/set/{site}/remake")
def list_page(site: str, request: Request, line: Line) -> HTMLResponse:
    """The list of one set, to be worked off."""
    return rendered(request, "remake.html", "/line", found=list_of(line, site))
