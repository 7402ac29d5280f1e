"""Gang sets: the exact chain against the matrix exponential written out by hand, and against play."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm
from scipy.stats import nbinom

from setwright.basis.errors import OutOfRange
from setwright.sets.gang import Gang, gang_outcome, group_meeting, meeting
from setwright.sets.outcome import season_counts, season_spread
from setwright.sets.risks import first_firing, incidence
from setwright.sets.simulate import UNTOUCHED, play

chance = st.floats(0.0, 1.0)


def gang_of(seed, *, kinds=3, traps=3, draws=2, hours=5, groups=3, shares=False, beside=1.0, quick=1.0):
    """An invented gang set."""
    rng = np.random.default_rng(seed)
    sizes = rng.dirichlet(np.ones(groups), size=kinds)
    sizes[0] = np.eye(groups)[0]
    return Gang(
        visits=quick * rng.random((kinds, draws, hours)) * 0.4,
        takes=rng.random((kinds, traps, draws)),
        holds=rng.random((kinds, traps, draws)),
        in_order=(rng.random((traps, draws, hours)) > 0.25) * rng.choice([0.5, 1.0], size=(traps, draws, hours)),
        misfire=rng.random((traps, draws, hours)) * 0.05,
        sizes=sizes,
        widths=rng.choice([0.25, 1.0, 1.5], size=hours),
        shares=rng.dirichlet(np.ones(traps + 1), size=kinds)[:, :traps] if shares else None,
        beside=beside,
    )


def by_hand(gang, draw):
    """Firings, state chances and armed time from dense matrices, animals led past the traps in every order."""
    kinds, traps, _ = gang.takes.shape
    states = list(product("aeo", repeat=traps))
    place = {state: index for index, state in enumerate(states)}

    def one_animal(kind, hour):
        kernel = np.zeros((len(states), len(states)))
        for state in states:
            ways = list(permutations(range(traps))) if gang.shares is None else [(trap,) for trap in range(traps)]
            for way in ways:
                weight = 1.0 / len(ways) if gang.shares is None else gang.shares[kind, way[0]]
                for trap in way:
                    if state[trap] != "a":
                        continue
                    fires = gang.takes[kind, trap, draw] * gang.in_order[trap, draw, hour]
                    for letter, part in (
                        ("o", gang.holds[kind, trap, draw]),
                        ("e", 1 - gang.holds[kind, trap, draw]),
                    ):
                        after = (*state[:trap], letter, *state[trap + 1 :])
                        kernel[place[state], place[after]] += weight * fires * part
                    weight *= 1.0 - fires
        np.fill_diagonal(kernel, 1.0 - kernel.sum(axis=1) + np.diag(kernel))
        return kernel

    now = np.eye(len(states))[0]
    fired, armed_time = np.zeros((kinds + 1, traps)), np.zeros(traps)
    for hour, width in enumerate(gang.widths):
        rate = np.zeros((len(states), len(states)))
        scare = np.array([gang.beside if "o" in state else 1.0 for state in states])
        firing = np.zeros((kinds + 1, traps, len(states)))
        for kind in range(kinds):
            kernel = one_animal(kind, hour)
            group = sum(part * np.linalg.matrix_power(kernel, size + 1) for size, part in enumerate(gang.sizes[kind]))
            rate += gang.visits[kind, draw, hour] * scare[:, None] * (group - np.eye(len(states)))
            for trap, state in product(range(traps), states):
                sprung = [place[after] for after in states if state[trap] == "a" and after[trap] != "a"]
                firing[kind, trap, place[state]] = (
                    gang.visits[kind, draw, hour] * scare[place[state]] * group[place[state], sprung].sum()
                )
        for trap, state in product(range(traps), states):
            if state[trap] == "a":
                wild = gang.misfire[trap, draw, hour] * gang.in_order[trap, draw, hour]
                rate[place[state], place[(*state[:trap], "e", *state[trap + 1 :])]] += wild
                rate[place[state], place[state]] -= wild
                firing[-1, trap, place[state]] = wild
        size = len(states)
        double = np.zeros((2 * size, 2 * size))
        double[:size, :size], double[:size, size:] = rate, np.eye(size)
        whole = expm(double * width)
        spent = now @ whole[:size, size:]
        now = now @ whole[:size, :size]
        fired += firing @ spent
        armed_time += [sum(spent[place[state]] for state in states if state[trap] == "a") for trap in range(traps)]
    armed = [sum(now[place[state]] for state in states if state[trap] == "a") for trap in range(traps)]
    count = [sum(now[place[s]] for s in states if s.count("o") == number) for number in range(traps + 1)]
    return fired, np.array(armed), armed_time, np.array(count)


@pytest.mark.parametrize("traps", [1, 2, 3, 4])
@pytest.mark.parametrize("shares", [False, True], ids=["passes all", "comes to one"])
@pytest.mark.parametrize("beside", [1.0, 0.3, 1.8])
def test_against_the_matrix_exponential_by_hand(traps, shares, beside):
    gang = gang_of(traps, traps=traps, shares=shares, beside=beside, hours=3, quick=1.0 if traps != 2 else 40.0)
    found = gang_outcome(gang)
    for draw in range(2):
        fired, armed, armed_time, count = by_hand(gang, draw)
        np.testing.assert_allclose(found.fired[..., draw], fired, atol=2e-12)
        np.testing.assert_allclose(found.armed[..., draw], armed, atol=2e-12)
        np.testing.assert_allclose(found.armed_time[..., draw], armed_time, atol=2e-12)
        np.testing.assert_allclose(found.count[..., draw], count, atol=2e-12)


def scores(played, gang, exact):
    """Distances of a play from the exact chances in standard errors, one draw."""
    waits = len(played.cause)
    pairs = [
        ((played.cause[:, trap] == kind).mean(), exact.fired[kind, trap, 0])
        for kind in range(gang.visits.shape[0] + 1)
        for trap in range(gang.traps)
    ]
    pairs += [((played.cause[:, trap] == UNTOUCHED).mean(), exact.armed[trap, 0]) for trap in range(gang.traps)]
    pairs += [
        ((played.held[:, trap] & (played.cause[:, trap] == kind)).mean(), exact.held[kind, trap, 0])
        for kind in range(gang.visits.shape[0])
        for trap in range(gang.traps)
    ]
    pairs += [((played.count == number).mean(), exact.count[number, 0]) for number in range(gang.traps + 1)]
    found = [(seen - p) / np.sqrt(max(p * (1 - p), 1e-9) / waits) for seen, p in pairs]
    end = gang.widths.sum()
    for trap in range(gang.traps):
        stood = np.minimum(played.time[:, trap], end)
        found.append((stood.mean() - exact.armed_time[trap, 0]) / (stood.std() / np.sqrt(waits)))
    return np.array(found)


@pytest.mark.parametrize("shares", [False, True], ids=["passes all", "comes to one"])
@pytest.mark.parametrize(("traps", "beside"), [(1, 1.0), (2, 1.0), (2, 0.2), (3, 2.5), (4, 1.0)])
def test_play_and_chain_agree(traps, beside, shares):
    every = []
    for seed in range(3):
        gang = gang_of(10 * traps + seed, traps=traps, draws=1, shares=shares, beside=beside)
        every.append(scores(play(gang, 30_000, seed=seed), gang, gang_outcome(gang)))
    z = np.concatenate(every)
    assert np.abs(z).max() < 4.0
    assert np.sqrt(np.mean(z**2)) < 1.5, "the whole lot scatters as chance does"


def test_the_play_would_show_a_slip_of_five_percent():
    gang = gang_of(21, traps=2, draws=1)
    wrong = replace(gang, takes=np.minimum(0.95 * gang.takes, 1.0))
    assert np.abs(scores(play(gang, 30_000, seed=1), gang, gang_outcome(wrong))).max() > 4.0


def test_same_seed_same_play():
    gang = gang_of(3)
    one, two, other = play(gang, 500, seed=4), play(gang, 500, seed=4), play(gang, 500, seed=5)
    np.testing.assert_array_equal(one.time, two.time)
    assert not np.array_equal(one.time, other.time)


def test_one_trap_and_lone_animals_are_the_single_set():
    gang = replace(gang_of(7, traps=1, draws=4, hours=8), sizes=np.ones((3, 1)))
    found = gang_outcome(gang)
    rates = gang.visits * gang.takes[:, 0, :, None] * gang.in_order[0]
    wild = gang.misfire[0] * gang.in_order[0]
    single = first_firing(np.concatenate([rates, wild[None]]), gang.widths)
    np.testing.assert_allclose(found.fired[:, 0], single.by_cause, atol=1e-13)
    np.testing.assert_allclose(found.armed[0], single.nothing, atol=1e-13)
    np.testing.assert_allclose(found.armed_time[0], single.armed_time, atol=1e-12)


def test_traps_that_share_nobody_do_not_know_each_other():
    """Animals that come to one trap only split the Poisson stream: each trap is a single set of its own."""
    gang = replace(gang_of(8, traps=3, draws=2, hours=6, shares=True), sizes=np.ones((3, 1)))
    found = gang_outcome(gang)
    for trap in range(3):
        rates = gang.visits * (gang.shares[:, trap, None] * gang.takes[:, trap])[..., None] * gang.in_order[trap]
        wild = gang.misfire[trap] * gang.in_order[trap]
        single = first_firing(np.concatenate([rates, wild[None]]), gang.widths)
        np.testing.assert_allclose(found.fired[:, trap], single.by_cause, atol=1e-13)


def test_times_of_firing_follow_the_exact_curve():
    gang = replace(gang_of(9, traps=1, draws=1, hours=8, quick=0.6), sizes=np.ones((3, 1)))
    played = play(gang, 40_000, seed=2)
    rates = gang.visits * gang.takes[:, 0, :, None] * gang.in_order[0]
    single = first_firing(np.concatenate([rates, (gang.misfire[0] * gang.in_order[0])[None]]), gang.widths)
    for time in np.linspace(0.1, 0.99, 7) * gang.widths.sum():
        for kind, p in enumerate(incidence(single, time)[:, 0]):
            seen = np.mean((played.cause[:, 0] == kind) & (played.time[:, 0] <= time))
            assert abs(seen - p) < 4.0 * np.sqrt(p * (1 - p) / 40_000) + 1e-12


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 4), st.booleans(), st.sampled_from([0.0, 0.5, 1.0, 2.0]))
def test_all_chances_are_told(seed, traps, shares, beside):
    gang = gang_of(seed, traps=traps, shares=shares, beside=beside, hours=3)
    found = gang_outcome(gang)
    np.testing.assert_allclose(found.fired.sum(axis=0) + found.armed, 1.0, atol=1e-12)
    np.testing.assert_allclose(found.count.sum(axis=0), 1.0, atol=1e-12)
    held = np.arange(traps + 1) @ found.count
    np.testing.assert_allclose(found.held.sum(axis=(0, 1)), held, atol=1e-12)
    assert (found.fired >= -1e-15).all() and (found.count >= -1e-15).all()


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.booleans())
def test_the_order_of_traps_and_kinds_changes_nothing(seed, shares):
    gang = gang_of(seed, shares=shares, hours=3, beside=0.7)
    traps, kinds = [2, 0, 1], [1, 2, 0]
    turned = replace(
        gang,
        visits=gang.visits[kinds],
        takes=gang.takes[kinds][:, traps],
        holds=gang.holds[kinds][:, traps],
        in_order=gang.in_order[traps],
        misfire=gang.misfire[traps],
        sizes=gang.sizes[kinds],
        shares=None if gang.shares is None else gang.shares[kinds][:, traps],
    )
    found, other = gang_outcome(gang), gang_outcome(turned)
    np.testing.assert_allclose(other.fired[:-1], found.fired[:-1][kinds][:, traps], atol=1e-12)
    np.testing.assert_allclose(other.fired[-1], found.fired[-1][traps], atol=1e-12)
    np.testing.assert_allclose(other.count, found.count, atol=1e-12)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 3))
def test_one_more_trap_of_the_same_holds_no_fewer_animals(seed, traps):
    """With even chances of holding a further trap only adds: what it takes from another is held all the same."""
    gang = gang_of(seed, traps=traps + 1, hours=3)
    gang = replace(gang, holds=np.full_like(gang.holds, 0.8))
    fewer = replace(
        gang,
        takes=gang.takes[:, :-1],
        holds=gang.holds[:, :-1],
        in_order=gang.in_order[:-1],
        misfire=gang.misfire[:-1],
    )
    more, less = gang_outcome(gang), gang_outcome(fewer)
    assert (more.held.sum(axis=(0, 1)) >= less.held.sum(axis=(0, 1)) - 1e-12).all()
    assert (more.fired[:-1, :-1].sum(axis=0) <= less.fired[:-1].sum(axis=0) + 1e-12).all(), "each trap gets less"


@given(chance, chance)
def test_two_traps_in_even_order_written_out(p, q):
    fires = meeting(np.array([[[p], [q]]]))
    assert fires[0, 0, 3, 0] == pytest.approx(p * (1 - q / 2), abs=1e-15)
    assert fires[0, 1, 3, 0] == pytest.approx(q * (1 - p / 2), abs=1e-15)
    assert fires[0, :, 3, 0].sum() == pytest.approx(1 - (1 - p) * (1 - q), abs=1e-15)


@settings(deadline=None)
@given(st.lists(chance, min_size=1, max_size=4))
def test_an_animal_passes_all_traps_as_often_as_it_misses_each(takes):
    fires = meeting(np.array(takes)[None, :, None])
    assert fires[0, :, -1, 0].sum() == pytest.approx(1 - np.prod(1 - np.array(takes)), abs=1e-13)


def test_a_family_of_two_before_two_sure_traps_is_taken_whole():
    fires = meeting(np.ones((1, 2, 1)))
    both = group_meeting(fires, np.array([[0.0, 1.0]]))
    assert both[0, :, 3, 0] == pytest.approx([1.0, 1.0])
    assert both[0, 0, 1, 0] == pytest.approx(1.0) and both[0, 1, 1, 0] == 0.0
    three = group_meeting(np.array([[[[0.0], [0.4]]]]), np.array([[0.0, 0.0, 1.0]]))
    assert three[0, 0, 1, 0] == pytest.approx(1 - 0.6**3)


def one_kind(visits, size, takes=0.5, holds=0.9, traps=3, hours=24):
    sizes = np.zeros((1, 4))
    sizes[0, size - 1] = 1.0
    shape = (traps, len(visits), hours)
    return Gang(
        visits=np.repeat(np.asarray(visits, float)[None, :, None], hours, axis=2) / 24.0,
        takes=np.full((1, traps, len(visits)), takes),
        holds=np.full((1, traps, len(visits)), holds),
        in_order=np.ones(shape),
        misfire=np.zeros(shape),
        sizes=sizes,
        widths=np.ones(hours),
    )


def test_families_scatter_more_than_the_same_number_of_lone_animals():
    lone = season_spread(season_counts(gang_outcome(one_kind([0.12], 1)).count, 100))
    family = season_spread(season_counts(gang_outcome(one_kind([0.03], 4)).count, 100))
    assert family.dispersion > 1.3 > 1.0 > lone.dispersion
    assert (family.high - family.low) / family.mean > (lone.high - lone.low) / lone.mean


def test_catches_of_a_hundred_nights_against_play():
    gang = one_kind([0.06], 4)
    counts = season_counts(gang_outcome(gang).count, 100)
    spread = season_spread(counts)
    seasons = play(gang, 200_000, seed=6).count.reshape(2000, 100).sum(axis=1)
    assert seasons.mean() == pytest.approx(spread.mean, abs=4 * seasons.std() / np.sqrt(2000))
    assert seasons.var() / seasons.mean() == pytest.approx(spread.dispersion, rel=0.15)
    assert abs(np.quantile(seasons, 0.05) - spread.low) <= 1 and abs(np.quantile(seasons, 0.95) - spread.high) <= 1


def test_rates_from_a_gamma_law_give_the_negative_binomial():
    """Few firings a wait and a rate that is gamma over the draws: the season's catch is negative binomial."""
    shape, mean, waits = 2.0, 5.0, 2000
    draws = np.random.default_rng(3).gamma(shape, mean / shape / waits, size=1000)
    draws *= mean / waits / draws.mean()
    found = season_counts(np.stack([np.exp(-draws), -np.expm1(-draws)]), waits).mean(axis=1)[:40]
    expected = nbinom.pmf(np.arange(40), shape, shape / (shape + mean))
    assert np.abs(np.cumsum(found) - np.cumsum(expected)).max() < 0.02


