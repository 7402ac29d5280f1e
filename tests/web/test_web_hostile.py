"""What is sent to hurt: forms from elsewhere, bodies without end, names that climb, script in words of a book."""

from __future__ import annotations

import asyncio
import json
import re
import shutil
import threading
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.sync_api import Browser
from ruamel.yaml import YAML
from starlette.exceptions import HTTPException
from starlette.testclient import TestClient

from setwright.desk.log import add
from setwright.web import bounds
from setwright.web.app import POLICY, create_app
from setwright.web.bounds import DEEPEST, USUAL, counted, depth_of, most_bytes
from setwright.web.open_line import OpenLine
from setwright.web.serve import bound, server_of
from web.hostile import EVIL, SHOWN, made_hostile
from web_walk import asked as walked
from web_walk import changing, filled, routes

CLIMBING = (
    "..", "../line-book.yaml", "....//line-book.yaml", "/etc/passwd", "..\\line-book.yaml", "line-book.yaml",
    "%2e%2e/line-book.yaml", "a\x00b", "~", "C:\\x", "file:///etc/passwd", "a" * 300, "\u202egnp", "CON",
)  # fmt: skip


@pytest.fixture(scope="module")
def own(book: Path, tmp_path_factory: pytest.TempPathFactory) -> OpenLine:
    found = OpenLine(Path(shutil.copy(book, tmp_path_factory.mktemp("own") / "line-book.yaml")), draws=50)
    found.now()
    return found


@pytest.fixture(scope="module")
def here(own: OpenLine) -> TestClient:
    return TestClient(create_app(own), base_url="http://127.0.0.1:8470", follow_redirects=False)


def state(line: OpenLine) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in line.book.parent.iterdir() if path.is_file()}


def token(client: TestClient) -> str:
    return str(client.get("/api/session").json()["token"])


def test_every_change_needs_the_token_of_this_session(here: TestClient, own: OpenLine) -> None:
    before, other = state(own), token(TestClient(create_app(own), base_url="http://127.0.0.1:8470"))
    for method, path in changing(here.app):
        for fields in ({}, {"token": ""}, {"token": other}, {"token": "0" * 64}):
            for way in ({"data": fields}, {"files": {"file": ("a.gpx", b"x")}, "data": fields}, {"json": fields}):
                answer = here.request(method, path, **way)
                assert answer.status_code == 403, f"{method} {path} {fields} {answer.status_code}"
        for headers in ({"X-Token": other}, {"X-Token": token(here), "Sec-Fetch-Site": "cross-site"},
                        {"X-Token": token(here), "Sec-Fetch-Site": "same-site"}):  # fmt: skip
            assert here.request(method, path, headers=headers).status_code == 403, f"{method} {path} {headers}"
        plain = here.request(method, path, content=f"token={token(here)}", headers={"Content-Type": "text/plain"})
        assert plain.status_code == 403, "a form of a kind that needs no asking before"
    assert state(own) == before, "nothing was written"


def test_asking_changes_nothing(here: TestClient, own: OpenLine) -> None:
    before = state(own)
    for path in walked(here.app):
        assert here.get(path).status_code < 500, path
        here.head(path)
    assert state(own) == before


