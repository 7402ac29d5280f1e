"""Law, permit, landowner and profile together: each is named, and only a permit takes away."""

from __future__ import annotations

from datetime import date

import pytest

from law.law_case import BREAKS, DOUBT, MEETS, ON, facts, pack_of
from setwright.basis.verdict import Answer
from setwright.law.compose import compose, together
from setwright.law.facts import Fact
from setwright.law.tables import shipped_pack

PACKS = [(name, shipped_pack(name)) for name in ("orrin", "orrin-permit", "orrin-farm", "best-practice")]
STATED = {"seasons": shipped_pack("orrin").topics["seasons"]}
CROSSOVER = {
    "medium": "water", "set_type": "crossover", "distance__dam": 1.0, "purpose": "damage-control",
    "own:otter-guard": True,
}  # fmt: skip


def by_rule(found):
    return {(one.pack, one.finding.rule): one for one in found}


def ask(known, *, packs=PACKS, on=ON, species="beaver"):
    return by_rule(compose(packs, facts(**known), on=on, species=species))


def test_each_pack_answers_by_its_own_name():
    found = ask(CROSSOVER)
    assert {pack for pack, _ in found} == {"orrin", "orrin-permit", "orrin-farm", "best-practice"}
    assert found["orrin-permit", "purpose"].kind == "permit"
    assert found["orrin-permit", "purpose"].finding.answer is MEETS


@pytest.mark.parametrize(
    ("change", "on", "expected"),
    [
        ({}, ON, MEETS), ({"own:otter-guard": False}, ON, BREAKS), ({"own:otter-guard": Fact(None)}, ON, DOUBT),
        ({}, date(2027, 1, 2), BREAKS), ({}, date(2026, 11, 1), BREAKS),
    ],
)  # fmt: skip
def test_a_permit_sets_aside_what_it_names_while_it_runs_and_holds(change, on, expected):
    one = ask({**CROSSOVER, **change}, on=on)["orrin", "dam"]
    assert one.finding.answer is expected
    assert one.aside == ("orrin-permit" if expected is MEETS else "")
    if expected is MEETS:
        assert "permit" in dict(one.finding.reason.values)["named"].template


def test_a_permit_opens_the_season_for_its_animal_alone():
    day = date(2026, 11, 3)
    shut = [(name, pack) for name, pack in PACKS if name != "orrin"]
    late = PACKS[0][1].model_copy(
        update={"seasons": [row.model_copy(update={"open": date(2026, 12, 1)}) for row in PACKS[0][1].seasons[:4]]}
    )
    packs = [("orrin", late), *shut]
    assert ask(CROSSOVER, packs=packs, on=day)["orrin", "season:beaver"].finding.answer is MEETS
    assert ask(CROSSOVER, packs=packs[:1], on=day)["orrin", "season:beaver"].finding.answer is BREAKS
    assert ask(CROSSOVER, packs=packs, on=day, species="raccoon")["orrin", "season:raccoon"].finding.answer is BREAKS


def test_a_permit_that_nobody_checked_leaves_a_doubt():
    unchecked = PACKS[1][1].model_copy(update={"checked_on": None})
    found = ask(CROSSOVER, packs=[PACKS[0], ("permit", unchecked)])["orrin", "dam"]
    assert found.finding.answer is DOUBT and found.finding.open_text


def test_terms_of_a_landowner_bind_and_lift_nothing():
    known = {"land_tenure": "private", "distance__barn": 10.0, "medium": "land", "permission": True}
    found = ask(known)
    assert found["orrin-farm", "not-by-the-barn"].finding.answer is BREAKS
    assert together(found.values()) is BREAKS
    assert together(found.values(), kinds=("law", "permit")) is not BREAKS


def test_a_profile_is_no_law():
    found = compose([PACKS[3]], facts(toothed=True), on=ON, species="beaver")
    assert together(found) is DOUBT, "no pack of law: every legal question is open"
    assert BREAKS in {one.finding.answer for one in found}


def test_a_gap_of_one_pack_of_law_is_filled_by_another():
    state = pack_of(more="topics: {tag: unknown}\n")
    county = pack_of(
        more="topics: {tag: {state: none, citation: c}}\nseasons:\n"
        "  - {species: fox, open: 2026-11-01, close: 2027-01-01, citation: c}\n"
    )
    county = county.model_copy(update={"topics": {**county.topics, **STATED}})
    alone = by_rule(compose([("state", state)], facts(), on=ON, species="fox"))
    both = by_rule(compose([("state", state), ("county", county)], facts(), on=ON, species="fox"))
    assert ("state", "topic:tag") in alone and ("state", "topic:tag") not in both
    assert both["county", "season:fox"].finding.answer is MEETS


@pytest.mark.parametrize("answer", list(Answer))
def test_together_is_the_weakest(answer):
    rule = "kind: require\ncheck: {boolean: {feature: 'own:a', is: true}}"
    state = {MEETS: True, BREAKS: False, DOUBT: None}[answer]
    pack = pack_of(rules=rule).model_copy(update={"kind": "landowner"})
    found = compose([("p", pack)], facts(**{"own:a": Fact(state)}), on=ON, species="fox")
    assert together(found, kinds=("landowner",)) is (BREAKS if answer is BREAKS else DOUBT)
