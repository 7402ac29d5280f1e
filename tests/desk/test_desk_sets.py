"""Every stated set of the demo as its part of the document, without the search for better rigs."""

from __future__ import annotations

import json
from dataclasses import replace

import jsonschema
import pytest

from setwright.basis.tables import DATA
from setwright.desk.document import LINKS, SetPlan
from setwright.desk.facts import site_of
from setwright.desk.plan import read_job, set_of
from setwright.desk.schemas import NAMES, schema_of
from setwright.line.assemble import plan_site
from setwright.sets.gates import CRITERIA
from setwright.sets.record import RECORD


@pytest.fixture(scope="module")
def sets():
    job = read_job(DATA / "demo" / "line-book.yaml", draws=200)
    return {
        site.key: set_of(job, plan_site(job, site, job.stated[site.key], deep=False))
        for site in job.sites
        if site.key in job.stated
    }


def test_a_set_survives_being_written_and_read(sets):
    for key, part in sets.items():
        assert SetPlan.model_validate_json(part.model_dump_json()) == part, key


def test_every_schema_is_a_schema():
    for name in NAMES:
        jsonschema.Draft202012Validator.check_schema(json.loads(schema_of(name)))


def test_every_link_shows_the_check_that_governs_it(sets):
    order = ("fails", "cannot tell", "thin", "sound")
    for key, part in sets.items():
        assert tuple(link.link for link in part.links) == LINKS
        for link in part.links:
            worst = min((check.standing for check in link.checks), key=order.index)
            assert link.standing == worst, f"{key} {link.link}"
            assert link.governs in {check.name for check in link.checks if check.standing == worst}, (
                f"{key} {link.link}"
            )


def test_every_check_that_was_computed_says_where_it_came_from(sets):
    for key, part in sets.items():
        for check in (check for link in part.links for check in link.checks):
            if check.value is not None:
                assert check.provenance, f"{key} {check.name}: a figure without a source"
            assert all(origin.source for origin in check.provenance), f"{key} {check.name}"


def test_what_cannot_be_told_is_asked(sets):
    for key, part in sets.items():
        for check in (check for link in part.links for check in link.checks):
            if check.standing == "cannot tell":
                assert check.mend in part.questions, f"{key} {check.name}: nobody is asked"
        for finding in part.law:
            if finding.answer == "cannot tell" and finding.question:
                assert finding.question in part.questions, f"{key} {finding.rule}"
        assert len(part.questions) == len(set(part.questions)), f"{key}: a question twice"


def test_bands_hold_their_medians_and_shares_stay_shares(sets):
    for key, part in sets.items():
        for row in part.outcome:
            for middle, low, high in (row.first, row.held, row.lost):
                assert 0.0 <= low <= middle <= high <= 1.0, f"{key} {row.species}"
        for series in part.trip_curve.series if part.trip_curve else ():
            assert all(a <= b <= c for a, b, c in zip(series.low, series.median, series.high, strict=True)), key
            assert all(0.0 <= value <= 1.0 for value in series.high)


def test_the_sum_stands_on_the_same_lengths_as_the_drawing(sets):
    slides = [part for part in sets.values() if part.rig.submersion]
    assert len(slides) >= 4
    for part in slides:
        lines = {line.label: line.value for line in part.figure.sum}
        lengths = part.figure.lengths
        total = lines["to spare"]
        assert sum(lines.values()) - total == pytest.approx(total, abs=1e-3), part.site.id
        assert -lines["chain and trap"] - lines["held foot to nose"] == pytest.approx(lengths["reach"], abs=1e-3)
        assert total == pytest.approx(lengths["spare"], abs=1e-3)
        assert any(caution.head == "Submersion" for caution in part.cautions)
        gate = next(gate for gate in part.welfare if gate.gate == "submersion")
        assert part.restraining is (gate.answer != "meets"), "what does not hold under for sure holds alive"


def test_sets_that_hold_alive_say_so(sets):
    for key, part in sets.items():
        if part.restraining:
            assert "every day" in part.must, key
            slide = part.rig.submersion is not None
            assert slide is any(caution.head == "Submersion" for caution in part.cautions), key


def test_nothing_that_breaks_the_law_is_recommended_in_words(sets):
    for key, part in sets.items():
        if "breaks" in (part.law_answer, part.welfare_answer):
            assert part.say.startswith("Do not set this"), key


def test_every_gate_says_what_it_asks_for_and_by_whom(sets):
    for key, part in sets.items():
        for gate in part.welfare:
            assert gate.criterion == CRITERIA[gate.gate][0].upper() + CRITERIA[gate.gate][1:] + ".", (
                f"{key} {gate.gate}"
            )
            assert gate.source, f"{key} {gate.gate}"


def test_facts_that_bear_are_listed_and_never_summed(sets):
    order = ("unfavourable", "not known", "favourable")
    for key, part in sets.items():
        found = [order.index(fact.bearing) for fact in part.bearing]
        assert found == sorted(found), f"{key}: what is bad comes first"
        assert all(fact.source and fact.size and fact.why for fact in part.bearing), key
        assert not any(fact.about == RECORD for fact in part.bearing), f"{key}: the record has a place of its own"
        assert part.record is not None and part.record.word == "no record" and part.record.source, key
    assert {fact.bearing for part in sets.values() for fact in part.bearing} == set(order)


def test_hours_held_lie_within_the_wait(sets):
    known = [part for part in sets.values() if part.hours_held is not None]
    assert known
    for part in known:
        middle, late = part.hours_held
        waited = next(link.value for link in part.links if link.link == "check")
        assert 0.0 < middle <= late <= waited + 1e-6, part.site.id


def test_the_release_of_a_dog_stands_where_one_may_come(sets):
    for key, part in sets.items():
        dogs = any(row.species.startswith("dog") for row in part.outcome)
        assert bool(part.release) == dogs, key
        assert any(caution.head == "If a dog is held" for caution in part.cautions) == dogs, key


def test_a_site_without_a_position_does_not_stand_at_the_start_of_the_run():
    job = read_job(DATA / "demo" / "line-book.yaml", draws=50)
    context = job.contexts["ridge"]
    lost = replace(context, site=replace(context.site, latitude=None, longitude=None))
    assert job.base is not None
    assert (site_of(lost).latitude, site_of(lost).longitude) == (None, None)
    assert site_of(context).latitude == context.site.latitude
