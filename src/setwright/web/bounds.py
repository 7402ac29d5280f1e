"""Bounds on what is sent to the app: bytes, seconds, and how deep JSON may nest."""

from __future__ import annotations

import asyncio
import re
from typing import TYPE_CHECKING

from anyio.to_thread import current_default_thread_limiter
from starlette.exceptions import HTTPException
from starlette.responses import Response

from setwright.web.api import problem

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Message, Receive, Scope, Send

# A form, or a page of JSON; and what takes files or many entries at once, below these paths.
USUAL = 1_000_000
LARGER = {
    "/api/events": 16_000_000, "/log": 32_000_000, "/edit": 16_000_000, "/start": 8_000_000, "/settings": 64_000_000,
}  # fmt: skip
PATIENCE = 60.0
THREADS = 10
DEEPEST = 60
LONGEST_QUERY = 8_000
STRINGS = re.compile(rb'"(?:[^"\\]|\\.)*"?', re.DOTALL)
BRACKETS = re.compile(rb"[\[\]{}]")


def most_bytes(path: str) -> int:
    """How long a body may be that is sent to a path."""
    return max((most for below, most in LARGER.items() if f"{path}/".startswith(f"{below}/")), default=USUAL)


def depth_of(body: bytes) -> int:
    """How deep JSON nests, told without building it."""
    deep = deepest = 0
    for bracket in BRACKETS.finditer(STRINGS.sub(b"", body)):
        deep += 1 if bracket[0] in b"[{" else -1
        deepest = max(deepest, deep)
    return deepest


class Bounds:
    """Refuses a body that is too long, too slow or nested too deep before anything reads it.

    Parameters
    ----------
    app : ASGIApp
        What the bounds stand before.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        # Pages share one interpreter: more threads than this only wait for one another and hold memory.
        current_default_thread_limiter().total_tokens = THREADS
        headers = dict(scope["headers"])
        most = most_bytes(scope["path"])
        told = headers.get(b"content-length", b"0").decode("latin-1")
        if len(scope["query_string"]) > LONGEST_QUERY:
            await problem(414, "this address is too long")(scope, receive, send)
        elif not told.isdigit() or int(told) > most:
            await problem(413, f"this is too long: up to {most} bytes may be sent here")(scope, receive, send)
        elif b"json" in headers.get(b"content-type", b"").lower():
            await self._read_whole(scope, receive, send, most)
        else:
            await self._as_it_comes(scope, receive, send, most)

    async def _as_it_comes(self, scope: Scope, receive: Receive, send: Send, most: int) -> None:
        """A body that is counted while it is read; whatever the reader makes of a refusal, the answer says why."""
        refused: list[HTTPException] = []
        answered = False

        async def say(message: Message) -> None:
            nonlocal answered
            if not refused:
                await send(message)
            elif not answered:
                answered = True
                await problem(refused[0].status_code, str(refused[0].detail))(scope, receive, send)

        await self.app(scope, counted(receive, most, refused), say)

    async def _read_whole(self, scope: Scope, receive: Receive, send: Send, most: int) -> None:
        """JSON is taken in first: how deep it nests must be known before it is built."""
        taking, body, more = counted(receive, most), bytearray(), True
        try:
            while more:
                message = await taking()
                if message["type"] != "http.request":
                    return
                body += message.get("body", b"")
                more = message.get("more_body", False)
        except HTTPException as error:
            await problem(error.status_code, str(error.detail))(scope, receive, send)
            return
        refused: Response | None = None
        if depth_of(bytes(body)) > DEEPEST:
            refused = problem(400, f"this is nested too deeply: up to {DEEPEST} levels")
        given = False

        async def again() -> Message:
            nonlocal given
            if given:
                return await receive()
            given = True
            return {"type": "http.request", "body": bytes(body), "more_body": False}

        await (refused or self.app)(scope, again, send)


def counted(receive: Receive, most: int, refused: list[HTTPException] | None = None) -> Receive:
    """The same body, refused once it is longer than told or slower than anybody's patience."""
    taken, loop = 0, asyncio.get_running_loop()
    until = loop.time() + PATIENCE
    over = False

    async def take() -> Message:
        nonlocal taken, over
        if over:
            return await receive()  # the body is there: this waits for the end of the connection
        try:
            async with asyncio.timeout_at(until):
                message = await receive()
        except TimeoutError:
            raise _noted(HTTPException(408, "this came too slowly"), refused) from None
        if message["type"] == "http.request":
            taken += len(message.get("body", b""))
            over = not message.get("more_body", False)
            if taken > most:
                raise _noted(HTTPException(413, f"this is too long: up to {most} bytes may be sent here"), refused)
        return message

    return take


def _noted(error: HTTPException, refused: list[HTTPException] | None) -> HTTPException:
    if refused is not None:
        refused.append(error)
    return error
