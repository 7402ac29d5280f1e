"""Animals in a line book: own figures, own animals, ages, what was seen, notes on pans, records of designs."""

from __future__ import annotations

import re

import numpy as np
import pytest

from setwright.animal import tables as animal_tables
from setwright.animal.model import QUANTITIES
from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk.plan import read_job
from setwright.line.seen import AnimalEntry
from setwright.sets.evaluate import evaluate

DEMO = (DATA / "demo" / "line-book.yaml").read_text(encoding="utf-8")
READY = re.search(r"^  - id: (\S+)\n", DEMO[DEMO.index("\nsites:") :], re.M).group(1)


def job_of(tmp_path, animals="", extra="", site=""):
    text = DEMO
    if animals:
        text = text.replace("animals:\n", "animals:\n" + animals, 1)
    if site:
        head, tail = text.split("\nsites:", 1)
        tail = re.sub(rf"(  - id: {READY}\n)", rf"\1{site}", tail, count=1)
        text = head + "\nsites:" + tail
    if extra:
        text = text.replace("\nsites:", "\n" + extra + "\nsites:", 1)
    path = tmp_path / "line-book.yaml"
    path.write_text(text, encoding="utf-8")
    return read_job(path, draws=60)


def fails(tmp_path, words, **parts):
    with pytest.raises(BadInput) as caught:
        job_of(tmp_path, **parts)
    error = caught.value
    assert error.line is not None and error.field, str(error)
    assert words in str(error), str(error)
    return error


def test_every_figure_of_the_table_may_be_replaced():
    assert set(QUANTITIES) <= set(AnimalEntry.model_fields)
    texts = {"name", "latin", "class", "role", "note"}
    assert set(animal_tables.FIGURES) - texts <= set(AnimalEntry.model_fields)


def test_own_figures_reach_the_chain(tmp_path):
    job = job_of(tmp_path, "  coyote_west: {mass: 30 lb, step: 18 in, acceleration: 9 m/s^2, group: 2}\n")
    found = job.contexts[READY].species["coyote_west"]
    assert found.mass.number == pytest.approx(13.6078, rel=1e-4)
    assert found.step.number == pytest.approx(0.4572) and found.acceleration.number == 9.0


def test_a_name_that_is_not_known_answers_with_near_names(tmp_path):
    error = fails(tmp_path, "did you mean", animals="  coyotte_west: {mass: 30 lb}\n")
    assert "coyote_west" in str(error) and error.field == "animals.coyotte_west"
    fails(
        tmp_path,
        "did you mean raccoon",
        extra="notes_on_pans:\n  - {species: coon, trip_force: 2 lbf, fired: 1, of: 2}\n",
    )


@pytest.mark.parametrize("mass", ["3 lb", "200 lb"])
def test_an_impossible_mass_is_an_error_with_the_span_allowed(tmp_path, mass):
    error = fails(tmp_path, "no adult of this animal has such a mass", animals=f"  coyote_west: {{mass: {mass}}}\n")
    assert "kg" in error.allowed


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ("{fore_width: 2 m}", "outside what is possible"),
        ("{mass_low: 30 lb, mass: 25 lb}", "mass_low is above mass"),
        ("{night: 0.9}", "shares of what passes in a day"),
        ("{name: song dog}", "for an animal of your own"),
        ("{ages: {adult_mail: 1}}", "no such age class"),
        ("{ages: {adult_male: 0}}", "all shares are zero"),
    ],
)
def test_wrong_figures_name_line_and_field(tmp_path, entry, words):
    fails(tmp_path, words, animals=f"  coyote_west: {entry}\n")


def test_an_animal_of_his_own(tmp_path):
    own = (
        "  ridge_cat: {name: ridge cat, like: bobcat, roles: [protected], "
        "mass: 3 kg, fore_width: 4 cm, fore_length: 4 cm}\n"
    )
    job = job_of(tmp_path, own, site="    record: {ridge_cat: {visits: 3, nights: 10}}\n")
    context = job.contexts[READY]
    found = context.species["ridge_cat"]
    assert found.name == "ridge cat" and found.is_protected and found.class_ == "felid"
    assert found.day == animal_tables.record("bobcat").day
    result = evaluate(context, job.stated[READY], job.person)
    assert np.isfinite(result.outcome["ridge_cat"].first).all() and result.outcome["ridge_cat"].first.mean() > 0


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        ("{like: bobcat, mass: 3 kg}", "needs a fore foot"),
        ("{like: bobcat, mass: 3 kg, fore_width: 4 cm}", "state both"),
        ("{like: bobcat, fore_width: 4 cm, fore_length: 4 cm}", "needs a mass"),
        ("{like: bobkat, mass: 3 kg, fore_width: 4 cm, fore_length: 4 cm}", "did you mean bobcat"),
    ],
)
def test_an_animal_of_his_own_lacks_something(tmp_path, entry, words):
    fails(tmp_path, words, animals=f"  ridge_cat: {entry}\n")


