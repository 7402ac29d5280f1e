"""Each link of the chain moves the right way, and says so when it cannot tell."""

from __future__ import annotations

import itertools
from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import DATA
from setwright.basis.verdict import Answer, Standing
from setwright.desk.plan import read_job
from setwright.sets.check import check_link
from setwright.sets.close import close_link
from setwright.sets.context import Kept
from setwright.sets.evaluate import evaluate
from setwright.sets.gates import gates
from setwright.sets.hold import grip_share, hold_link
from setwright.sets.lawful import facts_of
from setwright.sets.level import level_share
from setwright.sets.mechanics import grip
from setwright.sets.order import frost_share
from setwright.sets.seat import seat_share
from setwright.sets.step import step_link
from setwright.sets.strength import strengths
from setwright.sets.submerge import submersion
from setwright.sets.visit import is_told, visit_link

READ = Source(Kind.MEASURED, "test")
LANE = ("trail", "dam", "crossover", "channel")
PROPERTY = settings(max_examples=15, deadline=None)


@pytest.fixture(scope="module")
def job():
    return read_job(DATA / "demo" / "line-book.yaml", draws=200)


def at(job, key):
    return job.contexts[key], job.stated[key]


def moved(context, **site):
    return replace(context, site=replace(context.site, **site), kept=Kept())


def under(context, **conditions):
    return replace(context, conditions=replace(context.conditions, **conditions), kept=Kept(), line_kept=Kept())


def named(link, name):
    return next(found for found in link.checks if found.name == name)


def test_sign_that_nobody_looked_for_is_a_question(job):
    context, _ = at(job, "ridge")
    unseen = visit_link(moved(context, sign={}))
    assert unseen.standing is Standing.CANNOT_TELL and not is_told(unseen)
    assert unseen.checks[0].question is not None
    assert is_told(visit_link(context))


def test_fresher_sign_never_means_fewer_visits(job):
    context, _ = at(job, "ridge")
    levels = ("none", "old", "some", "fresh", "heavy")
    rates = [np.median(visit_link(moved(context, sign={context.target.key: level})).value) for level in levels]
    assert rates == sorted(rates) and rates[0] < rates[-1]


@PROPERTY
@given(wider=st.floats(1.0, 2.0), key=st.sampled_from(("ridge", "gate", "trail", "dam", "channel")))
def test_a_wider_pan_never_lowers_the_step(job, wider, key):
    context, rig = at(job, key)
    pan = rig.trap.pan_radius
    wide = replace(rig.trap, pan_radius=Quantity(pan.number * wider, "m", READ))
    assert (step_link(context, wide).value >= step_link(context, rig.trap).value - 1e-12).all()


@PROPERTY
@given(width=st.floats(0.12, 0.6), narrower=st.floats(0.3, 1.0), key=st.sampled_from(LANE))
def test_a_narrower_lane_never_lowers_the_step(job, width, narrower, key):
    context, rig = at(job, key)
    wide = step_link(moved(context, lane_width=width), rig.trap).value
    narrow = step_link(moved(context, lane_width=narrower * width), rig.trap).value
    assert (narrow >= wide - 1e-12).all() and (narrow <= 1.0).all()


@PROPERTY
@given(strength=st.floats(300.0, 60e3), stronger=st.floats(1.0, 4.0))
def test_firmer_ground_never_carries_less(job, strength, stronger):
    context, rig = at(job, "muck")

    def carried(value):
        soils = (replace(context.site.soils[0], strength=Quantity(value, "Pa", READ)),)
        return seat_share(moved(context, soils=soils), rig)[0]

    assert (carried(strength * stronger) >= carried(strength)).all()


def test_a_bottom_nobody_described_is_a_question_in_water_only(job):
    water, rig = at(job, "muck")
    share, found = seat_share(moved(water, soils=()), rig)
    assert found.standing is Standing.CANNOT_TELL and found.question is not None and (share == 1.0).all()
    land, rig = at(job, "ridge")
    assert seat_share(moved(land, soils=()), rig)[1] is None


