"""The line built and changed through forms: what is kept, what is refused and shown again, what is undone."""

from __future__ import annotations

import io
import re
import shutil
import time
import zipfile
from pathlib import Path

import pytest
from httpx import Response
from starlette.testclient import TestClient

from setwright.desk.log import add
from setwright.line.book import read_book
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine

Files = dict[str, tuple[str, bytes | str]] | None
EXAMPLE = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"
EVIL = [
    "<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "{{ 7 * 7 }}", "'; drop table",
    "عربى مقلوب\u202eabc",
    "🦫 beaver", "x" * 120, "a: b # c", "- [", "&amp;", "%3Cb%3E", "\\x3cb\\x3e",
]  # fmt: skip


class Desk:
    """A browser without script: opens pages and sends forms with their token and state."""

    def __init__(self, book: Path) -> None:
        self.book, self.line = book, OpenLine(book, draws=50)
        self.client = TestClient(create_app(self.line), base_url="http://localhost")

    def open(self, path: str) -> str:
        """A page that must be there."""
        answer = self.client.get(path)
        assert answer.status_code == 200, answer.text
        return answer.text

    def hidden(self, page: str) -> dict[str, str]:
        """Token and state of the first form of a page."""
        found = {name: re.search(rf'name="{name}" value="([^"]*)"', page) for name in ("token", "seen")}
        return {name: match[1] for name, match in found.items() if match}

    def send(self, path: str, words: dict[str, str], *, page: str = "", files: Files = None) -> Response:
        """A form, sent from a page that was opened for it."""
        told = {**self.hidden(self.open(page or path)), **words}
        return self.client.post(path, data=told, files=files, follow_redirects=False)


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(Path(shutil.copy(EXAMPLE, tmp_path / "line-book.yaml")))


def test_a_change_is_kept_and_undone_and_made_again(desk: Desk) -> None:
    before = desk.book.read_bytes()
    answer = desk.send("/edit/site/hedge", {"cover.depth": "1/2 in", "note": "yes"})
    assert answer.status_code == 303 and answer.headers["location"] == "/edit/site/hedge?kept=1"
    site = next(one for one in read_book(desk.book)[0].sites if one.id == "hedge")
    assert site.note == "yes" and site.cover is not None and site.cover.depth is not None
    assert "Kept." in desk.open("/edit/site/hedge?kept=1")
    page = desk.open("/edit")
    assert "Undo: changed Hedge beyond the brook" in page and "Do again" not in page
    after = desk.book.read_bytes()
    assert desk.send("/edit/undo", {}, page="/edit").status_code == 303
    assert desk.book.read_bytes() == before and "Do again: changed Hedge" in desk.open("/edit")
    assert desk.send("/edit/redo", {}, page="/edit").status_code == 303
    assert desk.book.read_bytes() == after


def test_a_refused_form_keeps_what_was_typed_and_marks_the_field(desk: Desk) -> None:
    before = desk.book.read_bytes()
    answer = desk.send("/edit/site/hedge", {"cover.depth": "a bit", "name": "Typed <b>"})
    assert answer.status_code == 422 and desk.book.read_bytes() == before
    assert 'value="a bit"' in answer.text and 'value="Typed &lt;b&gt;"' in answer.text
    assert 'aria-invalid="true" aria-describedby="wrong-cover.depth"' in answer.text
    assert re.search(r'id="wrong-cover.depth"><b>Not kept:</b> this is not a number', answer.text)
    answer = desk.send("/edit/site", {"name": "No target", "medium": "land"})
    assert answer.status_code == 422 and 'id="wrong-target"' in answer.text and "No target" in answer.text


def test_two_windows(desk: Desk) -> None:
    first, second = (desk.hidden(desk.open("/edit/site/hedge")) for _ in range(2))
    post = desk.client.post
    assert post("/edit/site/hedge", data={**first, "note": "one"}, follow_redirects=False).status_code == 303
    answer = post("/edit/site/hedge", data={**second, "note": "two"})
    assert answer.status_code == 409 and "sites hedge note: nothing became one" in answer.text
    assert "\ntwo</textarea>" in answer.text, "what was typed stays"
    again = {**desk.hidden(answer.text), "note": "two"}
    assert post("/edit/site/hedge", data=again, follow_redirects=False).status_code == 303
    assert "note: two" in desk.book.read_text(encoding="utf-8")


