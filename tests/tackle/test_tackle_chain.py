"""Which chain, how strong by grade, how stiff; hooks, rings and rivets; rust by stays."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.tackle import tables
from setwright.tackle.bent import bend_factor, hook_yield, ring_open, rivet_load
from setwright.tackle.chain import chain_stiffness, graded_breaking, link_stiffness
from setwright.tackle.rust import Stay, rusted_wire, zinc_life
from setwright.tackle.strength import corroded, hook_open, worn

wires = st.floats(0.0015, 0.012)


def test_a_number_without_a_wire_is_refused_with_both_its_meanings() -> None:
    with pytest.raises(BadInput) as caught:
        tables.chain_of("No. 2", None)
    assert caught.value.field == "wire"
    for words in ("3.76 mm", "2.31 mm", "welded machine", "double-loop", "5783 N", "2046 N"):
        assert words in str(caught.value)


def test_a_number_with_its_wire_is_one_chain() -> None:
    assert tables.chain_of("2", 0.00370).key == "machine-2"
    assert tables.chain_of("2", 0.00235).key == "double-loop-2"
    assert tables.chain_of("2/0", None).key == "machine-2/0", "this number means one chain only"


@pytest.mark.parametrize(
    ("number", "wire", "field", "words"),
    [
        ("2", 0.0030, "wire", "3.00 mm"),
        ("2", -0.003, "wire", "positive"),
        ("2", float("nan"), "wire", "positive"),
        ("17", 0.003, "number", "5/0"),
    ],
)
def test_a_wrong_wire_or_number_is_named(number: str, wire: float, field: str, words: str) -> None:
    with pytest.raises(BadInput) as caught:
        tables.chain_of(number, wire)
    assert caught.value.field == field
    assert words in str(caught.value)


def test_an_unknown_part_is_told_with_its_near_names() -> None:
    with pytest.raises(BadInput) as caught:
        tables.tackle().record("swivel-inline")
    assert "swivel-in-line" in str(caught.value)


@pytest.mark.parametrize("call", [
    lambda: worn(-0.003, 0.004),
    lambda: corroded(0.004, -1e-6, 3.0),
    lambda: corroded(0.004, 1e-6, [1.0, -2.0]),
    lambda: zinc_life(-1e-6),
    lambda: rusted_wire(0.004, [Stay(-1.0, 1e-5)]),
    lambda: rusted_wire(0.004, [Stay(1.0, float("nan"))]),
])  # fmt: skip
def test_negative_wear_is_refused(call: object) -> None:
    assert callable(call)
    with pytest.raises(BadInput, match="0 or more"):
        call()


@given(wires, st.floats(1.1, 3.0))
def test_grade_and_wire(wire: float, more: float) -> None:
    assert float(graded_breaking(wire, 80)) == pytest.approx(float(graded_breaking(wire, 30)) * 8 / 3)
    assert float(graded_breaking(more * wire, 30)) == pytest.approx(more**2 * float(graded_breaking(wire, 30)))


@given(wires, st.floats(1.8, 4.0), st.floats(0.0, 4.0), st.floats(1.05, 2.0))
def test_a_link_is_softer_when_longer_or_wider_and_stiffer_when_thicker(
    wire: float, wide: float, straight: float, more: float
) -> None:
    width, legs = wide * wire, straight * wire
    stiff = float(link_stiffness(wire, width, legs))
    assert float(link_stiffness(wire, more * width, legs)) < stiff
    assert float(link_stiffness(more * wire, width, legs)) > stiff
    assert float(link_stiffness(more * wire, more * width, more * legs)) == pytest.approx(more * stiff), "scale"
    legs_only = 2.0 * 200e9 * np.pi * wire**2 / 4.0 / legs if legs else np.inf
    assert stiff < legs_only


def test_a_link_against_a_frame_of_small_beams() -> None:
    """A quarter of the link as a curved cantilever: moments summed over many short pieces."""
    wire, width, straight, young = 0.00376, 0.0085, 0.012, 200e9
    r, inertia = width / 2, np.pi * wire**4 / 64
    phi = (np.arange(20_000) + 0.5) / 20_000 * np.pi / 2
    piece = r * np.pi / 2 / 20_000
    arm = -0.5 * r * (1 - np.cos(phi))
    flexible = straight / 2 + r * np.pi / 2
    moment = -np.sum(arm * piece) / flexible
    bent = np.sum((moment + arm) ** 2 * piece) + moment**2 * straight / 2
    give = 4 * bent / (young * inertia) + straight / (2 * young * np.pi * wire**2 / 4)
    assert float(link_stiffness(wire, width, straight)) == pytest.approx(1 / give, rel=1e-6)


def test_chain_is_stiff_beside_the_animal() -> None:
    link = link_stiffness(0.00376, 0.0085, 0.012)
    chain = chain_stiffness(link, np.array([0.3, 1.5]), 0.0165)
    assert chain[0] / chain[1] == pytest.approx(5.0)
    assert chain.min() > 100 * 4200.0, "the body of a coyote has 4.2 kN/m"


@given(wires, st.floats(0.55, 12.0), st.floats(200e6, 600e6))
def test_a_thick_bend_yields_sooner(wire: float, bend: float, strong: float) -> None:
    radius = bend * wire
    assert float(hook_yield(wire, radius, strong)) < float(hook_open(wire, radius, strong)[0])
    assert float(bend_factor(wire, radius)) > 1.0
    assert np.isnan(bend_factor(wire, 0.49 * wire))


def test_a_wide_bend_is_a_straight_beam() -> None:
    assert float(bend_factor(1.0, 500.0)) == pytest.approx(1.0, abs=2e-3)


@given(wires, st.floats(1.0, 6.0), st.floats(200e6, 600e6))
def test_a_closed_ring_is_about_four_open_hooks(wire: float, bend: float, strong: float) -> None:
    first, collapse = (float(x) for x in ring_open(wire, bend * wire, strong))
    plastic = float(hook_open(wire, bend * wire, strong)[1])
    assert first < collapse and 3.0 * plastic < collapse <= 4.0 * plastic
    side = collapse / 2
    moment = strong * wire**3 / 6 * (1 - (side / (strong * np.pi * wire**2 / 4)) ** 2)
    assert side * bend * wire == pytest.approx(strong * wire**3 / 6 + moment), "hinges and load do the same work"


def test_closed_hooks_of_the_table_are_those_of_the_formula() -> None:
    for wire, radius in ((4.1, 6), (4.8, 7), (5.5, 8)):
        shut = tables.tackle().number(f"s-hook-{wire}-closed", "breaking")
        assert shut == pytest.approx(float(ring_open(wire / 1e3, radius / 1e3, 300e6)[1]), rel=1e-3)
        assert shut > 3.5 * tables.tackle().number(f"s-hook-{wire}", "breaking")


def test_a_rivet_shears_or_its_plate_tears() -> None:
    thick, tears = rivet_load(0.005, [1, 2], 0.004, 400e6, 400e6)
    assert not tears[0] and thick[1] > thick[0]
    thin, torn = rivet_load(0.005, 2, 0.001, 400e6, 400e6)
    assert torn and float(thin) == pytest.approx(1.5 * 400e6 * 0.005 * 0.001)


@given(st.lists(st.tuples(st.floats(0.0, 8.0), st.floats(0.0, 80e-6)), max_size=5), wires)
def test_stays_of_bare_steel_add_up_in_any_order(found: list[tuple[float, float]], wire: float) -> None:
    stays = [Stay(*one) for one in found]
    lost = 2.0 * sum(stay.years * stay.rate for stay in stays)
    assert float(rusted_wire(wire, stays)) == pytest.approx(max(wire - lost, 0.0), abs=1e-12)
    assert float(rusted_wire(wire, stays)) == pytest.approx(float(rusted_wire(wire, stays[::-1])), abs=1e-12)
    assert rusted_wire(wire, stays, 90e-6) >= rusted_wire(wire, stays) - 1e-15


def test_zinc_goes_before_steel() -> None:
    life = float(zinc_life(60e-6))
    assert float(rusted_wire(0.004, [Stay(life, 75e-6, "splash")], 60e-6)) == 0.004
    assert float(rusted_wire(0.004, [Stay(life, 75e-6), Stay(1.0, 35e-6)], 60e-6)) == pytest.approx(0.004 - 70e-6)
    assert float(zinc_life(15e-6)) == pytest.approx(1.0), "inside the first two years"


def test_places_and_cures_of_the_tables() -> None:
    rust, cures = tables.rust(), tables.cures()
    assert rust.number("splash", "rate") > rust.number("air", "rate") > rust.number("mild-ground", "rate")
    for key in cures:
        assert 60.0 <= cures.number(key, "work") <= 1800.0, key
        assert cures.get(key, "work").source.kind.value == "assumed", key