def test_a_colder_night_is_never_better(job):
    context, rig = at(job, "orchard")
    night = context.conditions.night
    shares, mild = [], float(night.equivalent.min()) - 5.0
    for colder in (mild, -3.0, 0.0, 3.0):
        other = replace(night, equivalent=night.equivalent - colder, before=night.before - colder)
        shares.append(float(np.mean(frost_share(under(context, night=other), rig)[0])))
    assert all(warm >= cold - 1e-9 for warm, cold in itertools.pairwise(shares)), shares
    assert shares[0] > 0.95 and shares[-1] < 0.2, "wet loam is free in a mild night, fast in a cold one"


def test_frost_cannot_be_told_without_a_record_or_a_cover(job):
    context, rig = at(job, "orchard")
    assert frost_share(under(context, night=None), rig)[1].question is not None
    assert frost_share(context, replace(rig, cover=None))[1].standing is Standing.CANNOT_TELL


@pytest.mark.parametrize(("depth", "standing"), [(0.30, Standing.FAILS), (None, Standing.CANNOT_TELL)])
def test_a_pan_too_deep_fails_and_an_unmeasured_one_is_asked_for(job, depth, standing):
    context, _ = at(job, "dam")
    pan = None if depth is None else Quantity(depth, "m", READ)
    share, found = level_share(moved(context, water=replace(context.site.water, pan_depth=pan)))
    assert found.standing is standing
    if depth is None:
        assert found.question is not None
    else:
        assert np.median(share) < 0.05, "a front foot does not reach a pan a foot down"


def test_a_jaw_spread_that_does_not_fit_fails(job):
    context, rig = at(job, "cattail")
    large = replace(rig, trap=job.traps["T-25"])
    assert named(close_link(context, large), "jaw spread").standing is Standing.FAILS
    assert named(close_link(context, rig), "jaw spread").standing in (Standing.SOUND, Standing.THIN)


def test_more_cover_never_closes_more_often(job):
    context, rig = at(job, "ridge")
    values = [
        np.median(close_link(context, replace(rig, cover_depth=Quantity(depth, "m", READ))).value)
        for depth in (0.0, 0.01, 0.03, 0.08)
    ]
    assert all(a >= b - 1e-9 for a, b in itertools.pairwise(values))


def test_a_gap_wider_than_the_limb_holds_nothing(job):
    context, rig = at(job, "ridge")
    wide = replace(rig, trap=replace(rig.trap, dimensions=replace(rig.trap.dimensions, offset_gap=0.06)))
    assert (grip_share(context, wide, context.target) == 0.0).all()
    assert named(hold_link(context, wide), "grip").standing is Standing.FAILS


def test_a_locked_trap_holds_whatever_its_springs_press(job):
    context, rig = at(job, "ridge")
    strong = replace(rig, trap=job.traps["T-51"])
    thickness = context.drawn(f"limb.{context.target.key}", context.target.grip_thickness_fore.with_spread(0.25))
    found = grip(context, strong.trap, thickness)
    locked = found.locked & (found.closing_force > 0)
    assert locked.mean() > 0.2, "the demo has a trap that locks on this limb"
    assert np.allclose(grip_share(context, strong, context.target)[locked], 0.98)


def test_a_proof_pull_that_stood_raises_the_weak_end_most(job):
    context, rig = at(job, "ridge")
    proved = strengths(context, rig).anchor
    untried = strengths(context, replace(rig, anchor=replace(rig.anchor, proof=None))).anchor
    low, middle, high = (np.quantile(proved, share) / np.quantile(untried, share) for share in (0.05, 0.5, 0.95))
    assert low > middle > high > 0.97
    assert np.argsort(proved).tolist() == np.argsort(proved * 1.0).tolist()
    assert np.corrcoef(np.log(proved), np.log(untried))[0, 1] > 0.9, "the weak draws stay the weak"


def test_a_proof_pull_that_moved_it_brings_the_strength_to_that_pull(job):
    context, rig = at(job, "ridge")

    def middle(force, **proof):
        anchor = replace(rig.anchor, proof=Quantity(force, "N", READ), **proof)
        found = strengths(context, replace(rig, anchor=anchor))
        return float(np.median(found.anchor)), found.held.expected

    weak, likely = middle(200.0, moved=True)
    assert weak < middle(200.0)[0] and weak < middle(2000.0, moved=True)[0]
    assert (
        likely < 0.05
        and "feel the ground again"
        in strengths(
            context, replace(rig, anchor=replace(rig.anchor, proof=Quantity(200.0, "N", READ), moved=True))
        ).held.why.template
    )


