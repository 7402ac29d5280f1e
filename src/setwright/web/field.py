"""The pages for the field: one shell that a device keeps, with nothing in it of any line or person."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from fastapi import APIRouter, HTTPException, Request
from fastapi.responses import Response

import setwright
from setwright.desk.field_words import table
from setwright.draw import marks, svg
from setwright.sheets.fonts import NOTICE, page_face
from setwright.sheets.page import templates

router = APIRouter(include_in_schema=False)
# A module of the shell by the name that it is asked for under.
MODULES = (
    "main", "dom", "store", "clock", "events", "app", "sync", "guard", "sprung", "set", "held", "other", "run",
    "cards", "unsent",
)  # fmt: skip
HOME = "/field"
FACE = "/field/narrow.woff2"
STYLE = "/field/field.css"
KINDS = "/field/kinds.js"
WORKER = "/field/worker.js"
# The shell may ask where it is, for the guard against a wrong set; no other page may.
ASKS = {"Permissions-Policy": "geolocation=(self), camera=(), microphone=()"}
# A browser asks each time whether its copy still stands: parts of two versions never meet.
FRESH = {"Cache-Control": "no-cache"}


def _own(name: str) -> str:
    return files("setwright.web").joinpath(f"static/{name}").read_text(encoding="utf-8")


def _style() -> str:
    face = (
        '@font-face{font-family:"Archivo Narrow";font-weight:400 700;font-display:swap;'
        f'src:url({FACE}) format("woff2")}}'
    )
    return f"/* {NOTICE} */\n{face}\n{templates().get_template('sheet.css').render()}\n{_own('field.css')}"


def _page() -> str:
    return _own("field.html").replace("<!--marks-->", marks.symbols() + _hatches())


def _hatches() -> str:
    return f'<svg class="nowhere" width="0" height="0" aria-hidden="true">{svg.PATTERNS}</svg>'


@cache
def shell() -> Mapping[str, tuple[str, bytes]]:
    """Every file of the shell: media type and content by address, the worker left out."""
    found = {
        HOME: ("text/html; charset=utf-8", _page().encode()),
        STYLE: ("text/css; charset=utf-8", _style().encode()),
        FACE: ("font/woff2", base64.b64decode(page_face("Archivo Narrow"))),
        KINDS: (
            "text/javascript; charset=utf-8",
            f"export default {json.dumps(table(), ensure_ascii=False, separators=(',', ':'))};\n".encode(),
        ),
    }
    for name in MODULES:
        found[f"/field/{name}.js"] = ("text/javascript; charset=utf-8", _own(f"field-{name}.js").encode())
    return MappingProxyType(found)


@cache
def version() -> str:
    """Version of the shell: another as soon as a sign of it is another."""
    held = hashlib.sha256(setwright.__version__.encode())
    for address, (_, content) in sorted(shell().items()):
        held.update(address.encode() + content)
    held.update(_own("field-worker.js").encode())
    return held.hexdigest()[:16]


@cache
def _squeezed(address: str) -> bytes:
    return gzip.compress(shell()[address][1], 9, mtime=0)


@router.get(WORKER)
def worker() -> Response:
    """What keeps the shell on the device."""
    text = _own("field-worker.js").replace('"VERSION"', json.dumps(version()))
    text = text.replace('"FILES"', json.dumps(list(shell())))
    return Response(text, media_type="text/javascript", headers={**FRESH, "Service-Worker-Allowed": HOME})


@router.get(HOME)
@router.get("/field/{name}")
def part(request: Request) -> Response:
    """The page, and every other file of the shell."""
    address = request.url.path
    found = shell().get(address)
    if found is None:
        raise HTTPException(404, "no such part of the field pages")
    tag = f'"{version()}"'
    headers = {**FRESH, **ASKS, "ETag": tag, "Vary": "Accept-Encoding"}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    kind, content = found
    if "gzip" in request.headers.get("accept-encoding", "") and kind != "font/woff2":
        return Response(_squeezed(address), media_type=kind, headers={**headers, "Content-Encoding": "gzip"})
    return Response(content, media_type=kind, headers=headers)
