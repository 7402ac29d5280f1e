from __future__ import annotations

from itertools import product

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.line.allot import allot


def best_by_trying(worth, stock):
    sites, kinds = worth.shape
    best = (-1, -1.0)
    for choice in product([None, *range(kinds)], repeat=sites):
        used = [choice.count(kind) for kind in range(kinds)]
        if any(u > s for u, s in zip(used, stock, strict=True)):
            continue
        values = [worth[i, k] for i, k in enumerate(choice) if k is not None]
        if any(np.isnan(v) for v in values):
            continue
        best = max(best, (len(values), float(sum(values))))
    return best


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 4), st.integers(1, 3), st.integers(0, 10_000))
def test_best_use_of_the_stock(sites, kinds, seed):
    rng = np.random.default_rng(seed)
    worth = rng.random((sites, kinds))
    worth[rng.random((sites, kinds)) < 0.3] = np.nan
    stock = rng.integers(0, 3, kinds)
    found = allot(worth, stock)
    values = [worth[i, k] for i, k in enumerate(found) if k is not None]
    assert not np.isnan(values).any(), "a gate bars a pair"
    for kind in range(kinds):
        assert found.count(kind) <= stock[kind], "no trap stands twice"
    count, total = best_by_trying(worth, stock)
    assert len(values) == count, "as many sites filled as can be"
    assert abs(sum(values) - max(total, 0.0)) < 1e-9, "and then the greatest worth"


def test_nothing_owned():
    assert allot(np.full((2, 1), np.nan), np.array([5])) == [None, None]
    assert allot(np.zeros((2, 0)), np.array([], dtype=int)) == [None, None]
