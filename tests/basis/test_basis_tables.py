"""The reader of shipped tables: every kind of broken row is named with its line."""

from __future__ import annotations

import math

import pytest

from setwright.basis.errors import BadInput, BadTable
from setwright.basis.source import Kind
from setwright.basis.tables import Field, Table, read_table

HEAD = "# A table made for this test.\nkey,quantity,value,low,high,unit,source,confidence,note\n"
FIELDS = {
    "label": Field("text", needed=True),
    "family": Field("text", words=("coil", "long")),
    "width": Field("m", 0.0, 1.0),
    "heat": Field("degC", -60.0, 60.0),
}
GOOD = HEAD + (
    "a,label,Small one,,,text,a document,seen,\n"
    "a,family,coil,,,text,a document,seen,\n"
    'a,width,5 3/8,5,6,in,"a document, table 2",secondary,"as printed"\n'
    "a,heat,27,,,degF,a document,memory,\n"
    "\n# a remark between\n"
    "b,label,Other,,,text,trade,common practice,\n"
)


def _read(text: str) -> Table:
    return read_table("made.csv", text, FIELDS)


def test_a_good_table() -> None:
    table = _read(GOOD)
    assert table.keys() == ("a", "b")
    assert "a" in table
    assert "c" not in table
    width = table.get("a", "width")
    assert width.value == pytest.approx(5.375 * 0.0254)
    assert width.low == pytest.approx(5 * 0.0254)
    assert width.high == pytest.approx(6 * 0.0254)
    assert (width.unit, width.source.kind, width.source.confidence) == ("m", Kind.TABLE, "secondary")
    assert table.number("a", "heat") == pytest.approx(-5 / 1.8)
    assert table.text("a", "family") == "coil"
    assert table.text("b", "family") == "", "no words are an empty text"
    assert table.has("a", "width")
    assert not table.has("b", "width")
    assert table.get("b", "label").source.kind is Kind.PRACTICE


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("c,label,X,,,text,a document,seen", "8 cells"),
        ("c,label,X,,,text,a document,seen,,", "10 cells"),
        (",label,X,,,text,a document,seen,", "key and source"),
        ("c,label,X,,,text,,seen,", "key and source"),
        ("c,colour,X,,,text,a document,seen,", "unknown quantity"),
        ("c,label,X,,,text,a document,sure,", "unknown confidence"),
        ("c,label,X,,,text,a document,,", "unknown confidence"),
        ("c,label,,,,text,a document,seen,", "text row needs a value"),
        ("c,label,X,,,m,a document,seen,", "text row needs a value"),
        ("c,family,round,,,text,a document,seen,", "unknown word"),
        ("c,width,,,,m,a document,seen,", "value is missing"),
        ("c,width,wide,,,m,a document,seen,", "not a number"),
        ("c,width,0.5 m,,,m,a document,seen,", "own column"),
        ("c,width,0.5,,,,a document,seen,", "unit"),
        ("c,width,0.5,,,kg,a document,seen,", "unit"),
        ("c,width,0.5,,,furlong,a document,seen,", "unit"),
        ("c,width,1.5,,,m,a document,seen,", "outside the range"),
        ("c,width,-0.1,,,m,a document,seen,", "outside the range"),
        ("c,width,0.5,0.4,1.5,m,a document,seen,", "outside the range"),
        ("c,width,0.5,0.6,0.7,m,a document,seen,", "not in order"),
        ("c,width,0.5,0.3,0.4,m,a document,seen,", "not in order"),
        ("c,width,nan,,,m,a document,seen,", "not a number"),
        ("c,width,1e999,,,m,a document,seen,", "too large"),
        ("c,width,1/0,,,m,a document,seen,", "over zero"),
        ("a,label,Again,,,text,a document,seen,", "twice"),
    ],
)
def test_a_broken_row_is_named(row: str, says: str) -> None:
    with pytest.raises(BadTable, match=says) as caught:
        _read(GOOD + row + "\n")
    assert caught.value.file == "made.csv"
    assert caught.value.line == 2 + 4 + 2 + 1 + 1, "the line in the file, comments and blanks counted"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "comment lines"),
        ("key,quantity,value,low,high,unit,source,confidence,note\n", "comment lines"),
        ("# only a head\n", "empty"),
        ("# head\nkey,value\n", "wrong columns"),
        (HEAD + "b,width,0.1,,,m,a document,seen,\n", "a row is missing"),
    ],
)
def test_a_broken_file_is_named(text: str, says: str) -> None:
    with pytest.raises(BadTable, match=says):
        _read(text)


def test_an_absent_entry_names_its_neighbours() -> None:
    table = _read(GOOD)
    with pytest.raises(BadInput, match="no such entry") as caught:
        table.record("aa")
    assert "a" in str(caught.value.allowed)
    with pytest.raises(BadInput, match="no such figure") as caught:
        table.get("b", "width")
    assert caught.value.allowed == "label"


def test_an_open_range_takes_any_number() -> None:
    table = read_table("made.csv", HEAD + "a,x,-1e12,,,one,d,assumed,\n", {"x": Field("one")})
    assert table.number("a", "x") == -1e12
    assert Field("one").high == math.inf
