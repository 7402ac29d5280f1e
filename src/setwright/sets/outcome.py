"""Outcome: who fires the trap first over the check interval, and is it held (competing risks)."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from setwright.sets.result import OutcomeDraws

Floats = NDArray[np.float64]


def first_to_fire(rates: Mapping[str, Floats], nights: Floats) -> tuple[dict[str, Floats], Floats]:
    """Chance of each cause to be the first to fire the trap, and that nothing does.

    Parameters
    ----------
    rates : mapping of str to (n,) array
        Firing rate of each cause, per armed night [1/night].
    nights : (n,) array
        Time in order within the interval [night].

    Returns
    -------
    first : dict of str to (n,) array
        f_k / Σf · (1 − exp(−Σf·T)); zero where nothing can fire.
    nothing : (n,) array
        exp(−Σf·T): still armed at the end. All of them sum to one.

    Notes
    -----
    Constant rates, and whatever fires the trap takes it: a trap that was sprung fishes no more until it
    is seen. Standard competing-risks result for constant hazards (Kalbfleisch & Prentice 1980, from memory).
    """
    total = np.sum(list(rates.values()), axis=0)
    some = -np.expm1(-total * nights)
    share = np.divide(some, total, out=np.zeros_like(some), where=total > 0)
    return {key: rate * share for key, rate in rates.items()}, np.asarray(1.0 - some)


def outcome(
    firing: Mapping[str, Floats],
    close: Mapping[str, Floats],
    hold: Mapping[str, Floats],
    misfire: Floats,
    nights: Floats,
) -> dict[str, OutcomeDraws]:
    """Outcome of every species, of `misfire` and of `nothing`, over one check interval.

    Parameters
    ----------
    firing : mapping of str to (n,) array
        Firing rates visit × step × fire, per armed night.
    close, hold : mapping of str to (n,) array
        P(jaws take the foot | fired) and P(held to the check | taken).
    misfire : (n,) array
        Rate of firing by anything else, per armed night.
    nights : (n,) array
        Nights with the trap in order within the interval.
    """
    firsts, nothing = first_to_fire({**firing, "misfire": misfire}, nights)
    found: dict[str, OutcomeDraws] = {}
    for key, first in firsts.items():
        held = first * close[key] * hold[key] if key in close else np.zeros_like(first)
        found[key] = OutcomeDraws(first, held, first - held)
    found["nothing"] = OutcomeDraws(nothing, np.zeros_like(nothing), np.zeros_like(nothing))
    return found
