"""The map of the line: places as GeoJSON, the map library from its package, places in and out of files."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

from fastapi import APIRouter, Depends, HTTPException
from fastapi.responses import JSONResponse, Response

from setwright.desk.line_map import line_map
from setwright.web.api import FAULTS, Line
from setwright.web.open_line import StillPlanning
from setwright.web.person import allowed

router = APIRouter()
LIBRARY = {"leaflet.js": "text/javascript", "leaflet.css": "text/css"}
KEPT = {"Cache-Control": "private, max-age=86400"}


@router.get(
    "/api/line.geojson", dependencies=[Depends(allowed("places"))],
    responses={**FAULTS, 200: {"content": {"application/geo+json": {}}}}, response_class=JSONResponse,
)  # fmt: skip
def line_geojson(line: Line) -> Any:
    """Everything of the line that has a place (RFC 7946), as the book stands now."""
    try:
        standing = {part.site.id: part.standing for part in line.now().plan.sets}
    except StillPlanning:
        standing = {}
    return JSONResponse(line_map(line.book, standing), media_type="application/geo+json")


@router.get("/leaflet/{name}", include_in_schema=False)
def library(name: str) -> Response:
    """The map library, from its package."""
    kind = LIBRARY.get(name)
    if kind is None:
        raise HTTPException(404, "no such file of the map library")
    text = files("js_lib_leaflet").joinpath(f"static/js_lib_leaflet/{name}").read_text(encoding="utf-8")
    if name.endswith(".css"):
        # No picture of the library is used: the marks are our own.
        text = "\n".join(line for line in text.splitlines() if "url(" not in line or "images/" not in line)
    return Response(text, media_type=kind, headers=KEPT)
