"""What the look at a pack by itself finds, and what it leaves alone."""

from __future__ import annotations

from datetime import date

import pytest

from law.law_case import HEAD, ON
from setwright.law.lint import coverage, lint
from setwright.law.pack import TOPICS
from setwright.law.tables import read_pack, shipped_pack, shipped_packs

RULE = "  - {id: %s, topic: other, text: t, citation: c, confidence: seen, %s}\n"


def pack_with(*rules, more=""):
    lines = "".join(RULE % (name, body) for name, body in zip("abcdef", rules, strict=False))
    return read_pack(HEAD.replace("invented: true\n", "") + more + (f"rules:\n{lines}" if rules else ""), file="x")


def found(pack, level, on=ON):
    return [remark.place for remark in lint(pack, on) if remark.level == level]


CHAIN = "kind: limit, check: {limit: {feature: chain_length, op: '%s', value: %s}}"
SHORT = CHAIN % ("<=", "10 in")


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (CHAIN % ("<=", "10 in"), CHAIN % (">=", "12 in")),
        (CHAIN % ("<", "12 in"), CHAIN % (">=", "12 in")),
        ("kind: require, check: {boolean: {feature: drag, is: true}}",
         "kind: forbid, check: {boolean: {feature: drag, is: true}}"),
        ("kind: require, check: {one_of: {feature: family, words: [coil]}}",
         "kind: require, check: {one_of: {feature: family, words: [long]}}"),
        ("kind: require, check: {clock_window: {activity: visit, open: {from: '05:00', to: '08:00'}}}",
         "kind: require, check: {clock_window: {activity: visit, open: {from: '12:00', to: '15:00'}}}"),
    ],
)  # fmt: skip
def test_rules_that_no_set_can_meet_are_named_together(first, second):
    assert found(pack_with(first, second), "fault") == ["a, b"]


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (CHAIN % ("<=", "12 in"), CHAIN % (">=", "12 in")),
        (SHORT + ", applies: {medium: land}", CHAIN % (">=", "12 in") + ", applies: {medium: water}"),
        (CHAIN % ("<=", "10 in") + ", priority: 3", CHAIN % (">=", "12 in")),
        ("kind: require, check: {clock_window: {activity: visit, open: {from: '05:00', to: sunset}}}",
         "kind: require, check: {clock_window: {activity: visit, open: {from: '12:00', to: '15:00'}}}"),
    ],
)  # fmt: skip
def test_rules_that_can_stand_together_are_left_alone(first, second):
    assert found(pack_with(first, second), "fault") == []


def test_a_rule_that_never_binds_is_doubted():
    tight, loose = CHAIN % ("<=", "10 in"), CHAIN % ("<=", "12 in")
    assert "a, b" in found(pack_with(tight, loose), "doubt")
    assert "a, b" in found(pack_with(tight, tight), "doubt"), "the same rule twice"
    assert "a, b" in found(pack_with(tight, loose + ", applies: {medium: land}"), "doubt")
    assert "a, b" not in found(pack_with(tight + ", applies: {medium: land}", loose), "doubt"), (
        "in water the loose one binds"
    )


def test_dates_that_lie_outside_and_rows_that_disagree():
    season = "seasons:\n  - {species: fox, open: 2025-11-01, close: 2025-12-01, citation: c}\n"
    assert found(pack_with(more=season), "fault") == ["season of fox"]
    both = "seasons:\n  - {species: fox, open: 2026-11-01, close: 2027-01-01, citation: c}\n"
    both += "  - {species: fox, closed: true, citation: c}\n"
    assert found(pack_with(more=both), "fault") == ["season of fox"]
    assert found(pack_with(CHAIN % ("<=", "9 in") + ", effective: {from: 2028-01-01}"), "fault") == ["a"]


def test_what_is_left_open_is_told():
    spread = "kind: limit, check: {limit: {feature: jaw_spread, op: '<=', value: 5 in}}"
    assert "a" in found(pack_with(spread), "doubt"), "how it is measured is not said"
    told = "definitions: {jaw_spread_method: inside_widest}\n"
    assert "a" not in found(pack_with(spread, more=told), "doubt")
    number = "kind: limit, check: {limit: {feature: nominal_size, op: '<=', value: '4'}}"
    assert "a" in found(pack_with(number), "doubt"), "no list of numbers"
    assert "a" in found(pack_with("kind: require, check: {interval: {every: unknown}}"), "doubt")
    assert "a" in found(pack_with("kind: require, check: {bait: {visible_from: defined}}"), "fault")
    assert "a" in found(pack_with("kind: forbid, applies: {zone: [nowhere]}"), "note")
    assert "a" in found(pack_with("kind: permit"), "note"), "nothing below it"
    memory = pack_with(CHAIN % ("<=", "9 in")).model_copy()
    memory.rules[0] = memory.rules[0].model_copy(update={"confidence": "memory"})
    assert "a" in found(memory, "doubt")


def test_a_pack_of_another_season_is_told():
    assert "checked_on" in found(shipped_pack("orrin"), "doubt", on=date(2028, 1, 1))
    assert "checked_on" not in found(shipped_pack("orrin"), "doubt")


def test_coverage_names_every_topic_that_law_must_speak_of():
    states = {one.topic: one.state for one in coverage(shipped_pack("orrin"))}
    assert set(TOPICS) <= set(states)
    assert states["drags"] == "unknown" and states["chain"] == "none" and states["tag"] == "stated"
    assert not any(one.needed for one in coverage(shipped_pack("best-practice")))


@pytest.mark.parametrize("name", shipped_packs())
def test_the_packs_that_come_along_have_no_fault(name):
    assert found(shipped_pack(name), "fault") == []