@pytest.mark.parametrize("evil", EVIL)
def test_free_text_stays_text_in_every_field(desk: Desk, evil: str) -> None:
    assert desk.send("/edit/line", {"line.name": evil, "line.place": evil}).status_code == 303
    assert desk.send("/edit/site/hedge", {"name": evil, "note": evil}).status_code == 303
    assert desk.send("/edit/outfit/traps/A-01", {"note": evil}).status_code == 303
    head = read_book(desk.book)[0]
    assert head.line.name == evil and head.line.place == evil
    assert {one.note for one in head.sites if one.id == "hedge"} == {evil}
    for path in ("/edit", "/edit/line", "/edit/site/hedge", "/edit/outfit/traps/A-01", "/edit/text/book",
                 "/edit/text/sites/hedge", "/line", "/set/hedge", "/", "/settings"):  # fmt: skip
        page = desk.open(path)
        assert "<script>alert" not in page and "<img src=x" not in page and "49" not in page.split("draws")[0][:300]


@pytest.mark.parametrize(
    "words", ["a\x00b", "\x1b[31m", "\x08", "x" * 4001, "\ud800".encode("utf-8", "replace").decode() * 5000]
)
def test_text_that_no_file_may_hold_is_refused_with_words(desk: Desk, words: str) -> None:
    before = desk.book.read_bytes()
    answer = desk.send("/edit/site/hedge", {"note": words})
    assert answer.status_code == 422 and 'id="wrong-note"' in answer.text and "Traceback" not in answer.text
    assert desk.book.read_bytes() == before


BOMB = "a: &a [x, x, x]\nb: &b [*a, *a, *a]\nc: [*b, *b, *b]\n"


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (BOMB, "anchors and aliases"), ("{", "not readable as YAML"), ("- 1\n", "named fields"), ("", ""),
        ("schema: setwright/line-book/1\nline: !!python/object/apply:os.system [ls]\n", "tags are not used"),
        ("a:" + " [" * 60 + "]" * 60 + "\n", "nested too deeply"),
        ("schema: setwright/line-book/1\nline: {nme: x}\n", "Line 2:"),
    ],
)  # fmt: skip
def test_a_book_as_text_is_kept_only_whole(desk: Desk, text: str, told: str) -> None:
    before = desk.book.read_bytes()
    answer = desk.send("/edit/text/book", {"text": text})
    assert answer.status_code == 422 and told in answer.text and desk.book.read_bytes() == before
    assert "Traceback" not in answer.text and "a fault of the program" not in answer.text


def test_a_part_as_text(desk: Desk) -> None:
    page = desk.open("/edit/text/sites/hedge")
    text = re.search(r"<textarea[^>]*>\n(.*?)</textarea>", page, re.DOTALL)
    assert text is not None and text[1].startswith("id: hedge")
    answer = desk.send("/edit/text/sites/hedge", {"text": text[1].replace("&#34;", '"') + "check_minutes: 9\n"})
    assert answer.status_code == 303 and "check_minutes: 9" in desk.book.read_text(encoding="utf-8")
    answer = desk.send("/edit/text/sites/hedge", {"text": "id: hedge\nnme: x\nname: y\nmedium: land\ntarget: mink\n"})
    assert answer.status_code == 422 and "not known here" in answer.text


def test_sites_traps_animals_and_covers(desk: Desk) -> None:
    answer = desk.send("/edit/site", {"name": "Near the Öd mill", "medium": "land", "target": "red_fox",
                                      "position": "N36 6.372 W79 56.526", "sign.0.animal": "red_fox",
                                      "sign.0.level": "fresh", "ground.layers.0.soil": "loam"})  # fmt: skip
    assert answer.headers["location"] == "/edit/site/near-the-d-mill?kept=1"
    assert desk.send("/edit/site/near-the-d-mill/move", {"position": "36.2, -79.9"}, page="/edit").status_code == 303
    assert desk.send("/edit/outfit/traps", {"id": "Z-01", "pattern": "coil-2", "count": "4"}).status_code == 303
    assert desk.send("/edit/outfit/traps/Z-02", {"springs": "4", "only": "yes"}).status_code == 303
    assert desk.send("/edit/outfit/traps/Z-04/retire", {}, page="/edit").status_code == 303
    assert desk.send("/edit/covers", {"outfit.boards": "7"}).status_code == 303
    assert desk.send("/edit/animal/beaver", {"mass": "45 lb"}).status_code == 303
    assert desk.send("/edit/site/near-the-d-mill", {"rig.trap": "Z-02"}).status_code == 303
    book, _ = read_book(desk.book)
    site = book.sites[-1]
    assert site.position is not None and (site.position.latitude, site.rig is not None) == (36.2, True)
    assert [(t.id, t.count, t.springs) for t in book.outfit.traps if t.id[0] == "Z"] == [
        ("Z-01", 1, None), ("Z-02", 1, 4), ("Z-03", 1, None)
    ]  # fmt: skip
    refused = desk.send("/edit/outfit/traps/Z-02/retire", {}, page="/edit")
    assert refused.status_code == 422 and "it stands at a site" in refused.text
    assert desk.send("/edit/site/near-the-d-mill/clear", {}, page="/edit").status_code == 303
    assert desk.send("/edit/site/near-the-d-mill/remove", {}, page="/edit").status_code == 303
    assert "near-the" not in desk.book.read_text(encoding="utf-8")
    for _ in range(10):
        assert desk.send("/edit/undo", {}, page="/edit").status_code == 303
    assert desk.book.read_bytes() == EXAMPLE.read_bytes()


