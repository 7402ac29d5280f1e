"""The same draws for every rig, and advice that is run and not told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.basis.tables import DATA
from setwright.basis.verdict import Answer
from setwright.desk.plan import read_job
from setwright.sets.advise import _adds, _is_whole, advise
from setwright.sets.evaluate import evaluate
from setwright.sets.rank import rank

BOOK = DATA / "demo" / "line-book.yaml"
SITES = ("orchard", "point", "sand", "muck", "channel", "post")


@pytest.fixture(scope="module")
def job():
    return read_job(BOOK, draws=200)


@pytest.fixture(scope="module")
def advice(job):
    found = {}
    for key in SITES:
        before = evaluate(job.contexts[key], job.stated[key], job.person)
        found[key] = before, advise(job.contexts[key], before, job.options, job.person)
    return found


def test_a_rig_against_itself_gains_exactly_nothing(job):
    for key, rig in job.stated.items():
        context = job.contexts[key]
        gain = evaluate(context, rig, job.person).held - evaluate(context, replace(rig), job.person).held
        assert (gain == 0.0).all(), key


def test_the_order_of_evaluation_does_not_matter(job):
    other = read_job(BOOK, draws=200)
    traps = [job.traps[key] for key in ("T-01", "T-11", "T-45")]

    def held(source, order):
        context, rig = source.contexts["ridge"], source.stated["ridge"]
        return {i: evaluate(context, replace(rig, trap=traps[i]), source.person).held for i in order}

    forward, backward = held(job, (0, 1, 2)), held(other, (2, 1, 0))
    assert all(np.array_equal(forward[i], backward[i]) for i in range(3))


def test_another_seed_stays_within_the_band(job):
    for key in ("ridge", "bench", "dam"):
        held = evaluate(job.contexts[key], job.stated[key], job.person).held
        for seed in (1, 2, 3):
            other = read_job(BOOK, draws=200, seed=seed)
            median = float(np.median(evaluate(other.contexts[key], other.stated[key], other.person).held))
            assert np.quantile(held, 0.05) < median < np.quantile(held, 0.95), key


def test_every_change_re_run_by_hand_gives_the_same_gain(job, advice):
    for key, (before, offered) in advice.items():
        assert offered, f"{key}: nothing offered"
        for advised in offered:
            place, rig = job.contexts[key], job.stated[key]
            for change in advised.changes:
                place, rig = change.move(place, rig)
            by_hand = evaluate(place, rig, job.person)
            assert np.array_equal(by_hand.held - before.held, advised.gain), key


def test_no_change_worsens_law_or_welfare(advice):
    order = (Answer.BREAKS, Answer.CANNOT_TELL, Answer.MEETS)
    for key, (before, offered) in advice.items():
        for advised in offered:
            assert order.index(advised.after.lawful) >= order.index(before.lawful), key
            assert order.index(advised.after.welfare) >= order.index(before.welfare), key


def test_pairs_are_offered_only_where_no_single_is_whole_and_they_add(advice):
    seen = 0
    for key, (_, offered) in advice.items():
        singles = [advised for advised in offered if len(advised.changes) == 1]
        pairs = [advised for advised in offered if len(advised.changes) == 2]
        assert not pairs or not _is_whole(singles[0]), key
        for pair in pairs:
            seen += 1
            kinds = {change.kind for change in pair.changes}
            for single in singles:
                if single.changes[0].kind in kinds:
                    assert _adds(pair, single), f"{key}: the pair brings no more than one of the two"
    assert seen, "the demo has sets that need two changes"


def test_what_is_told_to_be_mended_was_amiss(advice):
    for key, (before, offered) in advice.items():
        names = {check.name for link in before.links for check in link.checks}
        names |= {gate.name for gate in before.gates} | {finding.rule for finding in before.law}
        for advised in offered:
            assert set(advised.mends) <= names, key


def test_ranking_does_not_depend_on_the_order_of_the_outfit(job):
    context, rig = job.contexts["ridge"], job.stated["ridge"]
    shuffled = replace(job.options, traps=tuple(reversed(job.options.traps)))
    first = rank(context, job.options, rig, job.person)
    second = rank(context, shuffled, rig, job.person)
    assert [c.score for c in first] == [c.score for c in second]
    assert {frozenset(c.trap_ids) for c in first} == {frozenset(c.trap_ids) for c in second}
