"""The interface that field pages speak to: who is there, what goes along, events in and out."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Depends, HTTPException, Query, Request
from fastapi.responses import JSONResponse, Response
from pydantic import BaseModel
from starlette.concurrency import run_in_threadpool

import setwright
from setwright.desk import document, field_document
from setwright.desk.field import field_pack
from setwright.desk.log_sync import LAST_PLACE, MOST, SyncPage, SyncReceipt, given, take
from setwright.draw.section import section, section_keys
from setwright.web.api import FAULTS, Line
from setwright.web.person import ACTS, Asking, allowed, token_of

DRAWN = 350.0
router = APIRouter(prefix="/api", responses=FAULTS)
BATCH = {
    "requestBody": {
        "required": True,
        "content": {
            "application/json": {
                "schema": {
                    "type": "object",
                    "required": ["events"],
                    "properties": {"events": {"type": "array", "maxItems": MOST, "items": {"type": "object"}}},
                }
            }
        },
    }
}


class Session(BaseModel):
    """Who asks, the token that his writing carries, the line that is open, and the time on this machine."""

    token: str
    name: str
    role: str
    may: list[str]
    line: str
    now: dt.datetime
    program: str


@router.get("/session")
def session(request: Request, person: Asking, line: Line) -> Session:
    """Who asks and what he may do."""
    return Session(
        token=token_of(request), name=person.name, role=person.role, may=sorted(ACTS[person.role]),
        line=given(line.book, LAST_PLACE).line, now=dt.datetime.now(dt.UTC), program=setwright.__version__,
    )  # fmt: skip


@router.get(
    "/field-pack", response_model=field_document.FieldPack,
    responses={304: {"description": "The pack that was named still stands"}},
)  # fmt: skip
def pack(request: Request, person: Asking, line: Line) -> Response:
    """Everything that goes along into the field; `If-None-Match` with its digest saves the way."""
    found = line.now()
    made = field_pack(
        line.book, found.assembly.job, found.plan, _drawn, name=person.name, role=person.role,
        may=ACTS[person.role],
    )  # fmt: skip
    tag = f'"{made.digest}"'
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers={"ETag": tag})
    return JSONResponse(made.model_dump(mode="json", by_alias=True), headers={"ETag": tag})


@router.get("/events")
def events(
    line: Line,
    after: Annotated[int, Query(ge=0, le=LAST_PLACE)] = 0,
    most: Annotated[int, Query(ge=1, le=MOST)] = 1000,
) -> SyncPage:
    """Events of the log in the order of their arrival, after a place of that order."""
    return given(line.book, after, most)


@router.post(
    "/events", response_model=SyncReceipt, openapi_extra=BATCH, dependencies=[Depends(allowed("log"))],
)  # fmt: skip
async def hand_in(request: Request, line: Line) -> SyncReceipt:
    """Hand events in, as often as one likes; what is there already is left alone."""
    return await run_in_threadpool(take, line.book, _records(await request.body()))


def _drawn(figure: document.Figure) -> tuple[str, Sequence[tuple[str, str]]]:
    return section(figure, DRAWN, 380.0, letters=True), section_keys(figure)


def _records(body: bytes) -> list[Any]:
    try:
        found = json.loads(body)
    except (ValueError, RecursionError):
        raise HTTPException(422, "the body is no JSON") from None
    records = found.get("events") if isinstance(found, dict) else None
    if not isinstance(records, list) or set(found) != {"events"}:
        raise HTTPException(422, 'events are sent as {"events": [...]}')
    if len(records) > MOST:
        raise HTTPException(422, f"at most {MOST} events at once; send them in parts")
    return records
