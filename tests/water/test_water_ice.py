"""Growth of ice and what a guideline says."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from setwright.basis.errors import OutOfRange
from setwright.water import ice, tables
from setwright.water.ice import Standing, Use, guideline

FOOT = Use("on foot", 0.1016)


@pytest.mark.parametrize("film", [10.0, 14.0, 20.0])
def test_thin_ice_against_the_heat_balance_integrated(film: float) -> None:
    # One degree below zero for `days`: conduction through ice and film freezes water at the lower face.
    def grow(_: float, h: np.ndarray) -> np.ndarray:
        return 1.0 / (h / ice.CONDUCTIVITY + 1.0 / film) / (ice.DENSITY * ice.FUSION)

    for days in (2.0, 10.0, 80.0):
        found = solve_ivp(grow, (0.0, days * 86400.0), [0.0], rtol=1e-9, atol=1e-12).y[0, -1]
        assert float(ice.thin_ice(days, film)) == pytest.approx(found, rel=1e-5)


@given(st.floats(0.0, 500), st.floats(5, 40))
def test_thin_ice_is_under_the_conduction_bound(days: float, film: float) -> None:
    bound = np.sqrt(2 * ice.CONDUCTIVITY * 86400 / (ice.DENSITY * ice.FUSION))
    young = float(ice.thin_ice(days, film))
    assert 0 <= young <= float(ice.stefan_ice(days, bound)) + 1e-12
    assert float(ice.thin_ice(days + 1, film)) > young


def test_a_far_better_film_reaches_the_bound() -> None:
    bound = tables.ice().number("conduction-bound", "growth")
    assert float(ice.thin_ice(50.0, 1e7)) == pytest.approx(float(ice.stefan_ice(50.0, bound)), rel=0.01)


def test_out_of_the_domain_is_unknown() -> None:
    assert np.isnan(ice.stefan_ice(-1.0, 0.02))
    assert np.isnan(ice.thin_ice(-1.0, 10.0))
    assert np.isnan(ice.thin_ice(1.0, 0.0))
    assert np.isnan(ice.effective_thickness([-0.1, 0.1, 0.1], [0.0, 1.5, -0.1])).all()


def test_degree_days_run_and_thaw_takes_back() -> None:
    assert ice.freezing_degree_days([-2.0, -3.0, 1.0, 10.0, -4.0]).tolist() == [2.0, 5.0, 4.0, 0.0, 4.0]
    assert np.isnan(ice.freezing_degree_days([-2.0, np.nan, -1.0])).tolist() == [False, True, True]


def test_a_shallow_pan_freezes_in_sooner() -> None:
    left = ice.ice_over_pan(np.array([0.05, 0.3]), 10.0, tables.ice().record("lake-snow")["growth"].high)
    assert left[0] < 0 < left[1]


def test_cooling_by_the_heat_balance() -> None:
    assert float(ice.cooling_time(0.1, 2.0, 20.0, 10.0)) == pytest.approx(1000 * 4186 * 0.1 * 2.0 / 200.0)
    assert np.isinf(ice.cooling_time(0.1, 2.0, 20.0, -3.0))


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(0.0, 30.0), st.booleans())
def test_no_word_of_safety_and_three_answers(thick: float, white: float, warm: float, predicted: bool) -> None:
    found = guideline(thick, white, FOOT, warm_hours=warm, predicted=predicted)
    words = f"{found.standing} {found.say.template}".lower()
    assert "safe" not in words
    assert found.standing in set(Standing)
    assert found == guideline(thick, white, FOOT, warm_hours=warm, predicted=predicted)
    if predicted or warm >= 24.0:
        assert found.standing is not Standing.MET
    if found.standing is Standing.MET:
        assert "measure again every few steps" in found.say.template
        assert thick >= FOOT.least


@given(st.floats(0.0, 0.6), st.floats(0.0, 1.0), st.floats(0.0, 0.3))
def test_thicker_clearer_colder_is_never_worse(thick: float, white: float, more: float) -> None:
    order = {Standing.BELOW: 0, Standing.MET: 1}
    one = order[guideline(thick, white, FOOT).standing]
    assert order[guideline(thick + more, white, FOOT).standing] >= one
    assert order[guideline(thick, 0.0, FOOT).standing] >= one
    assert order[guideline(thick, white, FOOT, warm_hours=8.0).standing] <= one


def test_the_thinnest_hole_counts_and_an_unmeasured_one_tells_nothing() -> None:
    assert guideline([0.15, 0.08, 0.2], 0.0, FOOT).standing is Standing.BELOW
    assert guideline([0.15, 0.2], 0.0, FOOT).effective == pytest.approx(0.15)
    for unmeasured in ([0.15, np.nan], [], np.nan):
        assert guideline(unmeasured, 0.0, FOOT).standing is Standing.UNKNOWN
    assert guideline(0.3, 0.0, FOOT, warm_hours=float("nan")).standing is Standing.UNKNOWN
    assert guideline(0.3, 1.5, FOOT).standing is Standing.UNKNOWN
    with pytest.raises(OutOfRange):
        guideline(0.3, 0.0, Use("nothing", 0.0))


def test_a_day_of_thaw_keeps_everyone_off() -> None:
    assert guideline(1.0, 0.0, FOOT, warm_hours=24.0).standing is Standing.BELOW


def test_uses_of_the_table_rise_with_their_weight() -> None:
    order = [tables.ice_use(key).least for key in ("on-foot", "snowmobile", "side-by-side", "car", "truck")]
    assert order == sorted(order)
    assert tables.ice_use("walking-alone").least > tables.ice_use("on-foot").least