def test_a_plate_that_stays_in_muck_fails_and_names_the_firm_bottom(job):
    context, rig = at(job, "channel")
    found = named(hold_link(context, rig), "anchor")
    assert found.standing is Standing.FAILS and "firm bottom" in found.mend.template


def test_two_feet_of_water_do_not_submerge_a_beaver(job):
    context, rig = at(job, "point")
    water = replace(context.site.water, out=(0.0, 1.0, 2.0, 5.0), depth=(0.0, 0.3, 0.6, 0.61))
    shallow = moved(context, water=water)
    assert float(submersion(shallow, rig).share[0]) == 0.0
    assert evaluate(shallow, rig, job.person).welfare is Answer.BREAKS


@PROPERTY
@given(
    deeper=st.floats(1.0, 3.0), scale=st.floats(0.6, 1.4), key=st.sampled_from(("dam", "muck", "channel", "point"))
)
def test_deeper_water_never_worsens_the_depth_sum(job, deeper, scale, key):
    context, rig = at(job, key)

    def spare(factor):
        water = context.site.water
        deep = moved(context, water=replace(water, depth=tuple(factor * depth for depth in water.depth)))
        return np.asarray(submersion(deep, rig).sum.spare)

    assert (spare(scale * deeper) >= spare(scale) - 1e-9).all()


def test_a_falling_level_never_helps(job):
    context, rig = at(job, "dam")
    level = context.conditions.level
    shares, spares = [], []
    for factor in (0.0, 1.0, 6.0):
        scaled = under(context, level=replace(level, hourly=level.hourly * factor))
        found = submersion(scaled, rig)
        shares.append(float(found.share[0]))
        spares.append(np.asarray(found.sum.spare) + np.zeros(context.n))
    assert shares == sorted(shares, reverse=True)
    assert (spares[0] >= spares[1] - 1e-9).all() and (spares[1] >= spares[2] - 1e-9).all()


def test_no_level_record_and_no_soundings_cannot_be_told(job):
    context, rig = at(job, "dam")
    assert any(check.name == "level" for check in submersion(under(context, level=None), rig).checks)
    bare = moved(context, water=replace(context.site.water, out=(), depth=()))
    found = submersion(bare, rig)
    assert np.isnan(found.share).all() and found.checks[0].question is not None
    gate = next(g for g in gates(bare, rig, evaluate(bare, rig, job.person).outcome) if g.name == "submersion")
    assert gate.answer is Answer.CANNOT_TELL


@pytest.mark.parametrize(
    ("interval", "hours", "standing"),
    [
        ("P1D", 27.0, Standing.SOUND),
        ("PT24H", 27.0, Standing.FAILS),
        ("PT24H", 17.0, Standing.SOUND),
        ("P1D", 60.0, Standing.FAILS),
    ],
)
def test_a_calendar_day_is_not_twenty_four_hours(job, interval, hours, standing):
    context, _ = at(job, "ridge")
    plan = replace(context.check, interval=interval, limit=None, visit=context.check.made + timedelta(hours=hours))
    assert named(check_link(replace(context, check=plan)), "interval").standing is standing


@pytest.mark.parametrize(
    ("sign", "answer"),
    [
        ({"dog_medium": "fresh"}, Answer.BREAKS),
        ({}, Answer.CANNOT_TELL),
        ({"dog_medium": "none", "house_cat": "none"}, Answer.MEETS),
    ],
)
def test_regular_jaws_have_three_answers(job, sign, answer):
    context, rig = at(job, "gate")
    place = moved(context, sign={"red_fox": "fresh", **sign})
    found = evaluate(place, rig, job.person)
    gate = next(gate for gate in found.gates if gate.name == "jaws on land")
    assert gate.answer is answer and (gate.question is not None) is (answer is Answer.CANNOT_TELL)


def test_an_animal_out_of_season_counts_with_the_protected(job):
    context, rig = at(job, "ridge")
    place = moved(context, sign={**context.site.sign, "striped_skunk": "heavy"})
    slack = replace(rig, trap=replace(rig.trap, trip_force=Quantity(0.8, "N", READ)))
    outcome = evaluate(place, slack, job.person).outcome
    answers = [
        next(gate for gate in gates(place, slack, outcome, closed) if gate.name == "others").answer
        for closed in (frozenset(), frozenset({"striped_skunk"}))
    ]
    assert answers == [Answer.MEETS, Answer.BREAKS]


