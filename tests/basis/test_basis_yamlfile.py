"""YAML of people: hostile and broken files, lines in errors, comments kept."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict

from setwright.basis.errors import BadInput
from setwright.basis.fields import Length, Share, Temperature
from setwright.basis.yamlfile import dump, line_of, load, plain, read_text, validate


class _Site(BaseModel):
    model_config = ConfigDict(extra="forbid")
    name: str
    depth: Length
    cold: Temperature | None = None


class _Book(BaseModel):
    model_config = ConfigDict(extra="forbid")
    title: str
    share: Share = None
    sites: list[_Site] = []


GOOD = """\
# My line
title: "North creek"   # as on the map
sites:
  - name: bank
    depth: 14 in  # measured
    cold: 27 degF
  - name: point
    depth: {value: 2 ft, low: 1 ft, high: 3 ft}
"""


@pytest.mark.parametrize(
    ("text", "says", "line"),
    [
        ("a: &x 1\nb: *x\n", "anchors", 1),
        ("a: 1\nb: &lol [x]\nc: [*lol, *lol]\n", "anchors", 2),
        ("a: !!python/object/apply:os.getcwd []\n", "tags", 1),
        ("a: 1\nb: !mine 3\n", "tags", 2),
        ("a: 1\na: 2\n", "not readable", None),
        ("a: [1, 2\nb: 3\n", "not readable", None),
        ("a: 1\n\tb: 2\n", "not readable", None),
        ("- one\n- two\n", "named fields", 1),
        ("just words\n", "named fields", 1),
        ("", "named fields", 1),
        ("a: " + "[" * 60 + "]" * 60 + "\n", "nested too deeply", None),
        ("a: " + "{b: " * 3000 + "1" + "}" * 3000 + "\n", "", None),
        ("a: 'open\n", "not readable", None),
        ("a: 1\n---\nb: 2\n", "not readable", None),
        ("%YAML 9.9\n---\na: 1\n", "", None),
        ("a: 2024-13-45\n", "", None),
        ("a: 0b\n? [1, 2]\n: 3\n", "", None),
    ],
)
def test_hostile_or_broken_yaml(text: str, says: str, line: int | None) -> None:
    if not says:
        assert isinstance(_map_or_none(text), dict | None), "a map, or refused with BadInput"
        return
    with pytest.raises(BadInput, match=says) as caught:
        load(text, file="book.yaml")
    assert caught.value.file == "book.yaml"
    if line is not None:
        assert caught.value.line == line


def _map_or_none(text: str) -> object:
    try:
        found = plain(load(text, file="book.yaml"))
    except BadInput:
        with pytest.raises(BadInput):
            load(text, file="book.yaml", comments=True)
        return None
    assert found == plain(load(text, file="book.yaml", comments=True)), "comments change nothing that is read"
    return found


@settings(max_examples=200)
@given(st.text(alphabet="ab:-[]{}#&*!|>'\"%@`,? \n\t0.1", max_size=60))
def test_any_text_gives_a_map_or_bad_input(text: str) -> None:
    assert isinstance(_map_or_none(text), dict | None)


@pytest.mark.parametrize("text", [GOOD, GOOD.replace("\n  ", "\n")])
def test_round_trip_keeps_comments_order_quotes_and_dashes(text: str) -> None:
    data = load(text, file="x", comments=True)
    data["sites"][0]["depth"] = "15 in"
    assert dump(data) == text.replace("14 in", "15 in")


def test_lines_of_values() -> None:
    data = load(GOOD, file="x")
    assert line_of(data, ("title",)) == 2
    assert line_of(data, ("sites", 0, "depth")) == 5
    assert line_of(data, ("sites", 1)) == 7
    assert line_of(data, ("sites", 1, "depth", "low")) == 8
    assert line_of(data, ("sites", 1, "absent")) == 7, "the nearest parent that has a line"
    assert line_of(data, ("absent",)) is None


def test_a_good_file_is_read_into_si() -> None:
    book = validate(_Book, load(GOOD, file="x"), file="x")
    assert book.sites[0].depth.value == pytest.approx(14 * 0.0254)
    assert book.sites[0].cold is not None
    assert book.sites[0].cold.value == pytest.approx(-5 / 1.8)
    assert book.sites[1].depth.low == pytest.approx(0.3048)


@pytest.mark.parametrize(
    ("old", "new", "field", "line", "says"),
    [
        ("depth: 14 in ", "depth: 14 ", "sites.0.depth", 5, "unit is missing"),
        ("depth: 14 in ", "depth: 14 lb ", "sites.0.depth", 5, "does not fit"),
        ("depth: 14 in ", "depth: -14 in ", "sites.0.depth", 5, "outside"),
        ("depth: 14 in ", "dept: 14 in ", "sites.0.dept", 5, "not known"),
        ("low: 1 ft", "low: 9 ft", "sites.1.depth", 8, "not in order"),
        ("low: 1 ft", "lower: 1 ft", "sites.1.depth", 8, "a quantity needs"),
        ('title: "North creek"', "titel: x", "titel", 2, "not known"),
        ("  - name: point\n", "  - nam: point\n", "sites.1.nam", 7, "not known"),
    ],
)
def test_a_fault_names_line_and_field(old: str, new: str, field: str, line: int, says: str) -> None:
    text = GOOD.replace(old, new)
    assert text != GOOD
    with pytest.raises(BadInput) as caught:
        validate(_Book, load(text, file="book.yaml"), file="book.yaml")
    faults = {(caught.value.field, caught.value.line)}
    if caught.value.message.startswith("this field is missing"):
        assert "more" in caught.value.message, "the unknown field is counted too"
        return
    assert faults == {(field, line)}, str(caught.value)
    assert says in str(caught.value)


def test_reading_a_file(tmp_path: Path) -> None:
    path = tmp_path / "book.yaml"
    path.write_bytes(b"\xef\xbb\xbftitle: x\n")
    assert read_text(path) == "title: x\n", "a byte-order mark is dropped"
    path.write_bytes("title: Überlauf\n".encode("latin-1"))
    with pytest.raises(BadInput, match="UTF-8") as caught:
        read_text(path)
    assert caught.value.line == 1
    path.write_bytes(b"a: 1\x00\n")
    with pytest.raises(BadInput, match="zero bytes"):
        read_text(path)
    path.write_bytes(b"a" * 101)
    with pytest.raises(BadInput, match="too large"):
        read_text(path, limit=100)
    with pytest.raises(BadInput, match="not a file"):
        read_text(tmp_path)
    with pytest.raises(BadInput, match="cannot be read"):
        read_text(tmp_path / "absent.yaml")