@pytest.mark.parametrize(
    "path", ["/edit/site/nowhere", "/edit/outfit/boats", "/edit/outfit/traps/X-99", "/edit/animal/unicorn",
             "/edit/text/secrets", "/settings/packs/nothing", "/settings/packs/..%2Fline-book.yaml", "/leaflet/x.js"],
)  # fmt: skip
def test_what_is_not_there(desk: Desk, path: str) -> None:
    answer = desk.client.get(path)
    assert answer.status_code in (404, 422) and "Traceback" not in answer.text


def test_every_form_needs_its_token(desk: Desk) -> None:
    before = sorted(path.name for path in desk.book.parent.iterdir())
    for path in ("/edit/line", "/edit/site", "/edit/site/hedge", "/edit/site/hedge/remove", "/edit/undo",
                 "/edit/outfit/traps", "/edit/text/book", "/settings/units", "/settings/packs", "/settings/places",
                 "/settings/book", "/settings/log", "/settings/packs/orrin/copy", "/start/demo",
                 "/start/line"):  # fmt: skip
        assert desk.client.post(path, data={"line.name": "x"}).status_code == 403, path
    assert sorted(path.name for path in desk.book.parent.iterdir()) == before


GPX = (
    '<?xml version="1.0"?><gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1">'
    '<wpt lat="36.1" lon="-79.9"><name>Bend &lt;script&gt;</name></wpt><wpt lat="36.2" lon="-79.8"/></gpx>'
)


def test_places_from_a_file(desk: Desk) -> None:
    words = {"medium": "land", "target": "red_fox"}
    answer = desk.send("/settings/places", words, page="/settings", files={"file": ("a.gpx", GPX)})
    assert answer.status_code == 303
    assert [one.name for one in read_book(desk.book)[0].sites[-2:]] == ["Bend <script>", "Place 2"]
    bomb = '<!DOCTYPE x [<!ENTITY a "b">]><gpx>&a;</gpx>'
    for content in (bomb, "", "<gpx", "x" * 3_000_000):
        refused = desk.send("/settings/places", words, page="/settings", files={"file": ("a.gpx", content)})
        assert refused.status_code == 422 and "Not kept:" in refused.text, content[:40]
    found = desk.client.get("/api/line.geojson")
    assert found.headers["content-type"] == "application/geo+json"
    assert [f["properties"]["name"] for f in found.json()["features"]][-1] == "Place 2"


