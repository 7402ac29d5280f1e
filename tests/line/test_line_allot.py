"""The outfit to the sites: against trying every choice, the gains by solving again, the smallest conflict."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.say import Say
from setwright.basis.tables import DATA
from setwright.desk.plan import read_job
from setwright.line.allot import Pair, Stock, allot, conflict, gains, why_lost
from setwright.line.assemble import plan_line


def problem(sites, kinds, seed):
    rng = np.random.default_rng(seed)
    pairs = [
        Pair(
            i, k, round(float(rng.random()), 3), round(float(rng.random()), 3), float(rng.integers(0, 3) * 10),
            {"rod": int(rng.integers(0, 2)), "plate": int(rng.integers(0, 2))},
            Say("a gate") if rng.random() < 0.25 else None,
        )
        for i in range(sites)
        for k in range(kinds)
    ]  # fmt: skip
    stock = Stock(
        tuple(int(n) for n in rng.integers(0, 3, kinds)), {"rod": int(rng.integers(0, 3)), "plate": 2},
        None if seed % 2 else float(rng.integers(0, 5) * 10), None if seed % 3 else 2, None if seed % 4 else 0.8,
    )  # fmt: skip
    return pairs, stock


def holds(chosen, stock):
    return (
        all(sum(pair.kind == k for pair in chosen) <= n for k, n in enumerate(stock.traps))
        and all(sum(pair.tackle.get(name, 0) for pair in chosen) <= n for name, n in stock.tackle.items())
        and (stock.bench is None or sum(pair.minutes for pair in chosen) <= stock.bench)
        and (stock.sets is None or len(chosen) <= stock.sets)
        and (stock.others is None or sum(pair.others for pair in chosen) <= stock.others + 1e-9)
    )


def tried(pairs, stock, sites, kinds):
    """Best by sites filled, worth, others and minutes in turn, over every choice."""
    by_place = {(pair.site, pair.kind): pair for pair in pairs if pair.barred is None}
    best = None
    for choice in product([None, *range(kinds)], repeat=sites):
        chosen = [by_place.get((i, k)) for i, k in enumerate(choice) if k is not None]
        if any(pair is None for pair in chosen) or not holds(chosen, stock):
            continue
        sums = [sum(getattr(pair, name) for pair in chosen) for name in ("worth", "others", "minutes")]
        key = (len(chosen), round(sums[0], 6), -round(sums[1], 6), -sums[2])
        best = key if best is None else max(best, key)
    return best


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 4), st.integers(1, 3), st.integers(0, 10_000))
def test_best_use_of_the_stock_against_every_choice(sites, kinds, seed):
    pairs, stock = problem(sites, kinds, seed)
    found = allot(pairs, stock, sites)
    key = (found.filled, round(found.worth, 6), -round(found.others, 6), -found.minutes)
    assert key == pytest.approx(tried(pairs, stock, sites, kinds))
    chosen = [pair for pair in pairs if found.choice[pair.site] == pair.kind]
    assert holds(chosen, stock) and all(pair.barred is None for pair in chosen)


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 3), st.integers(1, 3), st.integers(0, 5_000))
def test_what_must_stand_stands_or_names_a_smallest_conflict(sites, kinds, seed):
    pairs, stock = problem(sites, kinds, seed)
    able = [pair for pair in pairs if pair.barred is None]
    must = [(pair.site, pair.kind) for pair in {one.site: one for one in able}.values()]
    found = allot(pairs, stock, sites, must)
    named = conflict(pairs, stock, sites, must)
    assert (found is None) == bool(named)
    if found is not None:
        assert all(found.choice[site] == kind for site, kind in must)
    for one in named:
        loose = Stock(
            tuple(99 if one == f"trap {k}" else n for k, n in enumerate(stock.traps)),
            {name: 99 if one == f"tackle {name}" else n for name, n in stock.tackle.items()},
            None if one == "bench" else stock.bench, None if one == "sets" else stock.sets,
            None if one == "others" else stock.others,
        )  # fmt: skip
        rest = [pair for pair in must if one != f"site {pair[0]}" and f"site {pair[0]}" in named]
        kept = Stock(
            tuple(n if f"trap {k}" in named else 99 for k, n in enumerate(loose.traps)),
            {name: n if f"tackle {name}" in named else 99 for name, n in loose.tackle.items()},
            loose.bench if "bench" in named else None, loose.sets if "sets" in named else None,
            loose.others if "others" in named else None,
        )  # fmt: skip
        assert allot(pairs, kept, sites, rest) is not None, f"without {one} the others hold together"


def test_what_one_more_would_bring():
    pairs = [Pair(0, 0, 0.5, tackle={"rod": 1}), Pair(1, 0, 0.4, tackle={"rod": 1}), Pair(1, 1, 0.1, minutes=60.0)]
    stock = Stock((1, 1), {"rod": 2}, bench=0.0)
    best = allot(pairs, stock, 2)
    assert best.choice == (0, None) and best.filled == 1
    found = {gain.what: (gain.sites, round(gain.worth, 3)) for gain in gains(pairs, stock, 2, best, ["coil", "long"])}
    assert found == {"one more coil": (1, 0.4), "one more hour at the bench": (1, 0.1)}, "one more rod brings nothing"


def test_why_a_pair_lost():
    pairs = [Pair(0, 0, 0.9), Pair(1, 0, 0.8), Pair(0, 1, 0.5), Pair(1, 1, 0.1), Pair(0, 2, barred=Say("teeth"))]
    stock = Stock((1, 1, 1), {})
    best = allot(pairs, stock, 2)
    assert best.choice == (1, 0)
    assert why_lost(pairs, stock, 2, best, 0, 0) == pytest.approx((0, 0.3)), "worth more elsewhere"
    assert why_lost(pairs, stock, 2, best, 0, 2).template == "teeth"
    assert why_lost(pairs, stock, 2, best, 1, 0) is None, "it stands there"


def test_nothing_owned_and_nothing_allowed():
    assert allot([], Stock((), {}), 2).choice == (None, None)
    assert allot([Pair(0, 0, barred=Say("a gate"))], Stock((5,), {}), 1).choice == (None,)
    assert allot([Pair(0, 0)], Stock((0,), {}), 1, [(0, 0)]) is None


def test_repairs_reserve_and_tackle_of_a_book_reach_the_allotment(tmp_path):
    text = (DATA / "demo" / "line-book.yaml").read_text(encoding="utf-8")
    alone = "outfit:\n  traps:\n    - {id: T-01, pattern: coil-1.5, count: 6, springs: 2, jaws: regular,"
    assert alone in text
    book = tmp_path / "book.yaml"
    cut = text[: text.index("sites:")] + "sites:\n" + text[text.index("  - id: barn") : text.index("  - id: dam")]
    for more, filled in (("", 1), ("  reserve: 500\n", 0)):
        book.write_text(cut.replace("outfit:\n", f"outfit:\n{more}"), encoding="utf-8")
        first = dict(plan_line(read_job(book, draws=60)).outfit[0].values)
        assert (first["filled"], first["sites"]) == (filled, 1)
