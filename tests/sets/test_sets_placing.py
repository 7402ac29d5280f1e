"""Which part of an animal comes down on the pan, and how the pan lies: depth, centre, size, level."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.basis.source import Quantity
from setwright.basis.tables import DATA
from setwright.basis.verdict import Standing
from setwright.desk.plan import read_job
from setwright.desk.wording import render
from setwright.sets.chest import chest_check, chest_share
from setwright.sets.context import Kept
from setwright.sets.evaluate import evaluate

BOOK = DATA / "demo" / "line-book.yaml"
INCH = 0.0254


@pytest.fixture(scope="module")
def job():
    return read_job(BOOK, draws=200)


def moved(job, depth, off_centre=None, key="dam"):
    context = job.contexts[key]
    water = replace(
        context.site.water,
        pan_depth=Quantity(depth, "m"),
        off_centre=None if off_centre is None else Quantity(off_centre, "m"),
    )
    return replace(context, site=replace(context.site, water=water), kept=Kept(), line_kept=Kept())


def check(result, link, name):
    found = next(one for one in result.links if one.link == link)
    return next((one for one in found.checks if one.name == name), None)


def test_six_inches_on_the_centre_is_the_chest_and_not_the_foot(job):
    rig = job.stated["dam"]
    shallow, deep = (evaluate(moved(job, d * INCH, 0.0), rig, job.person) for d in (2.0, 6.0))
    assert check(shallow, "step", "chest").standing is Standing.SOUND
    found = check(deep, "step", "chest")
    assert found.standing is Standing.FAILS
    assert "the chest of a beaver fires it in" in render(found.why) and "off the line of travel" in render(found.mend)


def test_a_passing_that_ends_with_the_chest_brings_no_foot(job):
    """A hind foot takes pans from 6 in on, where the chest still grounds."""
    rig = job.stated["dam"]

    def hind(depth, aside):
        context = moved(job, depth * INCH, aside)
        return evaluate(replace(context, site=replace(context.site, foot="hind")), rig, job.person)

    on, off = hind(7.0, 0.0), hind(7.0, 0.2)
    assert np.median(on.links[1].by_species["beaver"]) < 0.7 * np.median(off.links[1].by_species["beaver"])
    assert np.median(on.outcome["misfire"].first) > 3 * np.median(off.outcome["misfire"].first)
    assert np.median(on.held) < 0.8 * np.median(off.held)


def test_off_the_centre_the_chest_goes_by(job):
    beaver = job.contexts["dam"].species["beaver"]
    on, off = (float(np.median(chest_share(moved(job, 6 * INCH, x), beaver))) for x in (0.0, 0.12))
    assert on > 0.4 and off < 0.25 * on
    assert chest_check(moved(job, 6 * INCH, 0.12)).standing is not Standing.FAILS


@settings(max_examples=15, deadline=None)
@given(st.floats(0.0, 0.5), st.floats(0.0, 0.3))
def test_it_is_a_chance_and_falls_off_the_centre(depth, aside):
    context_job = read_job(BOOK, draws=50)
    beaver = context_job.contexts["dam"].species["beaver"]
    near, far = (chest_share(moved(context_job, depth, x), beaver) for x in (aside, aside + 0.05))
    assert ((near >= 0) & (near <= 1)).all()
    assert np.median(far) <= np.median(near) + 1e-12


def test_animals_that_wade_and_sets_on_land_have_no_chest(job):
    for key in ("ridge", "pool"):
        context = job.contexts[key]
        assert chest_check(context) is None
        for species in context.species.values():
            if "beaver" not in species.key:
                assert (chest_share(context, species) == 0.0).all()


@pytest.mark.parametrize(
    ("rise", "standing", "words"),
    [
        (0.0, Standing.SOUND, "is level"),
        (0.006, Standing.THIN, "stands above the jaws"),
        (-0.006, Standing.THIN, "hangs below the jaws"),
    ],
)
def test_a_pan_out_of_level_is_said(job, rise, standing, words):
    rig = job.stated["ridge"]
    rig = replace(rig, bedding=replace(rig.bedding, pan_rise=rise))
    found = check(evaluate(job.contexts["ridge"], rig, job.person), "fire", "pan level")
    assert found.standing is standing and words in render(found.why)
    assert (found.mend is None) == (standing is Standing.SOUND)


def test_nobody_looked_nothing_said(job):
    assert check(evaluate(job.contexts["ridge"], job.stated["ridge"], job.person), "fire", "pan level") is None


def test_a_pan_smaller_than_the_pad_is_said(job):
    rig = job.stated["ridge"]
    assert check(evaluate(job.contexts["ridge"], rig, job.person), "step", "pan size") is None
    small = replace(rig, trap=replace(rig.trap, pan_radius=replace(rig.trap.pan_radius, value=0.008)))
    found = check(evaluate(job.contexts["ridge"], small, job.person), "step", "pan size")
    assert found.standing is Standing.THIN and "hardly load it" in render(found.why)
