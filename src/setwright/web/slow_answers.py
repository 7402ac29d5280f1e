"""What pages and interface tell of run, season and law, worked out once for the files as they are."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, Any, TypeVar

from fastapi import Request, Response

from setwright.basis.errors import BadInput
from setwright.law.tables import shipped_packs
from setwright.web.background import PATIENCE, Background
from setwright.web.ledger import written
from setwright.web.open_line import OpenLine
from setwright.web.pages import rendered

if TYPE_CHECKING:
    from setwright.desk.law_document import LawSheet
    from setwright.desk.run_document import RunDocument
    from setwright.desk.season_document import SeasonBook

MOST_DAYS = 14
T = TypeVar("T")


def background_of(request: Request) -> Background:
    """The one place where slow answers of this app are worked out."""
    state = request.app.state
    if not hasattr(state, "background"):
        state.background = Background()
    found: Background = state.background
    return found


def _asked(request: Request, line: OpenLine, key: tuple[Any, ...], make: Callable[[], T], *, wait: bool) -> T | None:
    whole = (*key, line.stamp(), written(line.book))
    return background_of(request).ask(whole, make, None if wait else PATIENCE)


def run_of(request: Request, line: OpenLine, day: str, days: int, *, wait: bool = False) -> RunDocument | None:
    """The check run of some days; None while it is being worked out."""
    from setwright.desk.run import run

    return _asked(request, line, ("run", day, days), lambda: run(line.book, day, days=days), wait=wait)


def season_of(request: Request, line: OpenLine, *, wait: bool = False) -> SeasonBook | None:
    """The season book of the log beside the line; None while it is being worked out."""

    def make() -> SeasonBook:
        from setwright.desk.season import season_beside

        return season_beside(line.book)

    return _asked(request, line, ("season",), make, wait=wait)


def law_of(
    request: Request, line: OpenLine, on: date | None, *, pack: str = "", site: str = "", wait: bool = False
) -> LawSheet | None:
    """The line, or one site of it, judged by a pack on a day; None while it is being worked out.

    Without a pack that of the book; a name is one that stands in the book, or that comes along.

    Raises
    ------
    BadInput
        When the book names no law pack, or there is no such pack or site.
    """
    book, known = line.now().assembly.job, shipped_packs()
    own = book.book.law.packs
    if pack and pack not in (*own, *known):
        # A name from the book or of a pack that comes along: never a path from an address.
        raise BadInput("no such pack", field="pack", found=pack, allowed=", ".join((*own, *known)))
    named = pack or next((one.name for one in book.packs if one.pack.kind == "law"), None)
    if named is None:
        raise BadInput("the book names no law pack", field="law", allowed="a pack under `law` in the line book")

    def make() -> LawSheet:
        from setwright.desk.law import law

        place = line.book.resolve().parent / named
        return law(str(place) if place.is_file() else named, book=line.book, site=site or None, on=on)

    return _asked(request, line, ("law", named, site, on), make, wait=wait)


def waiting(request: Request, here: str, what: str) -> Response:
    """The page that stands in for an answer which is still being worked out; it asks again by itself."""
    address = request.url.path + (f"?{request.url.query}" if request.url.query else "")
    answer = rendered(request, "waiting.html", here, what=what, address=address, status=202)
    answer.headers["Refresh"] = "3"
    return answer
