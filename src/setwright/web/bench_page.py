"""One trap on the bench: changed at will, read, and on paper."""

from __future__ import annotations

from fastapi import APIRouter, Depends, HTTPException, Request
from fastapi.responses import HTMLResponse, Response

from setwright.basis.errors import BadInput
from setwright.basis.units import shown_in
from setwright.desk.bench import on_bench, sheet_of, student_of
from setwright.desk.bench_controls import controls, words_of
from setwright.desk.bench_document import BenchSheet
from setwright.desk.bench_pick import pick
from setwright.desk.bench_readings import MOST, Typed, checked, entries, keep_readings, kinds_of
from setwright.desk.bench_whatif import names
from setwright.desk.filing import KEPT, WANTED, filing_sheet, keep_notch
from setwright.desk.log_words import now_in
from setwright.draw.trap_before_after import before_after
from setwright.sheets import page as sheet
from setwright.sheets.bench import card_of, drawn, moving
from setwright.sheets.bench_card import bench_card
from setwright.web.api import Line
from setwright.web.forms import Form, book_state, saved, tried
from setwright.web.open_line import OpenLine
from setwright.web.pages import rendered
from setwright.web.person import allowed

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
STUDENT = ("presses", "weighs")
ROWS = 4
# What a change is told by first; all other figures stand beneath.
FIRST = ("closing_time_ms", "clamp_closing_N", "clamp_opening_N", "face_pressure_kPa", "lever_force_N")


def _asked(request: Request, known: tuple[str, ...]) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, value in request.query_params.multi_items():
        if name not in known:
            raise BadInput("no such change", field="address", found=name[:60], allowed=", ".join(known))
        if name in found:
            raise BadInput("this is changed twice", field="address", found=name)
        if value.strip():
            found[name] = value.strip()[:400]
    return found


def _sheet(line: OpenLine, tag: str) -> BenchSheet:
    try:
        return line.trap(tag)
    except BadInput as error:
        raise HTTPException(404, str(error)) from None


@router.get("/bench/{tag}")
def trap(tag: str, request: Request, line: Line) -> HTMLResponse:
    """One trap, as it is or with something changed on it, such as `?springs=4&jaws=laminated`."""
    found = _sheet(line, tag)
    on, _ = line.on_bench(tag)
    known = names(on.calibration.posterior.unknowns)
    changes = _asked(request, (*known, "what_if", *STUDENT))
    refused = ""
    try:
        fields = words_of({name: text for name, text in changes.items() if name in known})
        one_line = ",".join(filter(None, (changes.get("what_if", ""), fields)))
        if one_line:
            found = line.trap(tag, one_line)
        student = student_of(*(changes.get(name) for name in STUDENT))
        if student is not None:
            told = sheet_of(on, student=student)
            found = found.model_copy(update={"parts": told.parts})
    except BadInput as error:
        refused = str(error)
    with shown_in(line.now().units):
        drawings = [sheet.safe(text) for name, text in drawn(found).items() if name != "trap-strip.svg"]
    only = request.headers.get("x-part") == "changed"
    return rendered(
        request, "trap_changed.html" if only else "trap.html", "/bench", trap=found, drawings=drawings, first=FIRST,
        moving=moving(found), changes=changes, refused=refused, controls=controls(on),
    )  # fmt: skip


@router.get("/bench/{tag}/card.pdf")
def card(tag: str, line: Line) -> Response:
    """The record card of a trap."""
    found = _sheet(line, tag)
    invented = line.now().plan.line.invented
    made = bench_card(card_of(found, example="invented example" if invented else ""), "letter")
    headers = {"Content-Disposition": f'inline; filename="{tag}.pdf"'}
    return Response(made, media_type="application/pdf", headers=headers)


def _typed(read: list[str], value: list[str], settings: list[str]) -> list[Typed]:
    rows = []
    for number, kind in enumerate(read):
        value_of = value[number] if number < len(value) else ""
        with_it = settings[number] if number < len(settings) else ""
        rows.append(Typed(kind[:60], value_of[:60], with_it[:120]))
    return rows


