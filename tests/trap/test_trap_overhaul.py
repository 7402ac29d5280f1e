"""Keep, retune, repair or scrap, and what a worn hinge keeps of its strength."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.trap import tables
from setwright.trap.overhaul import (
    ACTS,
    CANNOT_TELL,
    KEEP,
    REPAIR,
    RETUNE,
    SCRAP,
    TOO_LONG,
    Finding,
    below,
    overhaul,
    parts_list,
    strength_left,
)

SOUND = Finding("frame", "straight", KEEP)
OPEN = Finding("rivets", "not looked at", CANNOT_TELL, "nobody looked at its rivets")
FILE = Finding("dog", "rounded", RETUNE, "slips", "file it", (), 600.0)
JAWS = Finding("jaws", "cracked", REPAIR, "may break", "new jaws", (("jaw", 2),), 1500.0)
ENDS = Finding("ends", "worn", REPAIR, "slips out", "new jaws", (("jaw", 2),), 1500.0)
GONE = Finding("frame", "cracked", SCRAP, "cracks on")
MOST = 3600.0


@pytest.mark.parametrize(
    ("found", "verdict"),
    [
        ([SOUND], KEEP),
        ([SOUND, OPEN], CANNOT_TELL),
        ([OPEN, FILE, SOUND], RETUNE),
        ([FILE, JAWS], REPAIR),
        ([JAWS, GONE, OPEN], SCRAP),
    ],
)
def test_the_gravest_finding_decides(found: list[Finding], verdict: str) -> None:
    assert overhaul(found, most_seconds=MOST).verdict == verdict


def test_a_new_pair_of_jaws_mends_worn_ends_and_a_crack_at_once() -> None:
    found = overhaul([JAWS, ENDS, FILE], most_seconds=MOST)
    assert found.parts == (("jaw", 2),)
    assert found.seconds == 2100.0
    assert [one.act for one in found.findings] == [REPAIR, REPAIR, RETUNE]


def test_what_takes_longer_than_the_trap_is_worth_is_scrapped_and_buys_nothing() -> None:
    found = overhaul([JAWS, FILE], most_seconds=2000.0)
    assert (found.verdict, found.why, found.parts, found.seconds) == (SCRAP, TOO_LONG, (), 0.0)
    assert overhaul([JAWS, FILE], most_seconds=2100.0).verdict == REPAIR


def test_parts_of_a_lot_add_up_over_its_traps() -> None:
    rivet = Finding("rivets", "loose", REPAIR, "shears", "peen", (("rivet", 1),), 60.0)
    lot = [overhaul(found, most_seconds=MOST) for found in ([JAWS], [ENDS, rivet], [GONE, JAWS], [SOUND])]
    assert parts_list(lot) == (("jaw", 4), ("rivet", 1))


@given(st.lists(st.sampled_from([SOUND, OPEN, FILE, JAWS, ENDS, GONE]), min_size=1, max_size=8))
def test_keep_needs_every_look_and_more_findings_never_make_a_trap_better(found: list[Finding]) -> None:
    order = (KEEP, CANNOT_TELL, RETUNE, REPAIR, SCRAP)
    told = overhaul(found, most_seconds=1e6).verdict
    assert (told == KEEP) == all(one.act == KEEP for one in found)
    for one in (OPEN, FILE, GONE):
        assert order.index(overhaul([*found, one], most_seconds=1e6).verdict) >= order.index(told)


def test_most_of_the_draws_decide_and_an_even_split_does_not() -> None:
    draws = np.linspace(0.0, 1.0, 101)
    assert below(draws, 0.95, sure=0.9) is True
    assert below(draws, 0.05, sure=0.9) is False
    assert below(draws, 0.5, sure=0.9) is None
    assert below(np.full(10, np.nan), 0.5, sure=0.9) is None
    assert below([0.1, np.nan, np.nan], 0.5, sure=0.9) is None


def test_strength_left_follows_the_area_of_the_pin_and_the_steel_before_the_hole() -> None:
    # Shear by area: half the diameter left carries a quarter (any text on strength of materials, memory).
    assert strength_left(0.002, pin_diameter=0.004, ear_edge=1.0) == pytest.approx(0.25)
    # A pin that cannot wear leaves the frame: half its edge gone, half its strength.
    assert strength_left(0.003, pin_diameter=1.0, ear_edge=0.006) == pytest.approx(0.5, abs=0.007)
    assert strength_left(0.0, pin_diameter=0.004, ear_edge=0.005) == 1.0
    assert strength_left(0.009, pin_diameter=0.004, ear_edge=0.005) == 0.0
    assert np.isnan(strength_left(-0.001, pin_diameter=0.004, ear_edge=0.005))


def test_every_row_of_looks_says_why_and_what_to_do() -> None:
    table = tables.looks()
    parts = {key.split()[0] for key in table if key != "limits"}
    for part in parts:
        words = [key for key in table if key.startswith(f"{part} ")]
        acts = [table.text(key, "act") for key in words]
        assert set(acts) <= set(ACTS) and acts[0] == KEEP and len(set(acts)) > 1, part
        for key in words[1:]:
            assert table.text(key, "why") and table.text(key, "do"), key
            # Work that is called for takes time; a trap that is scrapped takes none.
            assert table.has(key, "minutes") == (table.text(key, "act") in (RETUNE, REPAIR)), key
