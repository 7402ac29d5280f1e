"""Old and young in known and in unknown shares."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.animal import tables
from setwright.animal.ages import AGES, SEXES, MassMix, mass_at, mix_classes
from setwright.animal.load import coupling, foot_load, mixed_load
from setwright.basis.errors import BadInput

RACCOONS = tables.age_classes("raccoon")
KEYS = tables.species().keys()


@pytest.mark.parametrize("key", KEYS)
def test_classes_are_likely(key: str) -> None:
    animal, classes = tables.record(key), tables.age_classes(key)
    assert len({one.key for one in classes}) == len(classes)
    by = {one.key: one.mass.value for one in classes}
    for one in classes:
        assert one.age in AGES and one.sex in SEXES
        assert one.key == one.age + ("" if one.sex == "both" else f"_{one.sex}")
        assert one.mass.source.text, "a source, or the question to ask"
        if one.mass.value is not None:
            assert 0.15 * animal.mass.number < one.mass.value < 1.8 * animal.mass.number
            assert 0.05 < one.mass_cv.number <= 0.4
        else:
            assert "weigh" in one.mass.source.text and one.mass_cv.value is None
    male, female = by.get("adult_male"), by.get("adult_female")
    assert (male is None) == (female is None)
    if male is not None and female is not None:
        assert male > female
        assert female * 0.55 < animal.mass.number < male * 1.3, "the median of the table lies with the adults"
    young, adults = by.get("young"), [by[one] for one in ("adult", "adult_male") if by.get(one)]
    if young and adults:
        assert young < max(adults)


def test_mix_by_hand() -> None:
    mix = mix_classes(RACCOONS, {"adult_female": 1, "young": 3}, 6.4, 0.25)
    by = {one.key: one for one in RACCOONS}
    assert mix.known and mix.question == ""
    assert mix.weight == pytest.approx([0.25, 0.75])
    means = [by[key].mass.number * np.sqrt(1 + by[key].mass_cv.number ** 2) for key in ("adult_female", "young")]
    assert mix.mean == pytest.approx(0.25 * means[0] + 0.75 * means[1])


def test_counts_are_shares() -> None:
    counts = mix_classes(RACCOONS, {"adult_male": 6, "young": 4}, 6.4, 0.25)
    shares = mix_classes(RACCOONS, {"adult_male": 0.6, "young": 0.4, "adult_female": 0.0}, 6.4, 0.25)
    assert counts.weight == pytest.approx(shares.weight) and counts.mass == pytest.approx(shares.mass)


def test_unknown_shares_are_adults_with_a_wide_spread_and_a_question() -> None:
    mix = mix_classes(RACCOONS, {}, 6.4, 0.25)
    assert not mix.known and "share" in mix.question
    assert mass_at(mix, 0.5) == pytest.approx(6.4, rel=1e-3)
    lightest = min(one.mass.number for one in RACCOONS)
    assert mass_at(mix, 0.05) <= lightest * 1.001
    beavers = tables.age_classes("beaver")
    kit = min(one.mass.number for one in beavers)
    assert mass_at(mix_classes(beavers, {}, 20.0, 0.22), 0.05) == pytest.approx(kit, rel=0.01)
    alone = mix_classes((), {}, 20.0, 0.2)
    assert alone.mass_cv[0] > 0.29, "no class known: half as wide again"


def test_a_class_that_nobody_weighed_asks() -> None:
    fishers = tables.age_classes("fisher")
    mix = mix_classes(fishers, {"adult_male": 1, "young": 1}, 3.2, 0.3)
    assert not mix.known and "weigh fishers" in mix.question
    assert mix_classes(fishers, {"adult_male": 1}, 3.2, 0.3).known


@pytest.mark.parametrize(
    ("shares", "word"),
    [({"yung": 1.0}, "young"), ({"young": -1.0}, "below zero"), ({"young": 0.0}, "all shares"), ({"x": 1}, "adult")],
)
def test_misuse_is_named(shares: dict[str, float], word: str) -> None:
    with pytest.raises(BadInput, match=word):
        mix_classes(RACCOONS, shares, 6.4, 0.25)


@given(st.floats(0.5, 40), st.floats(0.05, 0.4), st.floats(0.2, 1.0), st.floats(0.05, 0.95))
@settings(max_examples=40)
def test_quantiles_rise_and_match_a_random_lot(mass: float, cv: float, part: float, weight: float) -> None:
    mix = MassMix(np.array([mass, part * mass]), np.array([cv, cv]), np.array([weight, 1 - weight]), True, "")
    p = np.linspace(0.001, 0.999, 400)
    found = mass_at(mix, p)
    assert (np.diff(found) >= 0).all()
    assert found.mean() == pytest.approx(mix.mean, rel=0.01)
    assert np.isnan(mass_at(mix, [-0.1, 1.1])).all()


def test_one_class_is_the_plain_load() -> None:
    steps = coupling([0.5, 0.6], 0.2)
    mix = MassMix(np.array([6.4]), np.array([0.25]), np.ones(1), True, "")
    found = mixed_load(mix, 0.5, 0.1, steps, scale=[1.0, 1.1], gait=1.5)
    plain = foot_load([6.4, 6.4 * 1.1], 0.25, 0.5, 0.1, steps, gait=1.5)
    assert found.force == pytest.approx(plain.force, rel=2e-4)


def test_young_ones_press_less() -> None:
    steps = coupling(0.55, 0.2)
    loads = [
        mixed_load(mix_classes(RACCOONS, {"adult_male": 1 - part, "young": part}, 6.4, 0.25), 0.5, 0.1, steps).median
        for part in (0.0, 0.5, 1.0)
    ]
    assert loads[0] > loads[1] > loads[2]
    assert loads[2] / loads[0] == pytest.approx(3.6 / 7.2, rel=0.03)


def test_equal_masses_without_spread_are_one_mass() -> None:
    mix = MassMix(np.array([5.0, 5.0]), np.zeros(2), np.array([0.5, 0.5]), True, "")
    assert mass_at(mix, [0.1, 0.5, 0.9]) == pytest.approx([5.0] * 3)