def test_what_is_not_known_stays_unknown_and_alone():
    gang = gang_of(5, draws=3)
    takes = gang.takes.copy()
    takes[1, 0, 1] = np.nan
    found, plain = gang_outcome(replace(gang, takes=takes)), gang_outcome(gang)
    assert np.isnan(found.count[:, 1]).all() and np.isnan(found.armed[0, 1])
    np.testing.assert_allclose(found.count[:, [0, 2]], plain.count[:, [0, 2]], atol=1e-12)
    visits = gang.visits.copy()
    visits[0, 1, 2] = np.inf
    assert np.isnan(gang_outcome(replace(gang, visits=visits)).count[:, 1]).all()
    takes[1, 0, 1] = 1.2
    assert np.isnan(gang_outcome(replace(gang, takes=takes)).count[:, 1]).all(), "no probability, no answer"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"holds": np.ones((3, 2, 2))}, "holds"),
        ({"widths": np.array([1.0, 1.0, 0.0, 1.0, 1.0])}, "widths"),
        ({"sizes": np.full((3, 2), 0.4)}, "sizes"),
        ({"shares": np.ones((1, 3))}, "shares"),
    ],
)
def test_parts_that_do_not_fit_are_refused_by_name(change, field):
    with pytest.raises(OutOfRange) as caught:
        replace(gang_of(1), **change)
    assert caught.value.field == field


def test_five_traps_are_too_many_for_the_exact_chain():
    with pytest.raises(OutOfRange):
        gang_of(1, traps=5)


@pytest.mark.parametrize("name", ["visits", "takes", "holds", "in_order", "misfire"])
def test_what_is_not_known_is_not_played(name):
    gang = gang_of(1)
    spoilt = np.array(getattr(gang, name))
    spoilt[0, 0] = np.nan
    with pytest.raises(OutOfRange) as caught:
        play(replace(gang, **{name: spoilt}), 10)
    assert caught.value.field == name


def test_what_is_no_chance_is_not_played():
    with pytest.raises(OutOfRange):
        play(replace(gang_of(1), takes=np.full((3, 3, 2), 1.01)), 10)