def test_settings(desk: Desk) -> None:
    assert " lbf" in desk.open("/set/hedge")
    assert desk.send("/settings/units", {"units": "metric"}, page="/settings").status_code == 303
    page = desk.open("/set/hedge")
    assert " lbf" not in page.split('id="changed"')[1] and re.search(r"\d N\b", page)
    assert " lbf" not in desk.open("/bench/A-01").split("</form>")[1]
    answer = desk.send("/settings/units", {"units": "metric", "position_form": "utm"}, page="/settings")
    assert answer.status_code == 303
    before = desk.book.read_text(encoding="utf-8")
    page = desk.open("/edit/site/hedge")
    # 36.1080, -79.9420, as the UTM grid has it to the metre.
    assert 'name="position" value="17 north 595227 3996445"' in page
    same = {"position": "17 north 595227 3996445", "note": "", "medium": "land"}
    assert desk.send("/edit/site/hedge", same).status_code == 303
    assert "latitude: 36.1080, longitude: -79.9420" in before and "latitude: 36.1080" in desk.book.read_text("utf-8")
    assert desk.send("/edit/line", {"line.base": "17 north 595227 3996445"}).status_code == 303
    base = read_book(desk.book)[0].line.base
    assert base is not None and abs(base.latitude - 36.108) < 1e-5 and abs(base.longitude + 79.942) < 1e-5
    refused = desk.send("/edit/site/hedge", {"position": "17 S 595227 3996446"})
    assert refused.status_code == 422 and "write which" in refused.text
    for wrong in ({"units": "metric", "position_form": "paces"},):
        assert desk.send("/settings/units", wrong, page="/settings").status_code == 422
    answer = desk.send("/settings/units", {"units": "furlongs"}, page="/settings")
    assert answer.status_code == 422
    assert desk.send("/settings/packs", {"pack": "sable", "profile": ""}, page="/settings").status_code == 303
    law = read_book(desk.book)[0].law
    assert law.packs == ["sable"] and law.profile is None
    saved = desk.client.get("/settings/book")
    assert saved.content == desk.book.read_bytes() and "attachment" in saved.headers["content-disposition"]
    answer = desk.send("/settings/book", {}, page="/settings", files={"file": ("b.yaml", EXAMPLE.read_bytes())})
    assert answer.status_code == 303 and desk.book.read_bytes() == EXAMPLE.read_bytes()
    answer = desk.send("/settings/book", {}, page="/settings", files={"file": ("b.yaml", b"\xff")})
    assert answer.status_code == 422 and desk.book.read_bytes() == EXAMPLE.read_bytes()


def test_a_copy_of_the_log_and_back(desk: Desk, tmp_path: Path) -> None:
    assert "There is no log yet" in desk.open("/settings")
    add(desk.book, ["1s"])
    copy = desk.client.get("/settings/log")
    assert sorted(zipfile.ZipFile(io.BytesIO(copy.content)).namelist()) == ["log.db", "log.db.sha256"]
    other = Desk(Path(shutil.copy(EXAMPLE, tmp_path / "other.yaml")))
    answer = other.send("/settings/log", {}, page="/settings", files={"file": ("log.zip", copy.content)})
    assert answer.status_code == 303 and other.client.get("/settings/log").status_code == 200
    for broken in (b"", b"PK", copy.content[:-40], copy.content[:200] + b"x" + copy.content[201:]):
        refused = other.send("/settings/log", {}, page="/settings", files={"file": ("log.zip", broken)})
        assert refused.status_code == 422 and "Not kept:" in refused.text


def test_packs_are_copied_written_and_refused_by_line(desk: Desk) -> None:
    page = desk.open("/settings/packs/orrin")
    assert "comes along and stays as it is" in page and "<textarea" not in page and "invented" in page
    answer = desk.send("/settings/packs/orrin/copy", {"new": "my-county"}, page="/settings/packs/orrin")
    assert answer.headers["location"] == "/settings/packs/my-county.yaml"
    page = desk.open("/settings/packs/my-county.yaml")
    assert "nobody, never" in page
    file = desk.book.parent / "my-county.yaml"
    text = file.read_text(encoding="utf-8")
    broken = text.replace("kind: law", "kind: <b>lore</b>", 1)
    line = broken.splitlines().index("kind: <b>lore</b>") + 1
    for more in ({}, {"look": "yes"}):
        answer = desk.send("/settings/packs/my-county.yaml", {"text": broken, **more})
        assert f"Line {line}, fault:" in answer.text and "kind: &lt;b&gt;lore" in answer.text
        assert file.read_text(encoding="utf-8") == text
    assert desk.send("/settings/packs/my-county.yaml", {"text": text + "# read\n"}).status_code == 303
    assert file.read_text(encoding="utf-8").endswith("# read\n")
    old = {**desk.hidden(page), "text": text}
    assert desk.client.post("/settings/packs/my-county.yaml", data=old).status_code == 409


