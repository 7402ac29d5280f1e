"""The page of the check run, its papers, and the same as JSON."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput
from setwright.desk.log_words import now_in
from setwright.desk.red_list import red_list
from setwright.desk.run_document import RunDayDoc
from setwright.desk.worth import NIGHTS, worth
from setwright.draw.limits import limit_strip
from setwright.draw.map import line_map
from setwright.sheets import page as sheet
from setwright.sheets.run import run_gpx, run_sheet, run_table
from setwright.web.api import Line
from setwright.web.open_line import OpenLine
from setwright.web.owed import due_of
from setwright.web.pages import KINDS, rendered
from setwright.web.person import Asking, allowed
from setwright.web.slow_answers import MOST_DAYS, run_of, waiting

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
DESK, PHONE = 620.0, 350.0
Day = Annotated[str, Query(max_length=20, description="First day: a date, or its number from the day after setting.")]
Days = Annotated[int, Query(ge=1, le=MOST_DAYS, description="Number of days.")]


def _moment(text: str | None) -> float | None:
    return None if text is None else datetime.fromisoformat(text).timestamp()


def strip_of(day: RunDayDoc, begin: str, limit: str | None, width: float) -> str:
    """Time to the limit of one stop, on the scale of its day."""
    sun = (_moment(day.light.get("sunrise")), _moment(day.light.get("sunset")))
    light = None if sun[0] is None or sun[1] is None else (sun[0], sun[1])
    start, back = _moment(day.start) or 0.0, _moment(day.back) or 0.0
    limits = [found for stop in day.stops if (found := _moment(stop.limit)) is not None]
    end = min(max([*limits, back]), start + 18 * 3600.0)
    return limit_strip(width, (start, end), _moment(begin) or start, _moment(limit), light)


def first_day(line: OpenLine, asked: str) -> str:
    """The day asked for, or today where the season has begun, or the first day after the sets are made."""
    if asked:
        return asked
    book = line.now().assembly.job.book.line
    today = now_in(book.zone).date()
    first = book.date + timedelta(days=1)
    return max(first, today).isoformat() if today <= first + timedelta(days=60) else first.isoformat()


@router.get("/run")
def run_page(request: Request, line: Line, person: Asking, day: Day = "", days: Days = 2) -> Response:
    """The check run of the days that are asked for."""
    asked, refused = first_day(line, day), ""
    job = line.now().assembly.job
    try:
        found = run_of(request, line, asked, days)
    except BadInput as error:
        refused = str(error)
        found = run_of(request, line, (job.book.line.date + timedelta(days=1)).isoformat(), days)
    if found is None:
        return waiting(request, "/run", "Check run")
    begins = date.fromisoformat(found.days[0].date) if found.days else job.book.line.date
    told = due_of(line)
    now = now_in(job.book.line.zone)
    looks = [] if told is None else [one for one in told[0] if one.what == "look at the set"]
    return rendered(
        request, "run.html", "/run", run=found, day=day or begins.isoformat(), days=days, refused=refused, now=now,
        most=MOST_DAYS, looks=looks, red=red_list(found), places_too=person.may("places"),
        strip=lambda one, stop, wide: sheet.safe(strip_of(one, stop.begin, stop.limit, 260.0 if wide else 326.0)),
        map_of=lambda one, wide: sheet.safe(line_map(found, DESK if wide else PHONE, one)),
        numbers={one.site: one.number for one in found.sets}, site_names={one.site: one.name for one in found.sets},
        worth=worth(line.now().plan, found), nights=NIGHTS,
        known={part.site.id for part in line.now().plan.sets},
    )  # fmt: skip


@router.get("/run/{name}", dependencies=[Depends(allowed("places"))])
def run_file(name: str, request: Request, line: Line, day: Day = "", days: Days = 2) -> Response:
    """Run sheet with map and hand-over sheet, table, or route."""
    makers: dict[str, Any] = {"run.pdf": run_sheet, "run.csv": run_table, "run.gpx": run_gpx}
    if name not in makers:
        raise BadInput("no such paper of the run", field="address", found=name, allowed=", ".join(makers))
    found = run_of(request, line, first_day(line, day), days, wait=True)
    made = makers[name](found)
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    return Response(made, media_type=KINDS[name.rsplit(".", 1)[1]], headers=headers)
