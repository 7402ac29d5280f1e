"""Lists to work off: a set that has caught, and the permission round."""

from __future__ import annotations

from fastapi import APIRouter, Depends, HTTPException, Request
from fastapi.responses import HTMLResponse

from setwright.basis.errors import BadInput
from setwright.basis.units import shown_in
from setwright.desk.after_catch import after_catch
from setwright.desk.after_catch_document import AfterCatch
from setwright.desk.log_form import form
from setwright.desk.permissions import Permissions, permissions
from setwright.web.api import FAULTS, Line
from setwright.web.open_line import OpenLine
from setwright.web.pages import rendered
from setwright.web.person import allowed

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


@answers.get("/permissions", dependencies=[Depends(allowed("places"))])
def round_answer(line: Line) -> Permissions:
    """Whose land each site is, whether it is given, and what its slip leaves open."""
    return permissions(line.book)


@router.get("/permissions", dependencies=[Depends(allowed("places"))])
def round_page(request: Request, line: Line) -> HTMLResponse:
    """The permission round, what is to be asked first."""
    planned = line.now()
    found = planned.answers.get(("permissions",))
    if not isinstance(found, Permissions):
        found = permissions(line.book)
        planned.keep(("permissions",), found)
    known = {part.site.id for part in planned.plan.sets}
    return rendered(request, "permissions.html", "/line", found=found, known=known)
