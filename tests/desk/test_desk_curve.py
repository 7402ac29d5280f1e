"""The curve of the pan: order in trip force, the rule of the advised span, what is said of whom."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.source import Quantity
from setwright.basis.tables import DATA
from setwright.basis.units import convert
from setwright.desk.plan import read_job
from setwright.desk.trip_curve import (
    GIVEN_UP,
    LIGHT,
    SAVED,
    USUAL,
    WORTH,
    advised,
    at_forces,
    forces_of,
    lawful,
    per_nights,
    trip_curve,
)
from setwright.desk.trip_curve_words import NO_CATCH, presses
from setwright.line.assemble import plan_site
from setwright.sets.evaluate import evaluate
from setwright.sets.fire import at_force, fire_table

WEIGHTLESS = ("channel",)


@pytest.fixture(scope="module")
def job():
    return read_job(DATA / "demo" / "line-book.yaml", draws=200)


@pytest.fixture(scope="module")
def planned(job):
    return {
        site.key: plan_site(job, site, job.stated[site.key], deep=False)
        for site in job.sites
        if site.key in job.stated
    }


@pytest.fixture(scope="module")
def curves(planned):
    return {key: trip_curve(found.context, found.result) for key, found in planned.items()}


def nights_of(found, forces):
    context = found.context
    tables = {key: fire_table(context, species) for key, species in context.species.items()}
    drawn = {key: at_forces(table, forces) for key, table in tables.items() if table is not None}
    return per_nights(context, found.result, drawn, forces)


def test_a_heavier_pan_never_fires_more_easily(curves):
    for key, curve in curves.items():
        for series in curve.series:
            for line in (series.median, series.low, series.high):
                assert all(a >= b - 1e-9 for a, b in pairwise(line)), f"{key} {series.species}"


def test_without_rivals_a_heavier_pan_never_holds_more(planned):
    # One coyote site has no animal but a dog, which fires any pan: the target alone moves.
    found = planned["knoll"]
    nights = nights_of(found, forces_of(found.context))
    assert (np.diff(np.median(nights.catch, axis=0)) <= 1e-9).all()


def test_a_light_pan_wastes_the_trap_on_small_animals(planned):
    """Competing risks: with many skunks a light pan costs target animals, which a fire curve alone cannot show."""
    found = planned["ridge"]
    crowd = {
        key: rate * (40.0 if key in ("striped_skunk", "opossum") else 1.0)
        for key, rate in found.result.timing.firing.items()
    }
    result = replace(found.result, timing=replace(found.result.timing, firing=crowd))
    catch = np.median(nights_of(replace(found, result=result), forces_of(found.context)).catch, axis=0)
    assert catch[0] < 0.8 * catch.max(), "the lightest pan is not the best"
    assert 0 < int(np.argmax(catch)) < catch.size - 1, "best between the ends"


@pytest.mark.parametrize("site", ["ridge", "gate", "dam", "cattail"])
def test_the_curve_is_what_the_whole_chain_finds_with_such_a_pan(job, planned, site):
    found = planned[site]
    context, rig = found.context, found.result.rig
    for pounds in (0.4, 1.5, 3.0):
        force = convert(pounds, "lbf", "N")
        exact = Quantity(force, "N", low=force * (1 - 1e-9), high=force * (1 + 1e-9))
        again = evaluate(context, replace(rig, trap=replace(rig.trap, trip_force=exact)), job.person)
        nights = nights_of(found, np.array([force]))
        waits = 100.0 / context.check.nights
        np.testing.assert_allclose(nights.catch[:, 0], waits * again.held, rtol=2e-3, atol=1e-4)
        for key, fired in nights.others.items():
            np.testing.assert_allclose(fired[:, 0], waits * again.outcome[key].first, rtol=2e-3, atol=1e-4)


def test_his_own_pan_has_the_figures_of_the_outcome(planned, curves):
    for key, curve in curves.items():
        if curve.own is None:
            continue
        found = planned[key]
        waits = 100.0 / found.context.check.nights
        assert curve.own.catch[0] == pytest.approx(waits * float(np.median(found.result.held)))
        assert curve.yours[0] == pytest.approx(curve.own.force)


def test_forces_read_from_the_table_agree_with_the_chain(planned):
    context = planned["ridge"].context
    table = fire_table(context, context.target)
    forces = forces_of(context)
    for place, force in enumerate(forces):
        np.testing.assert_allclose(at_forces(table, forces)[:, place], at_force(table, np.full(context.n, force)))


def test_small_animals_have_a_finer_scale(planned):
    assert forces_of(planned["cattail"].context).size == LIGHT.size
    assert forces_of(planned["ridge"].context).size == USUAL.size


lines = st.lists(st.tuples(st.floats(0.0, 20.0), st.floats(0.0, 20.0), st.booleans()), min_size=2, max_size=24)


@given(lines)
def test_the_advised_span_keeps_its_rule(rows):
    catch, nuisance, allowed = (np.array(column) for column in zip(*rows, strict=True))
    span = advised(catch, nuisance, allowed)
    best = max((float(c) for c, a in zip(catch, allowed, strict=True) if a), default=0.0)
    if span is None:
        assert best <= NO_CATCH
        return
    low, high = span
    inside = np.arange(low, high + 1)
    assert allowed[inside].all(), "the law comes first"
    assert (catch[inside] >= (1.0 - GIVEN_UP) * best - 1e-12).all(), "little catch is given up"
    keeps = np.flatnonzero(allowed & (catch >= (1.0 - GIVEN_UP) * best))
    lightest, least = nuisance[keeps[0]], nuisance[keeps].min()
    if lightest - least > WORTH * lightest:
        assert (nuisance[inside] <= lightest - SAVED * (lightest - least) + 1e-12).all(), "half the saving is had"
        assert nuisance[inside].min() == least, "the least nuisance lies in it"


def test_the_span_of_a_drawn_curve():
    catch = np.array([9.0, 10.0, 10.0, 9.8, 9.4, 8.0])
    nuisance = np.array([9.0, 6.0, 4.0, 2.0, 1.0, 0.1])
    everywhere = np.ones(6, dtype=bool)
    assert advised(catch, nuisance, everywhere) == (2, 3), "95 of 100 to the fourth; half of 6 to 2 is at 4"
    assert advised(catch, np.full(6, 3.0), everywhere) == (1, 3), "nothing saved: all that keeps the catch"
    assert advised(catch, nuisance, np.array([False] * 4 + [True] * 2)) == (4, 4), "within the law only"
    assert advised(np.zeros(6), nuisance, everywhere) is None
    assert advised(catch, nuisance, np.zeros(6, dtype=bool)) is None


def test_what_is_advised_keeps_to_the_law(planned, curves):
    least, most = lawful(planned["ridge"].result)
    assert least == pytest.approx(convert(2.0, "lbf", "N")) and most == float("inf"), "the pack of the example line"
    low, _ = curves["ridge"].advised
    assert low >= least * (1 - 1e-6)
    assert any("at least 2 lbf" in words for words in curves["ridge"].words)
    assert lawful(planned["dam"].result)[0] == 0.0
    assert not any("law pack" in words for words in curves["dam"].words)


def test_the_ends_of_the_span_have_their_costs(curves):
    for key, curve in curves.items():
        if curve.advised is None:
            assert curve.ends == [], key
            continue
        assert [cost.force for cost in curve.ends] == pytest.approx(sorted(set(curve.advised)))
        for cost in curve.ends:
            for middle, low, high in (cost.catch, cost.nuisance):
                assert 0.0 <= low <= middle <= high <= 100.0, key


def test_plain_words_stand_exactly_where_such_an_animal_may_come(planned, curves):
    for key, curve in curves.items():
        context = planned[key].context
        said = " ".join(curve.words)
        assert ("domestic dog" in said) == any(one.startswith("dog") for one in context.species), key
        assert ("river otter" in said) == ("river_otter" in context.species and context.site.target != "river_otter")
        if context.site.target == "raccoon":
            assert "keep out a raccoon" not in said
        for one, species in context.species.items():
            if one == context.site.target:
                continue
            heavier = species.mass.number >= context.target.mass.number
            wanted = one.startswith(("dog", "raccoon", "river_otter")) or heavier
            assert presses(species, context.target) == wanted, f"{key} {one}"
        assert said.count("does not keep out") == len(curve.not_kept_out), key
        assert ("Only place" in said) == bool(curve.not_kept_out), key


def test_no_figure_from_weight_where_no_weight_stands_on_the_pan(planned, curves):
    for key in WEIGHTLESS:
        curve = curves[key]
        assert curve.series == [] and curve.catch is None and curve.others == [] and curve.advised is None
        assert {entry.species for entry in curve.no_figure} == set(planned[key].context.species)
        assert all(entry.reason for entry in curve.no_figure)
        assert "No trip force is advised" in curve.say and "kick" in curve.say
        assert not any("of 100 steps" in words for words in curve.words), "no share of steps afloat"
        assert any("keep out a river otter" in words for words in curve.words), "but the warning stays"
    for key, curve in curves.items():
        drawn, weightless = ({entry.species for entry in part} for part in (curve.series, curve.no_figure))
        assert drawn.isdisjoint(weightless) and drawn | weightless == set(planned[key].context.species)


def test_a_pan_that_was_never_read_has_no_place_on_the_curve(planned):
    found = planned["ridge"]
    trap = replace(found.result.rig.trap, trip_force=Quantity(None, "N"))
    result = replace(found.result, rig=replace(found.result.rig, trap=trap))
    curve = trip_curve(found.context, result)
    assert curve.yours == (None, None, None) and curve.own is None
    assert "never read" in curve.say
    assert not any("fires your pan" in words for words in curve.words)


def test_the_same_question_has_the_same_curve(planned, curves):
    found = planned["ridge"]
    assert trip_curve(found.context, found.result) == curves["ridge"]
