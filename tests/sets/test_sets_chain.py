"""The chain at the sites of the invented demo line: each failure shows, each cure mends."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from setwright.basis.source import Kind, Quantity, Source, unknown
from setwright.basis.tables import DATA
from setwright.basis.verdict import Answer, Standing
from setwright.desk.plan import read_job
from setwright.desk.wording import render
from setwright.sets.advise import advise
from setwright.sets.context import Kept
from setwright.sets.evaluate import evaluate
from setwright.sets.fire import fire_table
from setwright.sets.rank import rank
from setwright.sets.retune import with_jaws, with_springs

BOOK = DATA / "demo" / "line-book.yaml"
READ = Source(Kind.MEASURED, "test")
LBF = 4.4482216152605


@pytest.fixture(scope="module")
def job():
    return read_job(BOOK, draws=200)


def at(job, key):
    return job.contexts[key], job.stated[key]


def check(result, link, name):
    found = next(found for found in result.links if found.link == link)
    return next(found for found in found.checks if found.name == name)


def with_force(rig, pounds):
    reading = Quantity(pounds * LBF, "N", READ, 0.9 * pounds * LBF, 1.1 * pounds * LBF)
    return replace(rig, trap=replace(rig.trap, trip_force=reading))


def test_six_links_in_order_and_every_check_says_why_and_from_where(job):
    for key, rig in job.stated.items():
        result = evaluate(job.contexts[key], rig, job.person)
        assert [link.link for link in result.links] == ["visit", "step", "fire", "close", "hold", "check"]
        for link in result.links:
            assert link.checks and np.isfinite(link.value).all(), f"{key} {link.link}"
            for found in link.checks:
                assert found.why.template
                assert found.standing is Standing.SOUND or found.mend is not None, f"{key} {found.name}: no remedy"
        total = sum(row.first for row in result.outcome.values())
        assert np.allclose(total, 1.0), "something happens, or nothing does"


def test_a_stiffer_pan_never_raises_the_chance_of_anybody(job):
    context, rig = at(job, "ridge")
    results = [evaluate(context, with_force(rig, pounds), job.person) for pounds in (1, 2, 4, 8)]
    for key in context.species:
        rates = [np.median(result.links[2].by_species[key]) for result in results]
        assert all(a >= b - 1e-9 for a, b in itertools.pairwise(rates)), key


def test_practice_fact_3_pan_keeps_out_small_animals_never_dogs(job):
    context, _ = at(job, "trail")
    dog, coyote = (fire_table(context, context.species[key]) for key in ("dog_medium", "coyote_west"))
    assert (np.median(dog, axis=0) >= np.median(coyote, axis=0) - 1e-9).all(), "a dog presses harder at every force"
    ridge, rig = at(job, "ridge")
    stiff = evaluate(ridge, with_force(rig, 4), job.person).links[2].by_species
    slack = evaluate(ridge, with_force(rig, 0.3), job.person).links[2].by_species
    assert np.median(stiff["striped_skunk"]) < 0.2 < 0.8 < np.median(slack["striped_skunk"])
    assert np.median(stiff["coyote_west"]) > 0.7


def test_a_pan_nobody_read_is_a_question(job):
    context, rig = at(job, "ridge")
    unread = replace(rig, trap=replace(rig.trap, trip_force=unknown("N", "not read")))
    found = check(evaluate(context, unread, job.person), "fire", "trip force")
    assert found.standing is Standing.CANNOT_TELL and found.question is not None


def test_no_weight_based_figure_for_a_floating_animal(job):
    context, rig = at(job, "channel")
    assert fire_table(context, context.target) is None
    assert check(evaluate(context, rig, job.person), "fire", "trip force").standing is Standing.CANNOT_TELL


def test_compact_trap_in_muck_fails_a_board_or_long_spring_carries(job):
    context, rig = at(job, "muck")
    assert check(evaluate(context, rig, job.person), "fire", "bearing").standing is Standing.FAILS
    board = evaluate(context, replace(rig, board=True), job.person)
    assert check(board, "fire", "bearing").standing is Standing.SOUND
    long = replace(rig, trap=job.traps["T-54"])
    assert check(evaluate(context, long, job.person), "fire", "bearing").standing is Standing.SOUND


def test_wet_cover_before_frost_fails_and_dry_dirt_mends_it(job):
    context, rig = at(job, "orchard")
    wet = evaluate(context, rig, job.person)
    assert check(wet, "fire", "frost").standing is Standing.FAILS
    dry = evaluate(context, replace(rig, cover="dry-dirt"), job.person)
    assert check(dry, "fire", "frost").standing is Standing.SOUND
    assert np.median(dry.held) > 4 * np.median(wet.held)


def test_single_rod_in_sand_pulls_and_a_tree_holds(job):
    context, rig = at(job, "sand")
    assert check(evaluate(context, rig, job.person), "hold", "anchor").standing is Standing.FAILS
    tree = next(anchor for anchor in job.options.anchors if anchor.kind == "tree")
    assert (
        check(evaluate(context, replace(rig, anchor=tree), job.person), "hold", "anchor").standing is Standing.SOUND
    )


def test_drag_and_unrated_swivel_cannot_be_told(job):
    context, rig = at(job, "knoll")
    assert check(evaluate(context, rig, job.person), "hold", "anchor").standing is Standing.CANNOT_TELL
    context, rig = at(job, "post")
    found = check(evaluate(context, rig, job.person), "hold", "tackle")
    assert found.standing is Standing.CANNOT_TELL and "bench-pull three samples" in render(found.question)


def test_shallow_slide_breaks_welfare_and_deeper_water_mends_it(job):
    context, rig = at(job, "point")
    shallow = evaluate(context, rig, job.person)
    assert shallow.welfare is Answer.BREAKS
    deep = evaluate(context, replace(rig, slide=replace(rig.slide, deep_out=rig.slide.deep_out + 1.5)), job.person)
    assert next(gate for gate in deep.gates if gate.name == "submersion").answer is Answer.MEETS
    assert np.median(deep.held) > np.median(shallow.held)


def test_regular_jaws_where_dogs_run_break_and_offset_meets(job):
    context, rig = at(job, "gate")
    before = evaluate(context, rig, job.person)
    after = evaluate(context, replace(rig, trap=with_jaws_of(rig.trap, "offset")), job.person)
    gate = {gate.name: gate.answer for gate in before.gates}
    assert gate["jaws on land"] is Answer.BREAKS and before.lawful is Answer.BREAKS
    assert {g.name: g.answer for g in after.gates}["jaws on land"] is Answer.MEETS
    assert after.lawful is Answer.MEETS


def with_jaws_of(trap, kind):
    return with_jaws(trap, kind)


def test_more_springs_never_close_later_and_grip_no_less(job):
    context, rig = at(job, "gate")
    two, four = (evaluate(context, replace(rig, trap=with_springs(rig.trap, n)), job.person) for n in (2, 4))
    assert np.median(four.links[3].value) >= np.median(two.links[3].value) - 1e-9
    assert np.median(four.links[4].value) >= np.median(two.links[4].value) - 1e-9


def test_a_trail_too_near_breaks_the_law_and_moving_mends_it(job):
    context, rig = at(job, "trail")
    assert evaluate(context, rig, job.person).lawful is Answer.BREAKS
    moved = replace(context, site=replace(context.site, near={"public-trail": 20.0}), kept=Kept())
    rules = {f.rule: f.answer for f in evaluate(moved, rig, job.person).law if not f.profile}
    assert rules["trail"] is Answer.MEETS


def test_draws_are_paired_and_reproducible(job):
    context, rig = at(job, "ridge")
    first, second = evaluate(context, rig, job.person), evaluate(context, rig, job.person)
    assert np.array_equal(first.held, second.held)
    fresh = read_job(BOOK, draws=200)
    again = evaluate(fresh.contexts["ridge"], fresh.stated["ridge"], fresh.person)
    assert np.array_equal(first.held, again.held), "same seed, same answer, in any order"
    other = read_job(BOOK, draws=200, seed=21)
    third = evaluate(other.contexts["ridge"], other.stated["ridge"], other.person)
    assert np.median(third.held) == pytest.approx(float(np.median(first.held)), rel=0.35)


@pytest.mark.parametrize(
    ("site", "kind"),
    [("orchard", "cover"), ("point", "stop"), ("sand", "anchor"), ("muck", "board"), ("trail", "place")],
)
def test_advice_finds_the_cure_and_never_worsens_a_gate(job, site, kind):
    context, rig = at(job, site)
    before = evaluate(context, rig, job.person)
    found = advise(context, before, job.options, job.person)
    assert kind in {change.kind for advised in found for change in advised.changes}, f"{site}: {kind} not offered"
    for advised in found:
        place, changed = context, rig
        for change in advised.changes:
            place, changed = change.move(place, changed)
        by_hand = evaluate(place, changed, job.person)
        assert np.array_equal(by_hand.held, advised.after.held), "the gain is computed, not told"
        order = (Answer.BREAKS, Answer.CANNOT_TELL, Answer.MEETS)
        assert order.index(advised.after.lawful) >= order.index(before.lawful)
        assert order.index(advised.after.welfare) >= order.index(before.welfare)


def test_ranking_bars_what_fails_and_says_why(job):
    context, rig = at(job, "muck")
    found = rank(context, job.options, rig, job.person)
    assert found[0].result.rig.trap.family == "long", "springs spread on muck carry best"
    assert all(candidate.why is not None for candidate in found)
    compact = next(c for c in found if c.result.rig.trap.pattern == "coil-1.5")
    assert compact.result.standing is Standing.FAILS