@router.get("/bench/{tag}/readings")
def readings(tag: str, request: Request, line: Line) -> HTMLResponse:
    """What the readings of a trap tell, with more of them typed in: `?read=pan_pull&value=3.2 lbf&settings=`."""
    typed = _typed(*(request.query_params.getlist(name)[:MOST] for name in ("read", "value", "settings")))
    return _readings(request, line, tag, typed)


def _readings(
    request: Request, line: OpenLine, tag: str, typed: list[Typed], error: BadInput | None = None
) -> HTMLResponse:
    found = _sheet(line, tag)
    on, _ = line.on_bench(tag)
    after, refused = None, "" if error is None else str(error)
    try:
        made = entries(typed)
        if made:
            after = sheet_of(on_bench(pick(tag, line.book, [checked(one) for one in made])))
    except BadInput as wrong:
        refused = refused or str(wrong)
    shown = after or found
    told = shown.calibration
    rows = [*typed, *(Typed("", "") for _ in range(max(ROWS - len(typed), 1)))][:MOST]
    return rendered(
        request, "readings.html", "/bench", trap=found, after=after, told=told, rows=rows, refused=refused,
        kinds=kinds_of(on.picked.rig), kept=on.picked.entry.readings, seen=book_state(request).digest,
        band=lambda one: sheet.safe(before_after(one.name, one.si_before, one.si_after, 320.0)),
        figures=[(one, shown.figures[key]) for key, one in found.figures.items() if one.median is not None],
        status=422 if refused else 200,
    )  # fmt: skip


@router.post("/bench/{tag}/readings", dependencies=[Depends(allowed("change"))])
def readings_kept(tag: str, request: Request, line: Line, form: Form) -> Response:
    """Keep what was typed in the line book, with today's date."""
    _sheet(line, tag)
    typed = _typed(*(form.many.get(name, []) for name in ("read", "value", "settings")))

    def act() -> Response:
        today = now_in(line.now().assembly.job.book.line.zone).date()
        keep_readings(book_state(request).path, form.seen, tag, typed, today)
        return saved(request, f"/planned?to=/bench/{tag}/readings")

    return tried(act, lambda error: _readings(request, line, tag, typed, error))


@router.get("/bench/{tag}/notch")
def notch(tag: str, request: Request, line: Line) -> HTMLResponse:
    """What to file on dog and notch, and where to stop: `?overlap=2.5 mm&arm=12 mm&rake=-4 deg&travel=4 mm`."""
    return _notch(request, line, tag, _asked(request, (*KEPT, *WANTED)))


def _notch(
    request: Request, line: OpenLine, tag: str, words: dict[str, str], error: BadInput | None = None
) -> HTMLResponse:
    _sheet(line, tag)
    on, _ = line.on_bench(tag)
    refused = "" if error is None else str(error)
    with shown_in(line.now().units):
        try:
            found = filing_sheet(on, words)
        except BadInput as wrong:
            refused, found = refused or str(wrong), filing_sheet(on, {})
    kept = on.picked.entry.notch
    now = {} if kept is None else {name: getattr(kept, name) for name in KEPT}
    return rendered(
        request, "notch.html", "/bench", found=found, words=words, refused=refused, kept=KEPT, wanted=WANTED,
        now={name: one for name, one in now.items() if one is not None}, seen=book_state(request).digest,
        status=422 if refused else 200,
    )  # fmt: skip


@router.post("/bench/{tag}/notch", dependencies=[Depends(allowed("change"))])
def notch_kept(tag: str, request: Request, line: Line, form: Form) -> Response:
    """Keep the readings of dog and notch in the line book."""
    _sheet(line, tag)

    def act() -> Response:
        keep_notch(book_state(request).path, form.seen, tag, form.words)
        return saved(request, f"/planned?to=/bench/{tag}/notch")

    return tried(act, lambda error: _notch(request, line, tag, {k: form.get(k) for k in KEPT}, error))
