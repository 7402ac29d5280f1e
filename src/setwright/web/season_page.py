"""The page of the season: the log summed up, with its paper."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput, SetwrightError
from setwright.sheets.season import animals_csv, harvest_csv, season_helpers, season_sheet
from setwright.web.api import Line
from setwright.web.owed import due_of, has_log
from setwright.web.pages import KINDS, rendered
from setwright.web.slow_answers import season_of, waiting

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
PAPERS = {"season.pdf": season_sheet, "harvest.csv": harvest_csv, "animals.csv": animals_csv}


@router.get("/season")
def season_page(request: Request, line: Line) -> Response:
    """The season book; what to do first when there is no log yet."""
    if not has_log(line):
        return rendered(request, "season_page.html", "/season", book=None, why="", duties=[], untold=[])
    try:
        found = season_of(request, line)
    except SetwrightError as error:
        return rendered(request, "season_page.html", "/season", book=None, why=str(error), duties=[], untold=[])
    if found is None:
        return waiting(request, "/season", "Season")
    told = due_of(line) or ([], [])
    duties = [one for one in told[0] if one.name]
    return rendered(
        request, "season_page.html", "/season", book=found, why="", duties=duties, untold=told[1],
        **season_helpers(found),
    )  # fmt: skip


@router.get("/season/{name}")
def season_paper(name: str, request: Request, line: Line) -> Response:
    """The season book on paper, the harvest and the held animals as tables."""
    if name not in PAPERS:
        raise BadInput("no such paper of the season", field="address", found=name, allowed=", ".join(PAPERS))
    found = season_of(request, line, wait=True)
    assert found is not None
    made = PAPERS[name](found)
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return Response(made, media_type=KINDS[name.rsplit(".", 1)[1]], headers=headers)
