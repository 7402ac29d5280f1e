"""Three-valued answers: truth tables, boundaries, spreads, exceptions, priorities, staleness."""

from __future__ import annotations

import sqlite3
from datetime import date, timedelta
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from law.law_case import BREAKS, DOUBT, HEAD, INCH, MEETS, ON, answer, at, facts, finding, pack_of
from setwright.basis.verdict import Answer, all_of, any_of
from setwright.law.answer import judge, plan_answer
from setwright.law.evaluate_number import compare
from setwright.law.facts import Fact, Facts
from setwright.law.pack import TOPICS
from setwright.law.tables import read_pack, shipped_pack, shipped_packs

DOG = "inside_dog_across_pan"
STATES = {MEETS: True, BREAKS: False, DOUBT: None}
CAP = "kind: limit\ncheck: {limit: {feature: jaw_spread, method: inside_dog_across_pan, op: '<=', value: 5 3/4 in}}"


@pytest.mark.parametrize(("a", "b"), list(product(STATES, STATES)))
def test_truth_tables_are_those_of_a_database(a, b):
    """SQL's logic of NULL is Kleene's: SQLite, an independent program, answers the same."""
    sql = sqlite3.connect(":memory:").execute(
        "SELECT ? AND ?, ? OR ?, NOT ?", (STATES[a], STATES[b]) * 2 + (STATES[a],)
    )
    back = {1: MEETS, 0: BREAKS, None: DOUBT}
    both, either, neither = (back[found] for found in sql.fetchone())
    assert (all_of([a, b]), any_of([a, b]), a.negated()) == (both, either, neither)


def strength(answer_):
    return {BREAKS: 0, DOUBT: 1, MEETS: 2}[answer_]


@pytest.mark.parametrize(("a", "b"), list(product(STATES, STATES)))
def test_truth_tables_of_all_any_not(a, b):
    """Kleene: conjunction is the weaker, disjunction the stronger, negation turns the order round."""
    known = facts(**{"own:a": Fact(STATES[a]), "own:b": Fact(STATES[b])})
    one, two = "{boolean: {feature: 'own:a', is: true}}", "{boolean: {feature: 'own:b', is: true}}"
    both = answer(pack_of(rules=f"kind: require\ncheck: {{all_of: [{one}, {two}]}}"), known)
    either = answer(pack_of(rules=f"kind: require\ncheck: {{any_of: [{one}, {two}]}}"), known)
    neither = answer(pack_of(rules=f"kind: require\ncheck: {{not: {{any_of: [{one}, {two}]}}}}"), known)
    assert strength(both) == min(strength(a), strength(b)), "all of: the weaker"
    assert strength(either) == max(strength(a), strength(b)), "any of: the stronger"
    assert strength(neither) == 2 - max(strength(a), strength(b)), "not: turned round"


@pytest.mark.parametrize(("applies", "check"), list(product(STATES, STATES)))
def test_applicability(applies, check):
    known = facts(**{"own:a": Fact(STATES[applies]), "own:b": Fact(STATES[check])})
    rule = (
        "kind: require\napplies: {when: {boolean: {feature: 'own:a', is: true}}}\n"
        "check: {boolean: {feature: 'own:b', is: true}}"
    )
    expected = {BREAKS: None, MEETS: check, DOUBT: MEETS if check is MEETS else DOUBT}[applies]
    assert answer(pack_of(rules=rule), known) is expected


@pytest.mark.parametrize(("check", "lifts"), list(product(STATES, STATES)))
def test_an_exception_lifts_only_when_certain(check, lifts):
    known = facts(**{"own:a": Fact(STATES[check]), "own:b": Fact(STATES[lifts])})
    rule = (
        "kind: require\ncheck: {boolean: {feature: 'own:a', is: true}}\n"
        "unless: [{when: {boolean: {feature: 'own:b', is: true}}}]"
    )
    expected = MEETS if MEETS in (check, lifts) else check if lifts is BREAKS else DOUBT
    assert answer(pack_of(rules=rule), known) is expected


@pytest.mark.parametrize("inches", [5.75, 5.749, 5.751])
def test_boundary_is_inclusive(inches):
    known = facts(jaw_spread=Fact(inches * INCH, method=DOG))
    assert answer(pack_of(rules=CAP), known) is (BREAKS if inches > 5.75 else MEETS)