def test_facts_for_the_law_are_the_features_of_the_set(job):
    context, rig = at(job, "gate")
    facts = facts_of(context, rig, traps_out=18, tag_name=True)
    assert facts["offset"].truth is False and facts["submersion"].truth is False
    assert facts["jaw_spread"].span[0] < rig.trap.spread.number < facts["jaw_spread"].span[1]
    assert facts["distance:dwelling"].value == pytest.approx(260 * 0.3048, rel=1e-6)
    unknown = facts_of(moved(context, tenure=None, permission=None), replace(rig, chain=None, anchor=None),
                       traps_out=None, tag_name=None)  # fmt: skip
    for name in ("land_tenure", "permission", "traps_out", "chain_length", "anchor_kind", "swivel_count"):
        assert not unknown[name].known, f"{name} was made up"


def test_swivels_that_nobody_counted_cannot_be_told(job):
    context, rig = at(job, "ridge")
    uncounted = replace(rig, chain=replace(rig.chain, swivels=None))
    bound = replace(rig, chain=replace(rig.chain, swivels=0))
    answers = [
        next(gate for gate in evaluate(context, r, job.person).gates if gate.name == "swivels").answer
        for r in (rig, uncounted, bound)
    ]
    assert answers == [Answer.MEETS, Answer.CANNOT_TELL, Answer.BREAKS]


def test_an_anchor_of_unknown_strength_may_hold_always_or_never(job):
    context, rig = at(job, "knoll")
    assert rig.anchor.kind == "drag"
    drag = hold_link(context, rig)
    tree = hold_link(context, replace(rig, anchor=next(a for a in job.options.anchors if a.kind == "tree")))
    low, middle, high = np.quantile(drag.value, (0.05, 0.5, 0.95))
    assert drag.standing is Standing.CANNOT_TELL
    assert low < 0.1 and high > 0.8 and 0.35 < middle < 0.6, "the band says that nothing is known"
    assert (drag.value <= tree.value + 1e-9).all(), "never better than what is known to hold"
    again = hold_link(context, replace(rig, trap=replace(rig.trap, trap_id="another")))
    assert (again.value == drag.value).all(), "the same not-knowing for every rig"


def test_what_is_not_known_of_the_water_keeps_the_gate_open(job):
    context, rig = at(job, "dam")

    def gate(place, tried):
        outcome = evaluate(place, tried, job.person).outcome
        return next(g for g in gates(place, tried, outcome) if g.name == "submersion")

    assert gate(context, rig).answer is Answer.MEETS
    loose = replace(rig, slide=replace(rig.slide, deep_anchor=None))
    for place, tried in ((under(context, level=None), rig), (context, loose)):
        assert gate(place, tried).answer is Answer.CANNOT_TELL and gate(place, tried).question is not None


def test_jaws_and_teeth_that_are_not_stated_are_asked_for(job):
    context, rig = at(job, "gate")
    unsaid = replace(rig, trap=replace(rig.trap, jaws=None, toothed=None))
    found = evaluate(context, unsaid, job.person)
    for name in ("jaws on land", "teeth"):
        gate = next(gate for gate in found.gates if gate.name == name)
        assert gate.answer is Answer.CANNOT_TELL and gate.question is not None
    facts = facts_of(context, unsaid, traps_out=None, tag_name=None).values
    names = ("offset", "laminated", "padded", "double_jawed", "toothed", "jaw_gap_closed", "jaw_face_width")
    assert all(facts[name].value is None for name in names)
    measured = replace(unsaid, trap=replace(unsaid.trap, measured=("offset_gap",)))
    gap = float(unsaid.trap.dimensions.offset_gap)
    assert facts_of(context, measured, traps_out=None, tag_name=None).values["offset"].value is (gap > 0)
    looked = moved(context, sign={"red_fox": "fresh", "dog_medium": "none", "house_cat": "none"})
    gate = next(g for g in evaluate(looked, unsaid, job.person).gates if g.name == "jaws on land")
    assert gate.answer is Answer.MEETS, "where no pet runs the kind of jaws decides nothing"
