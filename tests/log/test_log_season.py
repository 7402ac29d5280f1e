"""Waits, visitors and the figures of a season, from events that were made up."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from log.makers import START, event, season
from setwright.animal.injury import Injury
from setwright.basis.errors import BadInput
from setwright.log import kinds
from setwright.log.season import season as figures
from setwright.log.waits import GROUPS, read

SCALE = {"cut": Injury("cut", "mild", 5.0, False, "cut"), "break": Injury("break", "severe", 100.0, True, "break")}


def at(day: float) -> str:
    return (START + dt.timedelta(days=day)).isoformat()


def story() -> list:
    common = {"trap_id": "T1", "rig_id": "A"}
    return [
        event(1, kinds.SET, 0, **common, site="pond", set_type="slide"),
        event(2, kinds.CHECKED, 1),
        event(3, kinds.CATCH, 2, species="red fox", injuries=["cut"]),
        event(4, kinds.RESET, 2, place=1),
        event(5, kinds.SPRUNG, 4, evidence="hair"),
        event(6, kinds.RESET, 4, place=1),
        event(7, kinds.INOPERATIVE, 6, cause="frozen", last_working=at(5.5)),
        event(8, kinds.RESET, 6, place=1),
        event(9, kinds.NONTARGET, 7, species="dog", domestic=True),
        event(10, kinds.RELEASE, 7, place=1, injuries=[]),
        event(11, kinds.RESET, 7, place=2),
        event(12, kinds.SPRUNG, 8, evidence="frost heave", sprung_at=at(7.25)),
        event(13, kinds.RESET, 8, place=1),
        event(14, kinds.ESCAPE, 9, species_guess="coyote"),
        event(15, kinds.RESET, 9, place=1),
        event(16, kinds.INOPERATIVE, 11, cause="snowed in"),
        event(17, kinds.RESET, 11, place=1),
        event(18, kinds.PULLED, 12),
        event(19, kinds.CHECKED, 13),
    ]


def test_waits_and_effort_of_a_story_told_by_hand() -> None:
    waits, seen = read(story())
    assert waits.nights.tolist() == pytest.approx([1, 1, 2, 1.5, 1, 1, 1, 1, 1])
    assert waits.fired.tolist() == [False, True, True, False, True, True, True, False, False]
    (whole,) = figures(waits, seen, scale=SCALE)
    assert whole.nights == pytest.approx(10.5)
    # Sprung: 0.5 + 1 + 0.5 by halves, 0.25 by the alarm, 0.5 again; the rest whole.
    assert whole.corrected_nights == pytest.approx(1 + 0.5 + 1 + 1.5 + 0.5 + 0.25 + 0.5 + 1 + 1)
    assert (whole.catch.hits, whole.nontarget.hits, whole.domestic.hits) == (1, 1, 1)
    assert whole.efficiency_strict.estimate == pytest.approx(1 / 3), "frost is no visitor, a dog no furbearer"
    assert whole.selectivity.estimate == pytest.approx(1 / 2)
    assert (whole.light_injury.good, whole.light_injury.bad, whole.light_injury.missing) == (2, 0, 0)
    assert waits.unclear == 1, "a look at a set that was pulled"
    assert set(seen.labels) == set(GROUPS) and waits.labels["site"][0] == "pond"


def test_unexplained_springs_widen_the_denominator() -> None:
    more = [*story(), event(30, kinds.SET, 20), event(31, kinds.SPRUNG, 21, evidence="none seen")]
    (whole,) = figures(*read(more))
    assert whole.efficiency_strict.out_of == 3 and whole.efficiency_wide.out_of == 4


def test_a_missing_injury_stays_missing() -> None:
    log = season(21, 4000)
    waits, seen = read(log)
    (whole,) = figures(waits, seen, scale=SCALE)
    none = sum(found is None for found in seen.injuries) - int((~seen.held).sum())
    assert whole.light_injury.missing == none > 10
    (blind,) = figures(waits, seen)
    assert blind.light_injury.missing == none, "an empty list needs no scale"
    worse = [*story(), event(40, kinds.SET, 20), event(41, kinds.CATCH, 21, species="coyote", injuries=["break"])]
    assert figures(*read(worse), scale=SCALE)[0].light_injury.bad == 1
    assert figures(*read(worse), scale={})[0].light_injury.missing == 2, "words that no scale knows are open"


@pytest.mark.parametrize("by", GROUPS)
def test_groups_add_up_to_the_whole(by: str) -> None:
    waits, seen = read(season(22, 3000))
    (whole,) = figures(waits, seen)
    parts = figures(waits, seen, by)
    assert len({part.group for part in parts}) == len(parts)
    for name in ("nights", "corrected_nights", "waits"):
        assert sum(getattr(part, name) for part in parts) == pytest.approx(getattr(whole, name))
    for name in ("catch", "nontarget", "domestic", "efficiency_wide"):
        assert sum(getattr(part, name).hits for part in parts) == getattr(whole, name).hits


def test_no_order_of_arrival_and_no_repeat_changes_a_figure() -> None:
    log = season(23, 1500)
    turned = log[::-1] + log[100:400]
    assert figures(*read(turned), "rig_id") == figures(*read(log), "rig_id")


def test_an_empty_log_and_a_wrong_group() -> None:
    waits, seen = read([])
    assert figures(waits, seen) == []
    (lonely,) = figures(*read([event(1, kinds.SET, 0), event(2, kinds.CHECKED, 2)]))
    assert lonely.catch.hits == 0 and lonely.catch.high == pytest.approx(100 * 3.6889 / 2, rel=1e-4)
    assert lonely.domestic_limit == pytest.approx(100 * 2.9957 / 2, rel=1e-4)
    assert math.isnan(lonely.selectivity.estimate)
    with pytest.raises(BadInput, match="rig_id"):
        figures(waits, seen, "rig")


def test_a_simulated_season_gives_back_its_truth() -> None:
    dice = np.random.default_rng(31)
    log, number = [], 1000
    catch, other = 0.05, 0.12
    for k in range(400):
        log.append(event(number, kinds.SET, 0, set_id=f"S{k}"))
        for day in range(2, 40, 2):
            first, second = dice.exponential(1 / catch), dice.exponential(1 / other)
            kind = kinds.CHECKED if min(first, second) > 2 else kinds.CATCH if first < second else kinds.SPRUNG
            number += 2
            log.append(event(number, kind, day, set_id=f"S{k}"))
            if kind != kinds.CHECKED:
                log.append(event(number + 1, kinds.RESET, day, set_id=f"S{k}", place=1))
        number += 2
    (found,) = figures(*read(log))
    by_hazard = found.catch.hits / found.armed_nights
    assert by_hazard == pytest.approx(catch, rel=0.08)
    assert found.catch.hits / found.nights < 0.9 * by_hazard, "traps that lie sprung do not fish"
