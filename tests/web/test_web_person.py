"""What would change something needs the token of our own pages, and a role that may do it."""

from __future__ import annotations

import re

import pytest
from fastapi import Depends, Request
from fastapi.responses import PlainTextResponse
from starlette.testclient import TestClient

from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.person import ACTS, Person, allowed, token_of


@pytest.fixture
def writer(line: OpenLine) -> TestClient:
    app = create_app(line)

    @app.get("/given")
    async def given(request: Request) -> PlainTextResponse:
        return PlainTextResponse(token_of(request))

    @app.post("/kept", dependencies=[Depends(allowed("change"))])
    async def kept(request: Request) -> PlainTextResponse:
        form = await request.form()
        return PlainTextResponse(str(form.get("word", "")))

    return TestClient(app, base_url="http://127.0.0.1:8470")


def test_a_form_of_ours_is_taken(writer: TestClient) -> None:
    token = writer.get("/given").text
    assert re.fullmatch("[0-9a-f]{64}", token)
    assert writer.post("/kept", data={"word": "rod", "token": token}).text == "rod"
    assert writer.post("/kept", headers={"X-Token": token}).status_code == 200


@pytest.mark.parametrize("token", [None, "", "0" * 64, "é"])
def test_a_form_from_elsewhere_is_refused(writer: TestClient, token: str | None) -> None:
    data = {"word": "rod"} if token is None else {"word": "rod", "token": token}
    assert writer.post("/kept", data=data).status_code == 403


def test_a_token_is_good_for_one_session_and_one_run_only(line: OpenLine) -> None:
    def token(app_of: TestClient, session: str) -> str:
        request = Request({"type": "http", "app": app_of.app, "state": {"person": Person("Ada", "helper", session)}})
        return token_of(request)

    one, other = TestClient(create_app(line)), TestClient(create_app(line))
    assert token(one, "a") == token(one, "a")
    assert len({token(one, "a"), token(one, "b"), token(other, "a")}) == 3


def test_every_role_may_look_and_only_the_trapper_changes_the_line() -> None:
    assert all("look" in acts for acts in ACTS.values())
    assert [role for role, acts in ACTS.items() if "change" in acts] == ["trapper"]
    assert "places" not in ACTS["viewer"]