def test_a_body_without_end_is_refused_before_it_is_read(here: TestClient, own: OpenLine) -> None:
    before = state(own)
    for method, path in changing(here.app):
        most = most_bytes(path)
        told = here.request(method, path, content=b"x", headers={"Content-Length": str(most + 1)})
        assert told.status_code == 413, path
    for kind in ("application/x-www-form-urlencoded", "application/json"):
        endless = (b"a" * 65536 for _ in range(USUAL // 65536 + 2))
        untold = here.post("/people", content=endless, headers={"Content-Type": kind})
        assert untold.status_code == 413, "counted while it comes"
    for length in ("-1", "abc", "1e9", "9" * 400):
        assert here.post("/people", content=b"", headers={"Content-Length": length}).status_code == 413
    assert here.get("/?" + "a" * 9000).status_code == 414
    assert state(own) == before


def test_depth_is_told_without_building() -> None:
    assert depth_of(b'{"a": [1, {"b": "[[[[{{{{"}]}') == 3
    assert depth_of(b"[" * 500 + b"]" * 500) == 500
    assert depth_of(b'"\\"[[["') == 0 and depth_of(b"") == 0
    begun = time.perf_counter()
    depth_of(b'["' * 500_000)
    depth_of(b'\\"' * 1_000_000)
    assert time.perf_counter() - begun < 20


@pytest.mark.parametrize("deep", [b"[" * 100_000, b'{"a":' * 20_000, b'{"events":' + b"[" * (DEEPEST + 1)])
def test_json_that_nests_without_end_is_refused(here: TestClient, deep: bytes) -> None:
    answer = here.post(
        "/api/events", content=deep, headers={"X-Token": token(here), "Content-Type": "application/json"}
    )
    assert answer.status_code == 400 and answer.headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize(
    "body", [b"", b"{", b"\xff\xfe", b"NaN", b"1" * 6000, b'{"events": NaN}', b"[1e999]", b"\x00"]
)
def test_json_that_is_none_is_refused(here: TestClient, body: bytes) -> None:
    answer = here.post(
        "/api/events", content=body, headers={"X-Token": token(here), "Content-Type": "application/json"}
    )
    assert answer.status_code in (400, 422) and answer.headers["content-type"] == "application/problem+json"


def test_a_body_that_trickles_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bounds, "PATIENCE", 0.2)

    async def trickle() -> dict[str, object]:
        await asyncio.sleep(0.06)
        return {"type": "http.request", "body": b"a", "more_body": True}

    took: list[float] = []

    async def taken() -> None:
        take = counted(trickle, 1000)
        while True:
            await take()
            took.append(time.monotonic())

    def apart() -> int:
        with pytest.raises(HTTPException) as told:
            asyncio.run(taken())
        return told.value.status_code

    # A thread of its own: the browser of other tests keeps a loop running in this one.
    with ThreadPoolExecutor(1) as one:
        status = one.submit(apart).result()
    assert status == 408 and 0 < len(took) < 20


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nd: [*c, *c]\n", "anchors"),
        ("schema: !!python/object/apply:os.system ['true']\n", "tags"),
        ("a: " + "[" * 3000, ""),
        ("a: {" * 500, ""),
        ("schema: setwright/line-book/1\nline: {name: \"a\\0b\"}\n", "control"),
    ],
)  # fmt: skip
def test_yaml_that_swells_or_runs_is_refused(here: TestClient, own: OpenLine, text: str, words: str) -> None:
    before = state(own)
    page = here.get("/edit/text/book").text
    seen = re.search(r'name="seen" value="([^"]*)"', page)
    assert seen is not None
    answer = here.post("/edit/text/book", data={"token": token(here), "seen": seen[1], "text": text})
    assert answer.status_code in (400, 409, 422) and words in answer.text
    assert state(own) == before


def test_names_do_not_climb(here: TestClient) -> None:
    tried = 0
    for path, methods in routes(here.app):
        if "GET" not in methods or "{" not in path:
            continue
        for name in CLIMBING:
            for written in (quote(name, safe=""), quote(name, safe="/")):
                answer = here.get(re.sub(r"{[^}]*}", lambda _, w=written: w, path))
                tried += 1
                assert answer.status_code < 500, f"{path} {name!r}: {answer.text[:200]}"
                assert "root:" not in answer.text and "setwright/line-book/1" not in answer.text, f"{path} {name!r}"
    assert tried > 200


def test_no_header_is_put_in_from_outside(here: TestClient) -> None:
    bad = "%0d%0aX-Bad:%201%0d%0a"
    for path, methods in routes(here.app):
        if "GET" not in methods:
            continue
        for one in (
            *(f"{p}?next=/{bad}&to=/{bad}&what_if={bad}" for p in filled(path)),
            re.sub(r"{[^}]*}", bad, path),
        ):
            answer = here.get(one)
            assert "x-bad" not in answer.headers and answer.status_code < 500, one
    for way in ("//evil.example", "https://evil.example", "/\\evil.example", "javascript:alert(1)"):
        for path in ("/planned?to=", "/login?next="):
            place = here.get(path + quote(way, safe="")).headers.get("location", "/")
            assert place.startswith("/") and not place.startswith(("//", "/\\")), f"{path} {way}"


