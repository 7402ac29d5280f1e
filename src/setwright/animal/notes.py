"""Notes of a log on feet that stood on the pan, as data for the update of the load model."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.load import GRAVITY
from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class FieldNotes:
    """Steps on the pan that were seen to fire it or not, one row for each animal, set type and trip force.

    Parameters
    ----------
    load : array (r,) [N]
        Median weight on one foot, m g s · gait · carried; NaN for an animal afloat.
    load_spread : array (r,) [-]
        Standard deviation of the logarithm of load over trip force from all but the coupling.
    hold : array (r,) [N]
        Trip force with what crust adds.
    fired : array (r,)
        Times that it fired: held, or sprung by the sign of this animal.
    steps : array (r,)
        Times that a foot stood on the pan: fired, or a track on the pan and not fired. A refusal is no step.
    noticed : array (r,) [-]
        Share of steps without firing that leave a track which is found; firing is always found.

    """

    load: Floats
    load_spread: Floats
    hold: Floats
    fired: Floats
    steps: Floats
    noticed: Floats


def field_notes(
    mass: ArrayLike,
    mass_cv: ArrayLike,
    share: ArrayLike,
    share_sd: ArrayLike,
    trip_force: ArrayLike,
    fired: ArrayLike,
    steps: ArrayLike,
    *,
    scatter: ArrayLike = 0.12,
    crust: ArrayLike = 0.0,
    gait: ArrayLike = 1.0,
    carried: ArrayLike = 1.0,
    noticed: ArrayLike = 1.0,
) -> FieldNotes:
    """Notes of a log as data for `setwright.animal.probit.update`.

    Parameters
    ----------
    mass, mass_cv, share, share_sd, gait, carried
        Of the animal, as in `setwright.animal.load.foot_load`, each float or array (r,).
    trip_force, scatter, crust
        Of the pan, as in `setwright.animal.load.fire_probability`.
    fired, steps : float or array (r,)
        Times fired, and times a foot stood on the pan.
    noticed : float or array (r,) [-]
        Share of steps without firing that were found. 1 takes the notes as complete.

    Returns
    -------
    FieldNotes
        Arrays (r,).

    Raises
    ------
    OutOfRange
        When something fired more often than it was stepped on, a count is below zero, or `noticed` is not above 0 and
        at most 1.

    """
    given = (mass, mass_cv, share, share_sd, trip_force, fired, steps, scatter, crust, gait, carried, noticed)
    m, cv, s, sd, force, hits, tries, shot, extra, step, afoot, seen = np.broadcast_arrays(
        *(np.atleast_1d(np.asarray(part, dtype=float)) for part in given)
    )
    if not ((hits >= 0) & (tries >= hits)).all():
        raise OutOfRange("fired more often than stepped on", field="fired", found=hits.tolist(), allowed="0 to steps")
    if not ((seen > 0) & (seen <= 1)).all():
        raise OutOfRange("not a share", field="noticed", found=seen.tolist(), allowed="above 0, at most 1")
    with np.errstate(divide="ignore", invalid="ignore"):
        spread = np.sqrt(np.log1p(cv**2) + np.log1p((sd / s) ** 2) + shot**2)
    return FieldNotes(GRAVITY * m * s * step * afoot, spread, force + extra, hits, tries, seen)
