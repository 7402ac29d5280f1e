"""The load model updated by notes of the log: against plain formulas, limits, and what moves together."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from setwright.animal import tables
from setwright.animal.curve import AFLOAT
from setwright.animal.load import GRAVITY, coupling, fire_probability, foot_load
from setwright.animal.notes import FieldNotes, field_notes
from setwright.animal.probit import (
    PRIOR_LOCATION,
    fitted_coupling,
    posterior_curve,
    probit_probability,
    update,
)
from setwright.basis.errors import OutOfRange
from setwright.basis.spread import Draws

POUND_FORCE = 4.4482216152605
DRAWS = Draws(1000, 20, "line")
FIRST, SECOND = DRAWS.uniform("location"), DRAWS.uniform("spread")
FORCES = np.array([1, 2, 3, 4, 5, 8]) * POUND_FORCE


def notes_of(key: str, pounds: float, fired: float, steps: float, **more: float) -> FieldNotes:
    animal = tables.record(key)
    figures = (animal.mass.number, animal.mass_cv.number, animal.share.number, animal.share_sd.number)
    return field_notes(*figures, pounds * POUND_FORCE, fired, steps, **more)


def curve(key: str, notes: FieldNotes | None) -> np.ndarray:
    one = notes_of(key, 4, 0, 1)
    return posterior_curve(update(notes), one.load[0], one.load_spread[0], FORCES, FIRST, SECOND).median


def test_without_notes_the_prior_comes_back() -> None:
    found = update()
    assert found.location == pytest.approx((np.log(0.54), 0.20), abs=2e-3)
    assert found.coupling_spread == pytest.approx((0.46, 0.10), abs=2e-3)
    assert (found.used, found.left_out) == (0, 0) and found.weight.sum() == pytest.approx(1.0)


def test_prior_is_the_shape_of_the_calibrated_law() -> None:
    law = stats.beta(2.853, 2.334)
    logs = np.log(law.ppf((np.arange(20000) + 0.5) / 20000))
    assert logs.std() == pytest.approx(0.46, abs=0.01)
    assert np.exp(logs.mean()) < 0.54 < law.median()
    one = notes_of("coyote_west", 3.527, 0, 1)
    total = np.hypot(0.46, one.load_spread[0])
    assert total == pytest.approx(0.54, abs=0.02), "the spread of the closed form of the trials"


def test_prior_agrees_with_the_load_model() -> None:
    for key in ("coyote_west", "red_fox", "raccoon"):
        animal = tables.record(key)
        figures = (animal.mass.number, animal.mass_cv.number, animal.share.number, animal.share_sd.number)
        loads = foot_load(*figures, coupling(0.55, 0.2, 768))
        one = field_notes(*figures, 1.0, 0, 1)
        closed = probit_probability(one.load, one.load_spread, FORCES, PRIOR_LOCATION, 0.46)
        full = np.array([fire_probability(loads, force)[0] for force in FORCES])
        assert np.abs(closed - full).max() < 0.08, "a lognormal in place of the beta law"


def test_grid_against_a_plain_sum_over_random_pairs() -> None:
    notes = notes_of("coyote_west", 4, 3, 12)
    random = np.random.default_rng(2)
    location = random.normal(np.log(0.54), 0.20, 400_000)
    spread = random.normal(0.46, 0.10, 400_000)
    keep = spread > 0.05
    location, spread = location[keep], spread[keep]
    score = (np.log(notes.load[0] / (4 * POUND_FORCE)) + location) / np.hypot(spread, notes.load_spread[0])
    chance = stats.norm.cdf(score)
    weight = chance**3 * (1 - chance) ** 9
    mean = np.average(location, weights=weight)
    found = update(notes)
    assert found.location[0] == pytest.approx(mean, abs=0.004)
    assert found.location[1] == pytest.approx(np.sqrt(np.average((location - mean) ** 2, weights=weight)), abs=0.004)
    assert found.coupling_spread[0] == pytest.approx(np.average(spread, weights=weight), abs=0.003)


def test_draws_are_the_posterior() -> None:
    found = update(notes_of("coyote_west", 4, 3, 12))
    location, spread = found.draws(FIRST, SECOND)
    assert (location.mean(), location.std()) == pytest.approx(found.location, abs=0.004)
    assert (spread.mean(), spread.std()) == pytest.approx(found.coupling_spread, abs=0.004)
    joint = found.weight * (found.locations[:, None] - found.location[0]) * (found.spreads - found.coupling_spread[0])
    tied = joint.sum() / (found.location[1] * found.coupling_spread[1])
    assert np.corrcoef(location, spread)[0, 1] == pytest.approx(tied, abs=0.08)
    assert np.array_equal(location, found.draws(FIRST, SECOND)[0]), "same uniforms, same draws"


def test_refused_pans_lower_all_animals_and_firings_lift_them() -> None:
    few, many = notes_of("coyote_west", 4, 3, 12), notes_of("coyote_west", 4, 12, 12)
    for key in ("coyote_west", "red_fox", "raccoon", "dog_medium"):
        before, low, high = curve(key, None), curve(key, few), curve(key, many)
        assert (low <= before + 1e-9).all() and (high >= before - 0.02).all(), key
        assert low[3] < before[3] and high[2] > before[2]


@given(st.integers(0, 20), st.integers(0, 20))
@settings(max_examples=20, deadline=None)
def test_one_more_firing_never_lowers_the_location(fired: int, missed: int) -> None:
    base = update(notes_of("raccoon", 3, fired, fired + missed + 1)).location[0]
    assert update(notes_of("raccoon", 3, fired + 1, fired + missed + 1)).location[0] > base


def test_notes_add_up_in_any_order() -> None:
    together = update(notes_of("coyote_west", 4, 5, 9))
    parts = [notes_of("coyote_west", 4, 2, 6), notes_of("coyote_west", 4, 3, 3)]
    joined = FieldNotes(*(np.concatenate([getattr(one, name) for one in parts]) for name in FieldNotes.__slots__))
    turned = FieldNotes(*(getattr(joined, name)[::-1] for name in FieldNotes.__slots__))
    assert np.allclose(together.weight, update(joined).weight, atol=1e-12)
    assert np.allclose(together.weight, update(turned).weight, atol=1e-12)


def test_long_log_finds_what_made_it() -> None:
    true, keys = np.log(0.70), ("coyote_west", "red_fox", "raccoon", "striped_skunk")
    rows = []
    for key in keys:
        for pounds in (1.0, 2.0, 4.0):
            one = notes_of(key, pounds, 0, 1)
            chance = probit_probability(one.load, one.load_spread, one.hold, true, 0.40)[0]
            rows.append(notes_of(key, pounds, round(4000 * chance), 4000))
    joined = FieldNotes(*(np.concatenate([getattr(one, name) for one in rows]) for name in FieldNotes.__slots__))
    found = update(joined)
    assert found.location[0] == pytest.approx(true, abs=0.02) and found.location[1] < 0.02
    assert found.coupling_spread[0] == pytest.approx(0.40, abs=0.02)


def test_missed_tracks_are_allowed_for() -> None:
    whole = update(notes_of("coyote_west", 4, 9, 12)).location[0]
    half = update(notes_of("coyote_west", 4, 9, 12, noticed=0.5)).location[0]
    assert half < whole, "three found of six refused pans"
    doubled = update(notes_of("coyote_west", 4, 9, 15)).location[0]
    assert doubled < half, "three that were written down say more than three that were not"


def test_afloat_and_empty_rows_are_left_out() -> None:
    notes = field_notes(20.0, 0.2, 0.45, 0.12, 12.0, [1, 0, 2, 0], [2, 0, 3, 1], carried=[np.nan, 1.0, 1.0, 0.0])
    found = update(notes)
    assert (found.used, found.left_out) == (1, 3)
    blank = posterior_curve(found, float("nan"), 0.3, FORCES, FIRST, SECOND)
    assert np.isnan(blank.chance).all() and blank.reason == AFLOAT


def test_crust_and_gait_enter_as_ratio() -> None:
    base = update(notes_of("coyote_west", 4, 3, 6))
    both = update(notes_of("coyote_west", 7, 3, 6, gait=2.0, crust=POUND_FORCE))
    assert both.location == pytest.approx(base.location)


def test_fitted_coupling_gives_the_closed_form() -> None:
    steps = fitted_coupling([PRIOR_LOCATION, np.log(0.7)], [0.46, 0.40], 768)
    assert np.median(steps, axis=1) == pytest.approx([0.54, 0.70], rel=2e-3)
    loads = foot_load(12.0, 0.15, 0.55, 0.11, steps)
    for force in FORCES:
        one = field_notes(12.0, 0.15, 0.55, 0.11, force, 0, 1)
        closed = probit_probability(one.load, one.load_spread, force, [PRIOR_LOCATION, np.log(0.7)], [0.46, 0.40])
        assert fire_probability(loads, force) == pytest.approx(closed, abs=0.02), "a normal share as a lognormal one"


def test_offset_is_the_weight_on_the_foot() -> None:
    assert field_notes(12.0, 0.15, 0.55, 0.11, 17.8, 0, 1).load[0] == pytest.approx(GRAVITY * 12 * 0.55)
    assert probit_probability(10.0, 0.3, 10.0 * 0.54, np.log(0.54), 0.46) == pytest.approx(0.5)


def test_spread_of_the_load_is_the_sum_of_its_parts() -> None:
    random = np.random.default_rng(4)
    mass = np.sqrt(np.log1p(0.3**2)) * random.standard_normal(400_000)
    share = np.sqrt(np.log1p((0.1 / 0.5) ** 2)) * random.standard_normal(400_000)
    shot = 0.12 * random.standard_normal(400_000)
    assert field_notes(2.4, 0.3, 0.5, 0.1, 10.0, 0, 1).load_spread[0] == pytest.approx(
        (mass + share - shot).std(), rel=0.005
    )


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"fired": 4, "steps": 3}, "more often"),
        ({"fired": -1, "steps": 3}, "more often"),
        ({"noticed": 0.0}, "share"),
    ],
)
def test_misuse_of_notes_is_named(change: dict[str, float], word: str) -> None:
    with pytest.raises(OutOfRange, match=word):
        notes_of("coyote_west", 4, **{"fired": 1, "steps": 3, **change})


def test_prior_without_spread_is_misuse() -> None:
    with pytest.raises(OutOfRange, match="prior"):
        update(location_sd=0.0)
