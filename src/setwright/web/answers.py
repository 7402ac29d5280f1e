"""More of the interface: what the law says of the line, the check run of some days, the season summed up."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Depends, Query

from setwright.basis.errors import BadInput
from setwright.desk import law_document, run_document, season_document
from setwright.desk.law import law as judge
from setwright.desk.run import run as plan_run
from setwright.desk.season import season_beside
from setwright.law.tables import shipped_packs
from setwright.web.api import FAULTS, Line
from setwright.web.person import allowed

router = APIRouter(prefix="/api", responses=FAULTS)
MOST_DAYS = 14
Word = Annotated[str, Query(max_length=200)]


@router.get("/law")
def law(line: Line, pack: Word = "", site: Word = "", on: dt.date | None = None) -> law_document.LawSheet:
    """Every set judged by the law pack of the book (or another of its packs, or a shipped one), rule by rule."""
    packs = line.now().assembly.job.book.law.packs
    chosen = pack or next(iter(packs), "")
    if chosen not in (*packs, *shipped_packs()):
        # A name from the book or of a pack that comes along: never a path from an address.
        raise BadInput("no such pack", field="pack", found=pack, allowed=", ".join((*packs, *shipped_packs())))
    place = chosen if chosen in shipped_packs() else str(line.book.resolve().parent / chosen)
    return judge(place, book=line.book, site=site or None, on=on)


@router.get("/run", dependencies=[Depends(allowed("places"))])
def run(line: Line, day: Word = "1", days: Annotated[int, Query(ge=1, le=MOST_DAYS)] = 1) -> run_document.RunDocument:
    """The check run of some days: a date, or a number counted from the day after the sets are made."""
    planned, key = line.now(), ("run", day, days)
    found = planned.answers.get(key)
    if not isinstance(found, run_document.RunDocument):
        found = plan_run(line.book, day, days=days)
        planned.keep(key, found)
    return found


@router.get("/season")
def season(line: Line) -> season_document.SeasonBook:
    """The log summed up, with the money where `accounts.yaml` lies beside the book."""
    return season_beside(line.book)
