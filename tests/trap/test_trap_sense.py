"""Readings that cannot be, slips of unit, sides of a lamination."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.basis.errors import BadInput, OutOfRange
from setwright.basis.source import Kind, Quantity, Source
from setwright.trap import tables
from setwright.trap.build import build, clear_spread
from setwright.trap.holding import clamp
from setwright.trap.sense import Contradiction, contradictions, likely_slip
from setwright.trap.tables import DIMENSION_FIELDS, dimensions

KEYS = tables.patterns().keys()
BROKEN = [
    ("coil-2", {"eye_half_opening": 0.0065}, {"eye_half_opening", "leg_thickness"}),
    ("long-2", {"eye_half_opening": 0.006}, {"eye_half_opening", "leg_thickness"}),
    ("coil-2", {"leg_thickness": 0.0141, "loop_clearance": 0.0072}, {"leg_thickness", "eye_half_opening"}),
    ("coil-2", {"loop_clearance": 0.0023}, {"loop_clearance", "leg_thickness"}),
    ("coil-2", {"lever_length": 0.0055}, {"lever_length", "pivot_drop"}),
    ("coil-2", {"pivot_drop": 0.05}, {"lever_length", "pivot_drop"}),
    ("coil-2", {"coil_diameter": 0.0039}, {"coil_diameter", "wire_diameter"}),
    ("coil-2", {"spread": 0.0055}, {"spread", "leg_thickness"}),
    ("coil-2", {"spread": 0.03, "hinge_half_distance": 0.016}, {"spread", "hinge_half_distance"}),
    ("coil-2", {"offset_gap": 0.0281}, {"offset_gap", "eye_half_opening"}),
    ("coil-2", {"pan_radius": 0.12}, {"pan_radius", "spread"}),
    ("long-2", {"leaf_bend": 0.0014}, {"leaf_bend", "leaf_thickness"}),
    ("long-2", {"leaf_lift": 0.28}, {"leaf_lift", "leaf_arm"}),
]


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize("kind", tables.jaws().keys())
def test_patterns_contradict_nothing(key: str, kind: str) -> None:
    assert contradictions(dimensions(key, jaws=kind)) == ()
    if key.startswith("coil"):
        assert contradictions(dimensions(key, jaws=kind, eye="slot")) == ()


@pytest.mark.parametrize(("key", "changes", "named"), BROKEN, ids=range(len(BROKEN)))
def test_each_contradiction_is_found_with_its_two_readings(
    key: str, changes: dict[str, float], named: set[str]
) -> None:
    readings = replace(dimensions(key), **changes)
    found = contradictions(readings)
    match = [one for one in found if set(one.fields) == named]
    assert match, f"{[one.fields for one in found]}"
    for one in match:
        assert isinstance(one, Contradiction) and len(one.relation.split()) > 4
        assert one.values == tuple(getattr(readings, name) for name in one.fields)


def test_many_designs_name_the_first_that_breaks() -> None:
    readings = replace(dimensions("coil-2"), coil_diameter=np.array([0.016, 0.003, 0.002]))
    (one,) = contradictions(readings)
    assert one.values == (0.003, dimensions("coil-2").wire_diameter)


def test_what_is_missing_contradicts_nothing() -> None:
    readings = replace(dimensions("coil-2"), coil_diameter=None, lever_length=None, pan_radius=None)
    assert contradictions(readings) == ()
    assert contradictions(replace(dimensions("coil-2"), lever_length=float("nan"))) == ()


def _reading(value: float, unit: str = "m") -> Quantity:
    return Quantity(value, unit, Source(Kind.MEASURED, "caliper", "stated"))


def test_a_file_with_a_contradiction_is_refused_with_both_names() -> None:
    with pytest.raises(BadInput) as caught:
        dimensions("coil-2", overrides={"coil_diameter": _reading(0.0041), "wire_diameter": _reading(0.0042)})
    text = str(caught.value)
    assert "coil_diameter" in text and "wire_diameter" in text and "0.0041" in text


@pytest.mark.parametrize(("field", "value", "word"), [
    ("spread", 4.9, "inches may stand where metres"),
    ("spread", 124.0, "millimetres may stand where metres"),
    ("spread", 124.0 * 0.0254, "millimetres may stand where inches"),
    ("spread", 4.875e-3, "inches may stand where millimetres"),
    ("spread", 12.4e-3, "centimetres may stand where millimetres"),
    ("spread", 0.124e-3, "metres may stand where millimetres"),
    ("wire_diameter", 0.0343, "millimetres may stand where centimetres"),
    ("bevel", 14.0, "degrees may stand where radians"),
    ("spring_rate", 3.0, "newtons per millimetre"),
    ("mass", 700.0, "grams may stand where kilograms"),
])  # fmt: skip
def test_the_likely_slip(field: str, value: float, word: str) -> None:
    span = DIMENSION_FIELDS[field]
    found = likely_slip(field, value, span.low, span.high)
    assert found is not None and word in found
    with pytest.raises(BadInput, match=word.split()[0]):
        dimensions("coil-2", overrides={field: _reading(value, span.unit)})


def test_forces_and_their_slips() -> None:
    assert "pounds may stand where newtons" in str(likely_slip("trip_force", 3.0, 5.0, 40.0))
    assert "newtons may stand where pounds" in str(likely_slip("force", 12.0 * 4.4482216152605, 5.0, 40.0))
    assert "radians may stand where degrees" in str(likely_slip("x", np.radians(0.9), 0.3, 1.5, unit="rad"))


def test_no_slip_where_nothing_fits() -> None:
    assert likely_slip("spread", 0.12, 0.05, 0.5) is None, "in its range"
    assert likely_slip("spread", 1e9, 0.05, 0.5) is None
    assert likely_slip("spread", float("nan"), 0.05, 0.5) is None
    assert likely_slip("spread", 0.0, 0.05, 0.5) is None
    assert likely_slip("coil_turns", 100.0, 1.0, 40.0) is None, "a count has no unit to slip"


@pytest.mark.parametrize("key", ["coil-1.5", "long-2"])
def test_side_of_a_lamination(key: str) -> None:
    plain, none, inside, outside = (
        dimensions(key, jaws=kind) for kind in ("regular", "laminated", "laminated inside", "laminated outside")
    )
    jaws = [build(each) for each in (plain, none, inside, outside)]
    inertia = [float(each.jaw_inertia) for each in jaws]
    assert inertia[0] < inertia[2] < inertia[1] < inertia[3], "a strip further out weighs more"
    strip = 7850.0 * none.lamination_width * none.lamination_thickness * 0.8 * float(jaws[1].face_length)
    height, half = float(jaws[1].height), 0.5 * (none.face_width + none.lamination_width)
    for found, radius in zip(inertia[1:], (height, height - half, height + half), strict=True):
        assert found - inertia[0] == pytest.approx(strip * radius**2, rel=1e-9)
    moments = [float(each.weight_moment) for each in jaws]
    assert moments[3] - moments[2] == pytest.approx(strip * 9.80665 * 2 * half, rel=1e-9)
    assert float(jaws[2].face_width) == float(jaws[3].face_width) == float(jaws[1].face_width)
    grips = [float(clamp(each, friction=0.15, limb=0.02).closing_force) for each in jaws[1:]]
    assert grips[0] == grips[1] == grips[2], "the clamp is that of the jaws"


def test_clear_spread() -> None:
    plain, none, inside, outside = (
        dimensions("coil-2", jaws=kind) for kind in ("regular", "laminated", "laminated inside", "laminated outside")
    )
    assert float(clear_spread(plain)) == plain.spread == float(clear_spread(outside))
    assert float(clear_spread(inside)) == pytest.approx(plain.spread - 2 * 0.00635)
    assert np.isnan(clear_spread(none)), "which side is not known"
    assert dimensions("coil-2", jaws="laminated", lamination_side="inside").lamination_side == "inside"
    with pytest.raises(OutOfRange):
        build(replace(inside, lamination_side="front"))
