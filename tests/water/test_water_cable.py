"""Course of the cable against string pulled tight by brute force; ledges that hold the lock up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull

from setwright.water.cable import Slide, cable_path, cable_run, lock_point
from setwright.water.ledges import Hold, dry_ground, hang_ups, lock_stands, resting_length
from setwright.water.profile import Profile, bed
from setwright.water.submersion import breathing_ground, depth_sum

# A bed may rise again, lie over the water as a bar, and drop as a ledge does.
depths = st.lists(st.floats(-0.3, 2.0), min_size=4, max_size=9)
SHELF = Profile.from_depths([0.5, 1.0, 1.2, 3.0], [0.05, 0.10, 1.2, 1.4])
LOW = Slide(-0.3, 0.15, 2.6, 0.2, 0.25)


def rough(down: list[float]) -> tuple[Profile, Slide]:
    profile = Profile.from_depths(0.5 * np.arange(1, len(down) + 1), np.array(down))
    return profile, Slide(-0.5, 0.5, profile.outermost - 0.2, 0.1, 0.2)


def course_by_pulling(profile: Profile, slide: Slide) -> tuple[np.ndarray, np.ndarray]:
    """A string of many points, drawn to the middle of its neighbours and pushed out of the bed, until it is still."""
    ends = profile.x[(profile.x > slide.stake_x) & (profile.x < slide.anchor_x)]
    x = np.unique(np.concatenate([np.linspace(slide.stake_x, slide.anchor_x, 121), ends]))
    floor = np.nan_to_num(bed(profile, x), nan=-np.inf)
    deep = float(bed(profile, slide.anchor_x)) + slide.anchor_up
    z = np.maximum(np.linspace(slide.stake_z, deep, x.size), floor)
    z[0], z[-1] = slide.stake_z, deep
    left = (x[2:] - x[1:-1]) / (x[2:] - x[:-2])
    for _ in range(6000):
        for parity in (1, 2):
            inner = slice(parity, -1, 2)
            middle = (
                left[parity - 1 :: 2] * z[:-2][parity - 1 :: 2] + (1 - left[parity - 1 :: 2]) * z[2:][parity - 1 :: 2]
            )
            # Drawn past the middle: the string comes to rest sooner.
            z[inner] = np.maximum(z[inner] + 1.9 * (middle - z[inner]), floor[inner])
    return x, z


@settings(max_examples=12, deadline=None)
@given(depths)
def test_course_is_the_string_pulled_tight(down: list[float]) -> None:
    profile, slide = rough(down)
    x, z = cable_path(profile, slide)
    at, pulled = course_by_pulling(profile, slide)
    assert np.interp(at, x, z) == pytest.approx(pulled, abs=2e-3)
    length = float(np.sum(np.hypot(np.diff(x), np.diff(z))))
    assert length <= float(np.sum(np.hypot(np.diff(at), np.diff(pulled)))) + 1e-4, "no course over the bed is shorter"


@given(depths)
def test_course_is_the_upper_convex_hull(down: list[float]) -> None:
    profile, slide = rough(down)
    x, z = cable_path(profile, slide)
    inner = (profile.x > slide.stake_x) & (profile.x < slide.anchor_x)
    deep = float(bed(profile, slide.anchor_x))
    points = np.vstack([
        [slide.stake_x, slide.stake_z], np.column_stack([profile.x[inner], profile.z[inner]]), [slide.anchor_x, deep],
        [slide.stake_x, -50.0], [slide.anchor_x, -50.0],
    ])  # fmt: skip
    hull = points[ConvexHull(points).vertices]
    hull = hull[np.argsort(hull[:, 0], kind="stable")]
    upper = hull[hull[:, 1] > -49.0]
    at = np.linspace(slide.stake_x, slide.anchor_x, 300)
    assert np.interp(at, x, z) == pytest.approx(np.interp(at, upper[:, 0], upper[:, 1]), abs=1e-9)
    assert np.all(np.interp(profile.x[inner], x, z) >= profile.z[inner] - 1e-12)


@given(depths)
def test_stop_lies_on_the_course_its_length_from_the_anchor(down: list[float]) -> None:
    profile, slide = rough(down)
    lock = lock_point(profile, slide)
    x, z = cable_path(profile, slide)
    assert np.interp(lock.x, x, z) == pytest.approx(lock.z)
    tail_x = np.concatenate([[lock.x], x[x > lock.x]])
    tail = np.hypot(np.diff(tail_x), np.diff(np.interp(tail_x, x, z))).sum()
    assert float(tail) == pytest.approx(slide.stop_length)


def test_a_shelf_edge_hangs_the_lock_up_where_a_straight_cable_would_cut_through() -> None:
    assert cable_run(SHELF, LOW).clearance < 0
    (edge,) = hang_ups(SHELF, LOW)
    assert edge.why is Hold.EDGE
    assert tuple(edge.place) == pytest.approx((1.0, -0.10))
    deep = -float(bed(SHELF, 2.6))
    assert edge.slope == pytest.approx((deep - 0.10) / 1.6)
    assert edge.bend == pytest.approx(np.arctan((deep - 0.10) / 1.6) - np.arctan(0.25 / 1.3))
    raised = Slide(-0.3, 1.2, 2.6, 0.2, 0.25)
    assert hang_ups(SHELF, raised) == ()
    assert hang_ups(SHELF, LOW, least_bend=1.0) == ()


def test_at_the_edge_the_animal_stands_and_at_the_stop_it_does_not() -> None:
    stands = lock_stands(SHELF, LOW, reach=0.3, nose_height=0.45, fall=0.05, wave=0.1)
    assert [stand.why for stand in stands] == [Hold.EDGE, Hold.STOP]
    edge, stop = stands
    assert float(edge.sum.spare) == pytest.approx(0.10 - 0.10 - 0.25 - 0.3 - 0.1)
    assert edge.ground.shortfall[0] > 0
    assert float(stop.sum.spare) == float(depth_sum(SHELF, LOW, reach=0.3, fall=0.05, wave=0.1).spare) > 0
    same = breathing_ground(SHELF, LOW, 0.55, 0.45, -0.1)
    assert stop.ground.shortfall[0] == same.shortfall[0]


def test_a_flat_stretch_is_named_and_a_cable_on_the_bed_rests() -> None:
    even = Profile.from_depths([4.0], [0.4])
    flat = Slide(0.0, 0.0, 3.0, 0.5, 0.2)
    (found,) = hang_ups(even, flat)
    assert (found.why, found.bend) == (Hold.FLAT, 0.0)
    assert found.slope == pytest.approx(0.1)
    assert resting_length(even, flat) == pytest.approx(np.hypot(2.5, 0.25), rel=0.01)
    assert resting_length(even, Slide(0.0, 0.3, 3.0, 0.5, 0.2)) == 0.0
    outside = Slide(-0.3, 0.3, 9.0, 0.2, 0.2)
    assert np.isnan(resting_length(even, outside)) and hang_ups(even, outside) == ()
    (unknown,) = lock_stands(even, outside, reach=0.3, nose_height=0.3)
    assert np.isnan(unknown.sum.spare) and np.isnan(unknown.ground.shortfall[0])


@given(depths, st.floats(0.5, 3.0))
def test_a_higher_bank_end_never_makes_more_edges(down: list[float], more: float) -> None:
    profile, slide = rough(down)
    higher = Slide(slide.stake_x, slide.stake_z + more, slide.anchor_x, slide.stop_length, slide.chain)
    corners = [len(cable_path(profile, one)[0]) for one in (slide, higher)]
    assert corners[1] <= corners[0]
    assert resting_length(profile, higher) <= resting_length(profile, slide) + 1e-9


def test_ground_that_climbs_out_of_the_water_is_named() -> None:
    bar = Profile.from_depths([1.0, 2.0, 3.0, 4.0, 5.0], [0.5, -0.1, 0.4, 0.4, -0.2])
    (first, second) = dry_ground(bar)
    assert first == pytest.approx((1 + 5 / 6, 2.2))
    assert second == pytest.approx((4 + 2 / 3, 5.0))
    assert dry_ground(bar, level=0.3) == ()
    assert len(dry_ground(bar, level=-0.45)) == 1
    assert dry_ground(Profile.from_depths([1.0, 2.0], [0.5, 0.6])) == ()
