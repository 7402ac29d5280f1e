"""Weights out and back, trips of the boat, and most carcasses, against sums by hand and trying every packing."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.tables import DATA
from setwright.desk.load import load_shown
from setwright.desk.plan import read_job
from setwright.line.kit import pick_list
from setwright.line.load import PERSON, gear_of, load_of, most_carcasses, trips
from setwright.line.ways_book import Boat

BOOK = DATA / "demo" / "line-book.yaml"


@pytest.fixture(scope="module")
def sets():
    job = read_job(BOOK, draws=4)
    return [(site, job.stated[site.key]) for site in job.sites if site.key in job.stated]


@given(st.lists(st.integers(1, 9), min_size=1, max_size=6))
def test_trips_carry_whole_sets_and_seldom_one_more_than_needed(masses):
    found = trips(masses, 10)
    best = min(
        len(set(choice))
        for choice in product(range(len(masses)), repeat=len(masses))
        if all(sum(m for m, t in zip(masses, choice, strict=True) if t == k) <= 10 for k in set(choice))
    )
    assert best <= found <= 11 * best / 9 + 6 / 9, "first fit, heaviest first: at most 11/9 of the best and 6/9"


def test_a_set_too_heavy_for_any_trip():
    assert trips([12.0, 3.0], 10.0) is None
    assert trips([], 10.0) == 0


def test_most_beavers_by_the_plate():
    assert most_carcasses(100.0, 25.0) == 4 and most_carcasses(99.0, 25.0) == 3 and most_carcasses(-5.0, 25.0) == 0


def test_gear_of_the_demo_sets(sets):
    gear = {one.number: one for one in gear_of(sets)}
    dam = gear[10]
    block = 30 * 0.45359237
    trap = {site.number: rig for site, rig in sets}[10].trap.mass.value
    assert dam.by_boat and dam.mass == pytest.approx(block + trap), "the tree is not carried, the block is"
    assert any("slide cable" in name for name in dam.unknown)


def test_a_boat_is_loaded_by_its_plate(sets):
    kit = pick_list(sets)
    own = sum(item.mass * item.count for item in kit if item.compartment in ("tools", "safety", "paper"))
    boat = Boat.model_validate({"plate": "600 lb", "fittings": "100 lb"})
    found = load_of(sets, kit, boat, 25.0)
    capacity = 500 * 0.45359237 - PERSON - own
    assert found.boat.capacity == pytest.approx(capacity)
    assert found.boat.beavers == int(capacity // 25)
    assert found.boat.trips_filled >= found.boat.trips_empty >= 1
    shown = load_shown(found)
    assert any("Most beavers" in said for said in shown.say) and any("No mass is known" in said for said in shown.say)
    small = load_of(sets, kit, Boat.model_validate({"plate": "150 lb"}), None)
    assert any("leaves nothing" in said for said in load_shown(small).say)
    assert load_of(sets, kit, None, None).boat is None


def test_bags_are_filled_on_site(sets):
    bagged = []
    for site, rig in sets:
        slide = rig.slide
        if slide is not None and slide.deep_anchor is not None:
            slide = replace(slide, deep_anchor=replace(slide.deep_anchor, material="sandbag", mass=30.0))
        bagged.append((site, replace(rig, slide=slide)))
    found = load_of(bagged, pick_list(bagged), Boat.model_validate({"plate": "420 lb"}), None)
    bags = sum(one.fill > 0 for one in gear_of(bagged) if one.by_boat)
    assert found.boat.filled - found.boat.empty == pytest.approx(30.0 * bags)
    assert found.boat.trips_filled > found.boat.trips_empty
    assert any("Fill bags on site" in said for said in load_shown(found).say)
