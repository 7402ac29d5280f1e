"""The app asked directly: who may ask, what it answers, and how it says no."""

from __future__ import annotations

import json
import socket
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from starlette.testclient import TestClient

from setwright.basis.errors import BadInput
from setwright.desk.document import Plan, SetPlan, SetWhatIf
from setwright.desk.set_whatif import STEPS
from setwright.web.app import POLICY, create_app
from setwright.web.open_line import OpenLine
from setwright.web.serve import bound

PAGES = ("/", "/line", "/set/track", "/set/hedge", "/bench", "/bench/A-01", "/files")


@pytest.mark.parametrize("path", PAGES)
def test_pages_carry_no_style_of_their_own_and_nothing_from_elsewhere(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 200 and answer.headers["content-security-policy"] == POLICY
    assert answer.headers["x-content-type-options"] == "nosniff" and answer.headers["cache-control"] == "no-store"
    assert "server" not in answer.headers
    assert "<style" not in answer.text and "onclick" not in answer.text and "javascript:" not in answer.text
    for part in answer.text.split('src="')[1:] + answer.text.split('href="')[1:]:
        assert part.startswith(("/", "#")), part[:40]
    assert answer.text.count("<h1") + answer.text.count('class="settitle"') == 1


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.example", "", "localhost.example", "0.0.0.0"])
def test_another_name_for_this_machine_is_refused(client: TestClient, host: str) -> None:
    answer = client.get("/", headers={"Host": host})
    assert answer.status_code == 403 and "Tamarack" not in answer.text
    assert client.get("/", headers={"Host": "LOCALHOST:8470"}).status_code == 200


@pytest.mark.parametrize(
    "path", ["/nothing", "/set/nowhere", "/bench/nothing", "/files/secret.txt", "/files/..%2Fline-book.yaml",
             "/scripts/app.py", "/fonts/other.woff2", "/files/%2e%2e/%2e%2e/etc/passwd"],
)  # fmt: skip
def test_what_is_not_there_is_said_on_a_page(client: TestClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404 and "There is no such page" in answer.text and "Traceback" not in answer.text


def test_nothing_can_be_written_through_it(client: TestClient, book: Path) -> None:
    before = book.read_bytes()
    for path in (*PAGES, "/api/plan", "/api/sets/track"):
        for way in ("POST", "PUT", "DELETE", "PATCH"):
            assert client.request(way, path).status_code == 405, f"{way} {path}"
    assert book.read_bytes() == before


def test_a_set_is_found_by_number_too(client: TestClient) -> None:
    answer = client.get("/set/1?trip_force=1%20lbf", follow_redirects=False)
    assert answer.status_code == 307 and answer.headers["location"] == "/set/track?trip_force=1%20lbf"


def test_a_changed_set_on_its_page(client: TestClient) -> None:
    answer = client.get("/set/hedge", params={"trip_force": "1 lbf", "springs": "", "jaws": "offset"})
    assert answer.status_code == 200
    assert "If pan set to 1.0 lbf; offset jaws" in answer.text and "draw by draw" in answer.text
    assert 'value="1 lbf"' in answer.text and '<option value="offset" selected>' in answer.text, "the form keeps it"
    part = client.get("/set/hedge", params={"trip_force": "1 lbf"}, headers={"X-Part": "changed"})
    assert part.text.startswith('<div id="changed"') and "<html" not in part.text


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("trip_force=1", "the unit is missing"),
        ("trip_force=900%20lbf", "outside what can be"),
        ("jaws=gold", "no such jaws"),
        ("chain=gold", "no such chain"),
        ("pan_depth=2%20in", "does not stand in water"),
    ],
)
def test_a_change_that_cannot_be_is_said_and_the_set_stays(client: TestClient, query: str, words: str) -> None:
    answer = client.get(f"/set/hedge?{query}")
    assert answer.status_code == 200 and "Not changed:" in answer.text and words in answer.text
    problem = client.get(f"/api/sets/hedge/what-if?{query}")
    assert problem.status_code == 422 and problem.headers["content-type"] == "application/problem+json"
    assert words in problem.json()["detail"]


