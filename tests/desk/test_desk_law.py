"""The demo line judged by a pack: set by set, with citation, cure and the question for the warden."""

from __future__ import annotations

import json
from datetime import date

import pytest
from jsonschema import Draft202012Validator

from setwright.basis.errors import BadInput
from setwright.basis.tables import DATA
from setwright.desk.law import law
from setwright.desk.law_document import LawSheet
from setwright.desk.schemas import schema_of

BOOK = DATA / "demo" / "line-book.yaml"


@pytest.fixture(scope="module")
def judged():
    return law("orrin", book=BOOK)


def rules_of(sheet, site):
    return {(rule.pack, rule.rule): rule for one in sheet.sets if one.site == site for rule in one.rules}


def test_the_demo_set_by_set(judged):
    answers = {one.site: one.law for one in judged.sets}
    assert len(answers) == 18
    assert answers["ridge"] == "meets" and answers["trail"] == "breaks" and answers["gate"] == "breaks"
    trail = rules_of(judged, "trail")["orrin", "trail"]
    assert trail.answer == "breaks" and "25 ft" in trail.cure and "s. 6(1)" in trail.citation
    assert LawSheet.model_validate_json(judged.model_dump_json(by_alias=True)) == judged
    Draft202012Validator(json.loads(schema_of("law"))).validate(json.loads(judged.model_dump_json(by_alias=True)))


def test_the_question_to_the_warden_is_whole(judged):
    drags = next(question for question in judged.ask if "drags" in question.text)
    assert drags.to.startswith("Caldera Wildlife Office") and drags.sets
    for word in (
        "Orrin County",
        "what do the rules",
        "dirt-hole",
        "western coyote",
        "2026-12-20",
    ):
        assert word in drags.text, drags.text
    assert all(question.to == "yourself" for question in judged.look)


def test_a_site_without_a_trap_leaves_open_what_hangs_on_it(judged):
    barn = rules_of(judged, "barn")
    assert barn["orrin", "jaw-spread-land"].answer == "cannot tell"
    assert barn["orrin", "dwelling"].answer == "meets"


def test_another_law_replaces_that_of_the_book_and_finds_the_place_wrong():
    sheet = law("sable", book=BOOK, site="ridge")
    assert [pack.name for pack in sheet.packs] == ["sable", "best-practice"]
    found = rules_of(sheet, "ridge")
    assert all(rule.answer == "cannot tell" for (pack, _), rule in found.items() if pack == "sable")
    assert any("outside the area" in rule.reason for rule in found.values())


def test_a_permit_is_judged_beside_the_law_of_the_book():
    sheet = law("orrin-permit", book=BOOK, site="crossover")
    assert [pack.kind for pack in sheet.packs] == ["law", "permit", "profile"]
    purpose = rules_of(sheet, "crossover")["orrin-permit", "purpose"]
    assert purpose.answer == "breaks", "the book says fur, which the permit is not for"


def test_a_pack_of_another_season():
    sheet = law("orrin", book=BOOK, site="ridge", on=date(2028, 12, 20))
    assert sheet.packs[0].stale and sheet.sets[0].law != "meets"
    assert any("not in force" in remark.text for remark in sheet.remarks)


def test_a_pack_alone_shows_its_topics():
    sheet = law("orrin", on=date(2026, 12, 20))
    assert {topic.topic: topic.state for topic in sheet.topics}["drags"] == "unknown"
    assert "drags" in sheet.say and not sheet.sets
    assert any("no legal advice" in note for note in sheet.notes)


@pytest.mark.parametrize(
    ("words", "more"),
    [("comes with the program", {"pack": "orin"}), ("cannot be read", {"pack": "absent.yaml"}),
     ("no such site", {"pack": "orrin", "book": BOOK, "site": "nowhere"}),
     ("with its book", {"pack": "orrin", "site": "ridge"})],
)  # fmt: skip
def test_bad_requests_say_what_is_allowed(words, more):
    with pytest.raises(BadInput, match=words):
        law(more["pack"], book=more.get("book"), site=more.get("site"))


def test_traps_that_stand_nowhere_are_judged_by_the_rules_that_ask_for_the_trap_alone():
    found = {one.traps[0]: one for one in law("orrin", book=DATA / "demo" / "line-book.yaml").spare}
    # T-01 stands at a set and T-02 to T-06 do not; a long-spring of light pan meets all but the rule for coyotes.
    assert found["T-02"].traps == ["T-02", "T-03", "T-04", "T-05", "T-06"]
    coyote, fox, water = found["T-02"].uses
    assert (coyote.law, fox.law, water.law) == ("breaks", "breaks", "meets")
    assert fox.use == "on land, for red fox, raccoon" and fox.sets == [2, 5, 6, 9]
    jaws = next(rule for one in found["T-02"].uses for rule in one.rules if rule.rule == "jaws-land")
    assert jaws.answer == "breaks" and jaws.citation and jaws.cure
    assert water.use.startswith("in water, for beaver, muskrat") and water.sets == [*range(10, 19)]
    assert {rule.topic for one in found["T-35"].uses for rule in one.rules} <= {
        "jaw-spread", "jaw-form", "teeth", "pan-trip-force", "tag", "device",
    }  # fmt: skip
    assert [one.law for one in found["T-35"].uses] == ["breaks", "meets"]
