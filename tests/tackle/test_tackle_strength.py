"""Hooks, wear, rust, cable and the weakest part of a series."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.tackle import tables
from setwright.tackle.strength import Part, cable, corroded, hook_open, series, working_load_machine, worn

wires = st.floats(0.0015, 0.012)
forces = st.floats(100.0, 20e3)


@given(wires, st.floats(1.0, 5.0), st.floats(200e6, 600e6))
def test_a_hook_yields_before_it_opens(wire: float, bend: float, strong: float) -> None:
    first, open_ = (float(x) for x in hook_open(wire, bend * wire, strong))
    assert 0.0 < first < open_
    thick_first, thick_open = (float(x) for x in hook_open(1.2 * wire, bend * wire, strong))
    assert thick_first > first
    assert thick_open == pytest.approx(1.2**3 * open_)
    wide_first, wide_open = (float(x) for x in hook_open(wire, 1.5 * bend * wire, strong))
    assert wide_first < first
    assert wide_open < open_


@given(wires, st.floats(1.0, 4.0), st.floats(200e6, 600e6))
def test_stress_of_a_hook_at_first_yield(wire: float, bend: float, strong: float) -> None:
    first = float(hook_open(wire, bend * wire, strong)[0])
    area, modulus = np.pi * wire**2 / 4.0, np.pi * wire**3 / 32.0
    assert first / area + first * bend * wire / modulus == pytest.approx(strong), "tension and bending make the yield"


@given(wires, st.floats(0.0, 100e-6), st.floats(0.0, 60.0), st.floats(0.1, 20.0))
def test_rust_only_weakens_and_ends_at_nothing(wire: float, rate: float, years: float, more: float) -> None:
    now, later = float(corroded(wire, rate, years)), float(corroded(wire, rate, years + more))
    assert 0.0 <= later <= now <= 1.0
    assert float(corroded(wire, rate, 0.0)) == 1.0
    assert float(corroded(wire, 100e-6, wire / 100e-6)) == 0.0, "rusted through, not stronger again"


@given(wires, st.floats(0.0, 60e-6), st.floats(0.0, 15.0))
def test_a_gauged_link_says_the_same_as_its_rust(wire: float, rate: float, years: float) -> None:
    measured = max(wire - 2.0 * rate * years, 0.0)
    assert float(worn(measured, wire)) == pytest.approx(float(corroded(wire, rate, years)), abs=1e-12)


@given(forces, st.floats(0.3, 1.0), st.floats(0.3, 1.0))
def test_a_cable_is_never_stronger_than_its_ends(strong: float, end: float, kink: float) -> None:
    assert float(cable(strong, end, kink)) <= strong * min(end, kink) * (1 + 1e-12)
    assert float(cable(strong, 1.0)) == strong


@given(st.lists(forces, min_size=1, max_size=6), st.randoms(use_true_random=False))
def test_the_weakest_part_governs_in_any_order(strong: list[float], chance: random.Random) -> None:
    parts = [Part(f"part {number}", force) for number, force in enumerate(strong)]
    mixed = chance.sample(parts, len(parts))
    found, again = series(parts), series(mixed)
    assert float(found.force) == min(strong) == float(again.force)
    assert dict(zip([p.name for p in parts], strong, strict=True))[found.name] == min(strong)


def test_the_weakest_part_of_draws_is_taken_draw_by_draw() -> None:
    found = series([Part("chain", np.array([4.0, 6.0, 8.0])), Part("hook", 5.0, factor=0.9)])
    assert list(found.force) == [4.0, 4.5, 4.5]
    assert found.name == "hook"


def test_a_part_that_nobody_rates_is_named_and_never_counted() -> None:
    found = series(
        [Part("swivel", math.nan, rated=False), Part("chain", 900.0), Part("swivel", math.nan, rated=False)]
    )
    assert found.unrated == ("swivel",)
    assert (found.name, float(found.force)) == ("chain", 900.0)
    none = series([Part("split ring", math.nan, rated=False)])
    assert none.name == ""
    assert np.isnan(none.force)


@given(wires, st.floats(1.1, 3.0))
def test_working_load_goes_with_the_square_of_the_wire(wire: float, more: float) -> None:
    assert float(working_load_machine(more * wire)) == pytest.approx(more**2 * float(working_load_machine(wire)))


def test_the_number_of_a_chain_says_nothing() -> None:
    table = tables.tackle()
    welded, loops = (table.number(key, "breaking") for key in ("machine-2", "double-loop-2"))
    assert loops / welded == pytest.approx(0.354, abs=0.01), "the same number, about a third of the strength"


def test_an_open_hook_is_the_weakest_of_its_size() -> None:
    table = tables.tackle()
    keys = table.keys()
    loads = {key: table.number(key, "working_load") for key in keys if key.endswith("5/16")}
    assert min(loads, key=lambda key: loads[key]) == "s-hook-5/16"


def test_parts_without_a_rating_have_no_figure() -> None:
    table = tables.tackle()
    keys = table.keys()
    unrated = {key for key in keys if table.text(key, "rated") == "no"}
    assert unrated >= {"split-ring", "j-hook", "swivel", "lap-link"}
    for key in unrated:
        assert not {"breaking", "working_load", "efficiency"} & set(table.record(key)), key


def test_nothing_is_expected_to_break_below_its_working_load() -> None:
    table = tables.tackle()
    keys = table.keys()
    for key in keys:
        if table.has(key, "working_load") and table.has(key, "breaking"):
            ratio = table.number(key, "breaking") / table.number(key, "working_load")
            assert 3.9 < ratio < 5.1, f"{key}: breaks at {ratio:.2f} times its working load"


def test_table_hooks_are_those_of_the_formula() -> None:
    table = tables.tackle()
    for key, radius in (("s-hook-4.1", 0.006), ("s-hook-4.8", 0.007), ("s-hook-5.5", 0.008)):
        plastic = float(hook_open(table.number(key, "wire_diameter"), radius, 300e6)[1])
        assert table.number(key, "breaking") == pytest.approx(plastic, rel=2e-3), key
