"""The yearly treatment load by load, and cover for a season: against the pot, the rule of the trade and the beds."""

from __future__ import annotations

import pytest

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk import tables
from setwright.desk.cover_season import GALLON, cover_season, season_weeks
from setwright.desk.plan import read_job
from setwright.desk.treatment import bulk_of, loads_of, treatment
from setwright.line.kit import bed_cover
from setwright.line.runplan import StopTime

BOOK = DATA / "demo" / "line-book.yaml"


@pytest.fixture(scope="module")
def job():
    return read_job(BOOK, draws=4)


@pytest.mark.parametrize("pot", [0.02, 0.0757, 0.2])
def test_no_load_is_more_than_the_pot_takes_and_no_trap_is_lost(job, pot):
    traps = list(job.traps.values())
    found = loads_of(traps, pot)
    room = pot * tables.figures()["pot_share"].number
    assert all(sum(bulk_of(trap) for trap in load) <= room * (1 + 1e-9) for load in found.loads)
    assert sorted([t.trap_id for load in found.loads for t in load] + [t.trap_id for t in found.too_large]) == sorted(
        t.trap_id for t in traps
    )
    # First fit leaves no two loads that would go into one (two half-empty ones would have been filled up).
    least = sorted(sum(bulk_of(trap) for trap in load) for load in found.loads)
    assert len(least) < 2 or least[0] + least[1] > room


def test_minutes_add_up_and_a_larger_pot_takes_fewer_days(job):
    small, large = (treatment(job, pot=pot, hours="4") for pot in ("10 gal", "40 gal"))
    trade = tables.figures()
    for found in (small, large):
        each = sum(trade[name].number + trade["load_change"].number for name in ("boil", "dye", "wax_dip"))
        assert found.minutes == pytest.approx(len(found.loads) * each / 60.0)
        assert (found.days - 1) * 240 < found.minutes <= found.days * 240
    assert large.days < small.days and len(large.loads) < len(small.loads)
    assert small.order[-2].text.startswith("File dog end and notch clean") and small.cautions[0].startswith("Hot wax")
    assert set(small.again) == set(job.traps)


def test_how_long_a_dip_takes_is_not_made_up(job):
    found = treatment(job, finish="dip")
    assert [step.name for step in found.steps] == ["boil clean"] and "cannot be told" in found.say


def test_scrap_is_not_treated(tmp_path):
    text = BOOK.read_text("utf-8").replace(
        "id: T-41, pattern: long-2,", "id: T-41, looked: {frame: cracked}, pattern: long-2,"
    )
    own = tmp_path / "line-book.yaml"
    own.write_text(text, "utf-8")
    found = treatment(read_job(own, draws=4))
    assert found.left_out == ["T-41", "T-42"] and not {"T-41", "T-42"} & set(found.again)


@pytest.mark.parametrize(
    ("words", "field"),
    [
        ({"pot": "3 lbf"}, "pot"),
        ({"pot": "1 m**3000"}, "pot"),
        ({"finish": "paint"}, "finish"),
        ({"hours": "0"}, "hours"),
    ],
)
def test_a_pot_or_finish_that_is_none_is_refused(job, words, field):
    with pytest.raises(BadInput) as raised:
        treatment(job, **words)
    assert raised.value.field == field


def test_a_season_takes_every_filling_of_every_bed_and_the_rule_of_the_trade(job):
    rigs = dict(job.stated)
    found = cover_season(job, rigs, {}, weeks="8", anew="1")
    land = [site for site in job.sites if site.medium == "land" and site.key in rigs]
    once = sum(bed_cover(rigs[site.key]) for site in land)
    assert found.sets == len(land) and found.once == pytest.approx(once) and found.season == pytest.approx(9.0 * once)
    # A gallon covers 2 to 3 sets: 9 fillings of each set.
    assert found.by_rule[0] == pytest.approx(9 * len(land) / 3 * GALLON)
    assert found.by_rule[1] == pytest.approx(9 * len(land) / 2 * GALLON)
    assert "Lay in the larger." in found.say and len(found.rows) == 6


def test_remakes_of_the_plan_take_cover_too(job):
    rigs = dict(job.stated)
    key = next(site.key for site in job.sites if site.medium == "land" and site.key in rigs)
    plain = cover_season(job, rigs, {}, weeks="8", anew="0")
    busy = cover_season(job, rigs, {key: StopTime(300.0, 0.1, 0.2, 0.0, 0.0, 0.25)}, weeks="8", anew="0")
    more = 0.3 * 56.0 / job.contexts[key].check.nights
    at = {bed.name: bed.fillings for bed in busy.beds}[job.contexts[key].site.name]
    assert at == pytest.approx(1.0 + more)
    assert busy.season - plain.season == pytest.approx(more * bed_cover(rigs[key]))


def test_weeks_of_the_season_are_those_left_of_the_book(job):
    # 20 December to 31 January.
    assert season_weeks(job) == pytest.approx(6.0)
    with pytest.raises(BadInput):
        cover_season(job, dict(job.stated), {}, weeks="soon")
