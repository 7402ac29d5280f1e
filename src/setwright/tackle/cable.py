"""Cable: two ends and its kinks, stretch by construction, tension of a slide cable that is pulled across."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]
# Halvings of the bracket of a tension; 60 reach the last digit of a double.
HALVINGS = 60


def cable_strength(strength: ArrayLike, ends: ArrayLike, kinks: ArrayLike = 1.0) -> Floats:
    """Strength of a cable where its worst place governs [N].

    Parameters
    ----------
    strength : array_like
        Breaking force of the bare cable [N], shape (...).
    ends : array_like
        Efficiency of each end [-], last axis over the ends.
    kinks : array_like
        Share left at each kink [-], last axis over the kinks.

    Notes
    -----
    A kink away from an end does not weaken that end: the least of all places counts, not their product. A kink at
    the mouth of a sleeve does multiply: use `setwright.tackle.strength.cable` for it.

    """
    end = np.min(np.atleast_1d(np.asarray(ends, dtype=float)), axis=-1)
    kink = np.min(np.atleast_1d(np.asarray(kinks, dtype=float)), axis=-1)
    return np.asarray(np.asarray(strength, dtype=float) * np.minimum(end, kink))


def cable_rigidity(diameter: ArrayLike, fill: ArrayLike, modulus: ArrayLike) -> Floats:
    """Force per unit of stretch E A [N] of a stranded cable.

    Parameters
    ----------
    diameter : array_like
        Over all [m].
    fill : array_like
        Share of the circle that is metal [-]; about 0.57 for 7x7, 0.55 for 7x19 (memory).
    modulus : array_like
        Of the stranded cable [Pa], less than steel: about 90 GPa, new cable less (memory).

    """
    circle = np.pi / 4.0 * np.asarray(diameter, dtype=float) ** 2
    return np.asarray(np.asarray(modulus, dtype=float) * np.asarray(fill, dtype=float) * circle)


def crosswise_tension(pull: ArrayLike, span: ArrayLike, length: ArrayLike, rigidity: ArrayLike = np.inf) -> Floats:
    """Tension of a cable between two anchors that is pulled across in its middle.

    Parameters
    ----------
    pull : array_like
        Across the line of the anchors [N].
    span : array_like
        Between the anchors [m].
    length : array_like
        Of the cable without load [m].
    rigidity : array_like
        E A [N]; infinity does not stretch.

    Returns
    -------
    array [N]
        T with pull = 2 T sin γ and cos γ = span / stretched length. Both anchors take T. NaN where the cable is
        shorter than the span, or where it is as long as the span and cannot stretch (no finite tension).

    Notes
    -----
    A tight cable multiplies the pull: T → (E A pull²/8)^(1/3) without slack, pull/2 with much slack.

    References
    ----------
    Balance of forces at the middle (derived).

    """
    f, a, b, ea = np.broadcast_arrays(*(np.asarray(part, dtype=float) for part in (pull, span, length, rigidity)))
    fits = (b >= a) & ((b > a) | np.isfinite(ea)) & (f >= 0.0)
    soft = np.where(np.isfinite(ea), 1.0 / ea, 0.0)

    def across(tension: Floats) -> Floats:
        """Pull that a tension balances."""
        cosine = a / (b * (1.0 + tension * soft))
        return np.asarray(2.0 * tension * np.sqrt(np.maximum(1.0 - cosine**2, 0.0)))

    slack = np.sqrt(np.maximum(1.0 - (a / b) ** 2, 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        bound = np.where(slack > 0.0, 0.5 * f / slack, np.inf)
        tight = np.where(np.isfinite(ea), f + 2.0 * np.cbrt(ea * f**2), np.inf)
        high = np.where(fits, np.minimum(bound, tight), 0.0)
    low = 0.5 * np.where(fits, f, 0.0)
    high = np.maximum(high, low)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        over = across(middle) > f
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return np.asarray(np.where(fits, 0.5 * (low + high), np.nan))
