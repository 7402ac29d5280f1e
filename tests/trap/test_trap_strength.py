"""Where the closed trap gives way: statics of the jaw drawn up apart, bands of places, what is not known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trap_cases import CASES, COIL_CASE, LONG_CASE

from setwright.trap.build import build
from setwright.trap.holding import clamp, pressures
from setwright.trap.loop import limb_angle, loop_at
from setwright.trap.model import Trap
from setwright.trap.strength import (
    BAR,
    CANNOT_TELL,
    EAR,
    EYE,
    LEG,
    OPENS,
    PIN,
    PLACES,
    Stock,
    gives_way,
    stock_of,
)
from setwright.trap.tables import dimensions, limbs, patterns, stock

STEEL = 300e6
STOCK = Stock(
    yield_strength=STEEL, bar_section=6e-8, leg_section=5e-8, eye_side=0.005, eye_thickness=0.003,
    pin_diameter=0.0048, ear_thickness=0.003, ear_edge=0.006,
)  # fmt: skip
TWO_LOOPS = {"coil": COIL_CASE, "long": replace(LONG_CASE, loops=2.0)}


def _hinges(trap: Trap, reach: float, loops: int) -> np.ndarray:
    """Pull of the two hinges on a jaw under 1 N at the middle of its bar, loops at the first leg or at both."""
    half, height = 0.5 * float(trap.face_length), float(trap.height)
    # Unknown: hinge and loop force at the near leg (y = +half), hinge and loop force at the far one.
    rows = [
        [1.0, 1.0, 1.0, 1.0],
        [0.0, reach, 0.0, reach],
        [half, half, -half, -half],
        [0.0, 1.0, 0.0, -1.0] if loops == 2 else [0.0, 0.0, 0.0, 1.0],
    ]
    return np.linalg.solve(np.array(rows), np.array([1.0, height, 0.0, 0.0]))


@pytest.mark.parametrize("loops", [1, 2])
@settings(max_examples=25, deadline=None)
@given(limb=st.floats(0.016, 0.05), edge=st.sampled_from([0.003, 0.006]))
def test_leg_and_pin_by_the_balance_of_the_jaw(loops: int, limb: float, edge: float) -> None:
    trap = replace(LONG_CASE, loops=float(loops))
    reach = float(loop_at(trap, limb_angle(trap, limb)).reach)
    pulls = _hinges(trap, reach, loops)
    at_contact = abs(pulls[0]) * reach
    at_far_corner = abs(pulls[2]) * float(trap.height) if loops == 1 else 0.0
    found = gives_way(trap, replace(STOCK, ear_edge=edge), friction=0.1, limb=limb).by_place
    assert float(found[LEG]) == pytest.approx(5e-8 * STEEL / max(at_contact, at_far_corner), rel=1e-9)
    shear = np.pi * 0.0024**2 * STEEL / np.sqrt(3.0)
    assert float(found[PIN]) == pytest.approx(shear / abs(pulls[0]), rel=1e-9)
    hole = min(0.0048 * 0.003 * STEEL, 2 * edge * 0.003 * STEEL / np.sqrt(3.0))
    assert float(found[EAR]) == pytest.approx(hole / abs(pulls[0]), rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(case=st.sampled_from(sorted(CASES)), width=st.floats(0.0, 0.3))
def test_bar_by_summing_its_load(case: str, width: float) -> None:
    trap = CASES[case]
    span = float(trap.face_length)
    wide = min(width, span)
    middles = (np.arange(20001) + 0.5) / 20001 * wide - 0.5 * wide
    moment = 0.5 * 0.5 * span - float(np.sum(np.where(middles < 0, -middles, 0.0))) / 20001
    found = float(gives_way(trap, STOCK, friction=0.1, limb=0.02, limb_width=width).by_place[BAR])
    assert found == pytest.approx(6e-8 * STEEL / moment, rel=1e-4)


@pytest.mark.parametrize("case", sorted(CASES))
def test_eye_by_the_balance_of_the_loop(case: str) -> None:
    trap = CASES[case]
    loop = loop_at(trap, limb_angle(trap, 0.02))
    load = float(trap.height) / (float(trap.loops) * float(loop.reach))
    normal = np.array([float(loop.sine), -float(loop.cosine)]) * load
    leg = np.array([float(loop.cosine), float(loop.sine)])
    rubbing = leg * (-normal[1] / leg[1])
    pull = float((normal + rubbing)[0])
    assert (normal + rubbing)[1] == pytest.approx(0.0, abs=1e-12), "nothing but the sides of the eye holds it"
    found = float(gives_way(trap, STOCK, friction=0.3, limb=0.02).by_place[EYE])
    assert found == pytest.approx(2 * 0.005 * 0.003 * STEEL / pull, rel=1e-9)


def test_a_loop_that_slides_is_named_before_steel() -> None:
    strong = replace(STOCK, yield_strength=1e12)
    slides = gives_way(COIL_CASE, strong, friction=0.1, limb=0.03)
    assert int(slides.place) == OPENS
    assert float(slides.force) == pytest.approx(float(clamp(COIL_CASE, friction=0.1, limb=0.03).opening_force))
    locked = gives_way(LONG_CASE, strong, friction=0.3, limb=0.016)
    assert np.isinf(locked.by_place[OPENS]) and int(locked.place) == LEG, "what is locked breaks instead"
    assert len(PLACES) == locked.by_place.shape[0]


@settings(max_examples=30, deadline=None)
@given(factor=st.floats(1.01, 3.0), case=st.sampled_from(sorted(TWO_LOOPS)))
def test_stronger_steel_holds_more_by_its_share(factor: float, case: str) -> None:
    trap = TWO_LOOPS[case]
    one = gives_way(trap, STOCK, friction=0.15, limb=0.02)
    two = gives_way(trap, replace(STOCK, yield_strength=factor * STEEL), friction=0.15, limb=0.02)
    np.testing.assert_allclose(two.by_place[1:], factor * one.by_place[1:], rtol=1e-12)
    assert float(two.by_place[OPENS]) == float(one.by_place[OPENS]), "sliding is not a matter of steel"


@pytest.mark.parametrize(("field", "place", "power"), [
    ("leg_thickness", LEG, 2.0), ("face_width", LEG, 1.0), ("leg_thickness", BAR, 2.0),
])  # fmt: skip
def test_powers_of_the_jaw(field: str, place: int, power: float) -> None:
    readings = dimensions("coil-2")
    thicker = replace(readings, **{field: 1.1 * getattr(readings, field)})
    trap = build(readings)
    one, two = (
        gives_way(trap, stock_of(each), friction=0.15, limb=0.02).by_place[place] for each in (readings, thicker)
    )
    assert float(two / one) == pytest.approx(1.1**power, rel=1e-9)


def test_lamination_stiffens_the_bar_and_not_the_leg() -> None:
    plain, strip = (stock_of(dimensions("coil-2", jaws=kind)) for kind in ("regular", "laminated"))
    assert float(strip.bar_section) > 1.3 * float(plain.bar_section)
    assert float(strip.leg_section) == float(plain.leg_section)


def test_a_loop_at_the_bar_loads_neither_leg_nor_pin() -> None:
    low = replace(TWO_LOOPS["long"], height=0.04, free_coordinate=0.2)
    reach = float(loop_at(low, limb_angle(low, 0.001)).reach)
    assert reach > 0.04, "by the tangent alone the ring would stand above the bar"
    found = gives_way(low, STOCK, friction=0.2, limb=0.001)
    assert np.isposinf(found.by_place[[LEG, PIN, EAR]]).all()
    assert int(found.place) == BAR and np.isfinite(found.force)


def test_what_is_not_known_or_not_gripped() -> None:
    found = gives_way(COIL_CASE, replace(STOCK, pin_diameter=np.nan), friction=0.15, limb=0.02)
    assert int(found.place) == CANNOT_TELL and np.isnan(found.force)
    assert np.isfinite(found.by_place[BAR]), "the other places are still told"
    limb = np.array([0.002, 0.02, 0.5, np.nan])
    offset = gives_way(replace(COIL_CASE, offset_gap=0.004), STOCK, friction=0.15, limb=limb)
    assert offset.place.tolist() == [CANNOT_TELL, offset.place[1], CANNOT_TELL, CANNOT_TELL]
    assert np.isfinite(offset.force[1])
    alone = gives_way(replace(COIL_CASE, offset_gap=0.004), STOCK, friction=0.15, limb=0.02)
    assert float(alone.force) == pytest.approx(float(offset.force[1]), rel=1e-12)


@pytest.mark.parametrize("key", patterns().keys())
def test_shares_of_the_table_are_those_of_the_code(key: str) -> None:
    table = stock()
    shares = {
        name: table.number(where, name)
        for where, name in (
            ("eye", "eye_side"), ("eye", "eye_thickness"), ("pin", "pin_diameter"), ("pin", "ear_thickness"),
            ("pin", "ear_edge"), ("bar", "yield_strength"),
        )
    }  # fmt: skip
    readings = dimensions(key)
    for name in Stock.__dataclass_fields__:
        assert getattr(stock_of(readings, **shares), name) == pytest.approx(getattr(stock_of(readings), name))
    found = gives_way(build(readings), stock_of(readings), friction=0.15, limb=0.02, limb_width=0.03)
    assert 50.0 < float(found.force) < 5000.0 and int(found.place) in range(len(PLACES))


@settings(max_examples=40, deadline=None)
@given(radius=st.floats(0.0, 0.004), force=st.floats(10.0, 500.0), width=st.floats(0.005, 0.2))
def test_pressure_by_face_and_by_edge(radius: float, force: float, width: float) -> None:
    found = pressures(COIL_CASE, force, width, edge_radius=radius)
    bears = max(radius, 0.001) * min(width, float(COIL_CASE.face_length))
    assert float(found.edge) == pytest.approx(force / bears), "an edge is never narrower than 1 mm"
    assert float(found.face) == pytest.approx(float(found.edge) * max(radius, 0.001) / 0.0095)
    assert float(found.edge) >= float(found.face)


def test_limbs_from_toe_to_hind_foot_against_an_offset() -> None:
    table = limbs()
    thick = np.array([table.number(key, "thickness") for key in table])
    assert thick.min() == pytest.approx(0.006) and thick.max() > 0.04
    for key in table:
        figure = table.get(key, "thickness")
        assert figure.source.confidence == "assumed" and figure.low < figure.number < figure.high
    gap = 0.00635
    found = clamp(build(replace(dimensions("long-3"), offset_gap=gap)), friction=0.15, limb=thick)
    slides = {key for key, force in zip(table, found.closing_force, strict=True) if force == 0.0}
    assert slides == {"thin-toe", "tail-edge"}, "a toe or a tail on edge lies in a quarter-inch gap and slides"
