"""Foot load and firing: limits, order, symmetry, and what no pan can part."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from setwright.animal import tables
from setwright.animal.load import GRAVITY, Loads, coupling, fire_probability, foot_load
from setwright.animal.quick import quick_probability

POUND_FORCE = 4.4482216152605
FORCES = np.array([0.5, 1, 2, 3, 4, 5, 8, 12]) * POUND_FORCE
STEPS = coupling(0.55, 0.20)

masses = st.floats(0.3, 120)
forces = st.floats(0.5, 80)
shares = st.floats(0.2, 1.1)


def curve(key: str, gait: float = 1.0) -> np.ndarray:
    animal = tables.record(key)
    loads = foot_load(
        animal.mass.number, animal.mass_cv.number, animal.share.number, animal.share_sd.number, STEPS, gait=gait
    )
    return np.array([fire_probability(loads, force)[0] for force in FORCES])


@given(st.floats(0.25, 0.75), st.floats(0.05, 0.25))
@settings(max_examples=40, deadline=None)
def test_coupling_is_the_beta_law(mean: float, sd: float) -> None:
    total = mean * (1 - mean) / sd**2 - 1
    law = stats.beta(mean * total, (1 - mean) * total)
    found = coupling(mean, sd, inner=200)
    expected = law.ppf((np.arange(200) + 0.5) / 200)
    assert np.allclose(np.sort(found[0]), expected, atol=1e-3), "quantiles of the beta law"
    assert found[0].mean() == pytest.approx(mean, abs=1e-3)


def test_coupling_shape_of_the_calibrated_law() -> None:
    total = 0.55 * 0.45 / 0.2**2 - 1
    assert (0.55 * total, 0.45 * total) == pytest.approx((2.853, 2.334), abs=6e-4)


def test_coupling_without_a_law_is_not_a_number() -> None:
    found = coupling([0.5, 0.5, 1.2, 0.5, np.nan], [0.1, 0.6, 0.1, 0.0, 0.1])
    assert np.isfinite(found[0]).all() and np.isnan(found[[1, 2, 4]]).all()
    assert (found[3] == 0.5).all(), "no spread: the mean itself"


def test_coupling_is_one_order_for_all_rows() -> None:
    found = coupling([0.45, 0.55, 0.65], 0.2)
    assert (np.argsort(found, axis=1) == np.argsort(found, axis=1)[0]).all()
    assert (np.diff(found, axis=0) > 0).all(), "a higher mean lifts every step"


def test_seed_turns_the_order_and_keeps_the_values() -> None:
    first, second = coupling(0.55, 0.2, seed=1), coupling(0.55, 0.2, seed=2)
    assert not np.array_equal(first, second)
    assert np.allclose(np.sort(first), np.sort(second))


@given(masses, shares, forces)
@settings(max_examples=40, deadline=None)
def test_chance_is_a_chance_and_answers_twice_the_same(mass: float, share: float, force: float) -> None:
    def answer() -> np.ndarray:
        return fire_probability(foot_load(mass, 0.2, share, 0.2 * share, coupling(0.55, 0.2)), force)

    found = answer()
    assert ((found >= 0) & (found <= 1)).all()
    assert np.array_equal(found, answer())


@given(masses, st.floats(1.0, 3.0), forces, st.floats(0, 30))
@settings(max_examples=40, deadline=None)
def test_chance_rises_with_mass_and_falls_with_trip_force(
    mass: float, factor: float, force: float, crust: float
) -> None:
    light, heavy = (foot_load(m, 0.2, 0.55, 0.11, STEPS) for m in (mass, mass * factor))
    assert fire_probability(heavy, force)[0] >= fire_probability(light, force)[0]
    assert fire_probability(light, force + crust)[0] <= fire_probability(light, force)[0]
    assert fire_probability(light, force, crust=crust) == pytest.approx(fire_probability(light, force + crust))


@given(masses, st.floats(0.3, 3.0), forces)
@settings(max_examples=30, deadline=None)
def test_only_the_ratio_of_load_and_trip_force_counts(mass: float, factor: float, force: float) -> None:
    base = fire_probability(foot_load(mass, 0.2, 0.55, 0.11, STEPS), force)
    by_mass = fire_probability(foot_load(mass * factor, 0.2, 0.55, 0.11, STEPS), force * factor)
    by_gait = fire_probability(foot_load(mass, 0.2, 0.55, 0.11, STEPS, gait=factor), force * factor)
    by_water = fire_probability(foot_load(mass, 0.2, 0.55, 0.11, STEPS, carried=factor), force * factor)
    for other in (by_mass, by_gait, by_water):
        assert other == pytest.approx(base, abs=1e-5)


@given(st.permutations(range(6)))
@settings(max_examples=20, deadline=None)
def test_order_of_the_draws_does_not_matter(order: list[int]) -> None:
    mean = np.linspace(0.45, 0.65, 6)
    mass, force = np.linspace(9, 16, 6), np.linspace(5, 25, 6)
    base = fire_probability(foot_load(mass, 0.15, 0.55, 0.11, coupling(mean, 0.2)), force)
    turned = fire_probability(foot_load(mass[order], 0.15, 0.55, 0.11, coupling(mean[order], 0.2)), force[order])
    assert np.allclose(turned, base[order], atol=1e-12)


def test_rows_equal_single_answers() -> None:
    mass = np.array([3.0, 8.0, 20.0])
    together = fire_probability(foot_load(mass, 0.2, 0.55, 0.11, coupling(np.full(3, 0.55), 0.2)), 12.0)
    alone = [fire_probability(foot_load(m, 0.2, 0.55, 0.11, STEPS), 12.0)[0] for m in mass]
    assert together == pytest.approx(alone)


def test_loads_are_sorted_positive_and_frozen() -> None:
    loads = foot_load([2.0, 12.0], 0.3, 0.5, 0.4, coupling([0.5, 0.6], 0.2))
    assert loads.force.shape == (2, 192)
    assert (np.diff(loads.force, axis=1) >= 0).all() and (loads.force >= 0).all()
    with pytest.raises(FrozenInstanceError):
        loads.force = loads.force * 2  # frozen


def test_load_without_spread_is_the_product() -> None:
    loads = foot_load(12.0, 0.0, 0.55, 0.0, coupling(0.5, 0.0), gait=2.0, carried=0.8)
    assert loads.force == pytest.approx(GRAVITY * 12.0 * 0.55 * 0.5 * 2.0 * 0.8)
    assert loads.median == pytest.approx(loads.force[:, 0])


def test_spreads_of_mass_and_share_are_those_given() -> None:
    one = coupling(0.5, 0.0, inner=960)
    mass = foot_load(10.0, 0.25, 1.0, 0.0, one).force[0] / (GRAVITY * 0.5)
    share = foot_load(10.0, 0.0, 0.5, 0.1, one).force[0] / (GRAVITY * 0.5 * 10)
    assert np.median(mass) == pytest.approx(10.0, rel=1e-3) and mass.std() / mass.mean() == pytest.approx(
        0.25, rel=0.02
    )
    assert (share.mean(), share.std()) == pytest.approx((0.5, 0.1), rel=0.01)


def test_share_is_cut_off_at_zero_like_the_truncated_normal() -> None:
    found = foot_load(1.0, 0.0, 0.2, 0.3, coupling(1 - 1e-12, 0.0, inner=960)).force[0] / GRAVITY
    law = stats.truncnorm(-0.2 / 0.3, np.inf, loc=0.2, scale=0.3)
    assert np.allclose(found, law.ppf((np.arange(960) + 0.5) / 960), atol=2e-4)


def test_agrees_with_a_plain_random_sample() -> None:
    random = np.random.default_rng(5)
    n = 200_000
    mass = 6.4 * np.exp(np.sqrt(np.log1p(0.25**2)) * random.standard_normal(n))
    load = GRAVITY * mass * np.maximum(random.normal(0.5, 0.1, n), 1e-9) * random.beta(2.853, 2.334, n)
    trip = 3 * POUND_FORCE * np.exp(0.12 * random.standard_normal(n))
    expected = (load >= trip).mean()
    found = fire_probability(foot_load(6.4, 0.25, 0.5, 0.1, STEPS), 3 * POUND_FORCE)[0]
    assert found == pytest.approx(expected, abs=0.012), "192 steps against 200,000"


def test_limits_of_the_trip_force() -> None:
    loads = foot_load(12.0, 0.15, 0.55, 0.11, STEPS)
    assert fire_probability(loads, 0.0)[0] == pytest.approx(1.0), "nothing holds the pan"
    assert np.isnan(fire_probability(loads, -1.0)[0]), "no such trip force"
    assert fire_probability(loads, 1e6)[0] < 1e-12
    assert fire_probability(loads, loads.median[0], scatter=0.0)[0] == pytest.approx(0.5, abs=0.01), "a plain step"
    assert fire_probability(Loads(np.zeros((1, 4))), 1.0)[0] < 1e-12, "no load, no firing"


def test_afloat_has_no_weight_based_figure() -> None:
    loads = foot_load([20.0, 20.0], 0.2, 0.45, 0.12, coupling([0.5, 0.5], 0.2), carried=[1.0, np.nan])
    found = fire_probability(loads, 10.0)
    assert np.isfinite(found[0]) and np.isnan(found[1])


def test_single_load_is_the_normal_law() -> None:
    found = fire_probability(Loads(np.array([[13.0]])), 12.0, scatter=0.12)[0]
    assert found == pytest.approx(NormalDist().cdf(np.log(13 / 12) / 0.12), abs=1e-6)


def test_a_dog_always_fires_more_than_a_coyote() -> None:
    assert (curve("dog_medium") >= curve("coyote_west")).all()
    assert (curve("dog_large") >= curve("dog_medium") - 0.01).all()
    assert curve("dog_medium")[4] > curve("coyote_west")[4] + 0.05


@pytest.mark.parametrize("key", ["dog_medium", "dog_large", "turkey", "deer_fawn", "deer_adult", "calf", "feral_hog"])
def test_no_trip_force_keeps_it_out_while_coyotes_fire(key: str) -> None:
    coyote, other = curve("coyote_west"), curve(key)
    assert (other[coyote > 0.5] > 0.5).all()


@pytest.mark.parametrize("key", ["bobcat", "raccoon", "dog_small", "badger", "eagle"])
def test_trip_force_parts_it_from_the_coyote_badly(key: str) -> None:
    coyote, other = curve("coyote_west"), curve(key)
    assert (other[coyote > 0.85] > 0.35).all(), "while most coyotes fire, so does more than a third of these"


@pytest.mark.parametrize("key", ["kit_swift_fox", "striped_skunk", "opossum", "jackrabbit", "cottontail"])
def test_trip_force_keeps_the_small_ones_out(key: str) -> None:
    assert curve(key)[4] < 0.03 and curve("coyote_west")[4] > 0.8, "at 4 lbf"


def test_muskrat_does_not_fire_three_pounds() -> None:
    assert curve("muskrat")[3] < 0.001 and curve("mink")[3] < 0.001


def test_trot_is_a_doubled_load() -> None:
    assert np.allclose(curve("gray_fox", gait=2.0)[[1, 2, 4]], curve("gray_fox")[[0, 1, 2]], atol=1e-6)


def test_quick_form_is_near_for_four_footed_animals() -> None:
    for key in ("coyote_west", "red_fox", "bobcat", "raccoon", "badger"):
        quick = quick_probability(tables.record(key).mass.number, FORCES)
        assert np.abs(quick - curve(key)).max() < 0.12, key
    assert quick_probability(12.0, 0.262 * GRAVITY * 12.0) == pytest.approx(0.5, abs=1e-6)
