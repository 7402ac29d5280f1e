"""What brings an animal under, the cheapest first, each put through the conditions again."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.water import tables
from setwright.water.anchor import SlideHold, drawn_in, holds_slide, lift
from setwright.water.cable import Slide
from setwright.water.cures import Change, Cure, cures
from setwright.water.demand import Demand, goes_under
from setwright.water.profile import Profile
from setwright.water.submersion import breathing_ground, depth_sum, dragged

EVEN = Profile.from_depths([8.0], [3.2])
SLIDE = Slide(-0.5, 0.5, 2.5, 0.3, 0.45)
FRONT = Demand(reach=0.3, nose_height=0.3, fall=0.05)
ANIMALS = ("muskrat", "mink", "otter", "raccoon", "beaver")


def names(found: tuple[Cure, ...]) -> list[Change]:
    return [change for cure in found for change in cure.changes]


def test_a_set_that_holds_needs_no_cure() -> None:
    deep = replace(SLIDE, anchor_x=5.0)
    assert goes_under(EVEN, deep, FRONT).holds
    assert cures(EVEN, deep, FRONT) == ()


def test_cheapest_first_and_each_just_enough() -> None:
    assert not goes_under(EVEN, SLIDE, FRONT).holds
    found = cures(EVEN, SLIDE, FRONT)
    assert names(found) == [Change.CHAIN, Change.STOP, Change.CABLE, Change.HOLE]
    assert names(found) == sorted(names(found), key=list(Change).index)
    for cure in found:
        assert cure.under.holds
        assert -cure.under.shortfall >= 0 or cure.under.spare >= 0
        assert min(cure.under.spare, -cure.under.shortfall) < 3e-3
    chain = found[0]
    assert chain.slide == replace(SLIDE, chain=SLIDE.chain - chain.amounts[0])
    missing = -float(depth_sum(EVEN, SLIDE, reach=0.3, fall=0.05).spare)
    assert chain.amounts[0] == pytest.approx(missing, abs=3e-4)
    assert found[-1].amounts[0] == pytest.approx(missing, abs=0.03)


def test_numbers_behind_a_cure_are_those_of_the_conditions() -> None:
    under = goes_under(EVEN, SLIDE, FRONT)
    assert under.spare == float(depth_sum(EVEN, SLIDE, reach=0.3, fall=0.05).spare)
    assert under.shortfall == breathing_ground(EVEN, SLIDE, 0.3 + SLIDE.chain, 0.3, -0.05).shortfall[0]
    slipping = replace(FRONT, drawn=0.5)
    nearer = dragged(SLIDE, 0.5)
    assert goes_under(EVEN, SLIDE, slipping).spare == float(depth_sum(EVEN, nearer, reach=0.3, fall=0.05).spare)


def test_a_stake_mends_only_what_the_weight_spoils() -> None:
    ledge = Profile.from_depths([1.0, 1.4, 1.5, 6.0], [0.2, 0.2, 1.4, 1.4])
    slide = Slide(-0.5, 2.3, 2.4, 0.1, 0.2)
    slips = replace(FRONT, drawn=0.5)
    assert goes_under(ledge, slide, FRONT).holds and not goes_under(ledge, slide, slips).holds
    found = cures(ledge, slide, slips)
    assert Change.STAKE in names(found)
    assert Change.STAKE not in names(cures(EVEN, SLIDE, FRONT))
    lifted = replace(FRONT, drawn=float("inf"))
    assert goes_under(ledge, slide, lifted).share == 0.0
    assert names(cures(ledge, slide, lifted)) == [Change.STAKE], "no chain and no hole helps a weight that comes up"


def test_a_bank_end_too_low_is_tied_higher() -> None:
    shelf = Profile.from_depths([0.5, 1.0, 1.4, 6.0], [0.05, 0.1, 1.4, 1.6])
    slide = Slide(-0.3, 0.15, 3.2, 0.2, 0.15)
    assert not goes_under(shelf, slide, FRONT).runs
    found = cures(shelf, slide, FRONT)
    assert Change.BANK in names(found)
    tied = next(cure for cure in found if cure.changes == (Change.BANK,))
    lower = replace(slide, stake_z=tied.slide.stake_z - 0.01)
    assert tied.under.runs and not goes_under(shelf, lower, FRONT).runs


def test_two_changes_when_none_is_enough() -> None:
    pool = Profile.from_depths([0.5, 3.0, 4.0], [0.4, 1.2, 1.3])
    slide = Slide(-0.5, 0.5, 2.8, 0.6, 0.6)
    hind = Demand(reach=0.78, nose_height=0.1, fall=0.0)
    found = cures(pool, slide, hind, deepest=0.1)
    assert found and all(len(cure.changes) == 2 and cure.under.holds for cure in found)
    assert found[0].changes[0] is Change.CHAIN
    assert "and" in found[0].say.template
    assert cures(pool, slide, replace(hind, reach=3.0), deepest=0.1) == ()


def test_what_is_not_known_cures_nothing() -> None:
    for demand in (replace(FRONT, fall=float("nan")), replace(FRONT, drawn=float("nan"))):
        under = goes_under(EVEN, SLIDE, demand)
        assert np.isnan(under.share) and not under.holds
    short = Profile.from_depths([2.6], [1.04])
    assert np.isnan(goes_under(short, SLIDE, FRONT).share), "the bed within reach is not sounded to its end"


def test_draws_and_the_share_that_must_hold() -> None:
    falls = np.linspace(0.0, 0.6, 101)
    slide = replace(SLIDE, anchor_x=3.6)
    shares = [goes_under(EVEN, slide, replace(FRONT, fall=falls)).share, goes_under(EVEN, slide, FRONT).share]
    assert 0 < shares[0] < 1 == shares[1]
    needs = [cures(EVEN, slide, replace(FRONT, fall=falls, share=share))[0].amounts[0] for share in (0.8, 0.95, 1.0)]
    assert needs[0] < needs[1] < needs[2]
    most = goes_under(EVEN, slide, replace(FRONT, fall=falls, share=0.8))
    spares = depth_sum(EVEN, slide, reach=0.3, fall=falls).spare
    assert 0.8 <= np.mean(spares >= most.spare) < 0.82
    noses = breathing_ground(EVEN, slide, 0.3 + slide.chain, 0.3, -falls).shortfall
    assert 0.8 <= np.mean(noses <= most.shortfall) < 0.82
    order = np.random.default_rng(4).permutation(falls.size)
    assert goes_under(EVEN, slide, replace(FRONT, fall=falls[order])) == goes_under(
        EVEN, slide, replace(FRONT, fall=falls)
    )


@pytest.mark.parametrize("animal", ANIMALS)
def test_a_hind_foot_needs_more_water_than_a_front_foot(animal: str) -> None:
    table = tables.reaches()
    needed = []
    for foot in ("fore", "hind"):
        key = f"{animal}-{foot}"
        demand = Demand(reach=table.number(key, "reach"), nose_height=table.number(key, "nose_height"), fall=0.1)
        pond = Profile.from_depths([0.3, 12.0], [0.05, 0.06])
        found = cures(pond, Slide(-0.5, 0.6, 3.0, 0.2, 0.3), demand, deepest=4.0)
        hole = next(cure for cure in found if cure.changes[-1] is Change.HOLE)
        needed.append(hole.amounts[-1])
        assert goes_under(hole.profile, hole.slide, demand).holds
    assert needed[1] > needed[0] > 0


@settings(max_examples=25, deadline=None)
@given(st.floats(0.2, 0.9), st.floats(0.0, 0.3), st.floats(0.2, 0.6), st.sampled_from([0.0, 0.4]))
def test_cures_hold_and_a_little_less_does_not(reach: float, fall: float, chain: float, drawn: float) -> None:
    slide = replace(SLIDE, chain=chain)
    demand = Demand(reach=reach, nose_height=0.3, fall=fall, drawn=drawn)
    for cure in cures(EVEN, slide, demand, step=0.1):
        assert goes_under(
            cure.profile, cure.slide, replace(demand, drawn=0.0) if Change.STAKE in cure.changes else demand
        ).holds
        if cure.changes == (Change.CHAIN,):
            longer = replace(cure.slide, chain=cure.slide.chain + 0.01)
            assert not goes_under(EVEN, longer, demand).holds


def test_thirty_pounds_of_concrete_slip_and_eighty_kilograms_of_steel_stay() -> None:
    up, side = float(lift(20.0, 975.0)), 20.0 * 9.80665
    mass = np.array([13.6, 13.6, 80.0])
    density = np.array([2300.0, 2300.0, 7850.0])
    hold = holds_slide(mass, density, [up, 90.0, up], side, 0.5)
    assert drawn_in(hold).tolist() == [0.5, np.inf, 0.0]
    assert np.isnan(drawn_in(SlideHold(np.array(np.nan), np.array(1.0))))
