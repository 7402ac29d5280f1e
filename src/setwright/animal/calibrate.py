"""How the coupling of foot and pan was calibrated on the pan-tension trials, as a computation.

It is a calibration of two numbers on two numbers. It is not a validation: nothing is left over to test it with.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.load import GRAVITY, coupling, fire_probability, foot_load
from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

MEANS = (0.30, 0.35, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65, 0.70, 0.75)
SPREADS = (0.10, 0.15, 0.20, 0.25)
# Four points of 100 is what a target may well be off by: percentages without counts, a pool without its mix.
ERROR_SCALE = 0.04


@dataclass(frozen=True, slots=True)
class Targets:
    """What the trials say on pans with a tension device.

    Parameters
    ----------
    coyote_fires : float [-]
        Share of coyotes that stepped on the pan and fired it.
    pool_excluded : float [-]
        Share of the small non-target animals that stepped on the pan and did not fire it.

    """

    coyote_fires: float
    pool_excluded: float


@dataclass(frozen=True, slots=True)
class Bodies:
    """Animals of one target: mean figures of equal parts of a pool.

    Parameters
    ----------
    mass : tuple of float [kg]
    mass_cv, share, share_sd : tuple of float [-]
        As in `setwright.animal.load.foot_load`.

    """

    mass: tuple[float, ...]
    mass_cv: tuple[float, ...]
    share: tuple[float, ...]
    share_sd: tuple[float, ...]


# Coyote of 12 kg; kit or swift fox, gray fox, striped skunk, opossum and jackrabbit in equal parts (mix unknown).
COYOTE = Bodies((12.0,), (0.18,), (0.55,), (0.11,))
POOL = Bodies(
    (2.1, 3.7, 2.4, 2.5, 2.4),
    (0.15, 0.17, 0.30, 0.30, 0.15),
    (0.55, 0.55, 0.52, 0.52, 0.425),
    (0.11, 0.11, 0.10, 0.10, 0.114),
)


@dataclass(frozen=True, slots=True, eq=False)
class Calibration:
    """Best pair of a grid, and the whole grid.

    Parameters
    ----------
    mean, sd : float [-]
        Best mean and spread of the coupling.
    fitted : Targets
        What the model gives there.
    misfit : float [-]
        Root of the sum of squared errors over the error scale; below 1 the fit is as good as the targets are.
    means, sds : array [-]
        Axes of the grid.
    misfits : array (means, sds) [-]
        Misfit over the grid: how flat the bottom is.

    """

    mean: float
    sd: float
    fitted: Targets
    misfit: float
    means: Floats
    sds: Floats
    misfits: Floats


def targets(excluded: ArrayLike, captured: ArrayLike, captured_standard: float) -> Targets:
    """Targets from the published percentages.

    Parameters
    ----------
    excluded : array [-]
        Share of small non-target animals excluded, by tension device.
    captured : array [-]
        Share of coyotes captured of those that stepped, by tension device.
    captured_standard : float [-]
        The same with standard pans. What is lost there is taken as lost after firing.

    Returns
    -------
    Targets
        Means over the devices, the capture rate over that of standard pans.

    References
    ----------
    Turkowski, Armistead & Linhart (1984), J. Wildl. Manage. 48:700-708, abstract seen.

    """
    return Targets(
        float(np.mean(np.asarray(captured, dtype=float)) / captured_standard),
        float(np.mean(np.asarray(excluded, dtype=float))),
    )


def predicted(
    mean: float,
    sd: float,
    *,
    trip_low: float = 1.4 * GRAVITY,
    trip_high: float = 1.8 * GRAVITY,
    coyote: Bodies = COYOTE,
    pool: Bodies = POOL,
    inner: int = 512,
) -> Targets:
    """What the load model gives for the trial, with one mean and spread of the coupling.

    Parameters
    ----------
    mean, sd : float [-]
        Of the coupling over steps.
    trip_low, trip_high : float [N]
        Trip force of the devices, even between. Not in the abstract: 1.4 to 1.8 kg of force is recalled.
    coyote, pool : Bodies
        The animals.
    inner : int
        Steps for each animal.

    Returns
    -------
    Targets
        Model figures in place of the published ones.

    """
    trip = trip_low + (trip_high - trip_low) * (np.arange(16) + 0.5) / 16
    steps = np.repeat(coupling(mean, sd, inner), trip.size, axis=0)

    def fires(bodies: Bodies) -> float:
        found = [
            fire_probability(foot_load(mass, cv, share, share_sd, steps), trip).mean()
            for mass, cv, share, share_sd in zip(
                bodies.mass, bodies.mass_cv, bodies.share, bodies.share_sd, strict=True
            )
        ]
        return float(np.mean(found))

    return Targets(fires(coyote), 1.0 - fires(pool))


def refit(
    wanted: Targets,
    *,
    means: ArrayLike = MEANS,
    sds: ArrayLike = SPREADS,
    trip_low: float = 1.4 * GRAVITY,
    trip_high: float = 1.8 * GRAVITY,
    coyote: Bodies = COYOTE,
    pool: Bodies = POOL,
    inner: int = 512,
) -> Calibration:
    """Calibrate mean and spread of the coupling on a grid.

    Parameters
    ----------
    wanted : Targets
        From `targets`.
    means, sds : array [-]
        Grid.
    trip_low, trip_high, coyote, pool, inner
        As in `predicted`.

    Returns
    -------
    Calibration
        Best pair, its misfit and the misfit of all.

    Raises
    ------
    OutOfRange
        When the grid is empty.

    Notes
    -----
    Doubts: one study; species pooled with an unknown mix; trip force recalled; two free numbers for two targets. The
    mean goes with the trip force: 1.36, 1.60, 1.81 kg of force ask for about 0.45, 0.55, 0.60. So a study draws the
    mean once from 0.45 to 0.65 and the spread from 0.15 to 0.25, the same for all animals. Counts per species
    would settle it.

    References
    ----------
    Turkowski, Armistead & Linhart (1984), J. Wildl. Manage. 48:700-708, abstract seen; trip force memory.

    """
    grid_mean, grid_sd = (np.atleast_1d(np.asarray(axis, dtype=float)) for axis in (means, sds))
    if grid_mean.size == 0 or grid_sd.size == 0:
        raise OutOfRange("the grid of means and spreads is empty", field="means, sds")
    found = [
        [
            predicted(mean, sd, trip_low=trip_low, trip_high=trip_high, coyote=coyote, pool=pool, inner=inner)
            for sd in grid_sd.tolist()
        ]
        for mean in grid_mean.tolist()
    ]
    misfits = np.array([[misfit_of(one, wanted) for one in row] for row in found])
    i, j = np.unravel_index(int(np.argmin(misfits)), misfits.shape)
    best = float(misfits[i, j])
    return Calibration(float(grid_mean[i]), float(grid_sd[j]), found[i][j], best, grid_mean, grid_sd, misfits)


def misfit_of(found: Targets, wanted: Targets) -> float:
    """Root of the sum of squared errors, each over the error scale of 0.04 [-]."""
    return float(
        np.hypot(found.coyote_fires - wanted.coyote_fires, found.pool_excluded - wanted.pool_excluded) / ERROR_SCALE
    )
