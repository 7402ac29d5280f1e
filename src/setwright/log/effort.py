"""Effort that was really spent, when sprung traps fish no more."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.sets.outcome import half_interval_effort

Floats = NDArray[np.float64]
_STEPS = 60


def corrected(nights: ArrayLike, fired: ArrayLike, armed_nights: ArrayLike) -> float:
    """Trap-nights with half a wait taken off for every sprung trap, and the true time where it is known.

    Parameters
    ----------
    nights : array (n,) [night]
        Length of each wait.
    fired : array (n,)
        Whether the trap was found sprung.
    armed_nights : array (n,) [night]
        Time armed where it is known; NaN otherwise.

    References
    ----------
    Nelson & Clark (1973), Journal of Mammalogy 54:295-298 (secondary).

    """
    length, known = np.asarray(nights, dtype=float), np.asarray(armed_nights, dtype=float)
    half = half_interval_effort(1.0, length, np.asarray(fired, dtype=float))
    return float(np.where(np.isnan(known), half, known).sum())


def hazard(nights: ArrayLike, fired: ArrayLike) -> float:
    """Constant rate at which traps are fired by anything, from waits of any lengths.

    Parameters
    ----------
    nights : array (n,) [night]
        Length of each wait.
    fired : array (n,)
        Whether the trap was found sprung.

    Returns
    -------
    float [1/night]
        The most likely rate; 0 when none fired, NaN when all did or there is no wait.

    Notes
    -----
    When it fired is not known, only that it was between two looks: the likelihood is the product of
    1 − exp(−h t) over fired and exp(−h t) over armed. Waits of one length give −ln(1 − S/n)/t.

    """
    length, hit = np.asarray(nights, dtype=float), np.asarray(fired, dtype=bool)
    hit, length = hit[length > 0], length[length > 0]
    if length.size == 0 or hit.all():
        return float("nan")
    if not hit.any():
        return 0.0
    rest = float(length[~hit].sum())
    waited = length[hit]
    # The slope falls and is convex in the rate: from below, Newton's steps never pass the zero.
    rate = float(hit.sum()) / (rest + float(waited.sum()))
    for _ in range(_STEPS):
        with np.errstate(over="ignore"):
            grown = np.expm1(rate * waited)
            slope = float((waited / grown).sum()) - rest
            bend = float((waited**2 * (grown + 1.0) / grown**2).sum())
        if not slope > 0.0 or rate + slope / bend <= rate:
            break
        rate += slope / bend
    return rate


def armed(nights: ArrayLike, fired: ArrayLike, armed_nights: ArrayLike) -> float:
    """Trap-nights armed, by the constant rate of firing; the better one when waits are long or traps fire often.

    Parameters
    ----------
    nights : array (n,) [night]
        Length of each wait.
    fired : array (n,)
        Whether the trap was found sprung.
    armed_nights : array (n,) [night]
        Time armed where it is known; NaN otherwise.

    Returns
    -------
    float [night]
        NaN when every trap was found sprung.

    """
    length, known = np.asarray(nights, dtype=float), np.asarray(armed_nights, dtype=float)
    rate = hazard(length, fired)
    expected = length if rate == 0 else -np.expm1(-rate * length) / rate
    # A trap found armed stood for the whole wait, one found sprung for less: in the mean over both it is this.
    dated = ~np.isnan(known) & np.asarray(fired, dtype=bool)
    return float(np.where(dated, known, expected).sum())
