"""Pages on the outfit off the season: which traps to keep, mend or scrap."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Depends, HTTPException, Query, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput
from setwright.basis.units import shown_in
from setwright.desk.buying import MOST, USUAL, buying
from setwright.desk.buying_document import Buying
from setwright.desk.cover_season import cover_season
from setwright.desk.cover_season_document import CoverSeason
from setwright.desk.log_words import now_in
from setwright.desk.overhaul import MOST_MINUTES, minutes_of, overhauled
from setwright.desk.overhaul_document import Overhauled, TrapOverhaul
from setwright.desk.overhaul_write import found_before, keep_looked, questions
from setwright.desk.treatment import FINISH_WORDS, POT, treatment
from setwright.desk.treatment_document import Treatment
from setwright.line.runplan import time_at
from setwright.web.api import FAULTS, Line
from setwright.web.background import PATIENCE
from setwright.web.forms import Form, book_state, saved, tried
from setwright.web.open_line import OpenLine
from setwright.web.pages import rendered
from setwright.web.person import allowed
from setwright.web.slow_answers import background_of, waiting

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
answers = APIRouter(prefix="/api/outfit", responses=FAULTS)
Minutes = Annotated[str, Query(max_length=20, description="Bench minutes that one trap is worth.")]
Count = Annotated[int, Query(ge=1, le=MOST, description="Traps to buy at most.")]
Word = Annotated[str, Query(max_length=40)]
# Shape of the mark that stands beside a verdict.
SHAPE = {"keep": "sound", "retune": "thin", "repair": "thin", "scrap": "fails", "cannot tell": "cannot tell"}


def overhaul_of(line: OpenLine, most: str) -> Overhauled:
    """The verdict on every trap, worked out once for a plan."""
    planned = line.now()
    minutes = minutes_of(most) if most else MOST_MINUTES
    key = ("overhaul", minutes)
    found = planned.answers.get(key)
    if not isinstance(found, Overhauled):
        with shown_in(planned.units):
            found = overhauled(planned.assembly.job, minutes)
        planned.keep(key, found)
    return found


@answers.get("/overhaul")
def overhaul_answer(line: Line, most: Minutes = "") -> Overhauled:
    """Keep, retune, repair or scrap for every trap of the outfit, with the parts for the lot."""
    return overhaul_of(line, most)


@router.get("/outfit/overhaul")
def overhaul_page(request: Request, line: Line, most: Minutes = "") -> HTMLResponse:
    """Every trap with its verdict, what to do, and what to buy for the lot."""
    refused = ""
    try:
        found = overhaul_of(line, most)
    except BadInput as error:
        refused, found = str(error), overhaul_of(line, "")
    return rendered(
        request, "overhaul.html", "/bench", found=found, shape=SHAPE, refused=refused, asked=questions(),
        most=f"{found.most_minutes:g}", status=422 if refused else 200,
    )  # fmt: skip


def _of(line: OpenLine, tag: str) -> tuple[TrapOverhaul, str]:
    """One trap with its verdict, and the tag of the next that nobody looked at."""
    traps = overhaul_of(line, "").traps
    place = next((number for number, one in enumerate(traps) if one.trap == tag), None)
    if place is None:
        raise HTTPException(404, "no such trap in the outfit")
    after = [*traps[place + 1 :], *traps[:place]]
    return traps[place], next((one.trap for one in after if not one.looked), "")


@router.get("/outfit/look/{tag}")
def look(tag: str, request: Request, line: Line) -> HTMLResponse:
    """How one trap was found, to be written down."""
    return _look(request, line, tag)


def _look(
    request: Request, line: OpenLine, tag: str, sent: dict[str, str] | None = None, error: BadInput | None = None
) -> HTMLResponse:
    one, after = _of(line, tag)
    state = book_state(request)
    values = sent if sent is not None else found_before(state.data, tag)
    return rendered(
        request, "look.html", "/bench", one=one, after=after, asked=questions(), values=values, shape=SHAPE,
        refused="" if error is None else str(error), seen=state.digest,
        status=422 if error else 200,
    )  # fmt: skip


@router.post("/outfit/look/{tag}", dependencies=[Depends(allowed("change"))])
def looked(tag: str, request: Request, line: Line, form: Form) -> Response:
    """Keep it in the line book, with today's date, and go on with the next trap."""
    _, after = _of(line, tag)

    def act() -> Response:
        today = now_in(line.now().assembly.job.book.line.zone).date()
        keep_looked(book_state(request).path, form.seen, tag, form.words, today)
        to = f"/outfit/look/{quote(after, safe='')}" if after else "/outfit/overhaul"
        return saved(request, to if form.get("then") == "next" else "/outfit/overhaul")

    return tried(act, lambda error: _look(request, line, tag, form.words, error))


