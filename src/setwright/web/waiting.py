"""What is shown while a line is planned, and where there is none yet."""

from __future__ import annotations

import re

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from setwright.web import api
from setwright.web.api import Line
from setwright.web.forms import shell
from setwright.web.open_line import NoBook, StillPlanning

# A page of this app, never another address.
OURS = re.compile(r"/(?!/)[A-Za-z0-9_~./?=&%#-]*")
router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)


def no_book(request: Request, error: NoBook) -> Response:
    """To the first questions; the interface says that there is nothing yet."""
    if request.url.path.startswith("/api/"):
        return api.problem(404, error.message)
    return RedirectResponse("/start", status_code=303)


def still(request: Request, error: StillPlanning) -> Response:
    """How far the planning has come, on a page that looks again by itself."""
    answer = (
        api.problem(503, error.message)
        if request.url.path.startswith("/api/")
        else shell(request, "planning.html", "", status=503)
    )
    answer.headers["Retry-After"] = "1"
    return answer


@router.get("/planned")
def planned(request: Request, line: Line, to: str = "/") -> Response:
    """Wait until the last change is worked in, then go on to a page of this app."""
    line.begin()
    if line.step() is not None:
        return shell(request, "planning.html", "", status=200)
    line.now()
    return RedirectResponse(to if OURS.fullmatch(to) else "/", status_code=303)
