"""Water that moves: what it does to a loose trap and to a weight that holds an animal."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from setwright.basis.tables import DATA
from setwright.basis.verdict import Standing
from setwright.desk.plan import read_job
from setwright.sets.context import Kept
from setwright.sets.current import current_check, drag_of_animal
from setwright.sets.evaluate import evaluate
from setwright.sets.submerge import submersion


@pytest.fixture(scope="module")
def dam():
    job = read_job(DATA / "demo" / "line-book.yaml", draws=200)
    return job.contexts["dam"], job.stated["dam"]


def flowing(context, speed):
    return replace(context, site=replace(context.site, water=replace(context.site.water, current=speed)), kept=Kept())


def test_still_water_asks_nothing(dam):
    context, rig = dam
    assert current_check(context, rig) is None and not np.asarray(drag_of_animal(context)).any()


def test_a_beaver_broadside_feels_twelve_newtons_at_half_a_metre_a_second(dam):
    # Half rho C A U squared by hand: 0.5 x 1000 x 1.0 x 0.10 x 0.25 = 12.5 N for 20 kg.
    context, _ = dam
    pull = np.asarray(drag_of_animal(flowing(context, 0.5)))
    mass = context.mass(context.target)
    assert np.allclose(pull, 12.5 * (mass / 20.0) ** (2.0 / 3.0))


def test_a_loose_trap_lies_in_slow_water_and_moves_in_fast(dam):
    context, rig = dam
    slow, fast = (current_check(flowing(context, speed), rig) for speed in (0.1, 1.5))
    assert slow.standing is Standing.SOUND and fast.standing is Standing.FAILS
    assert (slow.margin > fast.margin).all() and "bed it" in fast.mend.template


def test_the_chain_asks_about_the_current(dam):
    _, rig = dam
    job = read_job(DATA / "demo" / "line-book.yaml", draws=60)
    there = flowing(job.contexts["dam"], 1.5)
    fire = next(link for link in evaluate(there, rig, job.person).links if link.link == "fire")
    assert any(check.name == "current" and check.standing is Standing.FAILS for check in fire.checks)


def test_a_current_never_helps_a_weight(dam):
    context, rig = dam

    def spare(speed):
        there = flowing(context, speed)
        return float(submersion(there, rig).share[0])

    assert spare(2.0) <= spare(0.5) <= spare(0.0)
