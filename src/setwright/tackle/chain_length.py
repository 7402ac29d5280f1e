"""Short chain or long: a flat pull against a hard jerk, as a curve over the length."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import BadInput
from setwright.basis.spread import normal_cdf

Floats = NDArray[np.float64]
# Strength in its own scatter: where the integral over it is taken.
GRID = np.linspace(-6.0, 6.0, 97)


@dataclass(frozen=True, slots=True, eq=False)
class LengthCurve:
    """Chance of loss over the length of the chain.

    Parameters
    ----------
    length : array [m]
        Of the chain.
    loss : array [-]
        Chance that anchor or tackle gives way; NaN where a figure is missing.
    best : float
        Length with the least loss [m]; NaN when nothing is known.
    wants : str
        "short", "long", "between" or "cannot tell": where that length lies.

    """

    length: Floats
    loss: Floats
    best: float
    wants: str


def pull_angle(length: ArrayLike, height: ArrayLike) -> Floats:
    """Angle above the ground at which a held animal draws on a chain of a length [rad].

    Parameters
    ----------
    length : array_like
        Of the chain [m].
    height : array_like
        At which the foot is held up over the head of the anchor [m].

    Returns
    -------
    array
        arcsin(height / length); a right angle where the chain is shorter than that: straight up.

    """
    ratio = np.asarray(height, dtype=float) / np.asarray(length, dtype=float)
    return np.asarray(np.where(ratio < 1.0, np.arcsin(np.where(ratio < 1.0, ratio, 0.0)), 0.5 * np.pi))


def common_loss(
    strength: ArrayLike, spread: ArrayLike, pull: ArrayLike, pull_spread: ArrayLike, lunges: ArrayLike = 1.0
) -> Floats:
    """Chance that the hardest of N lunges exceeds one strength [-], ∫ f_R [1 − F_S^N] dr.

    Parameters
    ----------
    strength, spread, pull, pull_spread : array_like
        Medians [N] and log-normal scatters [-].
    lunges : array_like
        Lunges of the fight [-]; all meet the same strength.

    """
    r, s_r, s, s_s, n = (
        np.asarray(part, dtype=float)[..., None] for part in (strength, spread, pull, pull_spread, lunges)
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        margin = np.log(r / s)
    holds = normal_cdf((margin + s_r * GRID) / s_s) ** n
    weight = np.exp(-0.5 * GRID**2)
    return np.asarray(np.where(np.isnan(margin), np.nan, weight / weight.sum() * (1.0 - holds)).sum(axis=-1))


def length_curve(
    length: ArrayLike,
    strength: ArrayLike,
    pull: ArrayLike,
    *,
    spread: float,
    pull_spread: float,
    lunges: float = 1.0,
) -> LengthCurve:
    """Chance of loss over the length of the chain for one anchor.

    Parameters
    ----------
    length : array_like
        Of the chain, rising [m], shape (n,).
    strength : array_like
        Of anchor and tackle at the angle of the pull on that length [N], shape (n,) or ().
    pull : array_like
        Median lunge at the run-up of that length [N], shape (n,).
    spread, pull_spread : float
        Log-normal scatters [-].
    lunges : float
        Of the fight [-].

    Returns
    -------
    LengthCurve
        A stake that draws out upwards wants a chain long enough for a flat pull; a plate holds alike at all
        angles and wants it short, as does the foot.

    """
    reach = np.asarray(length, dtype=float)
    if reach.ndim != 1 or reach.size < 2 or not (np.diff(reach) > 0.0).all() or not reach[0] > 0.0:
        raise BadInput("lengths of chain", field="length", found=length, allowed="two or more, above 0, rising")
    held = np.broadcast_to(np.asarray(strength, dtype=float), reach.shape)
    drawn = np.broadcast_to(np.asarray(pull, dtype=float), reach.shape)
    loss = common_loss(held, spread, drawn, pull_spread, lunges)
    if np.isnan(loss).any():
        return LengthCurve(reach, loss, float("nan"), "cannot tell")
    place = int(np.argmin(loss))
    wants = "short" if place == 0 else "long" if place == reach.size - 1 else "between"
    return LengthCurve(reach, loss, float(reach[place]), wants)