def test_a_reading_that_straddles_cannot_tell_and_asks():
    known = facts(jaw_spread=Fact(5.7 * INCH, 5.6 * INCH, 5.8 * INCH, DOG))
    found = finding(pack_of(rules=CAP), known)
    assert found.answer is DOUBT
    assert "jaw spread" in str(found.question.values), "the question names what to measure"


@pytest.mark.parametrize("state", ["none", "unknown"])
def test_a_limit_that_is_none_or_unknown(state):
    rule = f"kind: limit\ncheck: {{limit: {{feature: chain_length, op: '<=', value: {state}}}}}"
    assert answer(pack_of(rules=rule), facts(chain_length=0.3)) is (MEETS if state == "none" else DOUBT)


@given(
    st.floats(0.01, 1.0), st.floats(0, 0.2), st.floats(0, 0.2), st.floats(0, 1), st.floats(0, 1),
    st.sampled_from(["<", "<=", ">", ">="]), st.floats(0.01, 1.0),
)  # fmt: skip
def test_a_narrower_reading_never_flips(value, below, above, keep_low, keep_high, op, limit):
    wide = compare((value - below, value + above), op, limit)
    narrow = compare((value - keep_low * below, value + keep_high * above), op, limit)
    assert wide is DOUBT or narrow is wide, f"{wide} became {narrow} when the reading was narrowed"


TRUTHS = ["offset", "laminated", "padded", "toothed", "base_swivel", "drag", "submersion", "bait_present"]
TRUTHS += ["bait_visible", "tag_name", "tag_number", "permission", "under_ice"]
NUMBERS = {"pan_trip_force": 20.0, "swivel_count": 4.0, "traps_out": 80.0, "distance:dwelling": 90.0}
NUMBERS |= {"distance:public-trail": 20.0, "distance:dam": 8.0, "check_interval": 200000.0}


@st.composite
def sets(draw):
    """A set with any facts known or not."""
    found = {name: Fact(draw(st.sampled_from([True, False, None]))) for name in TRUTHS}
    for name, most in NUMBERS.items():
        value = draw(st.one_of(st.none(), st.floats(0, most)))
        found[name] = Fact(value)
    spread = draw(st.one_of(st.none(), st.floats(0.05, 0.25)))
    half = draw(st.floats(0, 0.01))
    found["jaw_spread"] = Fact(None) if spread is None else Fact(spread, spread - half, spread + half, DOG)
    found["medium"] = Fact(draw(st.sampled_from(["land", "water", None])))
    found["land_tenure"] = Fact(draw(st.sampled_from(["private", "public", "own", None])))
    found["family"] = Fact(draw(st.sampled_from(["coil", "long", "other", None])))
    return Facts(found)


SPECIES = ["coyote_west", "red_fox", "raccoon", "beaver", "muskrat", "mink", "river_otter", "bobcat"]


def by_rule(found):
    return {item.rule: item for item in found}


@settings(max_examples=60, deadline=None)
@given(sets(), st.sampled_from(SPECIES), st.sampled_from(shipped_packs()), st.data())
def test_learning_a_fact_never_flips_a_rule(known, species, name, data):
    """What was meets or breaks stays so (or ceases to apply) when an unknown becomes known."""
    pack = shipped_pack(name)
    unknown = [key for key in known if known[key].value is None and key in (*TRUTHS, "medium")]
    if not unknown:
        return
    key = data.draw(st.sampled_from(unknown))
    value = data.draw(st.sampled_from(["land", "water"] if key == "medium" else [True, False]))
    before = by_rule(judge(pack, known, on=ON, species=species))
    after = by_rule(judge(pack, known.with_facts(**{key: Fact(value)}), on=ON, species=species))
    for rule, item in before.items():
        if item.answer is not DOUBT and rule in after:
            assert after[rule].answer is item.answer, f"{rule} flipped when {key} became {value}"
        if item.answer is BREAKS:
            assert rule in after, f"a breach of {rule} vanished when {key} became {value}"
    permits = {rule.id for rule in pack.rules if rule.kind == "permit"}
    assert set(after) <= set(before) | permits, "a rule that may apply is shown before it is known to"


