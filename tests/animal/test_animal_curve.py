"""Chance to fire over many trip forces: agreement with the plain sum, band, convergence, what the trade knows."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.animal import tables
from setwright.animal.ages import MassMix
from setwright.animal.curve import AFLOAT, FireCurve, animal_curve, fire_curve, mixed_curve
from setwright.animal.load import GRAVITY, Loads, coupling, fire_probability, foot_load
from setwright.animal.quick import NO_SHARE, QUICK, quick_curve, quick_probability
from setwright.basis.errors import OutOfRange
from setwright.basis.spread import Draws

POUND_FORCE = 4.4482216152605
FORCES = np.geomspace(0.7, 65.0, 17)
SMALL = ("kit_swift_fox", "striped_skunk", "opossum", "jackrabbit", "cottontail", "muskrat", "mink")


def curve(key: str, forces: np.ndarray = FORCES, n: int = 200, inner: int = 64, **more: float) -> FireCurve:
    draws = Draws(n, 20, "line")
    steps = coupling(draws.between("mean", 0.45, 0.65), draws.between("sd", 0.15, 0.25), inner)
    animal = tables.record(key)
    mass = animal.mass.number * np.exp(0.06 * draws.normal(f"mass {key}"))
    return animal_curve(
        mass, animal.mass_cv.number, animal.share.number, animal.share_sd.number, steps, forces, **more
    )


@given(st.floats(0.3, 120), st.floats(0.2, 1.1), st.floats(0.02, 0.4), st.lists(st.floats(0.2, 90), min_size=1))
@settings(max_examples=40, deadline=None)
def test_curve_is_the_plain_sum(mass: float, share: float, scatter: float, forces: list[float]) -> None:
    loads = foot_load(mass, 0.2, share, 0.2 * share, coupling([0.45, 0.6], 0.2, 64))
    found = fire_curve(loads, forces, scatter).chance
    plain = np.stack([fire_probability(loads, force, scatter) for force in forces], axis=1)
    assert np.abs(found - plain).max() < 3e-4


def test_curve_without_scatter_counts() -> None:
    loads = Loads(np.array([[1.0, 2.0, 3.0, 4.0]]))
    assert fire_curve(loads, [0.5, 2.0, 2.5, 9.0], 0.0).chance[0] == pytest.approx([1.0, 0.75, 0.5, 0.0])


def test_curve_at_its_ends() -> None:
    loads = foot_load([12.0, 12.0], 0.15, 0.55, 0.11, coupling([0.5, 0.5], 0.2), carried=[1.0, np.nan])
    found = fire_curve(loads, [0.0, -1.0, 10.0, 1e6, np.nan])
    assert found.chance[0, 0] == 1.0 and np.isnan(found.chance[0, [1, 4]]).all()
    assert 0 < found.chance[0, 2] < 1 and found.chance[0, 3] < 1e-9
    assert np.isnan(found.chance[1]).all() and found.reason == AFLOAT, "no figure that rests on weight afloat"
    assert fire_curve(Loads(np.zeros((1, 3))), 5.0).chance[0, 0] < 1e-6
    assert fire_curve(loads, 5.0, reason="told").reason == "told"
    with pytest.raises(OutOfRange, match="scatter"):
        fire_curve(loads, 5.0, -0.1)


@given(st.floats(0, 40), st.floats(2, 30))
@settings(max_examples=25, deadline=None)
def test_crust_is_added_to_the_trip_force(crust: float, force: float) -> None:
    loads = foot_load(12.0, 0.15, 0.55, 0.11, coupling(0.55, 0.2))
    crusted = fire_curve(loads, force, crust=crust)
    assert crusted.chance == pytest.approx(fire_curve(loads, force + crust).chance, abs=3e-4)
    assert crusted.trip_force == pytest.approx([force]), "the pan's own trip force stands on the curve"


@pytest.mark.parametrize("key", tables.species().keys())
def test_more_trip_force_never_fires_more(key: str) -> None:
    found = curve(key)
    assert (np.diff(found.chance, axis=1) <= 1e-9).all()
    assert (found.low <= found.median + 1e-12).all() and (found.median <= found.high + 1e-12).all()
    assert found.chance.shape == (200, 17) and found.reason == ""


def test_no_trip_force_keeps_a_dog_out_and_lets_a_coyote_in() -> None:
    dog, coyote = curve("dog_medium"), curve("coyote_west")
    assert (dog.chance >= coyote.chance - 1e-9).all(), "in every draw, at every trip force"
    assert (dog.median[coyote.median > 0.5] > 0.75).all()


def test_a_light_pan_is_spent_on_small_animals() -> None:
    light, stiff = (np.array([pounds * POUND_FORCE]) for pounds in (0.5, 4.0))
    for key in SMALL:
        assert curve(key, light).median[0] > 0.5 and curve(key, stiff).high[0] < 0.06, key
    assert curve("coyote_west", light).median[0] - curve("coyote_west", stiff).median[0] < 0.2


def test_a_trail_selects_worse_than_a_worked_set() -> None:
    worked, trail = tables.tread("worked").gait.number, tables.tread("trail").gait.number
    four = np.array([4 * POUND_FORCE])
    gain = [curve(key, four, gait=trail).median[0] - curve(key, four, gait=worked).median[0] for key in
            ("gray_fox", "striped_skunk", "coyote_west")]  # fmt: skip
    assert gain[0] > 0.25 and gain[1] > 0.05 and gain[2] < gain[0]


def test_all_animals_move_together() -> None:
    coyote, raccoon = curve("coyote_west").chance[:, 8], curve("raccoon").chance[:, 8]
    assert np.corrcoef(coyote, raccoon)[0, 1] > 0.5, "one error of the coupling for all"


@pytest.mark.parametrize("key", ["coyote_west", "red_fox", "raccoon", "eagle"])
def test_band_stands_still_from_a_thousand_draws(key: str) -> None:
    few, many = curve(key, n=1000), curve(key, n=8000)
    for part in ("low", "median", "high"):
        assert np.abs(getattr(few, part) - getattr(many, part)).max() < 0.01, part


@pytest.mark.parametrize("key", ["coyote_west", "red_fox", "jackrabbit", "eagle"])
def test_sixty_four_steps_are_enough(key: str) -> None:
    animal, random, n = tables.record(key), np.random.default_rng(8), 400_000
    mass = animal.mass.number * np.exp(np.sqrt(np.log1p(animal.mass_cv.number**2)) * random.standard_normal(n))
    share = np.maximum(random.normal(animal.share.number, animal.share_sd.number, n), 1e-9)
    ratio = GRAVITY * mass * share * random.beta(2.853, 2.334, n) / np.exp(0.12 * random.standard_normal(n))
    sample = 1 - np.searchsorted(np.sort(ratio), FORCES) / n
    figures = (animal.mass.number, animal.mass_cv.number, animal.share.number, animal.share_sd.number)
    found = animal_curve(*figures, coupling(0.55, 0.2, 64), FORCES).chance[0]
    assert np.abs(found - sample).max() < 0.008


@given(st.floats(0.5, 60), st.floats(0.02, 0.4))
@settings(max_examples=25, deadline=None)
def test_individuals_summed_exactly_are_individuals_sampled(mass: float, cv: float) -> None:
    steps = coupling(0.55, 0.2, 768)
    exact = animal_curve(mass, cv, 0.5, 0.1, steps, FORCES).chance
    sampled = fire_curve(foot_load(mass, cv, 0.5, 0.1, steps), FORCES).chance
    assert np.abs(exact - sampled).max() < 0.006


def test_mixed_curve_is_the_mean_of_its_classes() -> None:
    steps = coupling([0.5, 0.6], 0.2, 64)
    mix = MassMix(np.array([7.2, 3.6]), np.array([0.18, 0.22]), np.array([0.25, 0.75]), True, "")
    found = mixed_curve(mix, 0.5, 0.1, steps, FORCES, scale=[1.0, 1.1], crust=2.0)
    parts = [animal_curve(m * np.array([1.0, 1.1]), cv, 0.5, 0.1, steps, FORCES, crust=2.0).chance
             for m, cv in ((7.2, 0.18), (3.6, 0.22))]  # fmt: skip
    assert found.chance == pytest.approx(0.25 * parts[0] + 0.75 * parts[1]) and found.reason == ""
    asked = MassMix(np.array([6.4]), np.array([0.38]), np.ones(1), False, "what share")
    assert mixed_curve(asked, 0.5, 0.1, steps, FORCES).reason == "what share"


def test_quick_curve_says_that_it_is_rough_or_keeps_silent() -> None:
    found = quick_curve([8.0, 12.0], FORCES)
    assert found.reason == QUICK and found.chance.shape == (2, 17)
    assert found.chance[1] == pytest.approx(quick_probability(12.0, FORCES))
    bird = quick_curve(1.3, FORCES, four_footed=False)
    assert np.isnan(bird.chance).all() and bird.reason == NO_SHARE


def test_wading_lightens_the_foot_and_floating_ends_it() -> None:
    steps = coupling(0.55, 0.2)
    chances = [
        fire_curve(foot_load(20.0, 0.2, 0.45, 0.12, steps, carried=part), 12.0).chance[0, 0]
        for part in (1.0, 0.85, 0.5)
    ]
    assert chances[0] > chances[1] > chances[2]
    ratio = (
        foot_load(20.0, 0.2, 0.45, 0.12, steps, carried=0.5).median / foot_load(20.0, 0.2, 0.45, 0.12, steps).median
    )
    assert ratio == pytest.approx(0.5)
    assert foot_load(20.0, 0.0, 0.45, 0.0, coupling(0.5, 0.0)).median == pytest.approx(GRAVITY * 4.5)
