"""What was seen moves the chain: visits, feet on the pan, notes on pans, ages, records of designs, strides, crust."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.animal import tables as animal_tables
from setwright.animal.ages import mix_classes
from setwright.animal.contacts import MODEL_WEIGHT
from setwright.animal.curve import AFLOAT
from setwright.animal.injury import Findings
from setwright.animal.notes import field_notes
from setwright.animal.probit import update
from setwright.animal.welfare import PublishedTest
from setwright.basis.source import Quantity, unknown
from setwright.basis.tables import DATA
from setwright.basis.verdict import Answer, Standing
from setwright.desk.plan import read_job
from setwright.sets.context import Kept, SiteRecord
from setwright.sets.evaluate import evaluate
from setwright.sets.fire import GRID, HIND, NO_DEPTH, at_force, crusted_chances, fire_table, notes_effect, tread_of
from setwright.sets.record import RECORD, RigRecord
from setwright.sets.step import gait_of, step_link
from setwright.sets.visit import visit_link

LBF = 4.4482216152605


@pytest.fixture(scope="module")
def job():
    return read_job(DATA / "demo" / "line-book.yaml", draws=400)


def at(job, key):
    return job.contexts[key], job.stated[key]


def fresh(context, **changes):
    return replace(context, kept=Kept(), line_kept=Kept(), **changes)


def seen(context, **record):
    return fresh(context, records={context.target.key: SiteRecord(**record)})


def test_feet_seen_on_the_pan_outweigh_the_model_as_they_are_counted(job):
    context, rig = at(job, "ridge")
    model = float(np.mean(step_link(context, rig.trap).value))
    for visits, contacts in ((4, 3), (40, 30), (400, 300), (40, 0)):
        value = step_link(seen(context, visits=visits, contacts=contacts), rig.trap).value
        wanted = (MODEL_WEIGHT * model + contacts) / (MODEL_WEIGHT + visits)
        assert float(np.mean(value)) == pytest.approx(wanted, rel=0.01), (visits, contacts)
    few, many = (step_link(seen(context, visits=n, contacts=n // 2), rig.trap).value for n in (10, 1000))
    assert np.std(many) < 0.2 * np.std(few)


def test_a_record_without_feet_or_of_another_animal_leaves_the_step_alone(job):
    context, rig = at(job, "ridge")
    before = step_link(context, rig.trap).value
    assert np.array_equal(step_link(seen(context, visits=9, nights=20.0), rig.trap).value, before)
    other = fresh(context, records={"raccoon": SiteRecord(9, 9, 20.0)})
    assert np.array_equal(step_link(other, rig.trap).value, before)


def test_visits_in_nights_become_the_rate(job):
    context, _ = at(job, "ridge")
    prior = visit_link(context).value
    for visits, nights in ((2, 20.0), (10, 20.0), (400, 200.0), (0, 60.0)):
        found = visit_link(seen(context, visits=visits, nights=nights))
        mean, variance = float(np.mean(prior)), float(np.var(prior))
        wanted = (mean**2 / variance + visits) / (mean / variance + nights)
        assert float(np.mean(found.value)) == pytest.approx(wanted, rel=0.01), (visits, nights)
        assert "visits of" in found.checks[0].why.template
    assert np.std(visit_link(seen(context, visits=400, nights=200.0)).value) < 0.2
    assert np.array_equal(visit_link(seen(context, visits=9, contacts=3)).value, prior), "without nights no rate"


def notes(fired, of, species="coyote_west", force=4.0 * LBF):
    kind = animal_tables.record(species)
    return update(
        field_notes(kind.mass.number, kind.mass_cv.number, kind.share.number, kind.share_sd.number, force, fired, of)
    )


def test_notes_on_pans_move_every_animal_of_the_line_one_way(job):
    context, rig = at(job, "ridge")
    force = np.full(context.n, 4.0 * LBF)
    medians = {}
    for name, fired in (("seldom", 5), ("often", 38)):
        moved = fresh(context, posterior=notes(fired, 40))
        medians[name] = {
            key: float(np.median(at_force(fire_table(moved, species), force)))
            for key, species in context.species.items()
        }
    assert all(medians["seldom"][key] <= medians["often"][key] + 1e-9 for key in context.species)
    target = context.target.key
    assert medians["seldom"][target] < medians["often"][target] - 0.3
    before, after = notes_effect(fresh(context, posterior=notes(5, 40)), rig.trap)
    assert float(np.median(after)) < float(np.median(before)) - 0.2
    assert notes_effect(context, rig.trap) is None


def test_the_law_of_the_notes_without_notes_is_near_the_calibrated_one(job):
    context, rig = at(job, "ridge")
    force = np.full(context.n, 4.0 * LBF)
    plain = float(np.median(at_force(fire_table(context, context.target), force)))
    prior = fresh(context, posterior=update())
    assert float(np.median(at_force(fire_table(prior, context.target), force))) == pytest.approx(plain, abs=0.04)
    before, after = notes_effect(prior, rig.trap)
    assert np.allclose(before, after)


def test_no_one_has_tried_it_in_water_so_notes_leave_more_doubt_there(job):
    land, _ = at(job, "ridge")
    water, _ = at(job, "dam")
    posterior = notes(36, 40)

    def width(context):
        table = fire_table(fresh(context, posterior=posterior), animal_tables.record("dog_small"))
        low, high = np.quantile(table, (0.05, 0.95), axis=0)
        return float(np.max(high - low))

    assert tread_of(water).kind == "water" and width(water) > 1.3 * width(land)


def test_young_of_the_year_fire_a_stiff_pan_less_often(job):
    context, _ = at(job, "ridge")
    key = context.target.key
    classes = animal_tables.age_classes(key)
    adult, young = ([one.key for one in classes if one.age == age and one.mass.known] for age in ("adult", "young"))
    assert adult and young
    force = np.full(context.n, 6.0 * LBF)

    def fires(shares):
        mix = mix_classes(classes, shares, context.target.mass.number, context.target.mass_cv.number)
        place = fresh(context, mixes={key: mix})
        return float(np.median(at_force(fire_table(place, context.target), force)))

    old, mixed, small = fires({adult[0]: 1}), fires({adult[0]: 1, young[0]: 1}), fires({young[0]: 1})
    adults = next(one for one in classes if one.key == adult[0])
    like = replace(context.target, mass=adults.mass, mass_cv=adults.mass_cv)
    alone = fresh(context, species={key: like})
    scaled = np.median(alone.mass(like)) / np.median(fresh(context).mass(context.target))
    assert scaled == pytest.approx(adults.mass.number / context.target.mass.number, rel=0.01)
    assert old == pytest.approx(float(np.median(at_force(fire_table(alone, like), force))), abs=0.003)
    assert small < mixed < old
    assert mixed == pytest.approx(0.5 * (small + old), abs=0.03)


def test_the_tread_goes_by_the_kind_of_set(job):
    kinds = {key: tread_of(context).kind for key, context in job.contexts.items()}
    assert kinds["ridge"] == "worked" and kinds["trail"] == "trail" and kinds["dam"] == "water"
    context, _ = at(job, "trail")
    step_down = fresh(context, site=replace(context.site, set_type="step-down"))
    assert tread_of(context).gait.number == 1.5 and tread_of(step_down).gait.number == 1.2
    force = np.full(context.n, 4.0 * LBF)
    fox = animal_tables.record("red_fox")
    trail, worked = (
        float(np.median(at_force(fire_table(place, fox), force))) for place in (context, job.contexts["ridge"])
    )
    assert trail > worked + 0.1


def test_an_animal_without_weight_on_its_feet_has_a_reason_and_no_table(job):
    context, rig = at(job, "channel")
    found = evaluate(context, rig, job.person).links[2]
    assert found.reasons[context.target.key] in (HIND, AFLOAT, NO_DEPTH)
    ridge, land = at(job, "ridge")
    assert not evaluate(ridge, land, job.person).links[2].reasons
    dry = fresh(context, site=replace(context.site, foot="fore", water=None))
    assert set(evaluate(dry, rig, job.person).links[2].reasons.values()) == {NO_DEPTH}


def test_a_crust_adds_to_the_trip_force(job):
    context, rig = at(job, "ridge")
    crust = np.tile([0.0, 5.0, 20.0, 100.0, 2000.0], (context.n, 1))
    for key, ratio in crusted_chances(context, rig.trap, crust).items():
        assert np.allclose(ratio[:, 0], 1.0), key
        assert (np.diff(ratio, axis=1) <= 1e-9).all(), key
        if animal_tables.record(key).mass.number < 80:
            assert ratio[:, -1].max() < 1e-3, key


def test_the_grid_of_forces_is_fine_enough(job):
    context, _ = at(job, "ridge")
    table = fire_table(context, context.target)
    assert (np.diff(table, axis=1) <= 1e-9).all() and (table[:, -1] < 1e-6).all()
    middle = np.full(context.n, float(np.sqrt(GRID[10] * GRID[12])))
    assert np.allclose(at_force(table, middle), table[:, 11], atol=1e-9)


def test_animals_pass_a_trail_in_their_usual_gait_and_wade_at_a_walk(job):
    trail, _ = at(job, "trail")
    dam, _ = at(job, "dam")
    assert gait_of(trail, animal_tables.record("coyote_west")).word == "trot"
    assert gait_of(dam, animal_tables.record("river_otter")).word == "walk"
    assert gait_of(trail, animal_tables.record("wolf")).word == "walk", "no stride of its trot is known"


def test_a_stride_that_nobody_knows_is_a_question_on_a_trail(job):
    context, rig = at(job, "trail")
    target = replace(context.target, key="own", step=unknown("m", "measure its step"))
    place = fresh(context, site=replace(context.site, target="own"), species={"own": target})
    check = step_link(place, rig.trap).checks[0]
    assert check.standing is Standing.CANNOT_TELL and "stride" in check.question.template
    stated = replace(target, step=Quantity(0.4, "m", target.mass.source))
    known = fresh(place, species={"own": stated})
    assert step_link(known, rig.trap).checks[0].standing is not Standing.CANNOT_TELL


def test_records_of_a_design_reach_the_gates_and_the_facts(job):
    context, rig = at(job, "ridge")
    plain = evaluate(context, rig, job.person)
    assert RECORD not in {gate.name for gate in plain.gates}
    cited = PublishedTest(
        document="an invented report", place="table 1", criterion="aihts-restraining", figure=0.55, animals=40,
        same_design=True,
    )  # fmt: skip
    against = RigRecord(tests=(cited,))
    found = evaluate(fresh(context, rig_records={rig.trap.pattern: against}), rig, job.person)
    assert {gate.name: gate.answer for gate in found.gates}[RECORD] is Answer.BREAKS
    own = RigRecord(findings=tuple(Findings(()) for _ in range(3)))
    some = evaluate(fresh(context, rig_records={rig.trap.pattern: own}), rig, job.person)
    assert RECORD not in {gate.name for gate in some.gates}, "three animals bind nothing"
    facts = {fact.key: fact for fact in some.facts}
    assert facts["record"].size.startswith("3 animals")
