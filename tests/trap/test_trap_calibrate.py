"""Posterior of one trap: what its readings change, which disagree, which figures stand by themselves."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from calibrate_cases import CALIPERS, DOWEL, bench_plan, one_trap, read_off, unknowns, usual_trap

from setwright.basis.errors import OutOfRange
from setwright.basis.spread import Z95
from setwright.trap import tables
from setwright.trap.calibrate import (
    ABSOLUTE,
    COMPARATIVE,
    OUTPUTS,
    calibrate,
    changes_of,
    missing_kinds,
    standing_of,
    weighted_points,
)
from setwright.trap.closing import close
from setwright.trap.fit import fit, jacobian
from setwright.trap.forward import misfits
from setwright.trap.holding import clamp
from setwright.trap.model import Floats
from setwright.trap.next_reading import MOST_FORCE, RANKED, next_readings, outputs_of
from setwright.trap.posterior import posterior_of, settled_scores
from setwright.trap.readings import AT_LEAST, Reading
from setwright.trap.unknowns import Design, design_of, unknowns_of

KEYS = ("coil-3", "long-1")


def _normals(size: int, n: int = 800, seed: int = 9) -> Floats:
    return np.random.default_rng(seed).standard_normal((n, size))


def _times(design: Design) -> Floats:
    return np.asarray(close(design.trap, friction=design.friction, nodes=25).time * design.time_factor)


def _misfits_of(key: str, readings: list[Reading]) -> Callable[[Floats], Floats]:
    return lambda scores: misfits(design_of(unknowns(key), scores), readings)


def _sharp(reading: Reading, by: float) -> Reading:
    return replace(reading, sd=reading.sd / by)


@pytest.mark.parametrize("key", KEYS)
def test_without_readings_the_draws_are_the_prior(key: str) -> None:
    found = calibrate(tables.dimensions(key), tables.priors(key))
    z = _normals(found.posterior.size)
    assert np.array_equal(found.posterior.scores(z), z)
    assert found.posterior.draw(z).trap.height.shape == (800,)
    assert all(change.removed == 0.0 for change in found.changes)
    for change, one in zip(found.changes, found.posterior.unknowns.free, strict=True):
        assert change.before == (one.middle, one.low, one.high)
        assert change.after[0] == pytest.approx(one.middle)
    assert set(found.missing) == set(missing_kinds((), tables.dimensions(key).family))
    assert set(found.standing.values()) == {COMPARATIVE}
    assert found.remarks and not found.conflicts


@pytest.mark.parametrize("key", KEYS)
def test_order_of_readings_does_not_matter(key: str) -> None:
    rng = np.random.default_rng(5)
    readings = read_off(one_trap(key, rng)[1], bench_plan(key), rng)
    first = posterior_of(unknowns(key), readings, draws=300)
    second = posterior_of(unknowns(key), readings[::-1], draws=300)
    assert np.array_equal(first.law.mode, second.law.mode)
    z = _normals(first.size, 200)
    assert np.array_equal(first.scores(z), second.scores(z))
    assert np.array_equal(first.scores(z), first.scores(z)), "and the same question has the same answer"


@pytest.mark.parametrize("key", KEYS)
def test_a_reading_never_widens_what_is_known(key: str) -> None:
    """Readings as the most probable trap would show them, one after the other."""
    plan = list(bench_plan(key))
    readings = read_off(usual_trap(key), tuple(plan), None)
    before = np.eye(unknowns(key).size)
    for count in range(1, len(readings) + 1):
        after = posterior_of(unknowns(key), readings[:count], draws=50).law.covariance
        assert np.linalg.eigvalsh(before - after).min() > -1e-6, readings[count - 1].label
        before = after


@pytest.mark.parametrize("key", KEYS)
def test_truth_is_found_as_errors_shrink(key: str) -> None:
    rng = np.random.default_rng(21)
    _, truth = one_trap(key, rng)
    plan = tuple(one for one in bench_plan(key) if one.kind not in ("opening_force", "empty_lever_angle"))
    far = []
    for sharper in (1.0, 10.0, 100.0):
        readings = read_off(truth, plan, np.random.default_rng(3), sharper=sharper)
        law = fit(_misfits_of(key, readings), unknowns(key).size)
        design = design_of(unknowns(key), law.mode[None])
        off = {
            "time": float(_times(design)[0] / _times(truth)[0] - 1.0),
            "spread": float(design.spread[0] / truth.spread[0] - 1.0),
            "jaw mass": float(design.jaw_mass[0] / truth.jaw_mass[0] - 1.0),
            "pan": float(design.trip_force[0] / truth.trip_force[0] - 1.0),
        }
        far.append(max(abs(value) for value in off.values()))
    assert far[2] < 0.004 and far[2] < 0.2 * far[0]


def test_a_bolder_scale_gives_a_narrower_band() -> None:
    readings = read_off(usual_trap("coil-3"), bench_plan("coil-3"), None)
    plain = posterior_of(unknowns("coil-3"), readings, draws=50).law.covariance
    sharp = posterior_of(unknowns("coil-3"), [_sharp(one, 2.0) for one in readings], draws=50).law.covariance
    assert (np.diag(sharp) <= np.diag(plain) + 1e-9).all()
    name = unknowns("coil-3").names.index("spread")
    assert np.sqrt(plain[name, name] / sharp[name, name]) == pytest.approx(2.0, rel=0.1), "read almost alone"


@pytest.mark.parametrize("key", KEYS)
def test_normal_law_and_weights_agree_where_readings_are_nearly_straight(key: str) -> None:
    rng = np.random.default_rng(12)
    _, truth = one_trap(key, rng)
    plan = tuple(one for one in bench_plan(key) if one.kind in CALIPERS)
    found = posterior_of(unknowns(key), read_off(truth, plan, rng), draws=4000)
    scores, weights = settled_scores(found)
    mean = weights @ scores
    sd = np.sqrt(weights @ (scores - mean) ** 2)
    law_sd = np.sqrt(np.diag(found.law.covariance))
    assert found.checked.effective > 0.6
    assert np.abs((mean - found.law.mode) / law_sd).max() < 0.15
    assert sd == pytest.approx(law_sd, rel=0.1)


def test_two_traps_share_their_draws() -> None:
    """One trap and the same trap with a stronger rate: nearly every pair keeps its order."""
    readings = read_off(usual_trap("coil-3"), bench_plan("coil-3"), None)
    other = [replace(one, value=1.05 * one.value) if one.kind == "lever_force" else one for one in readings]
    z = _normals(unknowns("coil-3").size, 500)
    rates = [posterior_of(unknowns("coil-3"), some).draw(z).trap.spring_rate for some in (readings, other)]
    assert np.corrcoef(rates)[0, 1] > 0.6
    assert float(np.std(rates[1] - rates[0])) < float(np.std(rates[0]))


def test_two_readings_that_disagree_are_named() -> None:
    readings = read_off(usual_trap("coil-3"), bench_plan("coil-3"), None)
    calm = calibrate(tables.dimensions("coil-3"), tables.priors("coil-3"), readings)
    assert not calm.conflicts and not any(one.flagged for one in calm.residuals)
    wrong = [replace(one, value=one.value + 0.008) if one.kind == "jaw_height" else one for one in readings]
    found = calibrate(tables.dimensions("coil-3"), tables.priors("coil-3"), wrong)
    worst = found.conflicts[0]
    assert {worst.first.kind, worst.second.kind} == {"spread", "jaw_height"}
    assert worst.score > 3.0
    assert {one.reading.kind for one in found.residuals if one.flagged} >= {"spread", "jaw_height"}
    assert any("disagree" in remark for remark in found.remarks)


def test_how_far_two_readings_of_one_length_stand_apart() -> None:
    """One length read twice, 4 mm apart: prior and first reading foretell the second (normal laws, closed form)."""
    sd, prior = 0.0007, 0.05 * 0.1524 / Z95
    twice = [Reading("spread", value, sd) for value in (0.1524, 0.1564)]
    found = calibrate(tables.dimensions("coil-3"), tables.priors("coil-3"), twice)
    kept = 1.0 / (1.0 / prior**2 + 1.0 / sd**2)
    expected = 0.004 / np.sqrt(kept + sd**2)
    assert abs(found.residuals[1].alone) == pytest.approx(expected, rel=0.03)
    assert found.conflicts[0].score == pytest.approx(expected, rel=0.1)


def test_a_reading_that_no_trap_of_the_pattern_shows_is_flagged() -> None:
    wrong = Reading("spread", 0.25, 0.0007)
    found = calibrate(tables.dimensions("coil-3"), tables.priors("coil-3"), [wrong])
    assert found.residuals[0].flagged and abs(found.residuals[0].alone) > 10.0


def test_a_trap_that_did_not_open_is_known_to_lock_more_often() -> None:
    key = "long-2"
    held = Reading("opening_force", 400.0, 30.0, AT_LEAST, dowel=DOWEL)
    z = _normals(unknowns(key).size, 2000)
    before, after = (posterior_of(unknowns(key), some).draw(z) for some in ((), (held,)))
    shares = [
        float(np.mean(clamp(one.trap, friction=one.friction, limb=DOWEL).locked)) for one in (before, after)
    ]  # fmt: skip
    held_before = clamp(before.trap, friction=before.friction, limb=DOWEL).opening_force > 400.0
    assert shares[1] == pytest.approx(shares[0] / float(np.mean(held_before)), rel=0.15), "Bayes' rule on one fact"
    assert shares[1] > 1.1 * shares[0]
    forces = clamp(after.trap, friction=after.friction, limb=DOWEL).opening_force
    assert float(np.mean(forces > 340.0)) > 0.93


def test_standing_of_every_output() -> None:
    assert set(standing_of(())) == set(OUTPUTS)
    rules = {
        "closing_time": ({"closing_time"},),
        "closing_force": ({"opening_force", "lever_force"}, {"creep_force", "lever_force"}),
        "opening_force": ({"opening_force", "lever_force"},),
        "dog_force": ({"lever_force", "eye_opening", "spread outside"}, {"lever_force", "eye_opening", "jaw_height"}),
        "trip_force": ({"pan_pull"},),
    }
    for output, groups in rules.items():
        for kinds in groups:
            assert standing_of(kinds)[output] == ABSOLUTE
            for left_out in kinds:
                assert standing_of(kinds - {left_out})[output] == COMPARATIVE, f"{output} without {left_out}"


def test_a_bound_makes_nothing_absolute() -> None:
    readings = read_off(usual_trap("long-2"), bench_plan("long-2"), None)
    assert any(one.bound for one in readings)
    found = calibrate(tables.dimensions("long-2"), tables.priors("long-2"), readings, draws=100)
    assert found.standing["opening_force"] == COMPARATIVE and found.standing["closing_time"] == ABSOLUTE


def test_what_was_not_read_is_listed() -> None:
    left = missing_kinds({"spread outside", "lever_force"}, "coil")
    assert "spread" not in left and "lever_force" not in left, "one way of reading the spread is enough"
    assert "opening_force" in left and "wire_diameter" in left and "leaf_lift" not in left


@pytest.mark.parametrize("key", KEYS)
def test_next_reading_keeps_its_promise(key: str) -> None:
    """What is foretold of a reading is what its own calibration gives, when it shows what was expected."""
    readings = read_off(usual_trap(key), tuple(one for one in bench_plan(key) if one.kind in CALIPERS), None)
    now = posterior_of(unknowns(key), readings, draws=50)
    ranked = next_readings(now, tables.reading_errors(), limb=DOWEL)
    assert [one.score for one in ranked] == sorted((one.score for one in ranked), reverse=True)
    assert all(0.0 <= share <= 1.0 for one in ranked for share in one.removed.values())
    assert not {one.reading.kind for one in ranked} & set(CALIPERS)
    best = ranked[0]
    assert best.reading.kind in ("lever_force", "closing_time"), "the spring or the time itself"
    then = posterior_of(unknowns(key), [*readings, best.reading], draws=2000)
    scores, weights = settled_scores(then)
    design = design_of(then.unknowns, scores)
    values = outputs_of(design, limb=DOWEL)[:, RANKED.index("closing_time")]
    sd = np.sqrt(weights @ (values - weights @ values) ** 2)
    assert sd == pytest.approx(best.remaining["closing_time"], rel=0.15)


@pytest.mark.parametrize("key", KEYS)
def test_what_remains_is_what_the_next_fit_leaves(key: str) -> None:
    """On the straight line, for readings that tell much and little: a second fit with the reading as expected."""
    now = posterior_of(unknowns(key), (), draws=50)
    for one in next_readings(now, tables.reading_errors(), limb=DOWEL)[::4]:
        then = posterior_of(unknowns(key), [one.reading], draws=50).law
        slopes = jacobian(lambda u: outputs_of(design_of(unknowns(key), u), limb=DOWEL), then.mode)
        left = np.sqrt(np.einsum("ij,jk,ik->i", slopes, then.covariance, slopes))
        assert left == pytest.approx([one.remaining[name] for name in RANKED], rel=0.005), one.reading.label


def test_next_reading_without_any_yet() -> None:
    now = posterior_of(unknowns("long-2"), (), draws=50)
    ranked = next_readings(now, tables.reading_errors())
    force = {"lever_force", "opening_force", "creep_force"}
    assert all(one.reading.value <= MOST_FORCE for one in ranked if one.reading.kind in force)
    assert "opening_force" not in {one.reading.kind for one in ranked}, "nobody pulls a No. 2 open on a dowel"
    by_label = {one.reading.label: one for one in ranked}
    slow, fast = (by_label[f"closing_time (frame_rate {rate})"] for rate in (240, 1000))
    assert fast.remaining["closing_time"] < slow.remaining["closing_time"]
    assert by_label["mass"].score < 0.02 < fast.score, "the whole mass tells next to nothing"
    assert next_readings(now, tables.reading_errors(), candidates=()) == ()


def test_weighted_points() -> None:
    values = np.linspace(-4.0, 4.0, 4001)
    weights = np.exp(-0.5 * values**2)
    found = weighted_points(values[::-1], weights / weights.sum())
    assert found == pytest.approx([0.0, -Z95, Z95], abs=0.005)


def test_changes_are_those_of_the_readings() -> None:
    reading = Reading("leg_thickness", 0.0052, 0.0001)
    found = {one.name: one for one in changes_of(posterior_of(unknowns("coil-3"), [reading], draws=3000))}
    leg = found["leg_thickness"]
    assert leg.after[0] == pytest.approx(0.0052, abs=0.00004)
    assert leg.after[2] - leg.after[1] == pytest.approx(2.0 * Z95 * 0.0001, rel=0.1)
    assert leg.removed > 0.85
    assert abs(found["wire_diameter"].removed) < 0.1, "the leg tells nothing of the wire"


def test_a_missing_prior_is_named() -> None:
    priors = tables.priors("coil-3")
    del priors["friction"]
    with pytest.raises(OutOfRange, match="friction"):
        unknowns_of(tables.dimensions("coil-3"), priors)
    with pytest.raises(OutOfRange):
        posterior_of(unknowns("coil-3"), ()).draw(np.zeros((4, 3)))
