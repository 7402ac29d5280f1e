"""Kinds of anchor, proof pulls where no model helps, gain at a jerk by layer, marks of the soils."""

from __future__ import annotations

import csv
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.errors import BadInput
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import DATA
from setwright.desk.plan import read_job
from setwright.desk.wording import render
from setwright.ground import reliability, stake
from setwright.ground.anchor import KINDS, Anchor, capacity, fine_share
from setwright.ground.soil import Layer
from setwright.sets.context import Kept
from setwright.sets.model import AnchorRig, Soil
from setwright.sets.strength import strengths

NAN, INF = math.nan, math.inf
LOAM = Layer("loam", "undrained", INF, NAN, 36e3, 18e3, NAN)
MUCK = Layer("muck", "undrained", INF, NAN, 4e3, 1.2e3, NAN)
SAND = Layer("firm sand", "drained", INF, np.radians(33.5), NAN, 18e3, np.radians(17.0))
FROZEN = Layer("frozen", "adfreeze", 0.2, NAN, NAN, 19e3, NAN)
TBAR = Anchor("stake", width=0.025, perimeter=0.085, length=0.56, yield_moment=400.0)
CABLE = Anchor("plate", depth=0.6)
RIG = AnchorRig("own", "stake", "T-bar", length=0.56, width=0.025, perimeter=0.085, yield_moment=400.0)
READ = Source(Kind.MEASURED, "test")


@pytest.fixture(scope="module")
def site():
    """Context and rig of one site on land of the invented line."""
    job = read_job(DATA / "demo" / "line-book.yaml", draws=200)
    key = next(key for key, one in job.contexts.items() if one.site.medium == "land" and job.stated[key].anchor)
    return job.contexts[key], job.stated[key]


def held(site, anchor: AnchorRig, *soils: Soil):
    context, rig = site
    moved = replace(context, site=replace(context.site, soils=soils), kept=Kept())
    return moved, strengths(moved, replace(rig, anchor=anchor))


@pytest.mark.parametrize("kind", ["picket", "Stake", ""])
def test_an_unknown_kind_of_anchor_is_refused_and_the_kinds_are_named(kind: str) -> None:
    with pytest.raises(BadInput) as caught:
        capacity(Anchor(kind), [LOAM])
    assert all(one in str(caught.value) for one in KINDS), "the error names every kind that is allowed"


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_answered(kind: str) -> None:
    assert capacity(Anchor(kind, mass=20.0), [LOAM]).governs


@pytest.mark.parametrize("kind", ["stake", "crossed", "plate"])
@pytest.mark.parametrize("ground", [(), (replace(FROZEN, thickness=INF),)])
def test_a_proof_pull_stands_where_no_model_helps(kind: str, ground: tuple[Layer, ...]) -> None:
    proved = capacity(replace(TBAR, kind=kind, proof=800.0), ground, angle=0.2, cyclic=np.full(4, 0.6))
    assert np.all(proved.force == 800.0), "what it held is known though the ground is not"
    assert proved.governs in ("unknown ground", "frozen ground"), "the warning stays"
    assert np.all(np.isnan(capacity(replace(TBAR, kind=kind), ground, angle=0.2).force)), "without it: cannot tell"


def test_a_proof_pull_fills_only_the_draws_that_are_unknown_or_lower() -> None:
    draws = replace(LOAM, cu=np.array([1e3, NAN, 200e3]))
    free = capacity(replace(TBAR, yield_moment=INF), [draws]).force
    proved = capacity(replace(TBAR, yield_moment=INF, proof=800.0), [draws]).force
    assert list(proved[:2]) == [800.0, 800.0]
    assert proved[2] == free[2] > 800.0, "a draw above the proof stays as it was"


def test_a_plate_gains_at_a_jerk_by_the_layer_in_which_it_lies() -> None:
    assert fine_share(CABLE, [replace(SAND, thickness=0.3), LOAM]) == 1.0
    assert fine_share(CABLE, [replace(LOAM, thickness=0.3), SAND]) == 0.0
    assert fine_share(CABLE, [replace(LOAM, thickness=0.55), SAND]) == 1.0, "driven to 0.6 m it turns to 0.504 m"


