"""Which trap of the outfit goes to which site: each trap once, law and welfare as gates."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def allot(worth: NDArray[np.float64], stock: NDArray[np.int64]) -> list[int | None]:
    """Best use of the stock: one kind of trap for every site, or None.

    Parameters
    ----------
    worth : (sites, kinds) array
        Worth of a kind at a site, positive; NaN where a gate bars it.
    stock : (kinds,) array of int
        How many of each kind are left.

    Returns
    -------
    list of int or None
        Kind for every site; None where nothing may stand or nothing is left.

    Notes
    -----
    A transport problem, solved exactly as an assignment with every kind repeated up to its stock
    (at most once a site). First the most sites are filled, then the worth is greatest.
    """
    from scipy.optimize import linear_sum_assignment

    sites, kinds = worth.shape
    columns = [kind for kind in range(kinds) for _ in range(min(int(stock[kind]), sites))]
    if not columns or sites == 0:
        return [None] * sites
    bonus = float(np.nansum(np.abs(worth))) + 1.0
    gain = np.where(np.isnan(worth), 0.0, worth + bonus)[:, columns]
    # A column of nothing for every site, so that a site may stay empty.
    padded = np.concatenate([gain, np.zeros((sites, sites))], axis=1)
    rows, chosen = linear_sum_assignment(padded, maximize=True)
    found: list[int | None] = [None] * sites
    for row, column in zip(rows, chosen, strict=True):
        if column < len(columns) and not np.isnan(worth[row, columns[column]]):
            found[row] = columns[column]
    return found
