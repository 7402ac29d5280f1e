"""Whoever may not know where sets are learns it from no route; a line in a mirror looks the same to him."""

from __future__ import annotations

import gzip
import re
from pathlib import Path

import pypdfium2
import pytest
from fastapi.responses import HTMLResponse, PlainTextResponse, Response
from starlette.testclient import TestClient

from setwright.web import app as app_module
from setwright.web.app import create_app
from setwright.web.gate import Gate
from setwright.web.open_line import OpenLine
from setwright.web.people import Account
from setwright.web.person import ACTS, Person
from setwright.web.seen import tells_a_place
from setwright.web.sessions import Brake
from web_walk import asked as walked

BLIND = [role for role, acts in ACTS.items() if "places" not in acts]
# The same line in a mirror that stands on the meridian of its base: every length is the same, every place another.
MIRRORED = {"-79.9480": "-79.9520", "-79.9420": "-79.9580"}
# What differs from one showing to the next.
MADE = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?(?:Z|[+-]\d\d:\d\d)|[0-9a-f]{64}|/ID ?\[[^]]*\]")


class Everybody:
    """Sessions that take the role itself for a token."""

    def whose(self, token: str) -> Account:
        return Account(f"Person {token}", token, "set")


def seen_by(role: str, line: OpenLine) -> TestClient:
    gate = Gate(("192.168.7.5",), None, Everybody(), Brake())
    app = create_app(line, gate)
    client = TestClient(app, base_url="https://192.168.7.5", follow_redirects=False)
    client.cookies.set("__Host-setwright", role, domain="192.168.7.5")
    return client


def text_of(answer: Response) -> bytes:
    """Every word of an answer; of a PDF those that can be copied out of it."""
    if "pdf" not in answer.headers.get("content-type", ""):
        return answer.content
    document = pypdfium2.PdfDocument(answer.content)
    return "\n".join(page.get_textpage().get_text_bounded() for page in document).encode()


@pytest.fixture(scope="module")
def planned(book: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, OpenLine]:
    found = {}
    for name, changes in (("here", {}), ("mirrored", MIRRORED)):
        text = book.read_text(encoding="utf-8")
        for old, new in changes.items():
            assert text.count(old) == 1
            text = text.replace(old, new)
        own = tmp_path_factory.mktemp(name) / "line-book.yaml"
        own.write_text(text, encoding="utf-8")
        found[name] = OpenLine(own, draws=50)
        kept = found[name].now()
        assert kept.plan.line.base == (36.1, -79.95)
        # The minute of planning stands at the foot of every page.
        kept.plan = kept.plan.model_copy(update={"made": "2026-12-19T12:00:00-05:00"})
    return found


def test_a_mirrored_line_is_another_line_of_the_same_lengths(planned: dict[str, OpenLine]) -> None:
    here, mirrored = (planned[name].now().plan for name in ("here", "mirrored"))
    assert [p.site.longitude for p in here.sets] != [p.site.longitude for p in mirrored.sets]
    assert [s.distance for s in here.run.stops] == [s.distance for s in mirrored.run.stops]
    trapper = [seen_by("trapper", planned[name]) for name in ("here", "mirrored")]
    for path in ("/api/plan", "/files/line.gpx", "/line", "/files/run.csv"):
        one, other = (MADE.sub(b"", client.get(path).content) for client in trapper)
        assert one != other, f"{path} tells where sets are, so the mirror shows"


