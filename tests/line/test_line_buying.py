"""Traps to buy: against every lot of small cases, and the fewest kinds against every group."""

from __future__ import annotations

from itertools import combinations, combinations_with_replacement

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.say import Say
from setwright.line.allot import Pair, Stock, allot
from setwright.line.buying import buy, fewest


def problem(sites, kinds, seed):
    rng = np.random.default_rng(seed)
    pairs = [
        Pair(i, k, round(float(rng.random()), 3), barred=Say("a gate") if rng.random() < 0.3 else None)
        for i in range(sites)
        for k in range(kinds)
    ]
    return pairs, [int(n) for n in rng.integers(0, 2, kinds)]


@settings(max_examples=12, deadline=None)
@given(st.integers(1, 4), st.integers(1, 3), st.integers(0, 10_000), st.sampled_from([None, 2]))
def test_step_by_step_is_as_good_as_any_lot_of_that_size(sites, kinds, seed, limit):
    pairs, owned = problem(sites, kinds, seed)
    now, bought = buy(pairs, owned, range(kinds), sites, 3, limit)
    for size in range(1, len(bought) + 1):
        best = (0, 0.0)
        for lot in combinations_with_replacement(range(kinds), size):
            stock = Stock(tuple(n + lot.count(k) for k, n in enumerate(owned)), {}, sets=limit)
            one = allot(pairs, stock, sites, aims=2)
            best = max(best, (one.filled, round(one.worth, 6)))
        after = bought[size - 1].after
        assert (after.filled, after.worth) == pytest.approx(best, abs=1e-5)
    gained = sum(one.held for one in bought)
    assert now.worth + gained == pytest.approx(bought[-1].after.worth if bought else now.worth)
    assert all(one.sites > 0 or one.held > 0 for one in bought)


def test_nothing_is_bought_that_brings_nothing():
    pairs = [Pair(0, 0, 0.5), Pair(0, 1, 0.4)]
    assert buy(pairs, [1, 0], [1], 1, 5)[1] == []
    # A site without a fitting trap comes before more at a site that has one.
    pairs = [Pair(0, 0, 0.5), Pair(0, 1, 0.9), Pair(1, 2, 0.01)]
    first = buy(pairs, [1, 0, 0], [1, 2], 2, 1)[1][0]
    assert (first.kind, first.sites) == (2, 1)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 4), st.integers(1, 4), st.integers(0, 10_000), st.sampled_from([0.5, 0.9, 1.0]))
def test_fewest_kinds_against_every_group(sites, kinds, seed, share):
    pairs, _ = problem(sites, kinds, seed)
    able = [pair for pair in pairs if pair.barred is None]

    def serves(group):
        for site in range(sites):
            mine = [pair for pair in able if pair.site == site]
            if mine and not any(
                pair.kind in group and pair.worth >= share * max(one.worth for one in mine) - 1e-7 for pair in mine
            ):
                return False
        return True

    found = fewest(pairs, sites, share)
    assert serves(found)
    assert len(found) == min(
        size for size in range(kinds + 1) if any(serves(group) for group in combinations(range(kinds), size))
    )


def test_of_two_covers_as_small_the_one_that_he_has_is_told():
    pairs = [Pair(0, 0, 0.95), Pair(0, 1, 1.0), Pair(1, 0, 0.95), Pair(1, 1, 1.0)]
    assert fewest(pairs, 2, 0.9) == (1,)
    assert fewest(pairs, 2, 0.9, owned=[0]) == (0,)
    assert fewest(pairs, 2, 0.96, owned=[0]) == (1,)
