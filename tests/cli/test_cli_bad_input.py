"""Files that cannot be used: exit code 2, one clear line, nothing written."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from setwright.basis.tables import DATA

BOOK: dict[str, Any] = {
    "schema": "setwright/line-book/1",
    "outfit": {"traps": [{"id": "T-01", "pattern": "coil-1.5"}]},
    "sites": [{"id": "ridge", "name": "Ridge", "medium": "land", "target": "red_fox"}],
    "line": {"name": "First line", "date": "2026-12-20"},
}
TRAP = json.dumps({"schema": "setwright/trap/1", "id": "T-01", "pattern": "coil-1.5"})
# How a book names each kind of file beside it.
ROLES: dict[str, dict[str, Any]] = {
    "weather.csv": {"conditions": {"weather": {"file": "weather.csv"}}},
    "level.csv": {"conditions": {"level": {"file": "level.csv"}}},
    "level.json": {"conditions": {"level": {"file": "level.json"}}},
    "pack.yaml": {"law": {"packs": ["pack.yaml"]}},
}
HOSTILE: dict[str, bytes] = {
    "empty": b"",
    "blank": b"\n  \n\n",
    "latin-1": "# label: C\xf4te\ntime\n".encode("latin-1"),
    "utf-16": "schema: x\n".encode("utf-16"),
    "zero bytes": b"schema: x\x00y\n",
    "binary": b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR" + bytes(range(256)),
    "6 MB": b"# label: a\n" * 550_000,
    "deep brackets": b"[" * 3000 + b"]" * 3000,
    "deep fields": b'{"a":' * 200 + b"1" + b"}" * 200,
    "aliases": b"a: &a [x, x]\nb: &b [*a, *a]\nc: &c [*b, *b]\nd: [*c, *c]\n",
    "tag": b"a: !!python/object/apply:os.system ['true']\n",
    "a list": b"- 1\n- 2\n",
    "a word": b"hello\n",
    "twice the same": b"schema: 1\nschema: 2\n",
    "unclosed": b'{"schema": "x"',
    "another schema": b"schema: something/else/9\n",
}
NAMES = ["../../etc/passwd", "/etc/passwd", "x\x00y", "a" * 299, "", ".", "nope.csv", "shipped:../../../etc/passwd",
         "shipped:", "file:///etc/passwd"]  # fmt: skip
FIELDS: list[tuple[str, Any]] = [
    *(
        ("outfit.traps.0.spread", found)
        for found in ("5 1/0 in", "1e400 in", "nan in", "5 furlong", "5", 5, "-3 in", "9**9**9 in", "", "5 kg", True,
                      "100 m", "0 in", [], {}, {"value": "5 in", "sd": ""}, {"value": "5 in", "low": "6 in"},
                      "9" * 5000 + " in")
    ),
    *(("line.date", found) for found in ("9999-12-31", "0001-01-01", "2026-02-30", "", None, 1e20)),
    *(("line.set_at", found) for found in ("25:00", -5, 99999999999, "x", 1.5, "15:30+05:00")),
    *(("line.timezone", found) for found in ("../../etc/passwd", "UTC\x00", "Nowhere/Here")),
    *(("sites.0.position", {"latitude": found, "longitude": 0}) for found in (91, "x", float("nan"), float("inf"))),
    *(("outfit.traps.0.count", found) for found in (0, -1, 501, 1e9, "x", None)),
    *(("sites.0.name", found) for found in ("", "x" * 121, "\x1b[2J", 5, None)),
    *(("sites.0.target", found) for found in ("unicorn", "", "\x1b[2J", None)),
    *((field, 1) for field in ("nmae", "a\nb", "\x1b[31mred", "sites.0.nmae", "sites.0.a\nb", "line.nmae")),
    ("sites", []), ("sites", {}), ("sites", BOOK["sites"] * 2), ("outfit", None),
    ("outfit.traps.0.pattern", "nope"), ("outfit.traps.0.springs", 3),
    ("sites.0.set_type", "nope"), ("sites.0.sign", {"unicorn": "fresh"}),
    ("sites.0.ground", {"layers": [{"soil": "x"}]}),
    ("sites.0.rig", {"trap": "nope"}), ("sites.0.rig", {"trap": "T-01", "anchor": "nope"}),
    ("law.interval", "P0D"), ("law.packs", ["orrin"] * 13), ("conditions.soil_temperature", "-500 degC"),
]  # fmt: skip


def put(path: str, value: Any) -> str:
    """The book as JSON, which is YAML as well, with one field changed."""
    made = copy.deepcopy(BOOK)
    node: Any = made
    *steps, last = [int(step) if step.isdigit() else step for step in path.split(".")]
    for step in steps:
        node = node.setdefault(step, {}) if isinstance(node, dict) else node[step]
    node[last] = value
    return json.dumps(made)


@pytest.fixture
def refused(tmp_path: Path, call: Any) -> Callable[..., None]:
    """Plans `book.yaml` of the folder and holds that it is refused as it should be."""

    def hold(*parts: str, words: tuple[object, ...] = ()) -> None:
        out = tmp_path / "plan"
        before = sorted(tmp_path.rglob("*"))
        done = call(*(words or ("plan", tmp_path / "book.yaml", "--out", out, "--draws", 60)))
        assert done.code == 2, f"the user can mend it: {done.err}"
        assert done.out == "", "nothing on the output"
        assert done.err.startswith("setwright: ") and done.err.count("\n") == 1, f"one line: {done.err!r}"
        assert "\x1b" not in done.err and "Traceback" not in done.err and len(done.err) < 700
        for part in parts:
            assert part in done.err, f"{part!r} is named in {done.err!r}"
        assert sorted(tmp_path.rglob("*")) == before, "nothing was written"

    return hold


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_book_or_trap_file(tmp_path: Path, refused: Any, kind: str) -> None:
    (tmp_path / "book.yaml").write_bytes(HOSTILE[kind])
    refused("book.yaml")
    refused("book.yaml", words=("trap", tmp_path / "book.yaml"))


@pytest.mark.parametrize("kind", HOSTILE)
@pytest.mark.parametrize("role", ROLES)
def test_a_hostile_file_beside_the_book(tmp_path: Path, refused: Any, role: str, kind: str) -> None:
    (tmp_path / "book.yaml").write_text(json.dumps({**BOOK, **ROLES[role]}), encoding="utf-8")
    (tmp_path / role).write_bytes(HOSTILE[kind])
    refused(role)


@pytest.mark.parametrize("role", ["book.yaml", *ROLES])
def test_missing_a_folder_or_a_link_out_of_the_folder(tmp_path: Path, refused: Any, role: str) -> None:
    own = role == "book.yaml"
    if not own:
        (tmp_path / "book.yaml").write_text(json.dumps({**BOOK, **ROLES[role]}), encoding="utf-8")
    refused(role)
    (tmp_path / role).mkdir()
    refused(role)
    (tmp_path / role).rmdir()
    if not own:
        (tmp_path / role).symlink_to("/etc/passwd")
        refused(role)


@pytest.mark.parametrize(("path", "value"), FIELDS, ids=[f"{n}-{path!r}" for n, (path, _) in enumerate(FIELDS)])
def test_a_field_that_cannot_be_used(tmp_path: Path, refused: Any, path: str, value: Any) -> None:
    (tmp_path / "book.yaml").write_text(put(path, value), encoding="utf-8")
    refused("book.yaml")


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", ["weather", "level", "packs"])
def test_a_file_name_never_leads_out_of_the_folder(tmp_path: Path, refused: Any, kind: str, name: str) -> None:
    path, value = ("law.packs", [name]) if kind == "packs" else (f"conditions.{kind}", {"file": name})
    (tmp_path / "book.yaml").write_text(put(path, value), encoding="utf-8")
    refused("book.yaml", path)


def test_a_cut_off_book_trap_or_pack(tmp_path: Path, refused: Any) -> None:
    whole = json.dumps(BOOK)
    for cut in range(0, len(whole) - 1, max(1, len(whole) // 30)):
        (tmp_path / "book.yaml").write_text(whole[:cut], encoding="utf-8")
        refused("book.yaml")
    for cut in range(0, len(TRAP) - 1, 3):
        (tmp_path / "trap.yaml").write_text(TRAP[:cut], encoding="utf-8")
        refused("trap.yaml", words=("trap", tmp_path / "trap.yaml"))


def test_a_cut_off_weather_record(tmp_path: Path, refused: Any) -> None:
    (tmp_path / "book.yaml").write_text(json.dumps({**BOOK, **ROLES["weather.csv"]}), encoding="utf-8")
    whole = (DATA / "demo" / "weather.csv").read_bytes()
    for cut in range(0, len(whole) - 60, len(whole) // 30):
        (tmp_path / "weather.csv").write_bytes(whole[:cut])
        refused("weather.csv")


def test_the_line_of_the_fault_is_named(tmp_path: Path, refused: Any) -> None:
    text = "schema: setwright/line-book/1\nline: {name: A, date: 2026-12-20}\noutfit:\n  traps:\n"
    text += "    - {id: T-01, pattern: coil-1.5}\n    - id: T-02\n      pattern: coil-1.5\n      trip_force: 3.5\n"
    text += "sites:\n  - {id: a, name: A, medium: land, target: red_fox}\n"
    (tmp_path / "book.yaml").write_text(text, encoding="utf-8")
    refused("line 8, outfit.traps.1.trip_force: the unit is missing; found '3.5'; allowed: ")
