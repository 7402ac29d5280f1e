"""Files that swell: what a zip file may unpack to, list or claim, and zip files where none belongs."""

from __future__ import annotations

import io
import struct
import tempfile
import zipfile
from importlib.resources import files
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from setwright.desk import log_copies
from setwright.desk.log import add
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine

MB = 1_000_000
PARTS = ("log.db", "log.db.sha256")
# Every place that takes a file, with a name that its field would offer.
UPLOADS = {
    "/settings/log": "log.zip", "/settings/book": "book.yaml", "/settings/places": "places.gpx",
    "/start/file": "book.yaml", "/log/import": "entries.jsonl",
}  # fmt: skip


def packed(parts: dict[str, bytes], way: int = zipfile.ZIP_DEFLATED) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", way, compresslevel=9 if way != zipfile.ZIP_STORED else None) as made:
        for name, content in parts.items():
            made.writestr(name, content)
    return held.getvalue()


@pytest.fixture
def here(own_line: OpenLine, monkeypatch: pytest.MonkeyPatch) -> tuple[TestClient, OpenLine]:
    # Whatever is changed here needs no new plan.
    monkeypatch.setattr(OpenLine, "begin", lambda _: None)
    return TestClient(create_app(own_line), base_url="http://localhost", follow_redirects=False), own_line


def sent(client: TestClient, path: str, name: str, content: bytes) -> tuple[int, str]:
    """Status and words of the answer to a file."""
    known = {"token": client.get("/api/session").json()["token"], "seen": "x", "medium": "land", "target": "red_fox"}
    answer = client.post(path, data=known, files={"file": (name, content)})
    return answer.status_code, answer.text


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (packed({"log.db": b"\0" * 30 * MB, "log.db.sha256": b"0"}), "log.db in the copy is too large"),
        (packed({"log.db": b"x", "log.db.sha256": b"0" * 30 * MB}), "log.db.sha256 in the copy is too large"),
        (packed({f"{n:x}": b"" for n in range(3000)} | dict.fromkeys(PARTS, b"x")), "too many parts"),
        (packed({"log.db": packed({"log.db": b"\0" * MB}), "log.db.sha256": b"0"}), "damaged"),
        (packed(dict.fromkeys(PARTS, b"x" * 900), zipfile.ZIP_LZMA), "packed in a way"),
        (packed(dict.fromkeys(PARTS, b"x" * 900), zipfile.ZIP_BZIP2), "packed in a way"),
        (packed({"../../log.db": b"x", "/log.db.sha256": b"0"}), "no copy of a log"),
        (b"PK\x05\x06" + b"\xff" * 18, "too many parts"),
        (b"PK\x05\x06" * 20_000, "no copy of a log"),
    ],
    ids=["swells", "note-swells", "many", "nested", "lzma", "bzip2", "climbs", "list-lies", "only-ends"],
)
def test_a_zip_file_that_swells_is_refused_with_its_bound(
    here: tuple[TestClient, OpenLine], content: bytes, words: str
) -> None:
    client, line = here
    before = sorted(path.name for path in line.book.parent.iterdir())
    status, page = sent(client, "/settings/log", "log.zip", content)
    assert status == 422 and "Not kept:" in page and words in page
    if "too large" in words:
        assert "30000000 bytes" in page and "allowed: up to" in page
    assert sorted(path.name for path in line.book.parent.iterdir()) == before, "nothing was written"


def test_a_size_that_lies_unpacks_to_no_more_than_it_says(
    here: tuple[TestClient, OpenLine], monkeypatch: pytest.MonkeyPatch
) -> None:
    client, _ = here
    content = bytearray(packed({"log.db": b"\0" * 30 * MB, "log.db.sha256": b"0"}))
    # The size of the first part, in its own head and in the list at the end.
    for at, place in ((content.index(b"PK\x03\x04"), 22), (content.index(b"PK\x01\x02"), 24)):
        struct.pack_into("<I", content, at + place, 1000)
    sizes: list[int] = []

    class Watched(tempfile.TemporaryDirectory):
        def __exit__(self, *told: object) -> None:
            sizes.extend(path.stat().st_size for path in Path(self.name).iterdir())
            super().__exit__(*told)

    monkeypatch.setattr(log_copies.tempfile, "TemporaryDirectory", Watched)
    status, page = sent(client, "/settings/log", "log.zip", bytes(content))
    assert status == 422 and "no copy of a log" in page
    assert sizes and max(sizes) <= 1000


def test_a_real_copy_is_within_the_bounds_packed_anew_too(here: tuple[TestClient, OpenLine]) -> None:
    client, line = here
    add(line.book, ["1s"])
    small = client.get("/settings/log").content
    assert sent(client, "/settings/log", "log.zip", small)[0] == 303
    # Whoever packs the two parts anew may have others beside them.
    with zipfile.ZipFile(io.BytesIO(small)) as held:
        parts = {name: held.read(name) for name in PARTS}
    again = packed({**parts, "notes/readme.txt": b"x" * 500}, zipfile.ZIP_STORED)
    assert sent(client, "/settings/log", "log.zip", again)[0] == 303


def test_every_form_that_takes_a_file_is_tried_here() -> None:
    found = set()
    for template in files("setwright.web").joinpath("templates").iterdir():
        for form in template.read_text(encoding="utf-8").split("<form")[1:]:
            if 'type="file"' in form.split("</form>")[0]:
                found.add(form.split('action="')[1].split('"')[0])
    assert found == set(UPLOADS)


@pytest.mark.parametrize("path", UPLOADS)
def test_a_zip_file_under_another_name_is_refused_in_words(here: tuple[TestClient, OpenLine], path: str) -> None:
    client, line = here
    before = line.book.read_bytes()
    bomb = packed({"line-book.yaml": b"a: " + b"[" * 20 * MB})
    assert len(bomb) < MB / 10
    status, page = sent(client, path, UPLOADS[path], bomb)
    assert status in (409, 422) and "Traceback" not in page
    assert any(words in page for words in ("UTF-8", "no copy of a log", "stands here already"))
    assert line.book.read_bytes() == before