@pytest.mark.parametrize("last_look", [pytest.param(True, marks=pytest.mark.slow), False])
@pytest.mark.parametrize("role", BLIND)
def test_no_route_tells_where_sets_are(
    planned: dict[str, OpenLine], role: str, last_look: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not last_look:
        # What is left out by meaning must be enough by itself.
        async def unread(answer: Response, *_: object) -> Response:
            return answer

        monkeypatch.setattr(app_module, "looked_through", unread)
    here, mirrored = (seen_by(role, planned[name]) for name in ("here", "mirrored"))
    places = [(36.1, 79.95), (36.102, 79.948), (36.108, 79.942)]
    shown = 0
    for path in walked(here.app):
        one, other = here.get(path), mirrored.get(path)
        assert one.status_code == other.status_code, path
        assert one.status_code < 500, path
        text = text_of(one)
        shown += one.status_code == 200
        assert not tells_a_place(text, places), path
        for number in (b"36.10", b"79.94", b"79.95", b"36\xc2\xb006", b"79\xc2\xb05"):
            assert number not in text, f"{path} has {number!r}"
        assert MADE.sub(b"", text) == MADE.sub(b"", text_of(other)), f"{path} depends on where sets are"
        for blur in ("1km", "10km"):
            again = here.get(path, params={"blur": blur})
            assert not tells_a_place(text_of(again), places), f"{path} blurred"
    assert shown > 15, "most pages are there for him"


@pytest.mark.parametrize("role", BLIND)
def test_files_of_places_are_not_there_for_him(planned: dict[str, OpenLine], role: str) -> None:
    client = seen_by(role, planned["here"])
    for name in ("line.geojson", "line.gpx"):
        assert client.get(f"/files/{name}").status_code == 404
        assert client.get(f"/files/{name}?blur=10km").status_code == 404
        assert f'href="/files/{name}"' not in client.get("/files").text
    plan = client.get("/api/plan").json()
    assert plan["line"]["positions"] == "left out" and plan["line"]["base"] is None
    assert all(part["site"]["latitude"] is None for part in plan["sets"])
    assert all(stop["distance"] is None for stop in plan["run"]["stops"])
    changed = client.get("/api/sets/hedge/what-if?springs=2").json()
    assert changed["before"]["site"]["longitude"] is None and changed["after"]["site"]["longitude"] is None
    line = client.get("/line").text
    assert "Positions are left out here" in line and "traverse" not in line


def test_a_fault_in_the_book_tells_him_nothing(tmp_path: Path, book: Path) -> None:
    own = tmp_path / "line-book.yaml"
    own.write_text(book.read_text(encoding="utf-8").replace("36.1080", "136.1080"), encoding="utf-8")
    line = OpenLine(own, draws=50)
    for path in ("/", "/api/plan"):
        assert "136.108" in seen_by("trapper", line).get(path).text
        told = seen_by("viewer", line).get(path)
        assert told.status_code == 422 and "36.1" not in told.text and str(tmp_path) not in told.text


def test_the_last_look_refuses_what_a_route_lets_slip(planned: dict[str, OpenLine]) -> None:
    client = seen_by("viewer", planned["here"])
    slips = {
        "text": lambda: PlainTextResponse("at 36.1020, -79.9480"),
        "page": lambda: HTMLResponse('<p data-at="36.10801 79.94199">'),
        "west": lambda: PlainTextResponse("36.102 N 79.948 W"),
        "pdf": lambda: Response(b"%PDF-1.7", media_type="application/pdf"),
        "packed": lambda: Response(gzip.compress(b"36.1020, -79.9480"), headers={"Content-Encoding": "gzip"}),
        "odd": lambda: Response(b"\x00\x01", media_type="application/octet-stream"),
    }
    fine = {"one": "36.102 only", "none": "no place", "coarse": "36.1 and 79.9"}

    @client.app.get("/slip/{name}")
    async def slip(name: str) -> Response:
        return slips[name]() if name in slips else PlainTextResponse(fine[name])

    for name in slips:
        answer = client.get(f"/slip/{name}")
        assert answer.status_code == 403 and b"36.1" not in answer.content, name
    for name, text in fine.items():
        assert client.get(f"/slip/{name}").text == text


@pytest.mark.parametrize("role", [role for role in ACTS if role not in BLIND])
def test_whoever_sets_and_checks_sees_them(planned: dict[str, OpenLine], role: str) -> None:
    client = seen_by(role, planned["here"])
    assert "-79.942" in client.get("/files/line.geojson").text
    assert Person("x", role).may("places")


def test_blurred_files_for_others(planned: dict[str, OpenLine]) -> None:
    client = seen_by("trapper", planned["here"])
    for name in ("line.geojson", "line.gpx", "plan.json", "plan.html", "run.csv", "set-cards.pdf"):
        text = text_of(client.get(f"/files/{name}?blur=1km"))
        assert b"36.102" not in text and b"79.948" not in text and b"79.942" not in text and b"36.1080" not in text, (
            name
        )
        assert client.get(f"/files/{name}?blur=1km").content == client.get(f"/files/{name}?blur=1km").content
    assert client.get("/files/line.gpx?blur=2km").status_code == 422
    assert client.get("/files/line.gpx").text != client.get("/files/line.gpx?blur=5km").text