@pytest.mark.parametrize("query", ["colour=red", "springs=2&springs=4"])
def test_names_that_are_no_changes_are_refused(client: TestClient, query: str) -> None:
    assert client.get(f"/set/hedge?{query}").status_code == 422
    assert client.get(f"/api/sets/hedge/what-if?{query}").status_code == 422


def test_the_interface_gives_what_the_pages_show(client: TestClient, line: OpenLine) -> None:
    plan = Plan.model_validate(client.get("/api/plan").json())
    assert plan == line.now().plan
    one = SetPlan.model_validate(client.get("/api/sets/hedge").json())
    assert one == next(part for part in plan.sets if part.site.id == "hedge")
    changed = SetWhatIf.model_validate(client.get("/api/sets/hedge/what-if?trip_force=1 lbf").json())
    assert changed.after.rig != changed.before.rig
    assert client.get("/api/traps/A-01").json()["trap"] == "A-01"
    assert client.get("/api/traps/nothing").status_code == 422
    assert client.get("/api/nothing").headers["content-type"] == "application/problem+json"


def test_every_answer_of_the_interface_is_declared(client: TestClient) -> None:
    declared = client.get("/api/openapi.json").json()
    for path, ways in declared["paths"].items():
        assert path.startswith("/api/") and set(ways) <= {"get", "post"}
        for way in ways.values():
            assert {"200", "403", "404", "422"} <= set(way["responses"]), path
    schema = {**declared["components"]["schemas"]["SetWhatIf"], "components": declared["components"]}
    Draft202012Validator(schema).validate(client.get("/api/sets/hedge/what-if?springs=2").json())


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.sampled_from(STEPS), st.text(max_size=40))
def test_any_text_in_any_control_is_answered(client: TestClient, name: str, text: str) -> None:
    answer = client.get("/api/sets/hedge/what-if", params={name: text})
    assert answer.status_code in (200, 422), answer.text
    page = client.get("/set/hedge", params={name: text})
    assert page.status_code in (200, 422)
    assert f"<b>{text}</b>" not in page.text or not set(text) & set("<>&")


@pytest.mark.parametrize("evil", ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "{{ 7 * 7 }}"])
def test_text_of_the_book_and_of_the_address_stays_text(tmp_path: Path, book: Path, evil: str) -> None:
    text = book.read_text(encoding="utf-8").replace("name: Hedge beyond the brook", f"name: {json.dumps(evil)}")
    own = tmp_path / "line-book.yaml"
    own.write_text(text, encoding="utf-8")
    asked = TestClient(create_app(OpenLine(own, draws=50)), base_url="http://localhost")
    for path in ("/", "/line", "/set/hedge", "/set/hedge?trip_force=" + evil.replace("&", "%26")):
        page = asked.get(path)
        assert (evil in page.text) == evil.startswith("{{"), f"{path}: neither markup nor a template"


def test_the_pages_follow_the_book(tmp_path: Path, book: Path) -> None:
    own = tmp_path / "line-book.yaml"
    own.write_bytes(book.read_bytes())
    asked = TestClient(create_app(OpenLine(own, draws=50)), base_url="http://localhost")
    assert "Two sites at a farm track" in asked.get("/line").text
    own.write_text(
        book.read_text(encoding="utf-8").replace("Two sites at a farm track", "Renamed line"), encoding="utf-8"
    )
    assert "Renamed line" in asked.get("/line").text
    own.write_text("schema: setwright/line-book/1\nline: {nme: x}\n", encoding="utf-8")
    broken = asked.get("/line")
    assert broken.status_code == 422 and "line-book.yaml, line 2" in broken.text and "Traceback" not in broken.text
    own.write_bytes(book.read_bytes())
    assert asked.get("/line").status_code == 200, "mended, it goes on"


def test_a_port_in_use_is_said() -> None:
    with bound(0) as made:
        made.listen()
        with pytest.raises(BadInput, match="port"):
            bound(made.getsockname()[1])
    assert isinstance(made, socket.socket)