@given(st.floats(0.05, 0.5))
def test_a_stake_gains_by_the_share_of_its_length_in_fine_soil(top: float) -> None:
    fine = fine_share(TBAR, [replace(LOAM, thickness=top), SAND])
    coarse = fine_share(TBAR, [replace(SAND, thickness=top), LOAM])
    assert fine == pytest.approx(top / 0.56)
    assert fine + coarse == pytest.approx(1.0)
    assert fine_share(TBAR, [replace(FROZEN, thickness=top), LOAM]) == pytest.approx(coarse), "frost gains nothing"


@pytest.mark.parametrize("kind", ["tree", "sapling", "drag", "weight"])
def test_what_no_soil_holds_gains_nothing(kind: str) -> None:
    assert fine_share(Anchor(kind), [LOAM]) == 0.0
    assert fine_share(TBAR, []) == 0.0
    assert fine_share(TBAR, [replace(LOAM, thickness=0.0)]) == 0.0


def side_pull_in_balance(thickness: float, top: float, below: float) -> float:
    """Side pull [N] on the stake of these tests from a balance of forces and moments across two layers of clay."""
    width, length, height = 0.025, 0.56, 0.02
    edges = np.linspace(0.0, length, 8001)
    middle, step = 0.5 * (edges[1:] + edges[:-1]), edges[1] - edges[0]
    push = np.where(middle < 1.5 * width, 0.0, 9.0 * width * np.where(middle < thickness, top, below)) * step
    pushed, turned = (np.concatenate(([0.0], np.cumsum(part))) for part in (push, push * (middle + height)))
    turn = np.interp(0.5 * turned[-1], turned, edges)
    return float(2.0 * np.interp(turn, edges, pushed) - pushed[-1])


@pytest.mark.parametrize("thickness", [0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5])
@pytest.mark.parametrize("firm", [36e3, 72e3])
def test_side_pull_in_two_clays_is_a_balance_of_forces_and_moments(firm: float, thickness: float) -> None:
    stiff = replace(TBAR, yield_moment=INF)
    weak, strong = replace(LOAM, cu=4e3), replace(LOAM, cu=firm)
    # Broms 1964 (UFC 3-220-20, secondary copy) for one clay, by forces and moments on many thin slices.
    assert side_pull_in_balance(1.0, firm, firm) == pytest.approx(float(capacity(stiff, [strong]).force), rel=2e-3)
    crust = float(capacity(stiff, [replace(strong, thickness=thickness), weak]).force)
    assert crust == pytest.approx(side_pull_in_balance(thickness, firm, 4e3), rel=0.01), "a crust on muck"
    soft = float(capacity(stiff, [replace(weak, thickness=thickness), strong]).force)
    assert soft == pytest.approx(side_pull_in_balance(thickness, 4e3, firm), rel=0.01), "muck on firm ground"


SOILS = st.sampled_from((LOAM, MUCK, SAND, replace(SAND, phi=np.radians(40.0), unit_weight=9e3)))


@given(SOILS, SOILS, st.floats(0.0, 0.6), st.floats(0.0, 0.3))
def test_side_pull_in_layers_stands_between_the_soils_alone(first, second, top, height) -> None:
    layers = [replace(first, thickness=top), second]
    force, moment = stake.lateral_layered(layers, 0.025, 0.56, height)
    alone = [stake.lateral(soil, 0.025, 0.56, height)[0] for soil in (first, second)]
    if first.model == second.model == "undrained":
        assert 0.99 * min(alone) <= force <= 1.01 * max(alone)
    same, bending = stake.lateral_layered([replace(first, thickness=top), first], 0.025, 0.56, height)
    once = stake.lateral(first, 0.025, 0.56, height)
    assert same == pytest.approx(once[0], rel=2e-3) and bending == pytest.approx(once[1], rel=2e-3)
    assert force > 0 and moment >= height * force


@given(st.floats(0.05, 0.5), st.floats(1.0, 3.0), st.booleans())
def test_a_stronger_layer_never_weakens_the_side_pull(top, factor, above) -> None:
    def pull(first, second):
        return float(stake.lateral_layered([replace(first, thickness=top), second], 0.025, 0.56, 0.02)[0])

    strong = replace(LOAM, cu=36e3 * factor)
    more, less = (pull(strong, MUCK), pull(LOAM, MUCK)) if above else (pull(MUCK, strong), pull(MUCK, LOAM))
    assert more >= less * (1 - 1e-9)


