"""The calibration on the pan trials: it finds what it was made with, and says how flat its bottom is."""

from __future__ import annotations

import numpy as np
import pytest

from setwright.animal import calibrate, tables
from setwright.animal.calibrate import POOL, Bodies, Targets, misfit_of, predicted, refit
from setwright.animal.load import GRAVITY
from setwright.basis.errors import OutOfRange

WANTED = Targets(87.6667 / 98, 0.956667)


def test_best_pair_of_the_grid() -> None:
    found = refit(WANTED)
    assert (found.mean, found.sd) == (0.55, 0.20)
    assert found.misfit < 0.6 and found.misfits.shape == (10, 4)
    assert found.misfit == pytest.approx(misfit_of(found.fitted, WANTED)) == found.misfits.min()


def test_neighbours_fit_about_as_well() -> None:
    found = refit(WANTED)
    near = {(0.45, 0.10), (0.45, 0.15), (0.50, 0.15), (0.50, 0.20)}
    for mean, sd in near:
        i, j = np.flatnonzero(found.means == mean)[0], np.flatnonzero(found.sds == sd)[0]
        assert found.misfits[i, j] < 1.2, "two numbers on two numbers leave a flat bottom"


def test_refit_finds_the_pair_that_made_the_targets() -> None:
    made = predicted(0.45, 0.15)
    found = refit(made)
    assert (found.mean, found.sd, found.misfit) == (0.45, 0.15, 0.0)


def test_full_coupling_lets_gray_foxes_fire() -> None:
    whole = predicted(0.999, 0.001)
    assert whole.coyote_fires > 0.99 and whole.pool_excluded < 0.75, "without loss at the pan the trials are missed"


def test_steady_load_has_no_refusals() -> None:
    assert predicted(0.60, 0.01).coyote_fires > 0.985


def test_slack_pan_excludes_few() -> None:
    slack = predicted(0.55, 0.20, trip_low=0.24 * GRAVITY, trip_high=0.24 * GRAVITY)
    assert slack.pool_excluded == pytest.approx(0.06, abs=0.015), "standard pans: 6 % of the pool, abstract of 1984"
    assert slack.coyote_fires > 0.995


def test_without_gray_fox_the_mean_goes_up() -> None:
    rest = [0, 2, 3, 4]
    pool = Bodies(
        *(tuple(column[i] for i in rest) for column in (POOL.mass, POOL.mass_cv, POOL.share, POOL.share_sd))
    )
    found = refit(WANTED, pool=pool)
    assert 0.50 <= found.mean <= 0.70 and found.sd >= 0.20


def test_targets_from_the_trial_table() -> None:
    trials = tables.trials()
    excluded = [trials.number(row, "share") for row in ("T02", "T03", "T04")]
    captured = [trials.number(row, "share") for row in ("T06", "T07", "T08")]
    found = calibrate.targets(excluded, captured, trials.number("T05", "share"))
    assert (found.coyote_fires, found.pool_excluded) == pytest.approx((0.895, 0.957), abs=6e-4)


def test_empty_grid_is_misuse() -> None:
    with pytest.raises(OutOfRange, match="empty"):
        refit(WANTED, means=[])
