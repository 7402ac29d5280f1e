"""Patterns row by row, kinds of jaws, readings in place of figures, calibration on measured times."""

from __future__ import annotations

import numpy as np
import pytest

from setwright.basis.errors import BadInput, OutOfRange
from setwright.basis.source import Kind, Quantity, Source
from setwright.trap import tables
from setwright.trap.build import build
from setwright.trap.closing import CLOSES, close
from setwright.trap.model import Dimensions

KEYS = tables.patterns().keys()
COILS = ("coil-1", "coil-1.5", "coil-1.75", "coil-2", "coil-3", "coil-4", "coil-5", "coil-beaver")
LONGS = ("long-0", "long-1", "long-11", "long-2", "long-2-single", "long-3", "long-4")


def _reading(value: float, unit: str = "m") -> Quantity:
    return Quantity(value, unit, Source(Kind.MEASURED, "caliper", "stated"))


def test_every_pattern_is_there_once() -> None:
    assert sorted(KEYS) == sorted(COILS + LONGS)
    assert set(tables.labels()) == set(KEYS)


@pytest.mark.parametrize("key", KEYS)
def test_row_by_row(key: str) -> None:
    table = tables.patterns()
    record = table.record(key)
    for name, figure in record.items():
        assert figure.source.text and figure.source.confidence, f"{key} {name}: no source"
        if figure.text is None and figure.source.kind is Kind.ASSUMED and name != "set_angle":
            assert figure.low is not None and figure.high is not None, f"{key} {name}: an assumed figure has a spread"
            assert figure.low < figure.number < figure.high or name == "arm_taper", f"{key} {name}: spread"
    trap = build(tables.dimensions(key))
    assert float(trap.clearance) > float(np.asarray(trap.loop_clearance)), "the eye clears the leg"
    found = close(trap, friction=0.15)
    assert int(found.state) == CLOSES
    assert 0.010 < float(found.time) < 0.040, "closing of a trap lies between 10 and 40 ms"
    assert 0.005 < float(found.time_to_height(0.03)) < float(found.time)
    length, width, depth = (table.number(key, f"bed_{part}") for part in ("length", "width", "depth"))
    assert length >= width > table.number(key, "spread") and depth > table.number(key, "set_height")
    assert not bool(trap.over_stressed)


def test_neighbours_by_size() -> None:
    for family in (COILS, ("long-0", "long-1", "long-3", "long-4")):
        for name in ("spread", "mass", "bearing_area", "bed_length", "face_width", "leg_thickness", "set_height"):
            values = [tables.patterns().number(key, name) for key in family]
            assert values == sorted(values), f"{name} grows with the size number"


def test_trade_facts_of_size() -> None:
    table = tables.patterns()
    assert table.number("long-11", "spread") == table.number("long-1", "spread"), "an 11 is a 1 with two springs"
    assert table.number("long-11", "springs") == 2.0 and table.number("long-1", "springs") == 1.0
    spreads = [table.number(key, "spread") / 0.0254 for key in COILS]
    assert min(spreads) == pytest.approx(4.0) and max(spreads) == pytest.approx(8.5), "about 4 to 8½ inches"
    assert table.number("long-3", "mass") > table.number("coil-3", "mass"), "a long-spring is the heavier one"
    assert table.number("long-3", "bearing_area") > table.number("coil-3", "bearing_area"), "and floats on more"


def test_single_and_double_of_one_number_share_their_jaws() -> None:
    one, two = tables.dimensions("long-2-single"), tables.dimensions("long-2")
    assert one == tables.dimensions("long-2-single", springs=1)
    assert (one.spread, one.leaf_thickness, one.face_width) == (two.spread, two.leaf_thickness, two.face_width)


