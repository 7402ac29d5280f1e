"""Anchor, tackle, bed and frost in the chain: what holds, what cannot be told, and which mend is none."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import DATA
from setwright.basis.verdict import Standing
from setwright.desk.plan import read_job
from setwright.desk.wording import render
from setwright.ground import tables as ground_tables
from setwright.sets.advise import advise
from setwright.sets.bed import bed_of
from setwright.sets.context import Kept
from setwright.sets.cures import hold_cures, lost
from setwright.sets.evaluate import evaluate
from setwright.sets.frozen import CRUST, JAW_BOND, SPRING_BOND
from setwright.sets.hold import hold_link
from setwright.sets.lunged import pull
from setwright.sets.model import AnchorRig, Bedding, Board, Shock, Soil
from setwright.sets.order import WET_UNDER, frost_share, frozen_in
from setwright.sets.seat import seat_of
from setwright.sets.steady import steady_check
from setwright.sets.strength import strengths
from setwright.weather import tables as weather_tables

INF = float("inf")
READ = Source(Kind.MEASURED, "test")
TBAR = AnchorRig("t", "stake", "24 in T-bar", length=0.61, width=0.025, perimeter=0.085, yield_moment=400.0)
PLATE = AnchorRig("p", "plate", "cable plate", length=0.46, plate_width=0.025, plate_length=0.064)
PROPERTY = settings(max_examples=15, deadline=None)


@pytest.fixture(scope="module")
def job():
    return read_job(DATA / "demo" / "line-book.yaml", draws=200)


def at(job, key, *soils, **site):
    context = job.contexts[key]
    given = {**({"soils": soils} if soils else {}), **site}
    return replace(context, site=replace(context.site, **given), kept=Kept()), job.stated[key]


def middle(values):
    return float(np.median(values))


def holds(job, anchor, *soils, **site):
    context, rig = at(job, "ridge", *soils, **site)
    return middle(strengths(context, replace(rig, anchor=anchor)).anchor)


def test_a_stake_in_loam_is_the_worked_answer_within_its_draws(job):
    # Worked by hand: 929 N at 15 degrees with 0.6 left and 1.3 for the jerk; here the chain gives 19 degrees.
    assert holds(job, TBAR, Soil("loam", INF)) == pytest.approx(880.0, rel=0.08)


def test_moisture_layers_and_depth_reach_the_chain(job):
    moist, soaked, dry = (holds(job, TBAR, Soil("loam", INF, moisture=wet)) for wet in ("moist", "soaked", "dry"))
    assert soaked < 0.7 * moist and dry > 1.4 * moist
    muck, through = (
        holds(job, replace(PLATE, driven=deep), Soil("muck", 0.5), Soil("stiff-clay", INF)) for deep in (0.4, 0.9)
    )
    assert through > 8.0 * muck, "driven through to the clay"
    bent = holds(job, replace(TBAR, yield_moment=20.0), Soil("stiff-clay", INF))
    assert bent < 0.7 * holds(job, TBAR, Soil("stiff-clay", INF))
    context, rig = at(job, "ridge", Soil("stiff-clay", INF))
    thin = strengths(context, replace(rig, anchor=replace(TBAR, yield_moment=20.0)))
    assert thin.held.governs == "bends" and "stiffer section" in render(thin.held.mend)


def test_a_head_that_leans_away_holds_more_and_a_dead_tree_nothing(job):
    away, upright, towards = (holds(job, replace(TBAR, lean=lean), Soil("loam", INF)) for lean in (0.26, 0.0, -0.26))
    assert away > upright > towards
    for kind in ("tree", "root", "sapling"):
        wood = AnchorRig("w", kind, kind, diameter=0.05)
        assert holds(job, wood) > 500.0 and holds(job, replace(wood, dead=True)) == 0.0
    # Worked by hand: 50 mm of green wood tied at 0.2 m snaps at 2.5 to 3.7 kN (bending strength from memory).
    assert 2.5e3 < holds(job, AnchorRig("w", "sapling", "sapling", diameter=0.05)) < 3.7e3


def test_ground_that_nobody_could_name_asks_for_the_test_that_settles_it(job):
    context, rig = at(job, "ridge", Soil("", INF, settles="ribbon"))
    found = next(check for check in hold_link(context, rig).checks if check.name == "anchor")
    untried = replace(rig, anchor=replace(rig.anchor, proof=None))
    asked = next(check for check in hold_link(context, untried).checks if check.name == "anchor")
    assert found.standing is not Standing.CANNOT_TELL, "the proof pull alone tells"
    assert asked.standing is Standing.CANNOT_TELL and "ribbon" in render(asked.question)
    deep, _ = at(job, "ridge", Soil("loam", 2.0), Soil("", INF, settles="thumb"))
    below = next(check for check in hold_link(deep, untried).checks if check.name == "anchor")
    assert below.standing is not Standing.CANNOT_TELL, "what the stake does not reach is not asked for"


def test_a_drag_is_a_distance_and_never_a_strength(job):
    context, rig = at(job, "knoll", snags=Quantity(20.0, "m", READ))
    found = strengths(context, replace(rig, anchor=replace(rig.anchor, mass=2.0)))
    assert np.isnan(found.anchor).all() and found.held.governs == "travels"
    said = render(found.held.why)
    assert "moves at 2.6 lbf" in said and "45 ft" in said and "197 ft" in said, said
    dug, _ = at(job, "knoll", Soil("loam", INF), snags=Quantity(20.0, "m", READ))
    hooked = strengths(dug, replace(rig, anchor=replace(rig.anchor, mass=2.0, prongs=0.05)))
    assert "moves at 2.6 lbf" not in render(hooked.held.why), "a prong ploughs"
    untold, _ = at(job, "knoll")
    assert "pace out" in render(strengths(untold, rig).held.question)


@PROPERTY
@given(pulled=st.floats(100.0, 3000.0), harder=st.floats(1.0, 3.0), degrees=st.floats(0.0, 90.0))
def test_a_harder_proof_is_never_worth_less(job, pulled, harder, degrees):
    context, rig = at(job, "gate")

    def proved(force):
        angle = Quantity(np.radians(degrees), "rad", READ)
        anchor = replace(rig.anchor, proof=Quantity(force, "N", READ), proof_angle=angle)
        return strengths(context, replace(rig, anchor=anchor)).anchor

    assert (proved(harder * pulled) >= proved(pulled) * (1.0 - 1e-4)).all()


def test_a_straight_proof_is_worth_more_against_a_low_lunge_than_a_side_one(job):
    context, rig = at(job, "gate")

    def proved(degrees):
        angle = Quantity(np.radians(degrees), "rad", READ)
        anchor = replace(rig.anchor, proof=Quantity(600.0, "N", READ), proof_angle=angle)
        return middle(strengths(context, replace(rig, anchor=anchor)).anchor)

    assert proved(90.0) > 1.3 * proved(0.0)


def test_a_shock_spring_spares_the_anchor_until_it_is_solid(job):
    context, rig = at(job, "ridge")
    stiff = np.full(context.n, 1e5)

    def drawn(spring):
        return middle(
            pull(context, replace(rig, chain=replace(rig.chain, shock_spring=spring)), context.target, stiff)
        )

    long, short = (Shock(Quantity(5e3, "N/m", READ), Quantity(stroke, "m", READ)) for stroke in (0.2, 0.002))
    assert drawn(long) < 0.9 * drawn(False) and drawn(short) == pytest.approx(drawn(False), rel=0.05)
    assert drawn(long) <= drawn(True) < drawn(False)


def test_tackle_names_its_weakest_part_and_the_reading_of_the_unrated(job):
    context, rig = at(job, "ridge")

    def found(**changed):
        return strengths(context, replace(rig, chain=replace(rig.chain, **changed)))

    hooked = found(parts=("machine-2", "s-hook-4.8"), tested=())
    assert "S-hook" in hooked.parts.weakest
    whole, worn = found(tested=(("swivel", (9e3,)),)), found(tested=(("swivel", (9e3,)),), worn=0.6)
    assert middle(worn.tackle) == pytest.approx(0.36 * middle(whole.tackle), rel=0.1)
    rusty = found(parts=("machine-2",), tested=(), rusted=(("splash", 6.0),))
    assert middle(rusty.tackle) < 0.75 * middle(found(parts=("machine-2",), tested=()).tackle)
    proved = found(parts=("machine-2",), tested=(), proved=(("machine-2", 5.5e3),))
    assert np.quantile(proved.tackle, 0.05) > np.quantile(found(parts=("machine-2",), tested=()).tackle, 0.05)
    unrated = found(parts=("machine-2", "d-ring", "j-hook"), tested=())
    assert unrated.tackle_question is not None and "D-ring, J-hook: bench-pull three" in render(
        unrated.tackle_question
    )


def test_a_rod_wants_a_longer_chain_than_a_plate_and_both_are_shown(job):
    context, rig = at(job, "gate", Soil("loam", INF))
    rod = dict(hold_cures(context, replace(rig, anchor=TBAR)).lengths)
    plate = dict(hold_cures(context, replace(rig, anchor=replace(PLATE, driven=0.76))).lengths)
    best = {name: min(found, key=found.get) for name, found in (("rod", rod), ("plate", plate))}
    assert best["rod"] > best["plate"], "a short chain draws a rod upwards"
    assert rod[min(rod)] > min(rod.values()) + 0.005
    losses = list(plate.values())
    assert all(one <= two + 1e-6 for one, two in itertools.pairwise(losses)), "a plate only wants it short"


def test_mends_are_in_the_order_of_what_is_lost_and_never_worse(job):
    for key in ("gate", "sand", "channel", "post"):
        context, rig = at(job, key)
        found = hold_cures(context, rig)
        losses = [one.loss for one in found.mends]
        assert losses == sorted(losses, key=lambda loss: round(loss, 3)) and found.mends
        assert all(loss < found.loss[0] for loss in losses)
        assert all(one.work > 0.0 for one in found.mends)
    words = [render(one.words) for one in hold_cures(*at(job, "channel")).mends]
    assert any("tree" in said and "quick link" in said for said in words), "the weaker does not hide the other"
    assert np.isnan(lost(*at(job, "knoll"))).all()


def test_a_proof_to_aim_for_is_only_told_of_what_was_not_proved(job):
    context, rig = at(job, "gate", Soil("loam", INF))
    short = replace(TBAR, length=0.46)
    aim = hold_cures(context, replace(rig, anchor=short)).aim
    assert aim is not None and aim.pull > 0.0 and 0.0 < aim.stands < 1.0
    proved = replace(short, proof=Quantity(aim.pull, "N", READ))
    assert hold_cures(context, replace(rig, anchor=proved)).aim is None
    left = float(np.mean(lost(context, replace(rig, anchor=proved))))
    before = float(np.mean(lost(context, replace(rig, anchor=short))))
    assert left < before


def test_the_seat_knows_boards_meshes_and_what_lies_under_the_muck(job):
    context, rig = at(job, "muck")

    def sunk(rig, *soils):
        place = context if not soils else at(job, "muck", *soils)[0]
        return middle(seat_of(place, rig).sunk)

    bare = sunk(rig)
    board, mesh = (replace(rig, board=Board(0.3, 0.25, solid, stated=True)) for solid in (1.0, 0.12))
    assert sunk(board) == 0.0 < sunk(mesh) < bare
    muck = Soil("muck", 0.01, Quantity(1.6e3, "Pa", READ))
    assert sunk(rig, muck, Soil("stiff-clay", INF)) == pytest.approx(0.01), "it comes to stand on the clay"
    land, coyote = at(job, "ridge", Soil("loam", INF, moisture="soaked"))
    dry, _ = at(job, "ridge", Soil("firm-sand", INF))
    assert middle(seat_of(land, coyote).sunk) > 0.02 > 0.002 > middle(seat_of(dry, coyote).sunk)


def test_the_bed_grows_with_bent_springs_and_frost_slows_the_digging(job):
    context, rig = at(job, "ridge")
    long = replace(rig, trap=job.traps["T-45"])
    straight, bent = bed_of(context, long), bed_of(context, replace(long, bedding=Bedding(springs_bent=0.785)))
    coil = bed_of(context, replace(rig, trap=job.traps["T-01"]))
    assert 1e3 * coil.volume == pytest.approx(2.5, rel=0.03) and 1e3 * straight.volume == pytest.approx(5.5, rel=0.03)
    assert bent.length < straight.length and bent.width > straight.width and bent.volume > straight.volume
    assert 2.0 < middle(straight.time) / middle(coil.time) < 2.5
    frozen = bed_of(at(job, "ridge", frozen_depth=0.05)[0], rig)
    assert middle(frozen.time) > 4.0 * middle(bed_of(context, rig).time)
    clay = bed_of(at(job, "ridge", Soil("stiff-clay", INF))[0], rig)
    assert middle(clay.time) == pytest.approx(middle(bed_of(context, rig).time) * 0.43 / 0.35, rel=1e-6)


def test_four_stones_rock_and_three_do_not(job):
    rig = job.stated["ridge"]
    assert steady_check(rig) is None, "nobody made the test"
    level = tuple((x, y, 0.0) for x in (-0.11, 0.11) for y in (-0.11, 0.11))
    proud = (*level[:3], (0.11, 0.11, 0.006))

    def check(**bedding):
        return steady_check(replace(rig, bedding=Bedding(**bedding)))

    assert check(stones=level).standing is Standing.SOUND and check(steady=True).standing is Standing.SOUND
    rocks = check(stones=proud)
    assert rocks.standing is Standing.FAILS and "pack dirt" in render(rocks.mend)
    assert check(steady=False).standing is Standing.FAILS


def test_what_governs_a_frozen_trap_is_told_and_four_coils_are_not_offered(job):
    context, rig = at(job, "orchard")
    assert rig.trap.family == "coil" and rig.trap.springs == 2
    crusted = frozen_in(context, rig)
    assert crusted.governs == CRUST and crusted.crust > 5.0
    by_name = {one.cure.name: one for one in crusted.cures}
    assert not by_name["four coils in place of two"].offered
    assert by_name["bedded anew in dry dirt, over and under"].offered
    dry_bed = frozen_in(context, replace(rig, bedding=Bedding(base="dry")))
    assert dry_bed.jaw_bond == dry_bed.spring_bond == 0.0
    wet = replace(rig, cover="dry-dirt", bedding=Bedding(base="wet"))
    bonded = frozen_in(context, wet)
    assert bonded.governs in (JAW_BOND, SPRING_BOND), "dry dirt on top of a soaked bed is no cure"
    share, check = frost_share(context, wet)
    assert float(np.median(share)) < float(np.median(frost_share(context, replace(wet, bedding=Bedding()))[0]))
    assert "frozen" in render(check.mend) or "bed" in render(check.mend)


def test_advice_never_offers_more_springs_against_ice(job):
    context, rig = at(job, "orchard")
    result = evaluate(context, rig, job.person)
    offered = advise(context, result, job.options, job.person)
    assert all({change.kind for change in one.changes} != {"springs"} or "frost" not in one.mends for one in offered)
    assert any(change.kind == "cover" for one in offered for change in one.changes)


@pytest.mark.parametrize("key", list(ground_tables.soils()))
def test_every_soil_names_rows_by_which_it_is_dug_and_warmed(key: str) -> None:
    soils, thermal = ground_tables.soils(), weather_tables.thermal()
    assert ground_tables.digging().number(soils.text(key, "digging"), "rate") > 0.0
    row = soils.text(key, "thermal")
    # A bed whose floor is wet takes the wet row of the same ground.
    for name in {row, WET_UNDER.get(row, row)}:
        assert thermal.number(name, "water_volume") > 0.0
