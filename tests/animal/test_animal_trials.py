"""The refit on the raw rows: fitted, held back, left out; and how it leans on the recalled trip force."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.animal import tables, trials
from setwright.animal.load import GRAVITY
from setwright.basis.errors import OutOfRange

ROWS = tables.trial_rows()
GROUND = trials.surface()
FIT = trials.fit_rows(ROWS, GROUND)
FITTED = [row.key for row in ROWS if row.use == "fitted"]


def test_every_row_is_fitted_held_back_or_left_out_with_a_reason() -> None:
    assert [row.key for row in ROWS] == list(tables.trials().keys())
    assert FITTED == ["T01", "T02", "T03", "T04", "T05", "T06", "T07"]
    assert [row.key for row in ROWS if row.use == "held back"] == ["T08"]
    assert all(row.why for row in ROWS if row.use != "fitted")
    assert [fit.row for fit in FIT.rows] == list(ROWS)


def test_fitted_rows_lie_within_five_points() -> None:
    for key in FITTED:
        fit = FIT.row(key)
        assert abs(fit.residual) < 0.05, key
        assert fit.residual == pytest.approx(fit.row.printed - fit.model)
        assert fit.low <= fit.model <= fit.high


def test_the_row_held_back_is_predicted_within_two_errors() -> None:
    fit = FIT.row("T08")
    assert abs(fit.residual) < 2 * 0.04, "printed 0.84"
    other = trials.fit_rows([replace(row, printed=0.20) if row.key == "T08" else row for row in ROWS], GROUND)
    assert (other.mean, other.sd, other.row("T08").model) == (FIT.mean, FIT.sd, fit.model), "it has no say in the fit"
    pulled = trials.fit_rows(
        [replace(row, use="fitted", printed=0.60) if row.key == "T08" else row for row in ROWS], GROUND
    )
    assert pulled.row("T08").model < fit.model - 0.02 and pulled.misfit > FIT.misfit + 1


def test_best_pair_agrees_with_the_two_number_calibration() -> None:
    assert FIT.mean == pytest.approx(0.55, abs=0.05) and FIT.sd == pytest.approx(0.20, abs=0.05)
    assert 0.40 <= FIT.mean_low <= 0.50 and 0.60 <= FIT.mean_high <= 0.70, "drawn from 0.45 to 0.65 in a study"
    assert FIT.loss == pytest.approx(0.02, abs=0.011), "98 % captured on pans that every coyote fires"
    assert FIT.weight.sum() == pytest.approx(1.0) and FIT.weight.shape == (21, 9)


def test_standard_pans_come_out_slack() -> None:
    assert FIT.pan_forces["standard"] / GRAVITY == pytest.approx(0.24, abs=0.03), "half a pound"
    for pan in ("shear-pin", "leaf-spring", "steel-tape"):
        assert 1.4 < FIT.pan_forces[pan] / GRAVITY < 1.8


def test_no_trip_force_explains_the_best_device() -> None:
    free = trials.fit_rows(ROWS, GROUND, recalled_spread=1.0)
    assert free.row("T03").residual > 0.02 and free.row("T07").residual > -0.01, (
        "the leaf spring excluded more and caught more than the shear pin: not a matter of trip force"
    )


def test_rows_left_out_show_that_opportunities_leave_out_refused_pans() -> None:
    for key in ("T12", "T13"):
        fit = FIT.row(key)
        assert fit.residual > 0.1 and fit.row.use == "not fitted", "more captured than the model lets fire"
    for key in ("T09", "T14", "T16"):
        assert np.isnan(FIT.row(key).model)
    assert np.isnan(FIT.row("T22").residual) and np.isfinite(FIT.row("T22").model)


def test_best_mean_rises_with_the_recalled_trip_force() -> None:
    found = trials.best_means(ROWS, GROUND, GRAVITY * np.array([1.2, 1.36, 1.6, 1.81, 2.0]))
    assert (np.diff(found) > 0.03).all()
    assert found[1:4] == pytest.approx([0.45, 0.55, 0.60], abs=0.025)


def test_refit_finds_what_made_the_rows() -> None:
    at = {pan: int(np.argmin(np.abs(np.log(GROUND.forces / force)))) for pan, force in FIT.pan_forces.items()}
    i, j = int(np.argmin(np.abs(GROUND.means - 0.45))), int(np.argmin(np.abs(GROUND.sds - 0.25)))
    made = []
    for row in ROWS:
        if row.use == "fitted":
            fires = float(GROUND.fires[row.group][i, j, at[row.pan]])
            row = replace(row, printed=1 - fires if row.kind == "excluded" else fires * 0.97)
        made.append(row)
    found = trials.fit_rows(made, GROUND)
    assert (found.mean, found.sd) == pytest.approx((0.45, 0.25), abs=0.03) and found.misfit < 0.3
    assert found.loss == pytest.approx(0.03, abs=0.006)


def test_rows_in_any_order() -> None:
    turned = trials.fit_rows(ROWS[::-1], GROUND)
    assert (turned.mean, turned.sd, turned.loss) == (FIT.mean, FIT.sd, FIT.loss)


def test_misuse_is_named() -> None:
    with pytest.raises(OutOfRange, match="no row"):
        trials.fit_rows([row for row in ROWS if row.use == "not fitted"], GROUND)
    with pytest.raises(OutOfRange, match="empty"):
        trials.surface(means=[])


def test_misfit_by_hand() -> None:
    rows = sum((FIT.row(key).residual / 0.04) ** 2 for key in FITTED)
    devices = [force for pan, force in FIT.pan_forces.items() if pan != "standard"]
    width = np.log(1.8 / 1.4) / (2 * 1.6448536)
    recalled = sum((np.log(force / (1.6 * GRAVITY)) / width) ** 2 for force in devices)
    assert len(devices) == 3 and pytest.approx(rows + recalled, rel=1e-6) == FIT.misfit**2
