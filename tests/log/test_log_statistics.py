"""Statistics of the log against published figures, other programs, and their own limits."""

from __future__ import annotations

import csv
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats
from scipy.special import gammaln

from outside import hold, rows
from setwright.basis.errors import BadInput
from setwright.log import cluster, compare, depletion, effort, proof, rates, shrink

HERE = Path(__file__).resolve()
RIGS = HERE.parents[2] / "authorities" / "log" / "rigs.csv"
LYNX = HERE.parents[2] / "authorities" / "log" / "lynx.csv"
ORACLE = HERE.parents[2] / "authorities" / "log" / "intervals.csv"


def share(method: str, hits: int, trials: int, end: str) -> float:
    return float(getattr(getattr(rates, method)(hits, trials), end))


def rate(count: int, effort: float, end: str, level: float = 0.95) -> float:
    return float(getattr(rates.garwood(count, effort, level), end))


def waits(nights: float, trials: int, sprung: int) -> tuple[Any, Any, Any]:
    fired = np.arange(trials) < sprung
    return np.full(trials, nights), fired, np.where(fired, np.nan, nights)


def nelson_clark(nights: float, trials: int, sprung: int, caught: int) -> float:
    return 100.0 * caught / effort.corrected(*waits(nights, trials, sprung))


def hazard_rate(nights: float, trials: int, sprung: int, caught: int) -> float:
    return 100.0 * caught / effort.armed(*waits(nights, trials, sprung))


def line_of(name: str) -> Any:
    def found(catches: list[int], field: str, **more: Any) -> float:
        given_effort = more.pop("effort", 1.0)
        return float(getattr(getattr(depletion, name)(catches, given_effort, **more), field))

    return found


def proof_needs(trials: int, line: float) -> float:
    begin = math.ceil(line * trials)
    words = [proof.judge(k, trials - k, 0, line, 20).word for k in range(begin, trials + 1)]
    return begin + words.index(proof.Word.BETTER)


def looks_need(trials: int, line: float) -> float:
    return next(
        k for k in range(trials + 1) if k > line * trials and proof.proof_value(k, trials, line) >= proof.PROOF
    )


def leslie_ends(catches: list[int], field: str, end: str) -> float:
    """End of the interval that older reports print, from the line and its standard error."""
    line = depletion.leslie(catches)
    reach = float(stats.t.ppf(0.975, len(catches) - 2)) * getattr(line, f"{field}_error")
    return float(getattr(line, field) + (reach if end == "high" else -reach))


def most_likely(hits: list[int], trials: list[int], what: str, rig: int = 0) -> float:
    """Where the likelihood of several rigs is largest, and a rig's share with that plugged in."""

    def cost(at: Any) -> float:
        mean, concentration = 1.0 / (1.0 + math.exp(-at[0])), math.exp(at[1])
        return -float(shrink.log_likelihood(hits, trials, mean, concentration))

    found = optimize.minimize(cost, [1.0, 2.0], method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-12})
    mean, concentration = 1.0 / (1.0 + math.exp(-found.x[0])), math.exp(found.x[1])
    if what == "shrunk":
        return (hits[rig] + mean * concentration) / (trials[rig] + concentration)
    return {"mean": mean, "concentration": concentration}[what]


def pooled(count: list[int], effort: list[float]) -> float:
    found = shrink.rates(count, effort)
    assert not found.differ, "no sign that the rigs differ"
    return sum(count) / sum(effort)


def chance_to_pass(line: float, share: float) -> float:
    number = np.arange(21)
    words = [proof.judge(int(k), 20 - int(k), 0, line, 20).word for k in number]
    passed = np.array([word is not proof.Word.NOT_SHOWN for word in words])
    return float(stats.binom.pmf(number, 20, share)[passed].sum())


def peeking(share: float) -> float:
    """Share of traps that pass when one looks after every animal from the twentieth to the sixtieth."""
    dice = np.random.default_rng(87)
    good = (dice.random((20_000, 60)) < share).cumsum(axis=1)[:, 19:]
    return float((good >= 0.7 * np.arange(20, 61) - 1e-9).any(axis=1).mean())


def plain_nights(sets: int, nights: float) -> float:
    return effort.corrected(np.full(sets, nights), np.zeros(sets, dtype=bool), np.full(sets, np.nan))


