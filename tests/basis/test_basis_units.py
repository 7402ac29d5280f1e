"""Units at the door: what is read, what is refused, what is printed."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outside import hold, rows
from setwright.basis import units
from setwright.basis.errors import BadInput
from setwright.basis.utm import GridPosition, band_of, from_grid, to_grid, zone_of


def _on_grid(name: str) -> Callable[..., float]:
    return lambda latitude, longitude: getattr(to_grid(latitude, longitude), name)


def _in_degrees(at: int) -> Callable[..., float]:
    return lambda **given: from_grid(GridPosition(**given))[at]


CHECKS = {
    "convert": units.convert, "grid_easting": _on_grid("easting"), "grid_northing": _on_grid("northing"),
    "grid_latitude": _in_degrees(0), "grid_longitude": _in_degrees(1),
}  # fmt: skip


@pytest.mark.parametrize("row", rows("basis", "published"))
def test_published_factors(row: dict[str, str]) -> None:
    hold(row, CHECKS)


@pytest.mark.parametrize(
    ("text", "to", "expected"),
    [
        ("5 3/8 in", "m", 5.375 * 0.0254),
        ("5-3/8 in", "m", 5.375 * 0.0254),
        ("5⅜ in", "m", 5.375 * 0.0254),
        ("5 3⁄16 in", "m", 5.1875 * 0.0254),
        ("3/16 in.", "m", 0.1875 * 0.0254),
        ("½ in", "m", 0.0127),
        ("-3 degC", "degC", -3.0),
        ("−3 °C", "degC", -3.0),
        ("27 degF", "degC", (27 - 32) / 1.8),
        ("27 °F", "degC", (27 - 32) / 1.8),
        (".5 lb", "kg", 0.5 * 0.45359237),
        ("1e3 mm", "m", 1.0),
        ("17 lbf/in", "N/m", 17 * 4.4482216152605 / 0.0254),
        ("25%", "one", 0.25),
        ("0.25", "one", 0.25),
        ("36 h", "s", 129600.0),
        ("9.8 m/s^2", "m/s**2", 9.8),
        ("9.8 m/s²", "m/s**2", 9.8),
        ("2 N·m", "N*m", 2.0),
    ],
)
def test_what_a_trapper_writes_is_read(text: str, to: str, expected: float) -> None:
    assert units.parse(text, to) == pytest.approx(expected, rel=1e-12, abs=1e-12)


@pytest.mark.parametrize(
    ("text", "to"),
    [
        ("", "m"), ("in", "m"), ("five in", "m"), ("5", "m"), ("5 in in", "m"), ("5 lb", "m"), ("5 3/0 in", "m"),
        ("1/0", "one"), ("1e999 m", "m"), ("nan m", "m"), ("inf m", "m"), ("5 furlong", "m"), ("5 in; 3", "m"),
        ("9**9**9 m", "m"), ("5 m**99999", "m"), ("5 __import__('os').getcwd()", "m"), ("5 (m)", "m"),
        ("5 m" + "*m" * 200, "m"), ("5,3 in", "m"), ("0x10 m", "m"), ("5 in\n6 in", "m"), ("--5 m", "m"),
        ("5 m/m/m/m/m/m/m", "m"), ("5 degC/m", "degC"), ("1" * 300 + " m", "m"), ("5 $", "m"), ("5 m\x00", "m"),
        ("5 __class__", "m"), ("3.5.1 m", "m"), ("5 3/8/2 in", "m"), ("²", "one"), ("٣/٠ m", "m"),
    ],
)  # fmt: skip
def test_hostile_or_broken_text_is_refused_in_words(text: str, to: str) -> None:
    with pytest.raises(BadInput) as caught:
        units.parse(text, to)
    assert caught.value.message, "the error says what is wrong"
    assert len(str(caught.value)) < 400, "the error stays short"


@given(st.text(max_size=60), st.sampled_from(["m", "kg", "N", "degC", "one", "s", "Pa"]))
def test_any_text_gives_a_finite_number_or_bad_input(text: str, to: str) -> None:
    try:
        found = units.parse(text, to)
    except BadInput:
        return
    assert math.isfinite(found), f"{text!r} gave {found}"


@given(
    st.text(alphabet="0123456789./- eE", min_size=1, max_size=20),
    st.text(alphabet="abcdefgmkNsPaW*/^²³·°_%", max_size=20),
)
def test_near_quantities_give_a_finite_number_or_bad_input(number: str, unit: str) -> None:
    try:
        found = units.parse(f"{number} {unit}", "m")
    except BadInput:
        return
    assert math.isfinite(found)


@pytest.mark.parametrize("unit", ["1_a", "m*0_", "m/(", "0777 m"])
def test_a_unit_that_is_no_expression_is_refused(unit: str) -> None:
    # Newer versions of Python report some of these while the text is taken apart, not when it is read.
    with pytest.raises(BadInput, match="unit"):
        units.convert(1.0, unit, "m")


@given(
    st.floats(-1e6, 1e6),
    st.sampled_from([("in", "m"), ("lb", "kg"), ("degF", "degC"), ("psi", "Pa"), ("mph", "m/s")]),
)
def test_there_and_back(value: float, pair: tuple[str, str]) -> None:
    there = units.convert(value, *pair)
    assert units.convert(there, pair[1], pair[0]) == pytest.approx(value, rel=1e-9, abs=1e-7)


@given(st.integers(0, 40), st.integers(0, 15))
def test_a_printed_fraction_reads_back(whole: int, sixteenths: int) -> None:
    value = whole + sixteenths / 16
    text = units.fraction(value).replace("\u2009", " ")
    assert units.read_number(text)[0] == pytest.approx(value), text


@given(st.floats(-100, 100))
def test_a_fraction_is_the_nearest_one_and_keeps_its_sign(value: float) -> None:
    text = units.fraction(value, 8)
    read = units.read_number(text.replace("\u2009", " "))[0]
    assert abs(read - value) <= 1 / 16 + 1e-9
    assert text.startswith("−") == (read < 0)


@pytest.mark.parametrize(
    ("function", "value", "expected"),
    [
        (units.inches, 0.1365, "5⅜ in"),
        (units.inches, 0.0, "0 in"),
        (units.feet, 4.2672, "14.0 ft"),
        (units.feet, 30.48, "100 ft"),
        (units.feet, -0.3048, "−12 in"),
        (units.feet, math.nan, "–"),
        (units.inches, math.inf, "– in"),
        (units.pounds, 11.7934, "26 lb"),
        (units.pounds_force, 15.6, "3.5 lbf"),
        (units.fahrenheit, -3.0, "27 °F"),
        (units.fahrenheit, -20.0, "−4 °F"),
    ],
)
def test_what_is_printed(function: object, value: float, expected: str) -> None:
    assert callable(function)
    assert function(value) == expected


def test_a_bare_number_is_never_given_a_unit() -> None:
    with pytest.raises(BadInput, match="unit is missing") as caught:
        units.parse("5", "m")
    assert "in" in str(caught.value.allowed)


@given(st.floats(-80, 84), st.floats(-180, 180, exclude_max=True))
def test_a_place_comes_back_from_the_grid(latitude: float, longitude: float) -> None:
    found = to_grid(latitude, longitude)
    assert found is not None and 1 <= found.zone <= 60 and 100_000 < found.easting < 1_000_000
    back = from_grid(found)
    assert back[0] == pytest.approx(latitude, abs=1e-9)
    assert (back[1] - longitude + 180) % 360 - 180 == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone", "band"),
    [
        (36, -79.9, 17, "S"), (60, 4, 32, "V"), (55.9, 4, 31, "U"), (75, 8.9, 31, "X"), (75, 9, 33, "X"),
        (75, 41, 37, "X"),
        (0, 179.9, 60, "N"), (0, 180, 1, "N"), (-80, -180, 1, "C"), (84, 42, 38, "X"), (-0.1, 0, 31, "M"),
    ],
)  # fmt: skip
def test_zones_and_bands(latitude: float, longitude: float, zone: int, band: str) -> None:
    assert (zone_of(latitude, longitude), band_of(latitude)) == (zone, band)


def test_the_grid_has_an_end() -> None:
    assert to_grid(84.01, 0) is None and to_grid(-80.01, 0) is None