@settings(max_examples=60, deadline=None)
@given(sets(), st.sampled_from(SPECIES), st.sampled_from(shipped_packs()))
def test_the_same_question_gives_the_same_answer_in_any_order(known, species, name):
    pack = shipped_pack(name)
    first = judge(pack, known, on=ON, species=species)
    turned = Facts(dict(reversed(list(known.values.items()))))
    assert judge(pack, known, on=ON, species=species) == first
    assert judge(pack, turned, on=ON, species=species) == first
    assert plan_answer(reversed(first)) is plan_answer(first)


@settings(max_examples=60, deadline=None)
@given(sets(), st.sampled_from(SPECIES), st.sampled_from(shipped_packs()))
def test_every_doubt_asks_and_every_finding_cites(known, species, name):
    for item in judge(shipped_pack(name), known, on=ON, species=species):
        assert item.citation, f"{item.rule} has a citation"
        assert (item.question is not None) == (item.answer is DOUBT), f"{item.rule}: a question where it cannot tell"
        assert item.cure is None or item.answer is not MEETS, f"{item.rule}: nothing to mend where it meets"


@pytest.mark.parametrize("name", shipped_packs())
def test_nothing_known_meets_nothing_but_duties_and_seasons(name):
    found = judge(shipped_pack(name), Facts({}), on=ON, species="coyote_west")
    met = {item.topic for item in found if item.answer is MEETS}
    assert met <= {"reports", "seasons"}, f"unknown facts meet {met}"


@settings(max_examples=40, deadline=None)
@given(sets(), st.sampled_from(SPECIES))
def test_a_stale_pack_meets_nothing_and_keeps_its_breaches(known, species):
    pack = shipped_pack("orrin")
    unchecked = pack.model_copy(update={"checked_on": None})
    fresh, doubted = (judge(p, known, on=ON, species=species) for p in (pack, unchecked))
    assert [item.rule for item in fresh] == [item.rule for item in doubted]
    for one, other in zip(fresh, doubted, strict=True):
        assert other.answer is (DOUBT if one.answer is MEETS else one.answer)


@pytest.mark.parametrize(
    ("change", "on", "is_stale"),
    [
        ({}, ON, False),
        ({}, date(2026, 6, 30), True),
        ({}, date(2027, 6, 30), False),
        ({}, date(2027, 7, 1), True),
        ({"checked_on": None}, ON, True),
        ({"checked_on": date(2026, 6, 30)}, ON, True),
        ({"checked_on": date(2026, 7, 1)}, ON, False),
        ({"checked_by": " "}, ON, True),
    ],
)
def test_staleness(change, on, is_stale):
    pack = pack_of(rules="kind: forbid\ncheck: {boolean: {feature: toothed, is: true}}").model_copy(update=change)
    assert answer(pack, facts(toothed=False), on=on) is (DOUBT if is_stale else MEETS)


def test_a_profile_does_not_go_stale_and_has_no_topics():
    found = judge(shipped_pack("best-practice"), facts(toothed=False), on=date(2040, 1, 1), species="mink")
    assert by_rule(found)["no-teeth"].answer is MEETS
    assert not [item for item in found if item.rule.startswith(("topic:", "season:"))]


def test_topics_that_are_absent_or_unknown_cannot_be_told():
    found = by_rule(judge(pack_of(more="topics: {tag: unknown}\n"), Facts({}), on=ON, species="fox"))
    assert set(found) == {f"topic:{topic}" for topic in TOPICS}
    assert all(item.answer is DOUBT for item in found.values())
    idle = by_rule(judge(pack_of(), facts(drag=False, toothed=False), on=ON, species="fox"))
    assert "topic:drags" not in idle, "a topic that cannot touch this set is idle"


def test_none_with_a_citation_is_free():
    pack = pack_of(more="topics: {trap-count: {state: none, citation: order 1}}\n")
    assert "topic:trap-count" not in by_rule(judge(pack, Facts({}), on=ON, species="fox"))