def lynx(what: str) -> float:
    """Lynx returns of a century: what yearly totals look like when effort and prices move them."""
    with LYNX.open(encoding="utf-8", newline="") as handle:
        value = np.array([float(row["trapped"]) for row in csv.DictReader(handle)])
    log = np.log10(value)
    if what == "dispersion":
        return cluster.dispersion(value, np.ones(value.size))
    if what == "gap":
        peaks = [k for k in range(3, value.size - 3) if value[k] == value[k - 3 : k + 4].max()]
        return float(np.diff(peaks).mean())
    if what in ("ar1", "ar2"):
        design = np.column_stack([np.ones(value.size - 2), log[1:-1], log[:-2]])
        return float(np.linalg.lstsq(design, log[2:], rcond=None)[0][1 if what == "ar1" else 2])
    part = log - log.mean()
    return {
        "count": float(value.size), "sum": float(value.sum()), "log_mean": float(log.mean()),
        "r10": float((part[10:] * part[:-10]).sum() / (part**2).sum()),
    }[what]  # fmt: skip


CHECKS = {
    "jeffreys_rate": lambda count, end: float(getattr(rates.jeffreys_rate(count), end)),
    "rate_exact": lambda count, effort: compare.rates(tuple(count), tuple(effort)).exact,
    "leslie_ends": leslie_ends,
    "most_likely": most_likely,
    "pooled": pooled,
    "chance_to_pass": chance_to_pass,
    "peeking": peeking,
    "plain_nights": plain_nights,
    "lynx": lynx,
    "share": share,
    "none": lambda trials: float(rates.none_seen(trials)),
    "rate": rate,
    "e_test": lambda count, effort: compare.e_test(tuple(count), tuple(effort)),
    "fisher": lambda hits, trials: compare.fisher(tuple(hits), tuple(trials)),
    "above": lambda hits, trials, prior: compare.shares(tuple(hits), tuple(trials), prior=prior).second_above,
    "rate_above": lambda count, effort: compare.rates(tuple(count), tuple(effort)).second_above,
    "conditional": compare.binomial_test,
    "nelson_clark": nelson_clark,
    "hazard_rate": hazard_rate,
    "leslie": line_of("leslie"),
    "delury": line_of("delury"),
    "removal": line_of("removal"),
    "likelihood": lambda **given: float(shrink.log_likelihood(**given)),
    "chance_above": lambda **given: float(rates.chance_above(**given)),
    "proof_needs": proof_needs,
    "looks_need": looks_need,
    "lines": lambda shares, errors, field: getattr(proof.sequential_lines(*shares, *errors), field),
}


@pytest.mark.parametrize("row", rows("log", "published"))
def test_published_figures(row: dict[str, str]) -> None:
    hold(row, CHECKS)


def _oracle() -> list[Any]:
    with ORACLE.open(encoding="utf-8", newline="") as handle:
        return [
            pytest.param(row["what"], row["counts"], float(row["value"]), id=f"{row['what']} {row['counts']}")
            for row in csv.DictReader(handle)
        ]


@pytest.mark.parametrize(("what", "counts", "value"), _oracle())
def test_other_programs_agree(what: str, counts: str, value: float) -> None:
    numbers = [float(text) for text in counts.split()]
    head, _, end = what.partition(".")
    pair = (int(numbers[0]), int(numbers[1]))
    tolerance = 1e-8
    if head in ("clopper_pearson", "wilson", "jeffreys", "garwood"):
        got = float(getattr(getattr(rates, head)(*numbers), end))
        if head == "jeffreys" and numbers[0] in (0, numbers[1]):
            tolerance = 0.01  # the other program sets the end to 0 or 1 there
    elif head == "fisher":
        got = compare.fisher(pair, (int(numbers[2]), int(numbers[3])))
    elif head == "boschloo":
        got, tolerance = compare.boschloo(pair, (int(numbers[2]), int(numbers[3]))), 2e-6
    elif head == "gap":
        found = compare.shares(pair, (int(numbers[2]), int(numbers[3])))
        got, tolerance = getattr(found, {"above": "second_above"}.get(end, end)), 1e-3
    else:
        found_rate = compare.rates(pair, (numbers[2], numbers[3]))
        got = found_rate.exact if end == "exact" else found_rate.unconditional
    assert got == pytest.approx(value, abs=tolerance)


