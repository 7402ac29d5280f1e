"""What a slide set is in law and welfare: under at every level, or one that holds alive; its bands and cures."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.basis.tables import DATA
from setwright.basis.verdict import Answer, Standing
from setwright.desk.plan import read_job
from setwright.sets.context import Kept
from setwright.sets.lawful import facts_of
from setwright.sets.level import change, fall, level_share, rise, window
from setwright.sets.submerge import profile_of, slide_of, submersion
from setwright.sets.under import band_of, cures_of, demand_of, takes_under
from setwright.water.demand import goes_under
from setwright.water.sums import depth_sum


@pytest.fixture(scope="module")
def job():
    return read_job(DATA / "demo" / "line-book.yaml", draws=200)


def at(job, key):
    return job.contexts[key], job.stated[key]


def test_a_set_that_does_not_hold_under_is_checked_as_one_that_holds_alive(job):
    places = {leg.place.key: leg.place for leg in job.legs}
    for key, rig in job.stated.items():
        if rig.slide is None:
            continue
        context = job.contexts[key]
        answer = takes_under(context, rig)
        assert places[key].restraining is (answer is not Answer.MEETS), key
        wanted = {Answer.MEETS: True, Answer.BREAKS: False, Answer.CANNOT_TELL: None}[answer]
        facts = facts_of(context, rig, traps_out=1, tag_name=True)
        assert facts["submersion"].value is wanted, key
        interval = "PT48H" if answer is Answer.MEETS else "P1D"
        assert context.check.interval == interval, key
    answers = {key: takes_under(job.contexts[key], rig) for key, rig in job.stated.items() if rig.slide is not None}
    assert answers["dam"] is Answer.MEETS and answers["point"] is Answer.BREAKS
    assert Answer.CANNOT_TELL in answers.values()


def test_a_set_without_a_slide_or_without_soundings_is_told_apart(job):
    context, rig = at(job, "dam")
    assert takes_under(context, replace(rig, slide=None)) is Answer.BREAKS
    bare = replace(context, site=replace(context.site, water=replace(context.site.water, out=(), depth=())))
    assert takes_under(bare, rig) is Answer.CANNOT_TELL
    assert band_of(bare, rig) is None and cures_of(bare, rig) == ()


def test_a_shelf_on_which_the_lock_may_stand_fails_the_set(job):
    context, rig = at(job, "dam")
    shelf = replace(context.site.water, out=(0.0, 0.5, 1.6, 1.8, 2.8, 4.3), depth=(0.0, 0.1, 0.15, 1.3, 1.5, 1.7))
    there = replace(context, site=replace(context.site, water=shelf), kept=Kept())
    low = replace(rig, slide=replace(rig.slide, bank_height=0.1))
    found = submersion(there, low)
    ledge = next(check for check in found.checks if check.name == "ledge")
    assert ledge.standing is Standing.FAILS and found.share[0] == 0.0 and takes_under(there, low) is Answer.BREAKS
    height = dict(ledge.mend.values)["height"]
    mended = replace(rig, slide=replace(rig.slide, bank_height=height + 0.01))
    assert not any(check.name == "ledge" for check in submersion(there, mended).checks), "computed anew, it clears"


def test_every_cure_was_put_through_all_conditions_again(job):
    context, rig = at(job, "point")
    demand = demand_of(context, rig)
    assert not goes_under(profile_of(context), slide_of(rig, rig.slide), demand).holds
    found = cures_of(context, rig)
    assert found and all(goes_under(cure.profile, cure.slide, demand).holds for cure in found)
    assert cures_of(*at(job, "dam")) == ()


def test_the_band_ends_where_the_sum_has_nothing_to_spare(job):
    context, rig = at(job, "dam")
    band = band_of(context, rig)
    demand = demand_of(context, rig)
    assert (band.low <= -fall(context)[0]).mean() >= 0.95, "it holds at the lowest level of nearly every wait"
    plain = depth_sum(profile_of(context), slide_of(rig, rig.slide), reach=demand.reach, margin=demand.margin)
    assert (band.low >= -np.asarray(plain.spare) - 1e-9).all(), "a deep end drawn in never widens the band"


def test_rise_fall_and_hours_of_a_draw_belong_to_one_wait(job):
    context, _ = at(job, "cattail")
    moved = change(context)
    assert moved.shape[1] == round(context.check.hours) + 1 and (moved[:, 0] == 0).all()
    assert np.array_equal(fall(context)[0], -moved.min(axis=1)) and np.array_equal(
        rise(context)[0], moved.max(axis=1)
    )
    low, high = window(context)
    inside = (0.0381 + moved >= low) & (0.0381 + moved <= high)
    share = level_share(replace(context, kept=Kept()))[0]
    assert abs(float(share.mean()) - float(inside.mean())) < 0.25
    none = replace(context, conditions=replace(context.conditions, level=None), kept=Kept(), line_kept=Kept())
    assert not change(none).any()


def test_trees_keep_the_sky_off_the_ground(job):
    night, shaded = job.day.under("open").night, job.day.under("trees").night
    dark = night.dark
    assert (shaded.equivalent[dark] > night.equivalent[dark] + 1.0).all() and np.array_equal(shaded.air, night.air)


def test_a_scale_of_the_level_that_nobody_stated_is_said_to_be_taken(job):
    for key in ("dam", "point"):
        context, _ = at(job, key)
        water = replace(context.site.water, level_scale=1.0, level_scale_stated=True)
        stated = replace(context, site=replace(context.site, water=water))
        guessed = replace(context, site=replace(context.site, water=replace(water, level_scale_stated=False)))
        for ends in (fall, rise):
            assert "taken to move here as at the gauge" in str(ends(guessed)[1].source)
            assert "taken to move" not in str(ends(stated)[1].source)
