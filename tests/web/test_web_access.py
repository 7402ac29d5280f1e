"""Over the network: who is let in, as what, for how long, and what it costs to guess."""

from __future__ import annotations

import json
import re
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest
from argon2 import PasswordHasher
from starlette.testclient import TestClient

from setwright.basis.errors import BadInput
from setwright.web import people as people_module
from setwright.web.app import create_app
from setwright.web.gate import COOKIE, OPEN, OPEN_BELOW, Gate, is_open, way_back
from setwright.web.open_line import OpenLine
from setwright.web.people import CODE_LENGTH, INVITED_FOR, People, fit, name_of
from setwright.web.person import ACTS
from setwright.web.sessions import FREE, IDLE, LONGEST_WAIT, WHOLE, Brake, Sessions
from web_walk import asked as walked
from web_walk import changing

HOST = "192.168.7.5"
SECRET = "heron kettle oblong fence"


class Clock:
    def __init__(self) -> None:
        self.now = 1_800_000_000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture(autouse=True)
def quick_hashes(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    quick = PasswordHasher(time_cost=1, memory_cost=64, parallelism=1)
    monkeypatch.setattr(people_module, "_hasher", lambda: quick)
    people_module._nobody.cache_clear()
    yield
    people_module._nobody.cache_clear()


@pytest.fixture
def gate(tmp_path: Path, clock: Clock) -> Gate:
    people = People(tmp_path / "people.json", clock)
    return Gate((HOST,), people, Sessions(tmp_path / "sessions.json", people, clock), Brake(clock))


def asked(line: OpenLine, gate: Gate) -> TestClient:
    return TestClient(create_app(line, gate), base_url=f"https://{HOST}:8471", follow_redirects=False)


def token(page: str) -> str:
    found = re.search(r'name="token" value="([0-9a-f]{64})"', page)
    assert found is not None, "the form carries its token"
    return found[1]


def send(client: TestClient, path: str, **fields: str) -> object:
    return client.post(path, data={**fields, "token": token(client.get(path).text)})


def entered(line: OpenLine, gate: Gate, role: str, name: str = "") -> TestClient:
    name = name or f"Person {role}"
    if gate.people.find(name) is None:
        gate.people.add(name, role)
        gate.people.passcode(name, SECRET)
    client = asked(line, gate)
    answer = send(client, "/login", name=name, passcode=SECRET)
    assert answer.status_code == 303, answer.text
    return client


def test_nothing_is_shown_before_the_login(line: OpenLine, gate: Gate) -> None:
    client = asked(line, gate)
    plan = line.now().plan
    assert client.get("/").headers["location"] == "/login"
    assert client.get("/set/hedge?trip_force=1").headers["location"] == "/login?next=%2Fset%2Fhedge%3Ftrip_force%3D1"
    app = create_app(line, gate)
    for way, path in [*changing(app), *(("GET", path) for path in walked(app))]:
        answer = client.request(way, path)
        assert plan.line.name not in answer.text and "Hedge" not in answer.text, f"{way} {path}"
        assert is_open(path) or answer.status_code in (303, 401), f"{way} {path}: {answer.status_code}"
    assert OPEN == ("/login", "/invited", "/style.css", "/icon.svg", "/field"), "what is open shows nothing of a line"
    assert OPEN_BELOW == ("/fonts/", "/field/")
    problem = client.get("/api/plan")
    assert problem.status_code == 401 and problem.headers["content-type"] == "application/problem+json"


def test_an_invitation_makes_a_login(line: OpenLine, gate: Gate) -> None:
    code = gate.people.add("Wren", "helper")
    client = asked(line, gate)
    assert send(client, "/login", name="Wren", passcode="").status_code == 403
    assert send(client, "/invited", name="Wren", code="WRONG", passcode=SECRET).status_code == 403
    short = send(client, "/invited", name="Wren", code=code, passcode="short")
    assert short.status_code == 403 and "too short" in short.text and "short</" not in short.text
    done = send(client, "/invited", name="wren", code=code.lower().replace("-", " "), passcode=SECRET)
    assert done.status_code == 303 and done.headers["location"] == "/"
    page = client.get("/").text
    assert "Wren, helper" in page and line.now().plan.line.name in page
    again = asked(line, gate)
    assert send(again, "/invited", name="Wren", code=code, passcode=SECRET).status_code == 403, "works once"
    assert send(again, "/login", name="WREN", passcode=SECRET).status_code == 303


def test_an_invitation_ends(gate: Gate, clock: Clock) -> None:
    code = gate.people.add("Wren", "helper")
    clock.now += INVITED_FOR + 1
    assert not gate.people.redeem("Wren", code, SECRET)
    assert gate.people.check("Wren", "") is None
    code = gate.people.invite("Wren")
    assert gate.people.redeem("Wren", code, SECRET)


def test_the_cookie_is_kept_from_scripts_and_other_sites(line: OpenLine, gate: Gate) -> None:
    gate.people.add("Wren", "helper")
    gate.people.passcode("Wren", SECRET)
    client = asked(line, gate)
    cookies = [client.get("/login").headers["set-cookie"], send(client, "/login", name="Wren", passcode=SECRET)]
    cookies[1:] = [line for line in cookies[1].headers.get_list("set-cookie") if f"{COOKIE}=" in line]
    assert len(cookies) == 2
    for cookie in cookies:
        assert cookie.startswith("__Host-setwright")
        for flag in ("httponly", "secure", "samesite=strict", "path=/"):
            assert flag in cookie.lower(), cookie
        assert "domain" not in cookie.lower()
    assert client.get("/").headers["cache-control"] == "no-store"


def test_sessions_end_by_themselves_by_logout_and_by_a_change(line: OpenLine, gate: Gate, clock: Clock) -> None:
    client = entered(line, gate, "helper")
    assert client.get("/").status_code == 200
    clock.now += IDLE - 1
    assert client.get("/").status_code == 200, "used in time"
    clock.now += IDLE + 1
    assert client.get("/").status_code == 303, "idle for too long"
    client, begun = entered(line, gate, "helper"), clock.now
    while clock.now - begun + IDLE / 2 < WHOLE:
        clock.now += IDLE / 2
        assert client.get("/").status_code == 200
    clock.now = begun + WHOLE
    assert client.get("/").status_code == 303, "in use, and over all the same"
    client = entered(line, gate, "helper")
    kept = client.cookies[COOKIE]
    assert send(client, "/logout").status_code == 303
    client.cookies.set(COOKIE, kept, domain=HOST)
    assert client.get("/").status_code == 303, "a copy of the cookie is worth nothing after the logout"
    for change in (
        lambda: gate.people.role("Person helper", "viewer"),
        lambda: gate.people.passcode("Person helper", SECRET + " two"),
        lambda: gate.people.invite("Person helper"),
        lambda: gate.people.remove("Person helper"),
    ):
        gate.people.passcode("Person helper", SECRET)
        client = entered(line, gate, "helper")
        change()
        assert client.get("/").status_code == 303, "changed: log in again"


def test_a_restart_keeps_the_logins_but_no_token(line: OpenLine, gate: Gate, tmp_path: Path) -> None:
    client = entered(line, gate, "helper")
    kept = client.cookies[COOKIE]
    for place in ("people.json", "sessions.json"):
        text = (tmp_path / place).read_text(encoding="utf-8")
        assert kept not in text and SECRET not in text
        assert stat.S_IMODE((tmp_path / place).stat().st_mode) == 0o600
    assert len(kept) >= 43, "256 bits"
    later = Gate((HOST,), gate.people, Sessions(gate.sessions.place, gate.people, gate.people.clock))
    again = asked(line, later)
    again.cookies.set(COOKIE, kept, domain=HOST)
    assert again.get("/").status_code == 200
    gate.sessions.place.write_text("[broken", encoding="utf-8")
    assert Sessions(gate.sessions.place, gate.people).whose(kept) is None


def test_guessing_waits_longer_and_longer(line: OpenLine, gate: Gate, clock: Clock) -> None:
    gate.people.add("Wren", "helper")
    gate.people.passcode("Wren", SECRET)
    client = asked(line, gate)
    for _ in range(FREE["name"]):
        assert send(client, "/login", name="Wren", passcode="wrong").status_code == 403
    waits = []
    for _ in range(12):
        held = send(client, "/login", name="Wren", passcode=SECRET)
        assert held.status_code == 429, "not even looked at"
        waits.append(int(held.headers["retry-after"]))
        clock.now += waits[-1] + 1
        gate.brake._seen["address", "testclient"] = (0, clock.now)
        assert send(client, "/login", name="Wren", passcode="wrong").status_code == 403
    assert waits == sorted(waits) and waits[0] <= 2 and waits[-1] == LONGEST_WAIT
    clock.now += LONGEST_WAIT + 1
    assert send(client, "/login", name="Wren", passcode=SECRET).status_code == 303
    fresh = asked(line, gate)
    assert send(fresh, "/login", name="Wren", passcode="wrong").status_code == 403, "counted anew"


def test_one_address_cannot_try_many_names(line: OpenLine, gate: Gate) -> None:
    client = asked(line, gate)
    answers = [send(client, "/login", name=f"Nobody {k}", passcode="x").status_code for k in range(20)]
    assert answers == [403] * FREE["address"] + [429] * (20 - FREE["address"])


def test_the_brake_forgets_and_stays_small(clock: Clock) -> None:
    brake = Brake(clock)
    for k in range(12000):
        brake.begin(f"name {k}", f"10.0.{k // 200}.{k % 200}")
    assert len(brake._seen) < 6000
    for _ in range(30):
        brake.begin("Wren", "10.9.9.9")
    assert brake.begin("Wren", "10.9.9.8") > 0
    clock.now += 7200
    assert brake.begin("Wren", "10.9.9.9") == 0


def test_an_unknown_name_is_looked_at_like_a_known_one(gate: Gate, monkeypatch: pytest.MonkeyPatch) -> None:
    gate.people.add("Wren", "helper")
    gate.people.passcode("Wren", SECRET)
    gate.people.add("Newcomer", "helper")
    looked: list[str] = []
    real = people_module._hasher()

    class Seen:
        def verify(self, kept: str, given: str) -> bool:
            looked.append(kept.rsplit("$", 2)[0])
            return real.verify(kept, given)

        def hash(self, given: str) -> str:
            return real.hash(given)

    monkeypatch.setattr(people_module, "_hasher", lambda: Seen())
    assert [gate.people.check(name, "guess") for name in ("Wren", "Nobody", "Newcomer")] == [None] * 3
    assert len(looked) == 3 and len(set(looked)) == 1, "one look each, at the same cost"


@pytest.mark.parametrize("role", ACTS)
def test_a_role_may_what_it_may(line: OpenLine, gate: Gate, role: str) -> None:
    client = entered(line, gate, role)
    keeps = "keep" in ACTS[role]
    assert client.get("/people").status_code == (200 if keeps else 403)
    page = client.get("/logout").text
    answer = client.post("/people", data={"act": "add", "name": "Lark", "role": "trapper", "token": token(page)})
    assert answer.status_code == (200 if keeps else 403)
    assert (gate.people.find("Lark") is not None) == keeps


def test_people_are_kept_on_their_page(line: OpenLine, gate: Gate) -> None:
    client = entered(line, gate, "trapper", "Wren")
    made = send(client, "/people", act="add", name="Lark O'Hara", role="viewer")
    code = re.search(r'codeword">([A-Z0-9-]+)<', made.text)
    assert code is not None and len(code[1].replace("-", "")) == CODE_LENGTH
    assert code[1] not in client.get("/people").text, "shown once"
    assert gate.people.redeem("Lark O'Hara", code[1], SECRET)
    assert send(client, "/people", act="role", name="Lark O'Hara", role="instructor").status_code == 303
    assert gate.people.find("lark o'hara").role == "instructor"
    own = send(client, "/people", act="remove", name="Wren")
    assert own.status_code == 422 and "your own account" in own.text
    for act, name, role in (("add", "Lark O'Hara", "viewer"), ("add", "<b>", "viewer"), ("add", "X", "king"),
                            ("remove", "Nobody", ""), ("burn", "Wren", "")):  # fmt: skip
        refused = send(client, "/people", act=act, name=name, role=role)
        assert refused.status_code == 422 and "Not done:" in refused.text and "<b>Not done" in refused.text
        assert 'value="&lt;b&gt;"' in refused.text or name != "<b>"
    assert send(client, "/people", act="remove", name="Lark O'Hara").status_code == 303
    assert [one.name for one in gate.people.all()] == ["Wren"]


def test_at_the_machine_itself_nobody_logs_in(
    client: TestClient, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("SETWRIGHT_DATA", str(tmp_path / "data"))
    assert client.get("/login").status_code == 404 and client.get("/logout").status_code == 404
    assert "Nobody can log in yet" in client.get("/people").text
    made = send(client, "/people", act="add", name="Wren", role="helper")
    assert "Code for Wren" in made.text
    folders = [path for path in (tmp_path / "data").rglob("*") if path.is_dir()]
    assert folders and all(stat.S_IMODE(path.stat().st_mode) == 0o700 for path in folders)


def test_a_login_form_from_elsewhere_is_refused(line: OpenLine, gate: Gate) -> None:
    gate.people.add("Wren", "helper")
    gate.people.passcode("Wren", SECRET)
    mine, other = asked(line, gate), asked(line, gate)
    fields = {"name": "Wren", "passcode": SECRET, "token": token(mine.get("/login").text)}
    other.get("/login")
    assert other.post("/login", data=fields).status_code == 403, "bound to another browser"
    assert asked(line, gate).post("/login", data=fields).status_code == 403
    odd = mine.post("/login", data=fields, headers={"Sec-Fetch-Site": "cross-site"})
    assert odd.status_code == 403
    assert mine.post("/login", data=fields, headers={"Sec-Fetch-Site": "same-origin"}).status_code == 303


def test_the_login_leads_nowhere_else() -> None:
    assert way_back("/set/hedge?springs=2") == "/set/hedge?springs=2"
    for asked_for in ("//evil.example", "/\\evil.example", "https://evil.example", "javascript:alert(1)", "", "\\\\x",
                      "/a\r\nSet-Cookie: x=1", "/login", "/" + "a" * 500):  # fmt: skip
        assert way_back(asked_for) == "/"


def test_only_under_its_own_names(line: OpenLine, gate: Gate) -> None:
    client = asked(line, gate)
    for host in ("127.0.0.1", "evil.example", "192.168.7.6", f"{HOST}.example", ""):
        assert client.get("/login", headers={"Host": host}).status_code == 403
    assert client.get("/login", headers={"Host": f"{HOST}:8471"}).status_code == 200


@pytest.mark.parametrize("name", ["", " ", "a" * 41, "<script>", "a\nb", "a\x00b", "…", "a/b", "-'"])
def test_what_cannot_be_a_name(name: str) -> None:
    if name != "a\nb":
        with pytest.raises(BadInput, match="name"):
            name_of(name)
    else:
        assert name_of(name) == "a b"


@pytest.mark.parametrize("passcode", ["kettle 7", "aaaaaaaaaaaa", "abcdefghijkl", "1234567890", "password12",
                                      "Wren Wren1", "abababababab", "x" * 201])  # fmt: skip
def test_what_is_guessed_first_is_refused(passcode: str) -> None:
    with pytest.raises(BadInput) as told:
        fit(passcode, "Wren Wren")
    assert passcode not in str(told.value), "a passcode is never repeated"


def test_a_file_of_people_that_is_broken_lets_nobody_in(line: OpenLine, gate: Gate) -> None:
    client = entered(line, gate, "helper")
    for text in ("[1", "{}", '{"schema": "setwright/people/1", "people": {"wren": {"odd": 1}}}', "[" * 100_000):
        gate.people.place.write_text(text, encoding="utf-8")
        answer = client.get("/")
        assert answer.status_code == 500 and "look at the machine" in answer.text
        assert str(gate.people.place.parent) not in answer.text
        assert line.now().plan.line.name not in answer.text
    gate.people.place.write_text(json.dumps({"schema": "setwright/people/1", "people": {}}), encoding="utf-8")
    assert client.get("/").status_code == 303
