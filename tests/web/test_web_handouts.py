"""Handouts from the app: filled from the line, blank, on every paper, and none that tells who may not know where."""

from __future__ import annotations

import io

import pypdfium2
import pytest
from fastapi import Request, Response
from starlette.middleware.base import RequestResponseEndpoint
from starlette.testclient import TestClient

from setwright.desk.handouts import HANDOUTS
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.person import Person


def words(content: bytes) -> str:
    with pypdfium2.PdfDocument(io.BytesIO(content)) as file:
        assert len(file) == 1
        return str(file[0].get_textpage().get_text_range())


def test_the_page_of_handouts_names_every_one_and_stands_in_the_navigation(client: TestClient) -> None:
    for path in ("/", "/files"):
        assert '<a href="/handouts"' in client.get(path).text.split("</nav>")[0]
    page = client.get("/handouts").text
    assert all(f'"/handouts/{name}.pdf"' in page for name in HANDOUTS)


@pytest.mark.parametrize("more", ["", "?paper=a4", "?paper=a5", "?large=1", "?language=es"])
def test_a_handout_is_one_page_of_the_line(client: TestClient, more: str) -> None:
    answer = client.get(f"/handouts/release.pdf{more}")
    assert answer.headers["content-type"] == "application/pdf"
    assert "Two sites at a farm track" in words(answer.content)


def test_a_blank_one_does_not_name_the_line(client: TestClient) -> None:
    assert "Two sites at a farm track" not in words(client.get("/handouts/release.pdf?blank=1").content)


@pytest.mark.parametrize(
    "path", ["nothing.pdf", "release.pdf?paper=a0", "release.pdf?language=xx", "release.pdf?large=x"]
)
def test_what_cannot_be_printed_is_told(client: TestClient, path: str) -> None:
    assert client.get(f"/handouts/{path}").status_code == 422


def test_who_may_not_see_places_gets_the_hand_over_sheet_blank(line: OpenLine) -> None:
    app = create_app(line)

    @app.middleware("http")
    async def viewer(request: Request, call_next: RequestResponseEndpoint) -> Response:
        request.state.person = Person("Ada", "viewer")
        return await call_next(request)

    found = TestClient(app, base_url="http://127.0.0.1:8470").get("/handouts/hand-over.pdf")
    assert found.status_code == 200
    assert "Hedge beyond the brook" not in words(found.content)