def test_first_run_question_by_question(tmp_path: Path) -> None:
    desk = Desk(tmp_path / "line-book.yaml")
    assert desk.client.get("/", follow_redirects=False).headers["location"] == "/start"
    assert desk.client.get("/api/plan").status_code == 404
    assert "Which line shall it be?" in desk.open("/start")
    assert desk.client.get("/start/traps", follow_redirects=False).headers["location"] == "/start"
    refused = desk.send("/start/line", {"line.name": "Mine", "line.date": "soon"})
    assert refused.status_code == 422 and 'id="wrong-line.date"' in refused.text and not desk.book.exists()
    assert (
        desk.send("/start/line", {"line.name": "Mine", "line.date": "2026-11-20"}).headers["location"] == "/start/law"
    )
    assert desk.send("/start/law", {"pack": "orrin"}).status_code == 303
    assert desk.send("/start/traps", {"traps.0.pattern": "coil-2", "traps.0.count": "3"}).status_code == 303
    assert desk.send("/start/tackle", {"later": "yes"}).headers["location"] == "/start/site"
    words = {"name": "First", "medium": "land", "target": "red_fox"}
    assert desk.send("/start/site", words).headers["location"] == "/planned?to=/"
    assert desk.client.get("/planned?to=/line", follow_redirects=False).headers["location"] == "/line"
    assert "First" in desk.open("/line") and "Your line is here" in desk.open("/start")
    book, _ = read_book(desk.book)
    assert (book.line.name, book.law.packs, book.outfit.traps[0].count) == ("Mine", ["orrin"], 3)


def test_first_run_with_the_demo_or_a_book_at_hand(tmp_path: Path) -> None:
    desk = Desk(tmp_path / "a" / "line-book.yaml")
    assert desk.send("/start/file", {}, page="/start", files={"file": ("x", b"nonsense")}).status_code == 422
    assert not desk.book.exists()
    answer = desk.send("/start/file", {}, page="/start", files={"file": ("x", EXAMPLE.read_bytes())})
    assert answer.status_code == 303 and desk.book.read_bytes() == EXAMPLE.read_bytes()
    answer = desk.client.post("/start/demo", data=desk.hidden(desk.open("/settings")))
    assert answer.status_code == 422 and desk.book.read_bytes() == EXAMPLE.read_bytes()


@pytest.mark.parametrize(
    "to", ["//elsewhere.example", "https://elsewhere.example", "/\\elsewhere", "/\t/x", "javascript:1"]
)
def test_waiting_leads_to_our_own_pages_only(desk: Desk, to: str) -> None:
    desk.line.now()
    answer = desk.client.get("/planned", params={"to": to}, follow_redirects=False)
    assert answer.headers["location"] == "/"


def test_pages_do_not_wait_for_a_plan(tmp_path: Path) -> None:
    book = Path(shutil.copy(EXAMPLE, tmp_path / "line-book.yaml"))
    line = OpenLine(book, draws=2000, patience=0.0)
    client = TestClient(create_app(line), base_url="http://localhost")
    first = client.get("/")
    assert first.status_code == 503 and 'http-equiv="refresh"' in first.text and first.headers["retry-after"] == "1"
    assert client.get("/api/plan").status_code == 503 and client.get("/edit").status_code == 200
    for _ in range(600):
        if client.get("/planned", follow_redirects=False).status_code == 303:
            break
        time.sleep(0.1)
    assert client.get("/line").status_code == 200
    old = line.now()
    book.write_text(book.read_text(encoding="utf-8").replace("Hedge beyond", "Hedge behind"), encoding="utf-8")
    page = client.get("/line")
    assert "Hedge beyond" in page.text and "These figures are from before" in page.text and line.now() is old
    for _ in range(600):
        if line.step() is None:
            break
        time.sleep(0.1)
    assert "Hedge behind" in client.get("/line").text
    book.write_text("schema: setwright/line-book/1\nline: {nme: x}\n", encoding="utf-8")
    for _ in range(100):
        if client.get("/line").status_code == 422:
            break
        time.sleep(0.1)
    assert client.get("/line").status_code == 422, "a book that cannot be read is said, not planned for ever"


def test_a_plan_that_is_not_wanted_any_more_is_given_up(tmp_path: Path) -> None:
    book = Path(shutil.copy(EXAMPLE, tmp_path / "line-book.yaml"))
    line = OpenLine(book, draws=2000)
    line.patience = 0.0
    line.begin()
    first = line.step()
    book.write_text(book.read_text(encoding="utf-8").replace("Hedge beyond", "Hedge behind"), encoding="utf-8")
    line.begin()
    line.patience = None
    assert line.now().part("hedge") is not None and first is not None and first.ended.wait(60)
    assert any("behind" in part.site.name for part in line.now().plan.sets)
