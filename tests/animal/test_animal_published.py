"""Outside checks of the animal room; `published.csv` has the rows."""

from __future__ import annotations

import numpy as np
import pytest

from outside import hold, rows
from setwright.animal import calibrate, tables, trials, welfare_tables
from setwright.animal.ages import mix_classes
from setwright.animal.injury import Findings, Tally, tally
from setwright.animal.load import GRAVITY, coupling, fire_probability, foot_load
from setwright.animal.lunge import lunge
from setwright.animal.placing import chest_chance
from setwright.animal.pull import body_stiffness, peak_pull, pull_over_steady, run_up_speed, series, with_shock_spring
from setwright.animal.quick import quick_probability
from setwright.animal.sample import animals_needed, at_least, lower_bound, upper_bound
from setwright.animal.step import contact_area, foot_radius, lane_probability

POUND_FORCE = 4.4482216152605


def proof(total: int, share: float) -> int:
    """Fewest good results of `total` whose lower bound reaches a share."""
    return next(good for good in range(total + 1) if float(lower_bound(good, total)) >= share)


def found_on(injuries: list[str]) -> Tally:
    return tally([Findings(tuple(injuries))], welfare_tables.injury_scale())


WELFARE = {
    "needed": lambda bad, share: float(animals_needed(bad, share) or np.nan),
    "passes": lambda good, total, share: float(at_least(good, total, share)),
    "lowest": lambda good, total, level: float(lower_bound(good, total, level)),
    "highest": lambda good, total, level: float(upper_bound(good, total, level)),
    "proof": proof,
    "criterion_limit": lambda key: float(welfare_tables.criteria()[key].limit or np.nan),
    "criterion_animals": lambda key: float(welfare_tables.criteria()[key].least_animals or np.nan),
    "points": lambda injuries: float(found_on(injuries).points_low[0]),
    "free": lambda injuries: float(found_on(injuries).free_of_listed[0]),
}


def fires(key: str, pounds: float, mean: float = 0.55, sd: float = 0.20, gait: float = 1.0) -> float:
    animal = tables.record(key)
    loads = foot_load(
        animal.mass.number,
        animal.mass_cv.number,
        animal.share.number,
        animal.share_sd.number,
        coupling(mean, sd, inner=768),
        gait=gait,
    )
    return float(fire_probability(loads, pounds * POUND_FORCE)[0])


def trial_targets() -> calibrate.Targets:
    trials = tables.trials()
    return calibrate.targets(
        [trials.number(row, "share") for row in ("T02", "T03", "T04")],
        [trials.number(row, "share") for row in ("T06", "T07", "T08")],
        trials.number("T05", "share"),
    )


def best_mean(kilograms: float) -> float:
    force = kilograms * GRAVITY
    return calibrate.refit(trial_targets(), trip_low=force, trip_high=force, inner=192).mean


def lane(pan_radius: float, width: float, length: float, lane: float) -> float:
    return float(lane_probability(contact_area(pan_radius, foot_radius(width, length)), lane, 0.80, 2))


def pull(mass: float, acceleration: float, run: float, top: float) -> float:
    return float(peak_pull(mass, acceleration, run_up_speed(acceleration, run, top), body_stiffness(mass)))


def blow(mass: float, acceleration: float, run: float, traction: float, stiffness: float) -> float:
    speed = run_up_speed(acceleration, run, np.inf)
    return float(pull_over_steady(traction * mass * GRAVITY, mass, speed, stiffness))


def spring_energy(force: float, stroke: float) -> float:
    return float(with_shock_spring(14.0, 8.0, 6.0, 4200.0, force / stroke, stroke).stored)


def share(key: str) -> float:
    """Mean share of the weight over many steps when the whole force reaches the pan."""
    animal = tables.record(key)
    steps = coupling(1 - 1e-12, 0.0, inner=768)
    loads = foot_load(1.0, 0.0, animal.share.number, animal.share_sd.number, steps)
    return float(loads.force.mean() / GRAVITY)


def trial_mean(kilograms: float = 1.6) -> float:
    return float(trials.best_means(ROWS, GROUND, kilograms * GRAVITY)[0])


def class_mass(key: str, age: str) -> float:
    return next(one.mass.number for one in tables.age_classes(key) if one.key == age)


def lot_mass(key: str, shares: dict[str, float]) -> float:
    animal = tables.record(key)
    return mix_classes(tables.age_classes(key), shares, animal.mass.number, animal.mass_cv.number).mean


def chest_depth() -> float:
    depth = np.linspace(0.0, 0.5, 5001)
    return float(depth[np.argmax(chest_chance(depth))])


def prior_spread() -> float:
    """Spread of the logarithm of the calibrated coupling, on which the prior of the notes rests."""
    return float(np.log(coupling(0.55, 0.20, inner=768)[0]).std())


ROWS = tables.trial_rows()
GROUND = trials.surface()
FIT = trials.fit_rows(ROWS, GROUND)

