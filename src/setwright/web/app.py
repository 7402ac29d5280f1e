"""The app on this machine: pages that are made here, an interface in JSON beneath them, nothing from elsewhere."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable

from fastapi import Depends, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import HTMLResponse, Response
from starlette.exceptions import HTTPException

import setwright
from setwright.basis.errors import SetwrightError
from setwright.basis.units import shown_in
from setwright.sheets.speech import spoken_in
from setwright.web import (
    access,
    answers,
    api,
    assets,
    bench_page,
    clock_page,
    edit,
    edit_outfit,
    field,
    handout_page,
    law_page,
    lessons,
    log,
    maps,
    outfit_page,
    pages,
    remake_page,
    run_page,
    season_page,
    settings,
    skills_page,
    start,
    sync,
    waiting,
)
from setwright.web.bounds import Bounds
from setwright.web.gate import Gate
from setwright.web.language import keep, language_of
from setwright.web.open_line import NoBook, OpenLine, StillPlanning
from setwright.web.person import STRANGER, new_secret, person_of, written_here
from setwright.web.seen import TOLD, looked_through

# A page elsewhere can point its own name at this address; only these names are this machine's.
HOSTS = ("127.0.0.1", "localhost", "[::1]")
# Drawings carry their hatches as style attributes; there is no style or script within a page otherwise.
POLICY = (
    "default-src 'none'; style-src 'self'; style-src-attr 'unsafe-inline'; font-src 'self'; img-src 'self'; "
    "script-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), camera=(), microphone=()",
}
Next = Callable[[Request], Awaitable[Response]]


def create_app(line: OpenLine, gate: Gate | None = None) -> FastAPI:
    """The app of one line book.

    Parameters
    ----------
    line : OpenLine
        The line that is open.
    gate : Gate, optional
        Whom it lets in over the network; without one it answers this machine only, and asks nobody who he is.
    """
    app = FastAPI(
        title="setwright", version=setwright.__version__, docs_url=None, redoc_url=None,
        openapi_url="/api/openapi.json",
        dependencies=[Depends(written_here)],
        description="Figures of one line book. Rules of the place and licensed practice come first.",
    )  # fmt: skip
    app.state.line = line
    app.state.gate = gate
    app.state.lan = None
    app.state.secret = new_secret()
    hosts = HOSTS if gate is None else gate.hosts
    app.include_router(assets.router)
    app.include_router(api.router)
    app.include_router(answers.router)
    app.include_router(outfit_page.answers)
    app.include_router(clock_page.answers)
    app.include_router(remake_page.answers)
    app.include_router(pages.router)
    app.include_router(skills_page.router)
    app.include_router(lessons.router)
    for area in (bench_page, outfit_page, clock_page, remake_page, run_page, law_page, season_page, handout_page):
        app.include_router(area.router)
    app.include_router(access.router)
    app.include_router(sync.router)
    app.include_router(field.router)
    for area in (log, edit, edit_outfit, maps, settings, start, waiting):
        app.include_router(area.router)

    @app.middleware("http")
    async def guarded(request: Request, call_next: Next) -> Response:
        host = re.sub(r":\d*$", "", request.headers.get("host", "")).lower()
        if host not in hosts:
            answer: Response = api.problem(403, "asked for under a name that is not this machine's")
        else:
            asked = language_of(request)
            with shown_in(line.units), spoken_in(asked.language):
                away = _turned_away(request, gate)
                if away is None and asked.refused:
                    away = _answer(request, 422, asked.refused)
                answer = away or await call_next(request)
                if asked.chosen:
                    keep(answer, asked.language)
                if gate is not None and not person_of(request).may("places"):
                    seen = await looked_through(answer, request.url.path, line)
                    answer = seen or _answer(request, 403, TOLD)
        for name, value in HEADERS.items():
            answer.headers.setdefault(name, value)
        answer.headers.setdefault("Cache-Control", "no-store")
        return answer

    app.add_middleware(Bounds)

    @app.exception_handler(NoBook)
    async def unbegun(request: Request, error: NoBook) -> Response:
        return waiting.no_book(request, error)

    @app.exception_handler(StillPlanning)
    async def planning(request: Request, error: StillPlanning) -> Response:
        return waiting.still(request, error)

    @app.exception_handler(SetwrightError)
    async def told(request: Request, error: SetwrightError) -> Response:
        if error.file is not None and not person_of(request).may("places"):
            # What is wrong with a file may be a position in it.
            return _answer(request, 422, "the line cannot be shown now; whoever keeps it sees why")
        return _answer(request, 422, str(error))

    @app.exception_handler(HTTPException)
    async def missed(request: Request, error: HTTPException) -> Response:
        answer = _answer(request, error.status_code, str(error.detail))
        answer.headers.update(error.headers or {})
        return answer

    @app.exception_handler(RequestValidationError)
    async def misread(request: Request, error: RequestValidationError) -> Response:
        first = error.errors()[0]
        where = ".".join(str(part) for part in first.get("loc", ()))
        return _answer(request, 422, f"{where}: {first.get('msg', 'not understood')}")

    @app.exception_handler(Exception)
    async def broke(request: Request, error: Exception) -> Response:
        return _answer(request, 500, f"a fault of the program, not of your files: {type(error).__name__}")

    return app


def _turned_away(request: Request, gate: Gate | None) -> Response | None:
    """The answer to whoever may not come in; None for all others."""
    if gate is None:
        return None
    try:
        refused = gate.admit(request)
    except SetwrightError:
        # Where the file lies is nobody's business over the network.
        request.state.person = STRANGER
        return _answer(request, 500, "the list of people cannot be read: look at the machine itself")
    if isinstance(refused, int):
        return _answer(request, refused, "log in first, and then do this again")
    return refused


def _answer(request: Request, status: int, words: str) -> Response:
    """A fault as a page, or as a problem in JSON to whoever asked the interface."""
    if request.url.path.startswith("/api/"):
        return api.problem(status, words)
    return HTMLResponse(pages.fault(request, status, words), status_code=status)