def test_several_rigs_agree_with_a_sampler_that_sums_nothing_out() -> None:
    with RIGS.open(encoding="utf-8", newline="") as handle:
        told = list(csv.DictReader(handle))
    for what, found in (
        ("shares", shrink.shares([18, 7, 22, 3, 11], [20, 12, 24, 8, 12])),
        ("rates", shrink.rates([9, 30, 4, 12, 2], [120.0, 160.0, 150.0, 90.0, 60.0])),
    ):
        own = [row for row in told if row["what"] == what]
        assert len(own) == 5
        for name in ("mean", "low", "high"):
            theirs = np.array([float(row[name]) for row in own])
            # Draws scatter, and a grid has steps: three in a hundred of the largest.
            assert getattr(found, name) == pytest.approx(theirs, abs=0.03 * theirs.max()), (what, name)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 400), st.integers(0, 400))
def test_intervals_hold_their_estimate_mirror_and_never_narrow_for_more_proof(good: int, bad: int) -> None:
    n = good + bad
    for method in (rates.jeffreys, rates.clopper_pearson):
        found, mirror = method(good, n), method(bad, n)
        assert float(found.low) == pytest.approx(1 - float(mirror.high), abs=1e-9)
        wide = method(good, n, 0.99)
        assert wide.low <= found.low <= found.high <= wide.high
        if n:
            assert found.low - 0.5 / n <= good / n <= found.high + 0.5 / n
    inner, outer = rates.jeffreys(good, n), rates.clopper_pearson(good, n)
    assert outer.low <= inner.low + 1e-12 and inner.high <= outer.high + 1e-12


def test_the_exact_interval_covers_and_impossible_counts_are_no_number() -> None:
    number = np.arange(41)
    found = rates.clopper_pearson(number, 40)
    for p in np.linspace(0.02, 0.98, 25):
        chance = np.exp(gammaln(41) - gammaln(number + 1) - gammaln(41 - number))
        chance = chance * p**number * (1 - p) ** (40 - number)
        assert chance[(found.low <= p) & (p <= found.high)].sum() >= 0.95
    assert np.isnan(rates.jeffreys([-1, 5], [3, 4]).low).all()
    assert np.isnan(rates.garwood([1, -1], [0.0, 3.0]).high).all()
    with pytest.raises(BadInput):
        rates.jeffreys(1, 2, 1.0)
    assert float(rates.upper_rate(0, 200.0)) * 100 == pytest.approx(1.498, abs=1e-3)


def test_three_words() -> None:
    word = proof.Word
    assert proof.judge(14, 6, 0, 0.7, 20).word is word.PASSES
    assert proof.judge(18, 2, 0, 0.7, 20).word is word.BETTER
    assert proof.judge(13, 7, 0, 0.7, 20).word is word.NOT_SHOWN
    assert proof.judge(10, 0, 0, 0.7, 20).word is word.NOT_SHOWN
    missing = proof.judge(30, 0, 4, 0.7, 20)
    assert missing.word is word.NOT_SHOWN and "nothing was written" in missing.reason
    assert missing.worst == pytest.approx(30 / 34) and missing.best == 1.0
    assert proof.judge(28, 2, 2, 0.7, 20, most_missing=2).word is word.BETTER
    assert proof.judge(14, 5, 2, 0.7, 20, most_missing=2).word is word.NOT_SHOWN, "the missing count as bad"
    with pytest.raises(BadInput):
        proof.judge(-1, 0, 0, 0.7, 20)


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 25), st.integers(1, 25), st.integers(0, 25), st.integers(1, 25))
def test_comparing_the_other_way_round_turns_the_sign(good: int, more: int, other: int, extra: int) -> None:
    hits, trials = (good, other), (good + more, other + extra)
    there, back = compare.shares(hits, trials), compare.shares(hits[::-1], trials[::-1])
    assert there.second_above + back.second_above == pytest.approx(1.0, abs=1e-6)
    assert there.low == pytest.approx(-back.high, abs=1e-5)
    assert there.exact == pytest.approx(back.exact) and there.unconditional == pytest.approx(back.unconditional)
    assert there.unconditional <= there.exact * 1.6 + 1e-9
    nights = (100.0 + more, 80.0 + extra)
    there, back = compare.rates(hits, nights), compare.rates(hits[::-1], nights[::-1])
    assert there.second_above + back.second_above == pytest.approx(1.0, abs=1e-9)
    assert there.exact == pytest.approx(back.exact)
    low, high = compare.rate_ratio(hits, nights)
    turned = compare.rate_ratio(hits[::-1], nights[::-1])
    assert low == pytest.approx(1 / turned[1], rel=1e-6) and low < high


