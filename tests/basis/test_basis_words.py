"""Errors, sources, sentences and quantities as written."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel

from setwright.basis.errors import BadInput, BadTable, OutOfRange, SetwrightError
from setwright.basis.fields import Length, Temperature, read_quantity
from setwright.basis.say import KINDS, Say
from setwright.basis.source import ASSUMED, Kind, Quantity, Source, assumed, unknown


def test_an_error_is_one_line_with_its_place() -> None:
    error = BadInput("wrong", file="book.yaml", line=3, field="depth", found="5", allowed="a length")
    assert str(error) == "book.yaml, line 3, depth: wrong; found '5'; allowed: a length"
    assert str(OutOfRange("wrong")) == "wrong"
    assert all(issubclass(kind, SetwrightError) for kind in (BadInput, BadTable, OutOfRange))


def test_a_place_is_filled_in_but_never_overwritten() -> None:
    error = BadTable("wrong", line=3).at(file="a.csv", line=9, field="x")
    assert (type(error), error.file, error.line, error.field) == (BadTable, "a.csv", 3, "x")


def test_long_finds_are_cut() -> None:
    assert len(str(BadInput("wrong", found="x" * 1000))) < 120


def test_a_source_says_each_thing_once() -> None:
    assert str(Source(Kind.TABLE, "a document", "seen")) == "table: a document (seen)"
    assert str(Source(Kind.PRACTICE, "trade", "common practice")) == "common practice: trade"
    assert str(ASSUMED) == "assumed"
    assert str(assumed("a reason")) == "assumed: a reason"


def test_an_unknown_quantity_has_no_number() -> None:
    found = unknown("m", "measure the depth")
    assert not found.known
    with pytest.raises(ValueError, match="unknown"):
        _ = found.number


@given(st.floats(-100, 100), st.floats(0, 1))
def test_a_spread_is_added_only_where_none_is_stated(value: float, share: float) -> None:
    spread = Quantity(value, "m").with_spread(share)
    assert spread.low is not None
    assert spread.high is not None
    assert spread.low <= value <= spread.high
    assert spread.with_spread(0.9) == spread
    assert unknown("m", "?").with_spread(share).value is None


def test_a_sentence_keeps_its_template_and_its_numbers() -> None:
    one = Say("stop {shortfall:length} too shallow", shortfall=0.10)
    assert one == Say("stop {shortfall:length} too shallow", shortfall=0.10)
    assert one != Say("stop {shortfall:length} too shallow", shortfall=0.11)
    assert dict(one.values) == {"shortfall": 0.10}
    assert hash(one) == hash(Say(one.template, **dict(one.values)))
    assert {"length", "force", "word"} <= set(KINDS)


@pytest.mark.parametrize(
    ("found", "value", "low", "high"),
    [
        ("2 ft", 0.6096, None, None),
        ({"value": "2 ft"}, 0.6096, None, None),
        ({"value": "1 m", "sd": "1 cm"}, 1.0, 1 - 0.016448536, 1 + 0.016448536),
        ({"value": "1 m", "low": "0.9 m", "high": "1.2 m"}, 1.0, 0.9, 1.2),
        ({"value": "1 m", "low": "0.9 m"}, 1.0, 0.9, 1.0),
    ],
)
def test_quantities_as_written(found: object, value: float, low: float | None, high: float | None) -> None:
    quantity = read_quantity(found, "m")
    assert quantity.value == pytest.approx(value)
    assert quantity.low == (None if low is None else pytest.approx(low))
    assert quantity.high == (None if high is None else pytest.approx(high))
    assert quantity.source.confidence == "stated"


def test_the_spread_of_a_temperature_is_a_difference() -> None:
    quantity = read_quantity({"value": "50 degF", "sd": "9 degF"}, "degC")
    assert quantity.value == pytest.approx(10.0)
    assert quantity.high == pytest.approx(10.0 + 5.0 * 1.6448536)


@pytest.mark.parametrize(
    "found",
    [
        None, True, "", "5", [], ["1 m"], {}, {"low": "1 m"}, {"value": None}, {"value": "1 m", "sd": "-1 cm"},
        {"value": "1 m", "sd": "1 cm", "low": "0.9 m"}, {"value": "1 m", "low": "2 m"}, {"value": "1 m", "extra": 1},
        {"value": "1 m", "high": "99 m"}, {"value": {"value": "1 m"}}, {1: 2}, "11 m", "-1 m",
    ],
)  # fmt: skip
def test_quantities_that_cannot_be_used(found: object) -> None:
    with pytest.raises(BadInput):
        read_quantity(found, "m", 0.0, 10.0)


@pytest.mark.parametrize("found", ["x", "", None, 5, ["a"], {"value": "1 degC", "sd": ""}])
def test_a_broken_temperature_is_bad_input_too(found: object) -> None:
    with pytest.raises(BadInput):
        read_quantity(found if isinstance(found, dict) else {"value": "1 degC", "sd": found}, "degC")


class _Record(BaseModel):
    depth: Length
    cold: Temperature


@given(st.floats(0, 1e6), st.floats(-80, 80))
def test_what_is_written_reads_back(depth: float, cold: float) -> None:
    record = _Record.model_validate({"depth": f"{depth!r} m", "cold": {"value": f"{cold!r} degC", "low": "-85 degC"}})
    again = _Record.model_validate(record.model_dump())
    assert again.depth.value == pytest.approx(record.depth.value)
    assert again.cold.low == pytest.approx(-85.0)
