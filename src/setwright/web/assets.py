"""What the pages stand on: style, typefaces, hatches and scripts, all from this machine."""

from __future__ import annotations

import base64
from functools import cache
from importlib.resources import files

from fastapi import APIRouter, HTTPException
from fastapi.responses import Response

from setwright.draw.marks import alone
from setwright.sheets.fonts import FACES, NOTICE, page_face
from setwright.sheets.page import templates

router = APIRouter(include_in_schema=False)
KEPT = {"Cache-Control": "private, max-age=3600"}
FONTS = {"narrow": "Archivo Narrow", "text": "Andada Pro"}
# The field pages have a style of their own.
NOT_HERE = "field.css"
SCRIPTS = ("what-if.js", "slow-motion.js", "line-map.js", "lesson.js")


@cache
def style() -> str:
    """The style of the sheets with its typefaces, and what pages with controls need besides."""
    faces = "".join(
        f'@font-face{{font-family:"{family}";font-weight:400 700;font-display:swap;'
        f'src:url(/fonts/{key}.woff2) format("woff2")}}\n'
        for key, family in FONTS.items()
    )
    folder = files("setwright.web").joinpath("static")
    sheets = sorted(one.name for one in folder.iterdir() if one.name.endswith(".css") and one.name != NOT_HERE)
    own = "\n".join(folder.joinpath(name).read_text(encoding="utf-8") for name in sheets)
    return f"/* {NOTICE} */\n{faces}{templates().get_template('sheet.css').render()}\n{own}"


@router.get("/style.css")
def sheet_style() -> Response:
    """The style of all pages."""
    return Response(style(), media_type="text/css", headers=KEPT)


@router.get("/fonts/{name}.woff2")
def font(name: str) -> Response:
    """A typeface from its wheel, as a subset."""
    family = FONTS.get(name)
    if family is None or family not in FACES:
        raise HTTPException(404, "no such typeface")
    return Response(base64.b64decode(page_face(family)), media_type="font/woff2", headers=KEPT)


@router.get("/icon.svg")
def icon() -> Response:
    """The mark of a sound link, for the browser's tab."""
    return Response(alone("sound"), media_type="image/svg+xml", headers=KEPT)


@router.get("/scripts/{name}")
def script(name: str) -> Response:
    """A script of the pages."""
    if name not in SCRIPTS:
        raise HTTPException(404, "no such script")
    text = files("setwright.web").joinpath(f"static/{name}").read_text(encoding="utf-8")
    return Response(text, media_type="text/javascript", headers=KEPT)