def test_nights_needed_grow_as_rigs_become_alike() -> None:
    need = [compare.nights_needed((0.02, other), (0.0, 0.0)) for other in (0.08, 0.06, 0.04, 0.03)]
    assert need == sorted(need) and need[0] > 0
    assert compare.nights_needed((0.02, 0.02), (10, 10)) == math.inf
    assert math.isnan(compare.nights_needed((0.0, 0.02), (10, 10)))
    assert compare.nights_needed((0.02, 0.08), (1e6, 1e6)) == 0.0
    short, even = (compare.nights_needed((0.02, 0.05), done) for done in ((5.0, 40.0), (5.0, 5.0)))
    assert short == even == compare.nights_needed((0.02, 0.05), (0.0, 0.0)) - 5.0, "the lesser counts"
    assert compare.clean_nights_needed(0.01) == pytest.approx(299.57, abs=0.01)
    # With so many nights the difference is shown about as often as was asked for.
    dice, nights = np.random.default_rng(3), compare.nights_needed((0.02, 0.05), (0.0, 0.0))
    pairs = zip(dice.poisson(0.02 * nights, 400), dice.poisson(0.05 * nights, 400), strict=True)
    shown = [compare.binomial_test(k1, k1 + k2, 0.5) < 0.05 for k1, k2 in pairs]
    assert 0.68 <= np.mean(shown) <= 0.88


def test_the_difference_of_two_rates_turns_its_sign_with_their_order() -> None:
    there, back = compare.rates((1, 2), (100.0, 80.0)), compare.rates((2, 1), (80.0, 100.0))
    assert (there.low, there.high) == pytest.approx((-back.high, -back.low), rel=1e-3)


def test_rates_by_the_night_and_by_the_thousand_nights_are_the_same() -> None:
    nights = np.array([120.0, 40.0, 150.0, 90.0])
    one, thousand = (shrink.rates([5, 0, 9, 2], effort) for effort in (nights, nights / 1000.0))
    for name in ("mean", "low", "high"):
        np.testing.assert_allclose(getattr(thousand, name), 1000.0 * getattr(one, name), rtol=1e-9)


def test_rigs_borrow_from_each_other() -> None:
    hits, trials = np.array([18, 7, 22, 3, 11]), np.array([20, 12, 24, 8, 12])
    found = shrink.shares(hits, trials)
    raw = hits / trials
    assert np.all((found.mean - raw) * (found.common - raw) > -0.004), "drawn towards the middle"
    assert np.all(found.low < found.mean) and np.all(found.mean < found.high)
    assert abs(found.mean[3] - raw[3]) > abs(found.mean[0] - raw[0]), "the less seen the more drawn"
    turned = shrink.shares(hits[::-1], trials[::-1])
    assert turned.mean[::-1] == pytest.approx(found.mean, abs=1e-9)
    alike = shrink.rates([5, 0, 9, 2], [120.0, 40.0, 150.0, 90.0])
    assert not alike.differ and 0.02 < alike.mean.min() < alike.mean.max() < 0.06
    assert shrink.rates([60, 5, 70, 4], [100.0, 100.0, 100.0, 100.0]).differ
    with pytest.raises(BadInput):
        shrink.shares([3], [4])


def test_the_likeliest_mean_and_concentration() -> None:
    hits, trials = [18, 7, 22, 3, 11], [20, 12, 24, 8, 12]
    best = float(shrink.log_likelihood(hits, trials, 0.7576, 6.263))
    for mean, concentration in ((0.73, 6.263), (0.785, 6.263), (0.7576, 4.5), (0.7576, 8.5)):
        assert float(shrink.log_likelihood(hits, trials, mean, concentration)) < best - 1e-3


def test_shrunk_bands_cover_rigs_drawn_from_a_law() -> None:
    dice = np.random.default_rng(12)
    inside = []
    for _ in range(25):
        truth = dice.beta(6.0, 2.0, 6)
        trials = dice.integers(8, 40, 6)
        found = shrink.shares(dice.binomial(trials, truth), trials)
        inside += list((found.low <= truth) & (truth <= found.high))
    assert 0.83 <= np.mean(inside) <= 0.97


