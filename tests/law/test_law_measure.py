"""Ways of measuring a jaw spread and what they bound of one another."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from law.law_case import INCH
from setwright.basis.errors import BadInput
from setwright.law.measure import METHODS, Jaws, convert_span, spread_by_method

LENGTH = st.floats(0.0, 0.02)
JAWS = st.builds(Jaws, LENGTH, LENGTH, LENGTH, LENGTH)


@pytest.mark.parametrize("method", METHODS)
def test_every_way_by_its_own_name(method):
    low, high = spread_by_method(0.13, 0.01, method)
    assert low <= high
    assert low <= 0.13 + 0.02


def test_sums_of_the_geometry():
    assert spread_by_method(5 * INCH, 3 / 8 * INCH, "outside_across_pan") == pytest.approx((5.75 * INCH,) * 2)
    inside = spread_by_method(5.5 * INCH, None, "inside_gripping_faces", lamination_inside=3 / 16 * INCH)
    assert inside == pytest.approx((5.125 * INCH,) * 2)
    dog = spread_by_method(5.5 * INCH, None, "inside_dog_across_pan", lamination_inside=3 / 16 * INCH)
    assert dog == pytest.approx((5.125 * INCH, 5.5 * INCH)), "the text leaves open whether the strip counts"


def test_plain_jaws_are_the_same_by_both_inside_ways():
    assert spread_by_method(0.13, 0.01, "inside_gripping_faces") == (0.13, 0.13)
    assert spread_by_method(0.13, 0.01, "inside_dog_across_pan") == (0.13, 0.13)


def test_an_unknown_way_is_refused():
    with pytest.raises(BadInput, match="way of measuring"):
        spread_by_method(0.13, 0.01, "by eye")


@given(JAWS, st.floats(0.05, 0.25), st.sampled_from(sorted(METHODS)), st.sampled_from(sorted(METHODS)))
def test_converting_there_contains_what_was_measured(jaws, bare, found, wanted):
    """From any reading that one way allows, the bounds of another hold all that way allows."""
    low, high = spread_by_method(
        bare, jaws.face_width, found, lamination_inside=jaws.lamination_inside,
        lamination_outside=jaws.lamination_outside, double_width=jaws.double_width,
    )  # fmt: skip
    want_low, want_high = spread_by_method(
        bare, jaws.face_width, wanted, lamination_inside=jaws.lamination_inside,
        lamination_outside=jaws.lamination_outside, double_width=jaws.double_width,
    )  # fmt: skip
    if found != wanted:
        got = convert_span(low, high, found, wanted, jaws)
        assert got[0] <= want_low + 1e-12
        assert got[1] >= want_high - 1e-12


@given(st.floats(0.05, 0.25), st.sampled_from(sorted(METHODS)), st.sampled_from(sorted(METHODS)), JAWS)
def test_unknown_bars_only_widen(value, found, wanted, jaws):
    known = convert_span(value, value, found, wanted, jaws)
    vague = convert_span(value, value, found, wanted, Jaws(None, None, None, None))
    assert vague[0] <= known[0] <= known[1] <= vague[1] or found == wanted
