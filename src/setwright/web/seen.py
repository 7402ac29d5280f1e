"""What is seen by people who may not know where sets are: the line without places, and a look at every answer."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import AsyncIterator, Iterable, Mapping
from typing import Any

from starlette.responses import Response

from setwright.basis.errors import SetwrightError
from setwright.desk import bench_document, document
from setwright.desk.positions import change_without_place
from setwright.web.gate import is_open
from setwright.web.open_line import OpenLine, Planned, Step

TOLD = "this page would tell where sets lie, which your role does not show"
# Files that hold nothing but positions.
ALL_PLACES = ("line.geojson", "line.gpx")
# What may be answered without reading it: typefaces and pictures that are the same for everybody.
SAME_FOR_ALL = ("font/", "image/png", "image/x-icon")
# Sheets made of the line without places, or of no line; text within a PDF cannot be read here.
SHEETS_FOR_ALL = ("/files/", "/lessons")
NEAR = 0.0006
NUMBER = re.compile(rb"\d{1,3}\.\d{3,}")


class LineWithoutPlaces(OpenLine):
    """The same open line for somebody who may not know where sets are.

    Parameters
    ----------
    line : OpenLine
        The line with its places.
    """

    def __init__(self, line: OpenLine) -> None:
        self._line = line

    def __getattr__(self, name: str) -> Any:
        """What is not told otherwise here is that of the line itself."""
        return getattr(self.__dict__["_line"], name)

    def now(self) -> Planned:
        """The line as its files are now, without places."""
        return self._line.now().with_positions("left out")

    def changed(self, site: str, changes: Mapping[str, str]) -> document.SetWhatIf | None:
        """The set at a site with something changed on it."""
        found = self._line.changed(site, changes)
        return None if found is None else change_without_place(found)

    def step(self) -> Step | None:
        """How far the planning has come."""
        return self._line.step()

    def begin(self) -> None:
        """Begin to plan what was changed."""
        self._line.begin()

    def trap(self, tag: str, what_if: str = "") -> bench_document.BenchSheet:
        """One trap of the outfit on the bench."""
        return self._line.trap(tag, what_if)

    def file(self, name: str, blur: str = "") -> bytes | None:
        """A file of the plan by name, made of the plan without places; those that are nothing else are not there."""
        del blur
        return None if name in ALL_PLACES else super().file(name)


async def looked_through(answer: Response, path: str, line: OpenLine) -> Response | None:
    """The same answer when it tells no place; None when it tells one, or when it cannot be read."""
    kind = answer.headers.get("content-type", "").split(";")[0].strip().lower()
    if (
        is_open(path)
        or kind.startswith(SAME_FOR_ALL)
        or (kind == "application/pdf" and path.startswith(SHEETS_FOR_ALL))
    ):
        return answer
    stream: AsyncIterator[bytes] | None = getattr(answer, "body_iterator", None)
    body = bytes(answer.body) if stream is None else b"".join([bytes(part) async for part in stream])
    readable = kind.startswith("text/") or kind.endswith(("json", "xml", "javascript", "gpx"))
    readable = readable and "content-encoding" not in answer.headers
    try:
        places = places_of(line.now())
    except SetwrightError:
        places = []  # a book that cannot be read, or is not planned yet, has nothing to tell
    if body and (not readable or tells_a_place(body, places)):
        return None
    made = Response(body, answer.status_code)
    made.raw_headers = [(name, value) for name, value in answer.raw_headers if name != b"transfer-encoding"]
    return made


def places_of(planned: Planned) -> list[tuple[float, float]]:
    """Every place that must not be told: base and sites, latitude and longitude, degrees."""
    job = planned.assembly.job
    found = [] if job.base is None else [job.base]
    return found + [
        (site.latitude, site.longitude)
        for site in job.sites
        if site.latitude is not None and site.longitude is not None
    ]


def tells_a_place(body: bytes, places: Iterable[tuple[float, float]]) -> bool:
    """Whether a text has latitude and longitude of any place as decimal degrees to some 60 m.

    It stands behind what is left out by meaning, not in its stead: other grids would pass it.
    """
    numbers = sorted({float(found[0]) for found in NUMBER.finditer(body)})
    return any(_has(numbers, abs(latitude)) and _has(numbers, abs(longitude)) for latitude, longitude in places)


def _has(numbers: list[float], wanted: float) -> bool:
    at = bisect_left(numbers, wanted - NEAR)
    return at < len(numbers) and numbers[at] <= wanted + NEAR
