"""Pages of the app, made on the server; they work without script."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, HTTPException, Query, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from markupsafe import Markup

from setwright.basis.errors import BadInput
from setwright.basis.units import shown_in
from setwright.desk.edit import state_of
from setwright.desk.set_whatif import controls
from setwright.draw.level_strip import level_strip
from setwright.sheets import page as sheet
from setwright.sheets.speech import say, spoken
from setwright.sheets.write import NAMES
from setwright.web.api import Line, changes_of, line_of
from setwright.web.open_line import OpenLine
from setwright.web.owed import due_and_key
from setwright.web.person import Person, person_of, token_of
from setwright.web.seen import ALL_PLACES

if TYPE_CHECKING:
    from jinja2 import Environment

# Shape of the mark that stands beside a word of the evening.
SHAPE = {
    "fires": "sound", "works": "sound", "submerges": "sound", "doubtful": "thin", "will not fire": "fails",
    "too deep": "fails", "too shallow": "fails", "dry": "fails", "does not": "fails", "cannot tell": "cannot tell",
}  # fmt: skip
router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)
PLACES = (
    ("/", "Today"), ("/line", "Line"), ("/bench", "Bench"), ("/run", "Run"), ("/log", "Log"), ("/season", "Season"),
    ("/law", "Law"), ("/lessons", "Lessons"), ("/handouts", "Handouts"), ("/files", "Files"),
    ("/settings", "Settings"),
)  # fmt: skip
KINDS = {
    "json": "application/json", "html": "text/html; charset=utf-8", "pdf": "application/pdf",
    "csv": "text/csv; charset=utf-8", "geojson": "application/geo+json", "gpx": "application/gpx+xml",
}  # fmt: skip


def templates() -> Environment:
    """Templates of the app on top of those of the sheets, in the language that is spoken."""
    from setwright.sheets.template_words import in_language

    return in_language(english(), spoken())


@cache
def english() -> Environment:
    """Templates of the app as they are written."""
    import jinja2

    loader = jinja2.ChoiceLoader(
        [jinja2.PackageLoader("setwright.web", "templates"), jinja2.PackageLoader("setwright.sheets", "templates")]
    )
    made = sheet.english().overlay(loader=loader)
    made.filters["drawn"] = sheet.safe
    made.filters["address"] = lambda text: quote(str(text), safe="")
    made.filters["drawing"] = sheet.safe
    made.filters["tenths"] = lambda value: f"{math.ceil(10.0 * float(value) - 1e-6) / 10.0:.1f}"
    return made


def places_of(person: Person) -> tuple[tuple[str, str], ...]:
    """The pages that a person may open, in order."""
    if not person.may("look"):
        return ()
    return tuple((place, say(name)) for place, name in PLACES if place != "/settings" or person.may("change"))


def rendered(request: Request, template: str, here: str, /, *, status: int = 200, **more: Any) -> HTMLResponse:
    """A page of the line that is open; `token_field` stands in every form that changes something.

    Whoever may not look gets the page without the line: its name alone would tell him too much.
    """
    person, token = person_of(request), token_of(request)
    known: dict[str, Any] = {
        "places": (), "here": here, "person": person, "token": token,
        "token_field": Markup('<input type="hidden" name="token" value="{}">').format(token),
    }  # fmt: skip
    units = "us"
    if person.may("look"):
        found = line_of(request).now()
        plan, units = found.plan, found.units
        known |= {
            "plan": plan, "places": places_of(person), "step": line_of(request).step(),
            **sheet.set_helpers(plan.line),
        }  # fmt: skip
    with shown_in(units):
        return HTMLResponse(templates().get_template(template).render(**{**known, **more}), status_code=status)


def kept_page(
    request: Request, line: OpenLine, key: tuple[object, ...], fresh: object, make: Callable[[], HTMLResponse]
) -> HTMLResponse:
    """A page that is the same until the plan is another, made once for one session.

    Parameters
    ----------
    request : Request
        Who asks: the token in its forms makes it the page of his session, in his language.
    line : OpenLine
        The line that it shows.
    key : tuple
        Which page.
    fresh : object
        What else it rests on; made anew when that is another.
    make : callable
        Makes it.
    """
    if line.step() is not None:
        return make()
    found, whole = line.now(), (*key, person_of(request), token_of(request), spoken())
    kept = found.answers.get(whole)
    if isinstance(kept, tuple) and kept[0] == fresh:
        return HTMLResponse(kept[1])
    made = make()
    found.keep(whole, (fresh, bytes(made.body)))
    return made


def fault(request: Request, status: int, words: str) -> str:
    """A page that says what went wrong."""
    places = places_of(person_of(request))
    return templates().get_template("fault.html").render(places=places, here="", status=status, words=words)


@router.get("/")
def today(request: Request, line: Line) -> HTMLResponse:
    """What is due, and which sets work tonight."""
    found = line.now()
    evening = None if isinstance(found.evening, BadInput) else found.evening
    why = f"{found.evening.message}." if isinstance(found.evening, BadInput) else ""
    key, told = due_and_key(line)
    return kept_page(request, line, ("today",), key, lambda: rendered(
        request, "today.html", "/", evening=evening, why_not=why, shape=SHAPE,
        due=None if told is None else told[0], untold=[] if told is None else told[1],
        level=lambda part, wide: sheet.safe(level_strip(part, sheet.DESK if wide else sheet.PHONE)),
        **sheet.line_helpers(found.plan),
    ))  # fmt: skip


@router.get("/line")
def line_page(request: Request, line: Line) -> HTMLResponse:
    """All sets, the check run, the kit."""
    found = line.now()
    seen = state_of(line.book).digest
    return kept_page(request, line, ("line",), seen, lambda: rendered(
        request, "line.html", "/line", set_at=lambda part: f"/set/{quote(part.site.id, safe='')}", seen=seen,
        units=found.units,
        **{**sheet.line_helpers(found.plan), "traverse": lambda wide: sheet.safe(found.traverse(wide))},
    ))  # fmt: skip


@router.get("/set/{site}")
def set_page(
    site: str, request: Request, line: Line, changes: Annotated[dict[str, str], Depends(changes_of)]
) -> Response:
    """One set, as planned or with something changed on it."""
    found = line.now()
    part, one = found.part(site), found.planned_set(site)
    if part is None or one is None or one.result is None:
        raise HTTPException(404, "no such set in the plan")
    if site != part.site.id:
        query = f"?{request.url.query}" if request.url.query else ""
        return RedirectResponse(f"/set/{quote(part.site.id, safe='')}{query}", status_code=307)
    only = request.headers.get("x-part") == "changed"
    changed, refused = None, ""
    if changes:
        try:
            changed = line.changed(site, changes)
        except BadInput as error:
            refused = str(error)
    shown = part if changed is None else changed.after.model_copy(update={"rigs": part.rigs, "advice": []})
    job, context, rig = found.assembly.job, one.context, one.result.rig

    def made() -> HTMLResponse:
        return rendered(
            request, "set_changed.html" if only else "set_page.html", "/line", part=shown, changed=changed,
            refused=refused, changes=changes, alone=True, controls=controls(job, context, rig),
        )  # fmt: skip

    return made() if changes or only else kept_page(request, line, ("set", site), None, made)


@router.get("/bench")
def outfit(request: Request, line: Line) -> HTMLResponse:
    """All traps of the outfit."""
    job = line.now().assembly.job
    where = {tag: key for key, rig in job.stated.items() for tag in rig.trap_ids}
    return rendered(request, "bench.html", "/bench", traps=list(job.traps.values()), where=where)


@router.get("/files")
def all_files(request: Request) -> HTMLResponse:
    """Everything that can be printed or taken along."""
    names = NAMES if person_of(request).may("places") else [name for name in NAMES if name not in ALL_PLACES]
    return rendered(request, "files.html", "/files", names=names)


@router.get("/files/{name}")
def one_file(name: str, line: Line, blur: Annotated[str, Query(max_length=10)] = "") -> Response:
    """One file of the plan; `?blur=1km` puts every position into the middle of a square."""
    content = line.file(name, blur) if name in NAMES else None
    if content is None:
        raise HTTPException(404, "not a file of the plan")
    headers = {"Content-Disposition": f'inline; filename="{name}"'}
    if name == "plan.html":
        # The page for keeping carries its own style and typefaces within it.
        headers["Content-Security-Policy"] = (
            "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:"
        )
    return Response(content, media_type=KINDS[name.rsplit(".", 1)[1]], headers=headers)
