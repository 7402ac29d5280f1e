"""Cooling of shallow water, ice hour by hour, and when a pan freezes in."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import OutOfRange
from setwright.water import ice, tables
from setwright.water.freeze_in import FreezeIn, IceCourse, freezes_in, ice_course, predicted_guideline
from setwright.water.ice import Standing

GROWTH = tables.ice().record("lake-snow")["growth"]
LOW, HIGH = float(GROWTH.low), float(GROWTH.high)


def course(air: object, depth: object = 0.1, water: object = 0.0, **more: float) -> IceCourse:
    return ice_course(air, depth=depth, water_temperature=water, growth_low=LOW, growth_high=HIGH, **more)


def test_steady_frost_on_water_at_zero_is_the_rules_themselves() -> None:
    found = course(np.full(72, -8.0))
    assert np.allclose(found.fdd, 8.0 * np.arange(1, 73) / 24.0)
    assert np.allclose(found.likely, ice.thin_ice(found.fdd, 14.0))
    assert np.allclose(found.most, np.maximum(ice.stefan_ice(found.fdd, HIGH), ice.thin_ice(found.fdd, 20.0)))
    assert np.all(found.water_temperature == 0.0)


def test_cooling_follows_the_heat_balance_integrated() -> None:
    air, depth, start = -6.0, 0.15, 4.0
    found = course(np.full(60, air), depth, start)
    water, seconds, step = start, 0.0, 1.0
    while water > 0:
        water -= step * 14.0 * (water - air) / (4.186e6 * depth)
        seconds += step
    open_hours = int(np.sum(found.fdd == 0))
    assert open_hours == int(seconds // 3600)
    assert found.fdd[-1] == pytest.approx(-air * (60 - seconds / 3600) / 24.0, rel=1e-3)
    linear = float(ice.cooling_time(depth, start, 14.0, -air))
    assert seconds < linear, "the linear rule leaves out what warm water loses more"


def test_a_thaw_opens_the_water_again() -> None:
    found = course(np.r_[np.full(24, -4.0), np.full(48, 6.0)])
    assert found.likely[23] > 0 and found.likely[-1] == 0.0
    assert found.water_temperature[23] == 0.0 and found.water_temperature[-1] > 0.0


@given(
    st.lists(st.floats(-30, 10), min_size=6, max_size=60).map(np.array),
    st.floats(0.02, 1.0),
    st.floats(0.0, 6.0),
    st.floats(0.1, 5.0),
)
def test_colder_and_shallower_is_never_later(air: np.ndarray, depth: float, water: float, colder: float) -> None:
    found = course(air, depth, water)
    assert np.all(found.least <= found.likely + 1e-12) and np.all(found.likely <= found.most + 1e-12)
    assert np.all((found.water_temperature == 0.0) | (found.fdd == 0.0))
    cold = course(air - colder, depth, water)
    assert np.all(cold.most >= found.most - 1e-9)
    hours = [freezes_in(one, 0.05) for one in (found, cold)]
    assert hours[1].first <= hours[0].first
    assert hours[0].first <= hours[0].likely <= hours[0].last
    assert freezes_in(found, 0.03).first <= hours[0].first


def test_rows_of_sites_are_sites_of_their_own() -> None:
    air = np.stack([np.full(48, -3.0), np.full(48, -12.0)])
    both = course(air, [0.1, 0.3], [1.0, 2.0])
    for i in range(2):
        alone = course(air[i], [0.1, 0.3][i], [1.0, 2.0][i])
        assert np.allclose(both.most[i], alone.most)
    found = freezes_in(both, [0.05, 0.05])
    assert isinstance(found, FreezeIn) and found.first.shape == (2,)


def test_hours_of_freezing_in() -> None:
    found = freezes_in(course(np.full(240, -10.0)), np.array([0.05, 0.02, 5.0]))
    # The high end: alpha sqrt(10 h/24) reaches 5 cm at h = 2.4 (5/2.4)^2 = 10.4: the hour that ends at 11.
    assert found.first.tolist() == [11.0, 2.0, np.inf]
    assert np.isinf(found.last[2]) and found.last[0] > found.likely[0] > found.first[0]


def test_unknown_hours_make_the_rest_unknown() -> None:
    air = np.full(48, -10.0)
    air[30] = np.nan
    found = course(air)
    assert np.isfinite(found.most[:30]).all() and np.isnan(found.most[30:]).all()
    hours = freezes_in(found, np.array([0.05, 5.0]))
    assert hours.first[0] == 11.0 and np.isnan(hours.first[1])
    assert np.isnan(course(air[:5], -0.1).most).all(), "a negative depth is no depth"
    with pytest.raises(OutOfRange):
        ice_course(air, depth=0.1, water_temperature=0.0, growth_low=0.03, growth_high=0.02)


def test_what_is_computed_never_meets_a_guideline() -> None:
    foot = tables.ice_use("on-foot")
    thick = course(np.full(24 * 60, -20.0))
    assert thick.least[-1] > 0.4
    assert predicted_guideline(thick, 0.0, foot).standing is Standing.UNKNOWN
    assert predicted_guideline(thick, 0.0, foot, warm_hours=24.0).standing is Standing.BELOW
    thin = course(np.full(24, -10.0))
    assert predicted_guideline(thin, 0.0, foot).standing is Standing.BELOW
    for verdict in (predicted_guideline(thick, 1.0, foot), predicted_guideline(thin, 1.0, foot)):
        assert "safe" not in verdict.say.template.lower()
        assert "safe" not in verdict.standing.value
