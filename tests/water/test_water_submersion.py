"""Course of the cable, sum at the stop, breathing ground, fixes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.water import tables
from setwright.water.profile import Profile, bed
from setwright.water.submersion import (
    Slide,
    bank_end_needed,
    breathing_ground,
    cable_path,
    cable_run,
    depth_sum,
    dragged,
    lock_point,
    shortest_fix,
    slope_ok,
    weight_alone,
)

FOOT = 0.3048
EVEN = Profile(np.array([0.0, 6.0]), np.array([0.0, -2.4]))
STRAIGHT = Slide(stake_x=-1.0, stake_z=0.6, anchor_x=3.0, stop_length=0.5, chain=0.25)

depth_steps = st.lists(st.floats(0.0, 0.6), min_size=4, max_size=8)


def profile_of(steps: list[float]) -> Profile:
    return Profile.from_depths(0.5 * np.arange(1, len(steps) + 1), np.cumsum(steps))


def slide_on(profile: Profile) -> Slide:
    return Slide(-0.5, 0.4, profile.outermost - 0.4, 0.2, 0.25)


def spare(profile: Profile, slide: Slide, **more: float) -> float:
    return float(depth_sum(profile, slide, reach=0.3, **more).spare)


def test_soundings_in_any_order_with_the_edge_put_in() -> None:
    profile = Profile.from_depths([2.0, 1.0], [0.9, 0.3])
    assert profile.x.tolist() == [0.0, 1.0, 2.0]
    assert profile.z.tolist() == [0.0, -0.3, -0.9]
    assert Profile.from_depths([0.0, 1.0], [0.2, 0.3]).z.tolist() == [-0.2, -0.3]
    assert bed(profile, [1.5]) == pytest.approx(-0.6)
    assert np.isnan(bed(profile, [-0.1, 2.1])).all()


@pytest.mark.parametrize(
    ("out", "down"), [([1.0, 1.0], [0.1, 0.2]), ([1.0], [0.1, 0.2]), ([], []), ([1.0], [np.nan]), ([0.0], [0.2])]
)
def test_soundings_that_cannot_be(out: list[float], down: list[float]) -> None:
    with pytest.raises(OutOfRange):
        Profile.from_depths(out, down)


@pytest.mark.parametrize("wrong", [{"chain": -0.1}, {"stop_length": -1.0}, {"anchor_x": -2.0}, {"anchor_up": -1.0}])
def test_a_slide_that_cannot_be(wrong: dict[str, float]) -> None:
    with pytest.raises(OutOfRange):
        replace(STRAIGHT, **wrong)


def test_lock_lies_on_the_cable_the_stop_length_from_the_anchor() -> None:
    lock = lock_point(EVEN, STRAIGHT)
    anchor = np.array([3.0, -1.2])
    assert np.hypot(*(anchor - np.array(lock))) == pytest.approx(0.5)
    run = (np.array([-1.0, 0.6]) - anchor) / np.hypot(4.0, 1.8)
    assert np.allclose(np.array(lock), anchor + 0.5 * run)


def test_lock_is_unknown_outside_the_soundings() -> None:
    for slide in (replace(STRAIGHT, anchor_x=7.0), replace(STRAIGHT, stop_length=9.0)):
        assert np.isnan(lock_point(EVEN, slide)).all()
        assert np.isnan(depth_sum(EVEN, slide, reach=[0.3, 0.4]).spare).all()
        ground = breathing_ground(EVEN, slide, [0.5, 0.6], 0.3, 0.0)
        assert np.isnan(ground.shortfall).all() and not ground.sounded.any()
        assert not slope_ok(EVEN, slide)
        assert np.isnan(bank_end_needed(EVEN, slide))


@given(depth_steps, st.floats(0.0, 0.5), st.floats(0.0, 0.5))
def test_more_fall_or_wave_never_helps(steps: list[float], fall: float, more: float) -> None:
    profile = profile_of(steps)
    slide = slide_on(profile)
    assert spare(profile, slide, fall=fall + more) <= spare(profile, slide, fall=fall) + 1e-12
    assert spare(profile, slide, wave=fall + more) <= spare(profile, slide, wave=fall) + 1e-12
    ground = [breathing_ground(profile, slide, 0.6, 0.4, -low).shortfall[0] for low in (fall, fall + more)]
    assert ground[1] >= ground[0] - 1e-12


@given(depth_steps, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_longer_chain_never_helps(steps: list[float], chain: float, more: float) -> None:
    profile = profile_of(steps)
    short = replace(slide_on(profile), chain=chain)
    long = replace(short, chain=chain + more)
    assert spare(profile, long) <= spare(profile, short) + 1e-12
    reach = [breathing_ground(profile, slide, 0.3 + slide.chain, 0.4, 0.0).shortfall[0] for slide in (short, long)]
    assert reach[1] >= reach[0] - 1e-12


@given(depth_steps, st.floats(0.0, 1.0))
def test_deeper_water_is_better(steps: list[float], deeper: float) -> None:
    profile = profile_of(steps)
    lower = Profile(profile.x, profile.z - deeper * (profile.x > 0))
    slide = slide_on(profile)
    assert spare(lower, slide) >= spare(profile, slide) - 1e-9


@given(depth_steps, st.floats(-5.0, 5.0))
def test_moved_along_nothing_changes(steps: list[float], shift: float) -> None:
    profile = profile_of(steps)
    slide = slide_on(profile)
    there = Profile(profile.x + shift, profile.z)
    moved = replace(slide, stake_x=slide.stake_x + shift, anchor_x=slide.anchor_x + shift)
    assert spare(there, moved) == pytest.approx(spare(profile, slide), abs=1e-6)
    here = breathing_ground(profile, slide, 0.6, 0.4, -0.1)
    there_ground = breathing_ground(there, moved, 0.6, 0.4, -0.1)
    assert there_ground.shortfall[0] == pytest.approx(here.shortfall[0], abs=1e-6)


@given(depth_steps, st.floats(-0.5, 0.5))
def test_level_and_bed_moved_up_together(steps: list[float], shift: float) -> None:
    profile = profile_of(steps)
    slide = slide_on(profile)
    up = Profile(profile.x, profile.z + shift)
    raised = replace(slide, stake_z=slide.stake_z + shift)
    assert spare(up, raised) == pytest.approx(spare(profile, slide) - shift, abs=1e-9)


@given(depth_steps)
def test_cable_never_runs_under_the_bed(steps: list[float]) -> None:
    profile = profile_of(steps)
    x, z = cable_path(profile, slide_on(profile))
    at = np.linspace(max(float(profile.x[0]), x[0]), x[-1], 200)
    assert np.all(np.interp(at, x, z) >= bed(profile, at) - 1e-9)
    assert np.all(np.diff(np.diff(z) / np.diff(x)) < 1e-9), "a tight cable bends one way only"


@given(depth_steps, st.floats(0.3, 1.2), st.floats(0.1, 0.8), st.floats(-0.4, 0.4))
def test_breathing_ground_matches_a_dense_search(steps: list[float], reach: float, nose: float, low: float) -> None:
    profile = profile_of(steps)
    slide = slide_on(profile)
    lock = lock_point(profile, slide)
    assume(lock.x - reach > 0)
    at = np.linspace(lock.x - reach, min(lock.x + reach, profile.outermost), 4001)
    dense = float(np.max(nose - (low - bed(profile, at))))
    found = breathing_ground(profile, slide, reach, nose, low)
    assert dense - 1e-9 <= found.shortfall[0] <= dense + 2e-3
    height = float(bed(profile, found.where[0]))
    assert nose - (low - height) == pytest.approx(found.shortfall[0])
    assert bool(found.sounded[0]) == (lock.x + reach <= profile.outermost)


def test_a_log_within_reach_is_breathing_ground() -> None:
    log = Profile(np.array([0.0, 2.3, 2.35, 2.4, 6.0]), np.array([0.0, -0.92, -0.2, -0.96, -2.4]))
    clear = breathing_ground(EVEN, STRAIGHT, 0.5, 0.4, 0.0)
    found = breathing_ground(log, STRAIGHT, 0.5, 0.4, 0.0)
    assert clear.shortfall[0] < 0 < found.shortfall[0]
    assert found.where[0] == pytest.approx(2.35)


def test_the_bank_counts_as_ground() -> None:
    steep = Profile.from_depths([0.0, 3.0], [1.5, 1.5])
    slide = Slide(-0.3, 0.3, 1.0, 0.1, 0.3)
    found = breathing_ground(steep, slide, 1.2, 0.3, -0.1)
    assert found.shortfall[0] == pytest.approx(0.4)
    assert found.where[0] == 0.0
    assert breathing_ground(steep, slide, 0.5, 0.3, -0.1).shortfall[0] < 0


def test_permuted_draws_permute_the_answer() -> None:
    random = np.random.default_rng(2)
    reach, fall = random.uniform(0.2, 0.4, 50), random.uniform(0.0, 0.3, 50)
    order = random.permutation(50)
    one = depth_sum(EVEN, STRAIGHT, reach=reach, fall=fall).spare
    assert np.array_equal(depth_sum(EVEN, STRAIGHT, reach=reach[order], fall=fall[order]).spare, one[order])
    ground = breathing_ground(EVEN, STRAIGHT, reach + 0.2, reach, -fall).shortfall
    mixed = breathing_ground(EVEN, STRAIGHT, reach[order] + 0.2, reach[order], -fall[order]).shortfall
    assert np.array_equal(mixed, ground[order])
    assert np.isnan(breathing_ground(EVEN, STRAIGHT, [0.5, np.nan], 0.4, 0.0).shortfall).tolist() == [False, True]


def test_a_shelf_holds_the_cable_up_and_a_higher_bank_end_clears_it() -> None:
    shelf = Profile.from_depths([0.5, 1.0, 2.0, 3.0], [0.05, 0.1, 1.0, 1.4])
    slide = Slide(-0.3, 0.15, 2.6, 0.2, 0.25)
    assert cable_run(shelf, slide).clearance < 0
    assert not slope_ok(shelf, slide)
    height = bank_end_needed(shelf, slide)
    raised = replace(slide, stake_z=height)
    assert height > slide.stake_z
    assert cable_run(shelf, raised).clearance == pytest.approx(0.0, abs=1e-9)
    assert slope_ok(shelf, raised)
    share = slide.stop_length / np.hypot(2.9, 0.15 + 1.24)
    assert lock_point(shelf, slide).z > -1.24 + share * (0.15 + 1.24), "a cable over the shelf stops higher up"


def test_three_ways_in_which_the_lock_cannot_run() -> None:
    assert slope_ok(EVEN, STRAIGHT)
    assert not slope_ok(EVEN, STRAIGHT, high_level=0.7)
    assert not slope_ok(EVEN, STRAIGHT, least_slope=0.6)
    assert not slope_ok(EVEN, STRAIGHT, clearance=0.5)


@given(depth_steps, st.floats(0.05, 0.6), st.floats(0.0, 0.3))
def test_fixes_just_work(steps: list[float], chain: float, fall: float) -> None:
    profile = profile_of(steps)
    slide = replace(slide_on(profile), anchor_x=1.0, chain=chain)
    fix = shortest_fix(profile, slide, reach=0.3, fall=fall)
    now = spare(profile, slide, fall=fall)
    if now >= 0:
        assert (fix.farther_out, fix.shorter_chain) == (0.0, 0.0)
        return
    if np.isfinite(fix.farther_out):
        out = slide.anchor_x + fix.farther_out
        assert spare(profile, replace(slide, anchor_x=out), fall=fall) >= -1e-9
        assert spare(profile, replace(slide, anchor_x=out - 0.002), fall=fall) < 2e-3
    if np.isfinite(fix.shorter_chain):
        assert fix.shorter_chain == pytest.approx(-now, abs=6e-4)
    else:
        assert now + chain < 1e-9


def test_a_fix_can_be_held_to_the_breathing_ground() -> None:
    slide = replace(STRAIGHT, anchor_x=1.8)
    plain = shortest_fix(EVEN, slide, reach=0.3)
    clear = shortest_fix(EVEN, slide, reach=0.3, nose_height=0.6)
    assert 0 < plain.farther_out < clear.farther_out
    moved = replace(slide, anchor_x=slide.anchor_x + clear.farther_out)
    assert breathing_ground(EVEN, moved, 0.3 + moved.chain, 0.6, 0.0).shortfall[0] <= 0


def test_no_fix_in_a_puddle() -> None:
    puddle = Profile.from_depths([1.0, 4.0], [0.2, 0.3])
    fix = shortest_fix(puddle, Slide(-0.3, 0.3, 2.0, 0.2, 0.3), reach=0.3)
    assert np.isnan([fix.farther_out, fix.shorter_chain]).all()


def test_a_dragged_anchor_never_helps_on_a_falling_bed() -> None:
    assert spare(EVEN, dragged(STRAIGHT)) < spare(EVEN, STRAIGHT)
    assert dragged(STRAIGHT, 0.2).anchor_x == pytest.approx(2.8)


def test_practice_two_feet_drown_no_beaver_and_three_and_four_are_near_the_sum() -> None:
    reach = tables.reaches()
    fore, hind = reach.number("beaver-fore", "reach"), reach.number("beaver-hind", "reach")
    # A usual water chain of 8 in with half a jaw spread of 3 in more.
    chain = 11 * 0.0254
    flat = Slide(-3.0, 0.3, 3.0, 0.0, chain)
    fall = 0.06

    def at(feet: float, limb: float, down: float) -> float:
        pool = Profile.from_depths([0.0, 6.0], [feet * FOOT, feet * FOOT])
        return float(depth_sum(pool, flat, reach=limb, fall=down).spare)

    assert at(2, fore, 0.0) < 0
    assert at(3, fore, fall) > 0
    windows = tables.windows()
    front, back = (windows.number(key, "trade_depth") / FOOT for key in ("beaver-fore", "beaver-hind"))
    assert 0 < at(front, fore, fall) < 0.2, "three feet of practice leave a front foot a little to spare"
    assert -0.2 < at(back, hind, fall) < 0, "four feet of practice are a little short for a hind foot at full reach"
    assert at(back, 0.8, 0.0) > 0, "and enough for the shorter reach in steady water"


def test_weight_alone_sinks_a_muskrat_and_no_beaver() -> None:
    ledge = Profile.from_depths([0.3, 0.6, 3.0], [0.1, 1.2, 1.6])
    found = weight_alone(
        ledge, 1.8, chain=0.2, reach=0.3, nose_height=0.2, trap_mass=0.9, animal_mass=[1.0, 20.0], fall=0.1
    )
    assert float(found.sum.spare) == pytest.approx(1.4 - 0.1 - 0.2 - 0.3 - 0.1)
    assert found.ground.shortfall[0] < 0
    assert found.weight_spare[0] > 0 > found.weight_spare[1]
    swimming = weight_alone(
        ledge, 1.8, chain=0.2, reach=0.3, nose_height=0.2, trap_mass=0.9, animal_mass=1.0, swim=1.0
    )
    assert float(swimming.weight_spare) < 0
    outside = weight_alone(ledge, 9.0, chain=0.2, reach=0.3, nose_height=0.2, trap_mass=0.9, animal_mass=1.0)
    assert np.isnan(float(outside.sum.spare)) and np.isnan(outside.ground.shortfall[0])