@pytest.mark.parametrize(("submersion", "expected"), [(True, None), (False, BREAKS), (None, DOUBT)])
def test_the_welfare_default_is_for_sets_that_hold_alive(submersion, expected):
    pack = pack_of(more="topics: {check-interval: {state: none, citation: order 1}}\n")
    known = facts(submersion=submersion, check_interval=60 * 3600.0)
    found = by_rule(judge(pack, known, on=ON, species="fox")).get("welfare:check-interval")
    assert (None if found is None else found.answer) is expected


@pytest.mark.parametrize(
    ("species", "submersion", "expected"),
    [("beaver", True, MEETS), ("raccoon", True, BREAKS), ("raccoon", False, None), ("raccoon", None, DOUBT)],
)
def test_a_permit_sets_aside_what_is_forbidden(species, submersion, expected):
    known = facts(submersion=submersion, medium="water")
    found = [f for f in judge(shipped_pack("orrin"), known, on=ON, species=species) if f.topic == "submersion"]
    assert (all_of(f.answer for f in found) if found else None) is expected


def test_a_permit_that_is_not_certain_leaves_a_doubt():
    found = by_rule(judge(shipped_pack("orrin"), facts(submersion=True), on=ON, species="mink"))
    assert found["submersion"].answer is DOUBT, "land or water is not known"


@pytest.mark.parametrize(
    ("on", "inches", "expected"), [(ON, 7.9, MEETS), (date(2026, 9, 1), 7.9, BREAKS), (ON, 8.1, BREAKS)]
)
def test_a_limit_that_goes_with_a_season(on, inches, expected):
    known = facts(medium="water", jaw_spread=Fact(inches * INCH, method=DOG))
    assert (
        by_rule(judge(shipped_pack("orrin"), known, on=on, species="beaver"))["jaw-spread-water"].answer is expected
    )


@pytest.mark.parametrize(
    ("species", "on", "expected"),
    [
        ("coyote_west", ON, MEETS), ("coyote_west", date(2026, 10, 14), BREAKS),
        ("coyote_west", date(2026, 10, 15), MEETS),
        ("mink", date(2027, 1, 31), MEETS), ("mink", date(2027, 2, 1), BREAKS), ("river_otter", ON, BREAKS),
        ("bobcat", ON, DOUBT),
    ],
)  # fmt: skip
def test_seasons(species, on, expected):
    found = by_rule(judge(shipped_pack("orrin"), Facts({}), on=on, species=species))
    assert found[f"season:{species}"].answer is expected


def test_a_rule_out_of_force_is_not_asked():
    rule = "kind: forbid\neffective: {from: 2027-01-01}\ncheck: {boolean: {feature: toothed, is: true}}"
    assert answer(pack_of(rules=rule), facts(toothed=True)) is None
    assert answer(pack_of(rules=rule), facts(toothed=True), on=date(2027, 1, 1)) is BREAKS


def test_other_names_of_a_species():
    pack = pack_of(
        rules="kind: forbid\napplies: {species: [fisher_cat]}",
        more="definitions: {species: {fisher_cat: [fisher]}}\n",
    )
    assert answer(pack, Facts({}), species="fisher") is BREAKS
    assert answer(pack, Facts({}), species="fox") is None


@pytest.mark.parametrize("hours", [10, 22.9, 30, 48, 49.1, 80])
def test_hours_alone_tell_of_calendar_days_only_what_is_certain(hours):
    pack = pack_of(rules="kind: require\ncheck: {interval: {every: P1D}}")
    expected = MEETS if hours <= 23 else BREAKS if hours > 49 else DOUBT
    assert answer(pack, facts(check_interval=hours * 3600.0)) is expected
    if expected is not DOUBT:
        for start in range(24):
            made = at(8, start)
            exact = facts(made=made, last_visit=made, next_visit=made + timedelta(hours=hours))
            assert answer(pack, exact) is expected, f"set at {start} h"


def test_a_visit_at_the_midnight_that_ends_the_day_is_late():
    pack = pack_of(rules="kind: require\ncheck: {interval: {every: P1D}}")
    made = at(8, 9)
    assert answer(pack, facts(last_visit=made, next_visit=at(10, 0))) is BREAKS
    assert answer(pack, facts(last_visit=made, next_visit=at(9, 23.9))) is MEETS


def test_plan_answer():
    assert plan_answer([]) is MEETS
    assert any_of([]) is Answer.BREAKS
    assert read_pack(HEAD, file="x").rules == []
