"""The deep end of a slide cable: what stays, what is drawn nearer, what cannot be told."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import DATA
from setwright.basis.verdict import Standing
from setwright.desk.plan import read_job
from setwright.sets.model import AnchorRig
from setwright.sets.submerge import submersion

READ = Source(Kind.MEASURED, "test")


@pytest.fixture(scope="module")
def dam():
    job = read_job(DATA / "demo" / "line-book.yaml", draws=200)
    return job.contexts["dam"], job.stated["dam"]


def found(dam, anchor, **slide):
    context, rig = dam
    result = submersion(context, replace(rig, slide=replace(rig.slide, deep_anchor=anchor, **slide)))
    return float(result.share[0]), next(check for check in result.checks if check.name == "deep anchor")


def weight(mass, material="concrete"):
    return AnchorRig(key="w", kind="weight", label="deep weight", mass=mass, material=material)


def test_thirty_pounds_of_concrete_do_not_hold_the_full_pull_sideways_and_depth_makes_up_for_it(dam):
    # Own statics: 13.6 kg of concrete keep 75 N under water; a 19 kg beaver at one body weight draws about 190 N.
    share, check = found(dam, weight(13.6))
    assert check.kind == "length" and "nearer" in check.why.template
    bare = np.asarray(submersion(dam[0], dam[1]).sum.spare)
    assert (check.margin <= bare + 1e-9).all() and (check.margin < bare - 0.05).any()
    assert share > 0.95 and check.standing is Standing.SOUND


def test_the_same_weight_fails_where_there_is_no_depth_to_spare(dam):
    context, _ = dam
    spare = float(np.median(submersion(context, dam[1]).sum.spare))
    shallower = replace(context.site.water, depth=tuple(depth - spare + 0.05 for depth in context.site.water.depth))
    there = replace(context, site=replace(context.site, water=shallower))
    # Lowered so far, the shore lies bare: only a high bank end clears it.
    share, check = found((there, dam[1]), weight(13.6), bank_height=3.0)
    assert check.standing is Standing.FAILS
    assert share < found((there, dam[1]), weight(2000.0, "steel"), bank_height=3.0)[0]


def test_a_weight_lighter_than_the_lift_of_the_animal_comes_up(dam):
    share, check = found(dam, weight(0.05))
    assert check.standing is Standing.FAILS and check.kind == "force"
    assert share < 0.1


@settings(max_examples=25, deadline=None)
@given(mass=st.floats(0.2, 400.0), more=st.floats(1.0, 5.0), material=st.sampled_from(("concrete", "stone", "steel")))
def test_more_weight_never_holds_less_under(dam, mass, more, material):
    assert found(dam, weight(mass * more, material))[0] >= found(dam, weight(mass, material))[0]


def test_an_anchor_that_is_not_described_is_a_question(dam):
    for anchor in (None, replace(weight(13.6), mass=None), replace(weight(13.6), material=None)):
        _, check = found(dam, anchor)
        assert check.standing is Standing.CANNOT_TELL and check.question is not None
    _, check = found(dam, AnchorRig(key="s", kind="stake", label="a stake"))
    assert check.standing is Standing.CANNOT_TELL and "proof-pull" in check.question.template


def test_a_plate_at_the_deep_end_is_judged_by_the_bed_of_the_set(dam):
    def plate(deep):
        sizes = {"length": deep, "plate_width": 0.045, "plate_length": 0.11}
        return AnchorRig(key="p", kind="plate", label="cable plate", **sizes)

    context, _ = dam
    assert context.site.soils[0].key == "mud", "mud of six inches over stiff clay"
    shallow, low = found(dam, plate(0.25))
    deep, check = found(dam, plate(0.9))
    assert low.standing is Standing.FAILS and check.standing is Standing.SOUND
    assert shallow < 0.5 < deep
    assert any(origin.what == "bed at the deep end" for origin in check.origins)


def test_a_proof_pull_decides_for_a_driven_end(dam):
    def proved(force):
        return AnchorRig(key="s", kind="stake", label="a stake", proof=Quantity(force, "N", READ))

    assert found(dam, proved(1500.0))[1].standing is Standing.SOUND
    share, check = found(dam, proved(60.0))
    assert check.standing is Standing.FAILS and share < 0.05


def test_drawn_right_up_the_bank_the_stop_lies_in_no_water(dam):
    share, check = found(dam, weight(13.6), deep_out=0.55, stop_back=0.1)
    assert share == 0.0 and check.standing is Standing.FAILS
    assert np.isfinite(check.margin).all()
