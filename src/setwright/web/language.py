"""Which language a page is asked in: of this address, else of this browser, else English."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import parse_qsl, urlencode

from fastapi import Request, Response

from setwright.basis.errors import BadInput
from setwright.sheets.speech import ENGLISH, languages, named

ASKED, COOKIE = "lang", "language"
MOST = 10
YEAR = 365 * 24 * 3600
# Programs ask there, and get English.
_INTERFACE = "/api/"


@dataclass(frozen=True, slots=True)
class Asked:
    """The language of an answer.

    Parameters
    ----------
    language : str
        Two letters.
    chosen : bool
        Whether the address named it.
    refused : str
        Why it cannot be had; empty when it can.

    """

    language: str
    chosen: bool = False
    refused: str = ""


def language_of(request: Request) -> Asked:
    """The language that a page is asked in; the choice is taken out of the address."""
    if request.scope["path"].startswith(_INTERFACE):
        return Asked(ENGLISH)
    query = request.scope["query_string"]
    if f"{ASKED}=".encode() in query:
        pairs = parse_qsl(query.decode("latin-1"), keep_blank_values=True)
        asked = [value for name, value in pairs if name == ASKED]
        if asked:
            # What a page makes of its address is told of its own fields alone.
            request.scope["query_string"] = urlencode([pair for pair in pairs if pair[0] != ASKED]).encode("latin-1")
            try:
                return Asked(named(asked[-1][:MOST]), chosen=True)
            except BadInput as error:
                return Asked(ENGLISH, refused=str(error))
    kept = request.cookies.get(COOKIE, ENGLISH)
    return Asked(kept if kept in languages() else ENGLISH)


def keep(answer: Response, language: str) -> None:
    """Keep the chosen language in this browser; it tells nothing of anybody."""
    answer.set_cookie(COOKIE, language, max_age=YEAR, path="/", samesite="strict", httponly=True)