def test_shares_of_ages_reach_the_chain(tmp_path):
    keys = [one.key for one in animal_tables.age_classes("coyote_west") if one.mass.known][:2]
    job = job_of(tmp_path, f"  coyote_west: {{ages: {{{keys[0]}: 2, {keys[1]}: 1}}}}\n")
    mix = job.contexts[READY].mixes["coyote_west"]
    assert mix.known and mix.weight.tolist() == pytest.approx([2 / 3, 1 / 3])
    fails(tmp_path, "no classes of age", animals="  cottontail: {ages: {adult: 1}}\n")


def test_a_record_of_the_site_reaches_the_chain_and_brings_its_animal(tmp_path):
    job = job_of(tmp_path, site="    record: {badger: {visits: 4, contacts: 2, nights: 12}}\n")
    context = job.contexts[READY]
    assert context.records["badger"].contacts == 2 and "badger" in context.species
    assert job_of(tmp_path).contexts[READY].records == {}


@pytest.mark.parametrize(
    ("record", "words"),
    [
        ("{badger: {visits: 2, contacts: 3}}", "cannot be more of them than visits"),
        ("{badger: {visits: -1}}", "visits"),
        ("{badger: {visits: 1, nights: 0}}", "nights"),
        ("{badgr: {visits: 1}}", "did you mean badger"),
    ],
)
def test_a_record_that_cannot_be_is_an_error(tmp_path, record, words):
    fails(tmp_path, words, site=f"    record: {record}\n")


def test_sign_none_against_visits_seen_is_an_error(tmp_path):
    sign = re.search(r"sign: \{(\w+): \w+", DEMO[DEMO.index(f"- id: {READY}") :])
    head, tail = DEMO[: DEMO.index(f"- id: {READY}")], DEMO[DEMO.index(f"- id: {READY}") :]
    tail = re.sub(r"sign: \{(\w+): \w+", r"sign: {\1: none", tail, count=1)
    tail = tail.replace("\n", f"\n    record: {{{sign.group(1)}: {{visits: 2, nights: 5}}}}\n", 1)
    path = tmp_path / "line-book.yaml"
    path.write_text(head + tail, encoding="utf-8")
    with pytest.raises(BadInput, match="which is it") as caught:
        read_job(path, draws=60)
    assert caught.value.line is not None


def test_notes_on_pans_move_the_load_model_of_the_line(tmp_path):
    note = "notes_on_pans:\n  - {species: coyote_west, trip_force: 4 lbf, fired: %d, of: 20}\n"
    low, high = (job_of(tmp_path, extra=note % fired).contexts[READY] for fired in (3, 19))
    assert low.posterior.location[0] < high.posterior.location[0] and low.posterior.used == 1
    assert job_of(tmp_path).contexts[READY].posterior is None
    assert all(c.posterior is not None for c in job_of(tmp_path, extra=note % 3).contexts.values())
    fails(tmp_path, "more often", extra=note.replace("of: 20", "of: 2") % 3)


def test_records_of_designs_reach_the_chain_and_wrong_keys_are_named(tmp_path):
    pattern = job_of(tmp_path).stated[READY].trap.pattern
    entry = "rig_records:\n  - pattern: %s\n    findings: [{injuries: []}, {injuries: [%s], seen_by: necropsy}]\n"
    found = job_of(tmp_path, extra=entry % (pattern, "I01")).contexts[READY].rig_records[pattern]
    assert [one.injuries for one in found.findings] == [(), ("I01",)]
    fails(tmp_path, "scale of injuries", extra=entry % (pattern, "I99x"))
    fails(tmp_path, "has that pattern", extra=entry % ("no-such", "I01"))
    test = "rig_records:\n  - pattern: %s\n    tests: [{document: d, place: p, criterion: nothing, figure: 0.9}]\n"
    fails(tmp_path, "no such criterion", extra=test % pattern)