@pytest.mark.parametrize(("key", "springs", "kind", "milliseconds"), [
    ("coil-3", 2, "regular", 20.91),
    ("coil-3", 2, "padded", 20.91),
    ("coil-5", 4, "regular", 26.79),
])  # fmt: skip
def test_calibration_on_measured_times(key: str, springs: int, kind: str, milliseconds: float) -> None:
    """Meek, Shorter & Falzon 2019: the default sizes were chosen with these two times in view."""
    found = close(build(tables.dimensions(key, springs=springs, jaws=kind)), friction=0.15)
    assert 1e3 * float(found.time) == pytest.approx(milliseconds, rel=0.2)


def test_jaws_add_their_parts() -> None:
    plain = tables.dimensions("coil-3")
    kinds = tables.jaws().keys()
    for kind in kinds:
        found = tables.dimensions("coil-3", jaws=kind)
        assert found == tables.with_jaws(plain, kind)
        assert found.jaw_kind == kind
        assert tables.with_jaws(found, "regular") == plain, "and give them back"
        assert (float(found.offset_gap) > 0) == ("offset" in kind)
        assert (float(found.lamination_width) > 0) == ("laminated" in kind)
        assert (float(found.pad_thickness) > 0) == ("padded" in kind)
        heavier = build(found).jaw_inertia > build(plain).jaw_inertia
        assert heavier == (kind not in ("regular", "offset")), f"{kind}: inertia"
    with pytest.raises(BadInput):
        tables.with_jaws(plain, "toothed")


def test_readings_take_the_place_of_figures() -> None:
    readings = {
        "spread": _reading(0.14), "wire_diameter": _reading(0.0041), "bearing_area": _reading(0.008, "m**2"),
        "spring_health": _reading(0.9, "one"), "offset_gap": _reading(0.004),
    }  # fmt: skip
    found = tables.dimensions("coil-2", overrides=readings, springs=4, jaws="offset", dogless=True)
    assert (found.spread, found.wire_diameter, found.spring_health) == (0.14, 0.0041, 0.9)
    assert found.offset_gap == 0.004, "a measured gap stands above the usual one"
    assert found.springs == 4 and found.dogless
    assert hash(found) == hash(
        tables.dimensions("coil-2", overrides=readings, springs=4, jaws="offset", dogless=True)
    )


@pytest.mark.parametrize(("overrides", "springs"), [
    ({"spread": _reading(5.375, "one")}, None),
    ({"spread": _reading(5.375)}, None),
    ({"spread": Quantity(None, "m")}, None),
    ({"colour": _reading(1.0)}, None),
    ({}, 1),
    ({}, 3),
])  # fmt: skip
def test_broken_readings_are_refused(overrides: dict[str, Quantity], springs: int | None) -> None:
    with pytest.raises(BadInput):
        tables.dimensions("coil-2", overrides=overrides, springs=springs)


def test_unknown_pattern_names_its_neighbours() -> None:
    with pytest.raises(BadInput, match=r"coil-1\.5"):
        tables.dimensions("coil-1.6")


def test_build_refuses_what_does_not_belong_together() -> None:
    bare = Dimensions(
        family="coil", spread=0.15, face_width=0.009, leg_thickness=0.005, eye_half_opening=0.016,
        loop_clearance=0.004, bevel=0.2,
    )  # fmt: skip
    for wrong in (
        bare,
        Dimensions(**{**bare.__dict__, "springs": 3}),
        Dimensions(**{**bare.__dict__, "family": "net"}),
    ):
        with pytest.raises(OutOfRange):
            build(wrong)


def test_many_designs_at_once() -> None:
    plain = tables.dimensions("coil-3")
    spread = np.linspace(0.14, 0.16, 5)
    many = Dimensions(**{**plain.__dict__, "spread": spread})
    found = close(build(many), friction=0.15)
    assert found.time.shape == (5,)
    one = close(build(Dimensions(**{**plain.__dict__, "spread": float(spread[3])})), friction=0.15)
    assert float(found.time[3]) == pytest.approx(float(one.time), rel=1e-12)