CHECKS = {
    "trial_row": lambda key: FIT.row(key).model,
    "trial_mean": trial_mean,
    "trial_pan": lambda pan: FIT.pan_forces[pan] / GRAVITY,
    "peak": lambda mass, share: float(foot_load(mass, 0.0, share, 0.0, coupling(1 - 1e-12, 0.0)).median[0]),
    "mixed_share": share,
    "share_sd": lambda key: tables.record(key).share_sd.number,
    "hours": lambda key, part: getattr(tables.record(key), part).number,
    "group": lambda key: tables.record(key).group.number,
    "class_mass": class_mass,
    "lot_mass": lot_mass,
    "prior_spread": prior_spread,
    "chest_depth": chest_depth,
    "fires": fires,
    "trial_coyote": lambda mean, sd: calibrate.predicted(mean, sd).coyote_fires,
    "trial_pool": lambda mean, sd: calibrate.predicted(mean, sd).pool_excluded,
    "target_coyote": lambda: trial_targets().coyote_fires,
    "target_pool": lambda: trial_targets().pool_excluded,
    "best_mean": best_mean,
    "quick": lambda mass, kilograms: float(quick_probability(mass, kilograms * GRAVITY)),
    "lane": lane,
    "stiffness": lambda mass: float(body_stiffness(mass)),
    "pull": pull,
    "whole_lunge": lambda mass, acceleration, run, top, other: float(
        lunge(mass, acceleration, run, top, series(body_stiffness(mass), other)).slack
    ),
    "sudden_share": lambda traction: float(lunge(1.0, 99.0, 0.0, 9.0, 500.0, traction=traction).slack) / GRAVITY,
    "blow": blow,
    "blow_spring": lambda spring, stiffness, **rest: blow(stiffness=float(series(stiffness, spring)), **rest),
    "in_series": lambda first, second: float(series(first, second)),
    "speed": lambda acceleration, run, top: float(run_up_speed(acceleration, run, top)),
    "spring_energy": spring_energy,
    **WELFARE,
}


@pytest.mark.parametrize("row", rows("animal", "published"))
def test_published(row: dict[str, str]) -> None:
    hold(row, CHECKS)


# Cells of the same table whose chance is so near 0 or 1 that a wrong load would hardly move it.
NEAR_ENDS = [
    (key, pounds, float(figure))
    for key, figures in {
        "coyote_west": {0.5: 1, 1: 1, 2: 0.98, 3: 0.93},
        "coyote_east": {0.5: 1, 1: 1, 2: 0.99, 3: 0.97, 4: 0.93},
        "red_fox": {0.5: 0.99, 1: 0.96, 8: 0.01},
        "gray_fox": {0.5: 0.99, 1: 0.92, 5: 0.04, 8: 0},
        "kit_swift_fox": {0.5: 0.94, 3: 0.02, 4: 0, 5: 0, 8: 0},
        "wolf": {0.5: 1, 1: 1, 2: 1, 3: 1, 4: 0.99, 5: 0.98, 8: 0.95},
        "bobcat": {0.5: 1, 1: 0.99, 2: 0.94},
        "lynx": {0.5: 1, 1: 0.99, 2: 0.96},
        "raccoon": {0.5: 1, 1: 0.97, 8: 0.05},
        "striped_skunk": {0.5: 0.95, 3: 0.07, 4: 0.02, 5: 0, 8: 0},
        "opossum": {0.5: 0.95, 3: 0.07, 4: 0.02, 5: 0, 8: 0},
        "badger": {0.5: 1, 1: 0.99, 2: 0.92},
        "dog_small": {0.5: 1, 1: 0.99, 2: 0.94},
        "dog_medium": {0.5: 1, 2: 1, 3: 0.99, 4: 0.97, 5: 0.95},
        "dog_large": {0.5: 1, 2: 1, 3: 1, 4: 0.99, 5: 0.98, 8: 0.95},
        "house_cat": {0.5: 0.99, 1: 0.93, 5: 0.08, 8: 0},
        "cottontail": {2: 0, 3: 0, 4: 0, 5: 0, 8: 0},
        "jackrabbit": {0.5: 0.9, 3: 0.01, 4: 0, 5: 0, 8: 0},
        "hawk_owl": {0.5: 0.93, 3: 0.06, 4: 0.01, 5: 0, 8: 0},
        "eagle": {0.5: 1, 1: 0.98, 2: 0.90},
        "turkey": {0.5: 1, 1: 1, 2: 0.97, 3: 0.91},
        "muskrat": {1: 0.08, 2: 0, 3: 0, 4: 0, 5: 0, 8: 0},
        "mink": {2: 0, 3: 0, 4: 0, 5: 0, 8: 0},
    }.items()
    for pounds, figure in figures.items()
]


@pytest.mark.parametrize(("key", "pounds", "figure"), NEAR_ENDS)
def test_ends_of_the_firing_table(key: str, pounds: float, figure: float) -> None:
    assert fires(key, pounds) == pytest.approx(figure, abs=0.02), "large random sample of the same model"


@pytest.mark.parametrize("key", ["deer_adult", "deer_fawn", "feral_hog", "calf"])
def test_hoofed_animals_are_not_kept_out_by_any_pan(key: str) -> None:
    assert fires(key, 3) >= 0.98 and fires(key, 5) >= 0.95 and fires(key, 8) >= 0.86
