"""The interface beneath the pages: plan, sets, changes, evening and traps as JSON."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Depends, HTTPException, Query, Request
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel

from setwright.basis.errors import BadInput
from setwright.desk import bench_document, document, tonight_document
from setwright.desk.set_whatif import STEPS
from setwright.web.open_line import OpenLine
from setwright.web.person import person_of
from setwright.web.seen import LineWithoutPlaces


class Problem(BaseModel):
    """What went wrong, in the shape of RFC 9457."""

    type: str = "about:blank"
    title: str
    status: int
    detail: str


TITLES = {
    400: "Not understood", 401: "Not logged in", 403: "Forbidden", 404: "Not found", 405: "Not allowed",
    408: "Too slow", 413: "Too long", 414: "Address too long", 422: "Cannot be used", 429: "Too many tries",
    500: "Fault", 503: "Not yet",
}  # fmt: skip
FAULTS: dict[int | str, dict[str, Any]] = {
    status: {"model": Problem, "description": TITLES[status], "content": {"application/problem+json": {}}}
    for status in (400, 401, 403, 404, 413, 414, 422, 503)
}
router = APIRouter(prefix="/api", responses=FAULTS)


def problem(status: int, words: str) -> JSONResponse:
    """A problem as JSON."""
    found = Problem(title=TITLES.get(status, "Fault"), status=status, detail=words)
    return JSONResponse(found.model_dump(), status_code=status, media_type="application/problem+json")


def line_of(request: Request) -> OpenLine:
    """The line that is open, as whoever asks may see it: without positions unless his role shows them."""
    found: OpenLine = request.app.state.line
    return found if person_of(request).may("places") else LineWithoutPlaces(found)


Line = Annotated[OpenLine, Depends(line_of)]


def changes_of(request: Request) -> dict[str, str]:
    """Changes to a set in the address, by the names of the command line; empty ones are none.

    Raises
    ------
    BadInput
        For a name that is no change, and for one that stands twice.
    """
    found: dict[str, str] = {}
    for name, value in request.query_params.multi_items():
        if name not in STEPS:
            raise BadInput("no such change", field="address", found=name, allowed=", ".join(STEPS))
        if name in found:
            raise BadInput("this is changed twice", field="address", found=name)
        if value.strip():
            found[name] = value.strip()
    return found


def as_json(found: BaseModel) -> Response:
    """A document as JSON, which is written as it is: it was checked when it was made."""
    return Response(found.model_dump_json(by_alias=True), media_type="application/json")


@router.get("/plan", response_model=document.Plan)
def plan(line: Line) -> Response:
    """The whole plan."""
    return as_json(line.now().plan)


@router.get("/sets/{site}", response_model=document.SetPlan)
def one_set(site: str, line: Line) -> Response:
    """One set, by id or number of its site."""
    found = line.now().part(site)
    if found is None:
        raise HTTPException(404, "no such set in the plan")
    return as_json(found)


@router.get("/sets/{site}/what-if", response_model=document.SetWhatIf)
def what_if(site: str, line: Line, changes: Annotated[dict[str, str], Depends(changes_of)]) -> Response:
    """One set with something changed on it, such as `?trip_force=3 lbf&jaws=laminated`."""
    found = line.changed(site, changes)
    if found is None:
        raise HTTPException(404, "no such set in the plan")
    return as_json(found)


@router.get("/tonight", response_model=tonight_document.Tonight)
def evening(line: Line) -> Response:
    """Which sets work tonight."""
    found = line.now().evening
    if isinstance(found, BadInput):
        raise found
    return as_json(found)


@router.get("/traps/{tag}", response_model=bench_document.BenchSheet)
def trap(tag: str, line: Line, what_if: Annotated[str, Query(max_length=400)] = "") -> Response:
    """One trap of the outfit on the bench, and changed as in `?what_if=springs=4`."""
    return as_json(line.trap(tag, what_if))