def buying_of(request: Request, line: OpenLine, count: int, *, wait: bool = False) -> Buying | None:
    """What traps to buy would bring; None while it is being worked out."""

    def make() -> Buying:
        with shown_in(line.units):
            return buying(line.book, MOST)

    # The first traps of a long list are those of a short one: it is worked out once.
    found = background_of(request).ask(("buying", line.stamp()), make, None if wait else PATIENCE)
    return None if found is None else found.model_copy(update={"asked": count, "buys": found.buys[:count]})


@answers.get("/gain")
def gain_answer(request: Request, line: Line, count: Count = USUAL) -> Buying:
    """What one more trap, and then another, would bring to the line; which sites lack one; how few kinds would do."""
    found = buying_of(request, line, count, wait=True)
    assert found is not None
    return found


@router.get("/outfit/gain")
def gain_page(request: Request, line: Line, count: Count = USUAL) -> Response:
    """Which traps to buy for the line."""
    found = buying_of(request, line, count)
    if found is None:
        return waiting(request, "/bench", "Traps to buy")
    known = {part.site.id for part in line.now().plan.sets}
    return rendered(request, "gain.html", "/bench", found=found, most=MOST, known=known)


def treatment_of(line: OpenLine, pot: str, finish: str, hours: str) -> Treatment:
    """The batch plan of the outfit."""
    planned = line.now()
    with shown_in(planned.units):
        return treatment(planned.assembly.job, pot=pot or POT, finish=finish or "wax", hours=hours)


@answers.get("/treatment")
def treatment_answer(line: Line, pot: Word = "", finish: Word = "", hours: Word = "") -> Treatment:
    """The yearly treatment: which traps to a load, how many loads and hours, in which order."""
    return treatment_of(line, pot, finish, hours)


@router.get("/outfit/treatment")
def treatment_page(request: Request, line: Line, pot: Word = "", finish: Word = "", hours: Word = "") -> Response:
    """The yearly treatment as a batch plan."""
    refused = ""
    try:
        found = treatment_of(line, pot, finish, hours)
    except BadInput as error:
        refused, found = str(error), treatment_of(line, "", "", "")
    return rendered(
        request, "treatment.html", "/bench", found=found, pot=pot or POT, hours=hours or f"{found.hours:g}",
        finishes=FINISH_WORDS, refused=refused, status=422 if refused else 200,
    )  # fmt: skip


def cover_of(line: OpenLine, weeks: str, anew: str) -> CoverSeason:
    """Cover to lay in for the season of the line."""
    planned = line.now()
    job = planned.assembly.job
    rigs = {one.context.site.key: one.result.rig for one in planned.assembly.sets if one.result is not None}
    visits = {
        one.context.site.key: time_at(job, one.context.site, one.result)
        for one in planned.assembly.sets
        if one.result is not None
    }
    with shown_in(planned.units):
        return cover_season(job, rigs, visits, weeks=weeks, anew=anew)


@answers.get("/cover")
def cover_answer(line: Line, weeks: Word = "", anew: Word = "") -> CoverSeason:
    """Dry cover to lay in for a season: by the beds of the line and by the rule of the trade."""
    return cover_of(line, weeks, anew)


@router.get("/outfit/cover")
def cover_page(request: Request, line: Line, weeks: Word = "", anew: Word = "") -> Response:
    """Cover to lay in for the season."""
    refused = ""
    try:
        found = cover_of(line, weeks, anew)
    except BadInput as error:
        refused, found = str(error), cover_of(line, "", "")
    return rendered(
        request, "cover.html", "/bench", found=found, refused=refused, status=422 if refused else 200,
    )  # fmt: skip