def test_effort_of_sprung_traps() -> None:
    length, fired, known = waits(1.0, 400, 30)
    assert effort.hazard(length, fired) == pytest.approx(-math.log(1 - 30 / 400), rel=1e-12)
    assert effort.hazard(length, fired & False) == 0.0
    assert math.isnan(effort.hazard(length, fired | True)) and math.isnan(effort.armed(length, fired | True, known))
    assert effort.corrected(length, fired & False, length) == pytest.approx(400)
    assert effort.armed(length, fired & False, length) == pytest.approx(400)
    dated = np.where(fired, 0.25, 1.0)
    assert effort.corrected(length, fired, dated) == pytest.approx(370 + 0.25 * 30)
    # Unequal waits with a rate that is known.
    dice = np.random.default_rng(4)
    many = dice.uniform(0.5, 4.0, 20000)
    when = dice.exponential(1 / 0.3, many.size)
    hit = when < many
    found = effort.hazard(many, hit)
    assert found == pytest.approx(0.3, rel=0.03)
    true_time = np.minimum(when, many).sum()
    assert effort.armed(many, hit, np.where(hit, np.nan, many)) == pytest.approx(true_time, rel=0.01)
    half = effort.corrected(many, hit, np.where(hit, np.nan, many))
    assert abs(half / true_time - 1) > 0.02, "half a wait is too rough for long waits"


def test_scatter_and_drawing_of_sets() -> None:
    dice = np.random.default_rng(6)
    nights = dice.uniform(10, 60, 300)
    assert cluster.dispersion(dice.poisson(0.1 * nights), nights) == pytest.approx(1.0, abs=0.25)
    uneven = dice.poisson(0.1 * nights * dice.gamma(1.0, 1.0, nights.size))
    assert cluster.dispersion(uneven, nights) > 2.5
    assert math.isnan(cluster.dispersion([3], [4.0])) and math.isnan(cluster.dispersion([0, 0], [4.0, 5.0]))
    drawn, plain = cluster.bootstrap(uneven, nights), rates.garwood(uneven.sum(), nights.sum())
    assert drawn.high - drawn.low > 1.4 * (plain.high - plain.low)
    middle = uneven.sum() / nights.sum()
    wide = cluster.widened(plain.low, middle, plain.high, cluster.dispersion(uneven, nights))
    assert wide.low < plain.low and wide.high > plain.high
    same = cluster.widened(plain.low, middle, plain.high, 0.6)
    assert same.low == plain.low and same.high == plain.high
    assert np.isnan(cluster.bootstrap([1, 2], [3.0, 4.0]).low)
    again = cluster.bootstrap(uneven, nights)
    assert again.low == drawn.low


def test_no_answer_without_depletion() -> None:
    for catches in ([5, 6, 5, 7], [3, 3, 3, 3], [1, 2, 3, 9], [0, 0, 0], [4, 3, 4]):
        found = depletion.removal(catches)
        assert not found.seen and math.isnan(found.number), catches
    assert math.isnan(depletion.leslie([1, 2, 3, 9]).number) and math.isnan(depletion.delury([4, 0, 1]).number)
    for bad in ([5, 4], [5.5, 4, 3], [-1, 2, 3]):
        with pytest.raises(BadInput):
            depletion.removal(bad)


def test_depletion_finds_a_number_that_was_made_up() -> None:
    dice = np.random.default_rng(9)
    inside, seen = [], 0
    for _ in range(60):
        left, catches, nights = 120, [], dice.uniform(5, 25, 6)
        for each in nights:
            catches.append(int(dice.binomial(left, -math.expm1(-0.03 * each))))
            left -= catches[-1]
        found = depletion.removal(catches, nights)
        seen += found.seen
        if found.seen:
            assert found.caught <= found.low <= found.number <= found.high
            inside.append(found.low <= 120 <= found.high)
    assert seen > 50 and np.mean(inside) > 0.88
    once = depletion.removal([40, 20, 10, 5])
    scaled = depletion.removal([40, 20, 10, 5], 10.0)
    assert scaled.number == once.number and scaled.catchability < once.catchability