def test_draws_of_a_layer_give_the_same_as_each_alone_and_frost_is_not_known() -> None:
    drawn = [replace(MUCK, thickness=0.25), replace(LOAM, cu=np.array([20e3, 36e3, NAN]))]
    force, _ = stake.lateral_layered(drawn, 0.025, 0.56, 0.02)
    for number, cu in enumerate((20e3, 36e3)):
        single, _ = stake.lateral_layered([drawn[0], replace(LOAM, cu=cu)], 0.025, 0.56, 0.02)
        assert force[number] == pytest.approx(float(single))
    assert np.isnan(force[2]), "a draw that is not known stays so"
    assert np.isnan(stake.lateral_layered([FROZEN, LOAM], 0.025, 0.56, 0.02)[0])


def test_the_chance_of_many_pulls_needs_no_new_numpy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delattr(np, "trapezoid", raising=False)
    once = reliability.failure_in(2.0, 0.4, 0.3, 1)
    assert once == pytest.approx(float(reliability.failure(2.0, 0.4, 0.3)), abs=1e-6)
    assert reliability.failure_in(2.0, 0.4, 0.3, 50) == pytest.approx(0.497, abs=0.001)


def test_the_chain_takes_the_gain_of_the_layer_that_holds(site) -> None:
    plate = AnchorRig("own", "plate", "cable plate", length=0.6, plate_width=0.025, plate_length=0.064)
    context, deep = held(site, plate, Soil("firm-sand", 0.3), Soil("loam", INF))
    gain = context.own_figure("rate_fine")
    layers = [
        replace(SAND, thickness=0.3),
        replace(LOAM, cu=context.drawn("soil.1.cu", Quantity(36e3, "Pa", READ, 24e3, 48e3))),
    ]
    slow = capacity(CABLE, layers).force
    assert np.median(deep.anchor / slow) == pytest.approx(float(np.median(gain)), rel=0.05), "loam at the plate"
    _, shallow = held(site, plate, Soil("loam", 0.3), Soil("firm-sand", INF))
    slow = capacity(CABLE, [replace(LOAM, thickness=0.3), SAND]).force
    assert np.median(shallow.anchor) == pytest.approx(float(slow), rel=0.1), "sand at the plate gains nothing"


def test_the_chain_judges_frozen_ground_as_after_a_thaw(site) -> None:
    _, through = held(site, RIG, Soil("frozen", INF))
    assert np.all(np.isnan(through.anchor)) and "after a thaw" in through.anchor_question.template
    _, crusted = held(site, RIG, Soil("frozen", 0.3), Soil("loam", INF))
    _, soaked = held(site, RIG, Soil("loam", 0.3, moisture="soaked"), Soil("loam", INF))
    _, moist = held(site, RIG, Soil("loam", INF))
    assert np.median(crusted.anchor) == pytest.approx(float(np.median(soaked.anchor)), rel=0.05), "frost lets go"
    assert np.median(crusted.anchor) < 0.9 * np.median(moist.anchor)
    assert "as after a thaw" in render(crusted.held.why)
    context, bare = held(site, replace(RIG, proof=Quantity(900.0, "N", READ)))
    left = np.median(bare.anchor / context.own_figure("cyclic"))
    assert left == pytest.approx(900.0, rel=0.02), "a proof pull needs no description of the ground"


def test_choices_are_not_shown_as_read() -> None:
    lines = (DATA / "ground" / "soils.csv").read_text(encoding="utf-8").splitlines()
    rows = {(row["key"], row["quantity"]): row for row in csv.DictReader(line for line in lines if line[0] != "#")}
    for key in ("loose-sand", "firm-sand", "loam", "mud", "muck", "gravel", "frozen"):
        assert rows[key, "unit_weight"]["confidence"] == "assumed", key
    assert rows["mud", "cu"]["confidence"] == "assumed"
    assert "Domaschuk" not in rows["frozen", "unit_weight"]["source"], "that abstract is on the bond on steel"
    for (key, quantity), row in rows.items():
        if quantity == "cov" and (float(row["value"]) > 0.4 or key == "frozen"):
            assert row["confidence"] == "assumed", f"{key}: outside the published 13 to 40 %"
