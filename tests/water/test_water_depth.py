"""Pan depth inside the window of a foot."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.tables import shipped
from setwright.water import depth, stage, tables


@given(st.floats(-0.5, 0.5), st.floats(0.0, 0.2), st.floats(0.01, 0.3))
def test_margin_is_positive_just_inside(water: float, low: float, width: float) -> None:
    margin = float(depth.in_window(water, low, low + width))
    assert (margin > 0) == (low < water < low + width)
    assert margin <= width / 2 + 1e-12


@given(st.floats(0.0, 0.3), st.floats(0.01, 0.3))
def test_margin_is_the_same_from_either_end(inset: float, width: float) -> None:
    from_low = depth.in_window(0.1 + inset, 0.1, 0.1 + width)
    from_high = depth.in_window(0.1 + width - inset, 0.1, 0.1 + width)
    assert float(from_low) == pytest.approx(float(from_high), abs=1e-12)


def test_share_of_draws() -> None:
    assert depth.depth_share(np.array([0.0, 0.03, 0.05, 0.2]), 0.025, 0.075) == 0.5
    assert np.isnan(depth.depth_share(np.array([0.05, np.nan]), 0.025, 0.075))
    assert np.isnan(depth.depth_share(np.array([]), 0.025, 0.075))


def test_share_of_hours_and_dry_hours() -> None:
    change = np.array([[0.0, 0.02, 0.1, -0.1], [0.0, 0.0, 0.0, 0.0], [0.0, np.nan, 0.0, 0.0]])
    assert depth.hours_share(0.05, change, 0.025, 0.075).tolist()[:2] == [0.5, 1.0]
    assert np.isnan(depth.hours_share(0.05, change, 0.025, 0.075)[2])
    assert depth.dry_share(0.05, change).tolist()[:2] == [0.25, 0.0]


def test_hours_of_the_record_against_counting() -> None:
    hours = stage.hourly(tables.read_stage_csv(shipped("demo", "stage.csv")))[:400]
    changes = depth.level_changes(hours, 24)
    share = depth.hours_share(0.05, changes, 0.025, 0.075)
    start = 100
    window = 0.05 + hours[start : start + 25] - hours[start]
    assert share[start] == np.mean((window >= 0.025) & (window <= 0.075))
    assert depth.level_changes(hours[:10], 24).shape == (0, 25)


@given(st.floats(0.0, 0.4))
def test_chest_zone_only_in_its_depths_and_near_the_line(water: float) -> None:
    row = tables.windows().record("beaver-fore")
    low, high = row["chest_low"].number, row["chest_high"].number
    assert bool(depth.chest_zone(water, low, high)) == (low <= water <= high)
    assert not depth.chest_zone(water, low, high, off_centre=row["off_centre"].number, clear_of=0.08)


def test_chest_zone_of_unknown_depth_is_no_alarm() -> None:
    assert not depth.chest_zone(np.nan, 0.1, 0.18)