def evil_book(book: Path, folder: Path) -> Path:
    """The example with hostile words wherever a person may write what he likes."""
    yaml = YAML()
    data = yaml.load(book.read_text(encoding="utf-8"))
    data["line"]["name"], data["line"]["place"] = EVIL, EVIL
    data["law"]["licence"] = EVIL
    for trap in data["outfit"]["traps"]:
        trap["note"], trap["tag"] = EVIL, EVIL
    data["conditions"]["soil_temperature"]["source"] = EVIL
    for site in data["sites"]:
        site["name"], site["note"] = EVIL, EVIL
    place = folder / "line-book.yaml"
    with place.open("w", encoding="utf-8") as stream:
        yaml.dump(data, stream)
    return place


@pytest.fixture(scope="module")
def evil(book: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, OpenLine]]:
    place = evil_book(book, tmp_path_factory.mktemp("evil"))
    add(place, ["2s", f"note={EVIL}"], visitor=EVIL[:60], at="2026-11-20 15:30")
    line = OpenLine(place, draws=50)
    line.now()
    client = TestClient(create_app(line), base_url="http://127.0.0.1", follow_redirects=False)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("SETWRIGHT_DATA", str(tmp_path_factory.mktemp("data")))
        # Planned once, when all of it is typed.
        stamp = line.stamp()
        patch.setattr(OpenLine, "stamp", lambda _: stamp)
        patch.setattr(OpenLine, "begin", lambda _: None)
        made_hostile(line, client)
    line.now()
    with bound(0) as made:
        server = server_of(line)
        worker = threading.Thread(target=server.run, kwargs={"sockets": [made]}, daemon=True)
        worker.start()
        until = time.monotonic() + 30
        while not server.started and time.monotonic() < until:
            time.sleep(0.05)
        yield f"http://127.0.0.1:{made.getsockname()[1]}", line
        server.should_exit = True
        worker.join(10)


def test_script_in_every_word_of_a_book_stays_words(evil: tuple[str, OpenLine], browser: Browser) -> None:
    address, line = evil
    context = browser.new_context()
    page = context.new_page()
    page.add_init_script(
        "window.broken=[];document.addEventListener('securitypolicyviolation',"
        "e=>window.broken.push(e.violatedDirective+' '+e.blockedURI+' '+e.sample))"
    )
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("dialog", lambda dialog: (faults.append("dialog"), dialog.dismiss()))
    client, shown = TestClient(create_app(line), base_url="http://127.0.0.1"), 0
    escaped = 0
    for path in (*walked(create_app(line)), *SHOWN):
        if path.endswith((".pdf", ".csv", ".json", ".gpx", ".geojson", ".js", ".css", ".woff2")):
            continue
        answer = client.get(path.partition("#")[0])
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        assert path not in SHOWN or answer.status_code == 200, path
        escaped += "&lt;img src=x" in answer.text
        assert "<img src=x" not in answer.text and "<script>hurt" not in answer.text, path
        assert path.startswith("/files/") or answer.headers["content-security-policy"] == POLICY, path
        page.goto(address + path, wait_until="load")
        shown += 1
        told = page.evaluate(
            "({hurt: window.hurt ?? null, broken: window.broken, odd: [...document.querySelectorAll("
            "'img[src=x],svg[onload],script:not([src]),[onerror],[onload],[onclick]')].map(e => e.outerHTML)})"
        )
        assert told == {"hurt": None, "broken": [], "odd": []}, path
    assert faults == [] and shown > 20
    assert escaped > 10, "the words are on the pages"
    context.close()


def test_hostile_words_in_json_are_words(evil: tuple[str, OpenLine]) -> None:
    _, line = evil
    client = TestClient(create_app(line), base_url="http://127.0.0.1")
    for path in walked(client.app):
        answer = client.get(path)
        if "json" in answer.headers.get("content-type", ""):
            json.loads(answer.text)
            assert answer.headers["x-content-type-options"] == "nosniff"
        if path.endswith((".gpx", ".csv")):
            assert "<script>" not in answer.text or path.endswith(".csv")
