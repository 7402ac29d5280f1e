"""The page on one's own clock: how large a line these hours bear, and how it is set out."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput
from setwright.basis.units import shown_in
from setwright.desk.own_clock import FIELDS, clock_of, own_clock
from setwright.desk.own_clock_document import OwnClock
from setwright.web.api import FAULTS, Line
from setwright.web.background import PATIENCE
from setwright.web.open_line import OpenLine
from setwright.web.pages import rendered
from setwright.web.person import allowed
from setwright.web.slow_answers import background_of, waiting

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
answers = APIRouter(prefix="/api", responses=FAULTS)
# Turns of the search for the order of a day; what a line bears is found as well with few.
TURNS = 200
# Times on the way and the sun tell where sets are.
PLACES = [Depends(allowed("places"))]


def hours_asked(request: Request) -> dict[str, str]:
    """Hours in the address, such as `?start=05:30&work_from=08:00&work_to=16:30&look=6`.

    Raises
    ------
    BadInput
        For a name that is none of them, or one that stands twice.
    """
    found: dict[str, str] = {}
    for name, value in request.query_params.multi_items():
        if name in found:
            raise BadInput("this is said twice", field="address", found=name)
        found[name] = value.strip()[:60]
    clock_of(found)
    return {name: text for name, text in found.items() if text}


def clock_of_line(request: Request, line: OpenLine, words: dict[str, str], *, wait: bool = False) -> OwnClock | None:
    """What the line is by these hours; None while it is being worked out."""

    def make() -> OwnClock:
        with shown_in(line.units):
            return own_clock(line.book, words, iterations=TURNS)

    key = ("clock", tuple(sorted(words.items())), line.stamp())
    return background_of(request).ask(key, make, None if wait else PATIENCE)


@answers.get("/own-clock", dependencies=PLACES)
def clock_answer(
    request: Request, line: Line, words: Annotated[dict[str, str], Depends(hours_asked)]
) -> OwnClock:  # fmt: skip
    """How large a line one's own hours bear: `?start=05:30&back=12:00&work_from=13:00&work_to=21:00&look=6`."""
    found = clock_of_line(request, line, words, wait=True)
    assert found is not None
    return found


@router.get("/run/clock", dependencies=PLACES)
def clock_page(request: Request, line: Line) -> Response:
    """The line by one's own hours."""
    refused, words = "", {}
    typed = {name: request.query_params.get(name, "")[:60] for name in FIELDS}
    try:
        words = hours_asked(request)
        found = clock_of_line(request, line, words)
    except BadInput as error:
        refused, found = str(error), None
    if found is None and not refused:
        return waiting(request, "/run", "Your own clock")
    book = line.now().assembly.job.book
    return rendered(
        request, "clock.html", "/run", clock=found, typed=typed, refused=refused, start=book.line.start,
        back=book.line.be_back, status=422 if refused else 200,
    )  # fmt: skip
