"""Pulls without a run: leaning on the chain, bracing against a low anchor, lifting."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
GRAVITY = 9.80665


@dataclass(frozen=True, slots=True, eq=False)
class SteadyPull:
    """Greatest pull of a standing animal.

    Parameters
    ----------
    force : array [N]
        Along the chain.
    braced : array of bool
        True where strength is the bound: the chain presses the feet down so hard that they do not slip first.

    """

    force: Floats
    braced: NDArray[np.bool_]


def leaning(mass: ArrayLike, traction: ArrayLike, angle: ArrayLike = 0.0, strongest: ArrayLike = 2.0) -> SteadyPull:
    """Pull of an animal that leans on the chain with its feet on the ground.

    Parameters
    ----------
    mass : float or array [kg]
        Body mass.
    traction : float or array [-]
        Friction over the load on the feet.
    angle : float or array [rad]
        Of the chain above the ground, seen from the anchor; the chain draws the animal down.
    strongest : float or array [-]
        Strength over body weight; 1.5 to 2 on land (assumed).

    Returns
    -------
    SteadyPull
        Feet slip at F cosθ = μ (m g + F sinθ), so F = μ m g / (cosθ − μ sinθ), at most the strength.

    References
    ----------
    Balance of forces (derived); strength assumed.

    """
    weight = np.asarray(mass, dtype=float) * GRAVITY
    mu, theta = np.asarray(traction, dtype=float), np.asarray(angle, dtype=float)
    below = np.cos(theta) - mu * np.sin(theta)
    slips = mu * weight / np.where(below > 0.0, below, np.nan)
    strong = np.asarray(strongest, dtype=float) * weight
    braced = ~(slips < strong)
    return SteadyPull(np.asarray(np.where(braced, strong, slips)), np.asarray(braced))


def lifting(mass: ArrayLike, over_weight: ArrayLike = 1.75) -> Floats:
    """Straight upward pull of an animal that stands over its anchor [N].

    Parameters
    ----------
    mass : float or array [kg]
        Body mass.
    over_weight : float or array [-]
        Pull over body weight; 1.5 to 2 (assumed).

    """
    return np.asarray(np.asarray(over_weight, dtype=float) * np.asarray(mass, dtype=float) * GRAVITY)
