"""Kinds of readings, their errors, what designs show of them, and the priors behind."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from calibrate_cases import DOWEL, unknowns, usual_trap
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.basis.source import Quantity
from setwright.basis.spread import Z95
from setwright.trap import tables
from setwright.trap.build import build
from setwright.trap.closing import close
from setwright.trap.forward import misfits, predict
from setwright.trap.holding import bevel_from_empty_lever, clamp
from setwright.trap.readings import AT_LEAST, KINDS, Reading, ReadingError, check_family, not_read, stated
from setwright.trap.unknowns import Unknown, design_of, unknowns_of


@given(
    low=st.floats(0.5, 0.99), high=st.floats(1.01, 1.8), logarithmic=st.booleans(),
    scores=st.sets(st.integers(-500, 500), min_size=2, max_size=8),
)  # fmt: skip
def test_prior_keeps_its_points_and_rises(low: float, high: float, logarithmic: bool, scores: set[int]) -> None:
    one = Unknown("any", 1.0, low, high, logarithmic)
    assert float(one.value(np.array(0.0))) == pytest.approx(1.0)
    sides = (1.0 - low, high - 1.0) if not logarithmic else (-np.log(low), np.log(high))
    if 0.2 <= sides[0] / sides[1] <= 5.0:
        assert one.value(np.array([-Z95, Z95])) == pytest.approx([low, high], rel=1e-9)
    assert (np.diff(one.value(0.01 * np.sort(list(scores)))) > 0).all()


@pytest.mark.parametrize("key", ["coil-1.5", "coil-3", "long-11", "long-2"])
def test_median_of_the_prior_is_the_pattern(key: str) -> None:
    plain, found = build(tables.dimensions(key)), usual_trap(key).trap
    for name in ("height", "jaw_inertia", "weight_moment", "spring_rate", "free_coordinate", "loop_clearance"):
        assert float(getattr(found, name)[0]) == pytest.approx(float(np.asarray(getattr(plain, name))), rel=1e-9)
    assert float(np.asarray(usual_trap(key).dimensions.mass)[0]) == pytest.approx(
        tables.patterns().number(key, "mass")
    )


def test_every_kind_has_an_error_and_a_label() -> None:
    assert set(tables.reading_errors()) == set(KINDS)
    for kind, about in KINDS.items():
        assert tables.readings().text(kind, "label") and about.says
        one = tables.reading_errors()[kind]
        assert one.fixed > 0 or one.share > 0
        if about.unit == "N":
            assert about.caution, f"{kind}: a pull on a spring has its caution"


def test_error_of_a_video_by_its_frames() -> None:
    """Two instants, each even within a frame: the variance of their difference is 2/12 of a frame squared."""
    rate = 240.0
    ends = np.random.default_rng(4).uniform(0.0, 1.0 / rate, (2, 200_000))
    assert ReadingError(0.0, 0.0).sd(0.02, rate) == pytest.approx(float(np.std(ends[1] - ends[0])), rel=0.01)
    assert ReadingError(3.0, 0.1).sd(40.0) == pytest.approx(5.0)


def test_spread_by_the_stated_method() -> None:
    design = usual_trap("coil-3")
    kinds = ("spread", "spread at the widest", "spread outside", "jaw_height", "eye_opening", "coil_outside")
    found = predict(design, [Reading(kind, 1.0, 1.0) for kind in kinds])[0]
    assert found == pytest.approx([0.1524, 0.1524, 0.1524 + 2 * 0.0095, 0.0762 - 0.003, 0.032, 0.0225])


def test_forces_of_the_lever_are_those_of_the_spring() -> None:
    design = usual_trap("coil-3")
    trap = design.trap
    held = Reading("lever_force", 1.0, 1.0, lever_angle=0.5, distance=0.03)
    rise = 0.048 * np.sin(0.5)
    by_height = Reading("lever_force", 1.0, 1.0, eye_height=0.02 + rise, base_height=0.02, distance=0.03)
    torque = float(trap.spring_rate[0] * (trap.free_coordinate[0] - 0.5))
    assert predict(design, [held, by_height])[0] == pytest.approx(torque / (0.03 * np.cos(0.5)))
    four = unknowns_of(tables.dimensions("coil-3", springs=4), tables.priors("coil-3"))
    double = predict(design_of(four, np.zeros((1, four.size))), [held, Reading("spring_rate", 1.0, 1.0)])[0]
    single = predict(design, [held, Reading("spring_rate", 1.0, 1.0)])[0]
    assert double[0] == pytest.approx(2.0 * single[0]), "two coils on one lever"
    assert double[1] == pytest.approx(single[1]), "the rate of one spring stays"
    eye = Reading("lever_force", 1.0, 1.0, eye_height=0.03, base_height=0.01)
    leaf = usual_trap("long-1").trap
    assert predict(usual_trap("long-1"), [eye])[0, 0] == pytest.approx(
        float(leaf.spring_rate[0] * (leaf.free_coordinate[0] - 0.02))
    )


@pytest.mark.parametrize("key", ["coil-3", "coil-1.5", "long-1", "long-2"])
def test_opening_force_is_that_of_the_clamp(key: str) -> None:
    scores = np.random.default_rng(2).standard_normal((60, unknowns(key).size))
    design = design_of(unknowns(key), scores)
    found = predict(design, [Reading("opening_force", 1.0, 1.0, dowel=DOWEL)])[:, 0]
    grip = clamp(design.trap, friction=design.friction, limb=DOWEL)
    there = ~np.isnan(found)
    assert np.isinf(found[there]).tolist() == grip.locked[there].tolist()
    assert found[there] == pytest.approx(grip.opening_force[there], rel=1e-9)
    assert (grip.opening_force[~there] == 0.0).all(), "a lever past the upright holds nothing"


@pytest.mark.parametrize("key", ["coil-3", "long-1"])
def test_creep_asks_for_no_press_at_the_opening_force(key: str) -> None:
    design = usual_trap(key)
    opening = float(predict(design, [Reading("opening_force", 1.0, 1.0, dowel=DOWEL)])[0, 0])
    pulls = [Reading("creep_force", 1.0, 1.0, dowel=DOWEL, bar_force=share * opening) for share in (1e-9, 0.5, 1.0)]
    none, half, full = predict(design, pulls)[0].tolist()
    assert abs(full) < 1e-6 * none
    assert half == pytest.approx(0.5 * none), "the press falls in step with the pull on the bars"


def test_a_locked_trap_asks_for_more_press_the_harder_its_bars_are_pulled() -> None:
    trap = usual_trap("long-2")
    locked = replace(trap, friction=np.array([0.4]))
    pulls = [Reading("creep_force", 1.0, 1.0, dowel=0.012, bar_force=pull) for pull in (1.0, 100.0)]
    few, many = predict(locked, pulls)[0].tolist()
    assert np.isinf(predict(locked, [Reading("opening_force", 1.0, 1.0, dowel=0.012)])[0, 0])
    assert many > few > 0.0


def test_empty_lever_gives_its_bevel_back() -> None:
    design = usual_trap("coil-1.5")
    angle = predict(design, [Reading("empty_lever_angle", 1.0, 1.0)])[0]
    assert float(np.degrees(angle[0])) < 85.0, "jaws end the way of this lever, not the vertical"
    found = bevel_from_empty_lever(design.trap, angle)
    assert float(found[0]) == pytest.approx(float(np.asarray(design.trap.bevel)[0]), abs=0.01)


def test_closing_time_is_that_of_the_motion_times_its_factor() -> None:
    design = replace(usual_trap("coil-3"), time_factor=np.array([1.1]))
    timed = Reading("closing_time", 0.02, 1e-3, frame_rate=1000.0)
    found = predict(design, [timed], nodes=201)[0, 0]
    assert found == pytest.approx(
        1.1 * float(close(design.trap, friction=design.friction, nodes=401).time[0]), rel=1e-5
    )
    quick = predict(design, [timed])[0, 0]
    assert quick == pytest.approx(found, rel=5e-4), "few nodes are enough for a reading"


def test_a_bound_presses_one_way_only() -> None:
    design = usual_trap("coil-3")
    opening = float(predict(design, [Reading("opening_force", 1.0, 1.0, dowel=DOWEL)])[0, 0])
    low, at, high = (
        float(misfits(design, [Reading("opening_force", share * opening, 5.0, AT_LEAST, dowel=DOWEL)])[0, 0])
        for share in (0.7, 1.0, 1.4)
    )
    assert low < 0.01 and high > 3.0
    assert at == pytest.approx(np.sqrt(2.0 * np.log(2.0))), "a half chance"


def test_split_of_the_error_of_closing_time() -> None:
    """A factor of 0.75 to 1.35 in all, less in squares what the dimensions of coil-springs scatter by."""
    total = np.log(1.35 / 0.75) / (2.0 * Z95)
    timed = [Reading("closing_time", 0.02, 1e-3, frame_rate=1000.0)]
    left = []
    for key in ("coil-1", "coil-1.5", "coil-3", "coil-5"):
        scores = np.random.default_rng(1).standard_normal((1500, unknowns(key).size))
        scores[:, unknowns(key).names.index("time_factor")] = 0.0
        explained = float(np.std(np.log(predict(design_of(unknowns(key), scores), timed))))
        left.append(np.sqrt(total**2 - explained**2))
    row = tables.priors("coil-3")["time_factor"]
    assert np.log(row.high / row.low) / (2.0 * Z95) == pytest.approx(float(np.mean(left)), rel=0.05)


def test_stated_figures_become_readings() -> None:
    errors = tables.reading_errors()
    found = stated({
        "spread": Quantity(0.15, "m", low=0.149, high=0.151), "eye_half_opening": Quantity(0.016, "m"),
        "offset_gap": Quantity(0.005, "m"), "wire_diameter": Quantity(None, "m"),
        "coil_leg": Quantity(0.03, "m"),
    }, errors)  # fmt: skip
    by_kind = {one.kind: one for one in found}
    assert set(by_kind) == {"spread", "eye_opening"}
    assert by_kind["spread"].sd == pytest.approx(0.001 / Z95)
    assert by_kind["eye_opening"].value == 0.032 and by_kind["eye_opening"].sd == errors["eye_opening"].sd(0.032)
    rest = not_read({"coil_leg": Quantity(0.03, "m"), "spread": Quantity(0.15, "m")})
    assert list(rest) == ["coil_leg"]
    exact = unknowns_of(tables.dimensions("coil-3"), {**tables.priors("coil-3"), **rest})
    assert exact.fixed["coil_leg"] == 0.03 and "coil_leg" not in exact.names


@pytest.mark.parametrize("broken", [
    {"kind": "colour", "value": 1.0, "sd": 1.0},
    {"kind": "spread", "value": -0.1, "sd": 1e-3},
    {"kind": "spread", "value": float("nan"), "sd": 1e-3},
    {"kind": "spread", "value": 0.1, "sd": 0.0},
    {"kind": "opening_force", "value": 100.0, "sd": 5.0},
    {"kind": "opening_force", "value": 100.0, "sd": 5.0, "dowel": 0.02, "bound": "at most"},
    {"kind": "lever_force", "value": 100.0, "sd": 5.0, "eye_height": 0.02},
    {"kind": "closing_time", "value": 0.02, "sd": 1e-3},
])  # fmt: skip
def test_broken_readings_are_refused(broken: dict[str, Any]) -> None:
    with pytest.raises(OutOfRange):
        Reading(**broken)


@pytest.mark.parametrize(("key", "reading"), [
    ("long-1", Reading("wire_diameter", 0.004, 1e-4)),
    ("coil-3", Reading("leaf_lift", 0.06, 2e-3)),
    ("long-1", Reading("lever_force", 100.0, 5.0, lever_angle=0.5)),
])  # fmt: skip
def test_readings_of_another_family_are_refused(key: str, reading: Reading) -> None:
    with pytest.raises(OutOfRange):
        check_family(reading, tables.dimensions(key))
