"""More of the interface: what the law says of the line, the check run of some days, the season summed up."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import Response
from pydantic import BaseModel

from setwright.desk import law_document, run_document, season_document
from setwright.web.api import FAULTS, Line, as_json
from setwright.web.person import allowed
from setwright.web.slow_answers import MOST_DAYS, law_of, run_of, season_of

router = APIRouter(prefix="/api", responses=FAULTS)
Word = Annotated[str, Query(max_length=200)]


@router.get("/law", response_model=law_document.LawSheet)
def law(request: Request, line: Line, pack: Word = "", site: Word = "", on: dt.date | None = None) -> Response:
    """Every set judged by the law pack of the book (or another of its packs, or a shipped one), rule by rule."""
    return _sent(law_of(request, line, on, pack=pack, site=site, wait=True))


@router.get("/run", dependencies=[Depends(allowed("places"))], response_model=run_document.RunDocument)
def run(
    request: Request, line: Line, day: Word = "1", days: Annotated[int, Query(ge=1, le=MOST_DAYS)] = 1
) -> Response:
    """The check run of some days: a date, or a number counted from the day after the sets are made."""
    return _sent(run_of(request, line, day, days, wait=True))


@router.get("/season", response_model=season_document.SeasonBook)
def season(request: Request, line: Line) -> Response:
    """The log summed up, with the money where `accounts.yaml` lies beside the book."""
    return _sent(season_of(request, line, wait=True))


def _sent(found: BaseModel | None) -> Response:
    assert found is not None, "it was waited for"
    return as_json(found)
