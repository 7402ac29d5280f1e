"""What a rule applies to, how a jaw is measured whose bars nobody measured, and a breach that names every way out."""

from __future__ import annotations

import math

import pytest

from law.law_case import BREAKS, DOUBT, FOOT, MEETS, answer, facts, finding, pack_of
from setwright.basis.say import Say
from setwright.basis.verdict import Answer
from setwright.law.evaluate import any_of
from setwright.law.facts import Fact
from setwright.law.measure import Jaws, added
from setwright.law.outcome import told

JAWS = {
    "offset": "offset",
    "laminated": "laminated",
    "padded": "padded",
    "double": "double_jawed",
    "toothed": "toothed",
}


def leaves(said: Say) -> list[str]:
    """Templates of a sentence and of the sentences in it."""
    inner = [value for _, value in said.values if isinstance(value, Say)]
    return [said.template, *(word for part in inner for word in leaves(part))]


@pytest.mark.parametrize("kind", JAWS)
def test_a_rule_for_jaws_of_a_kind_applies_to_them_alone(kind: str) -> None:
    pack = pack_of(
        rules=f"kind: require\napplies: {{jaw_type: [{kind}]}}\ncheck: {{boolean: {{feature: 'own:b', is: true}}}}"
    )
    plain = {**dict.fromkeys(JAWS.values(), False), "own__b": False}
    assert answer(pack, facts(**plain | {JAWS[kind]: True})) is BREAKS
    assert answer(pack, facts(**plain)) is None, "other jaws are no matter of this rule"
    unknown = {name: state for name, state in plain.items() if name != JAWS[kind]}
    assert answer(pack, facts(**unknown)) is DOUBT
    assert answer(pack, facts(**unknown | {"own__b": True})) is MEETS


def test_a_rule_for_regular_jaws_leaves_out_every_other_kind() -> None:
    pack = pack_of(
        rules="kind: require\napplies: {jaw_type: [regular]}\ncheck: {boolean: {feature: 'own:b', is: true}}"
    )
    plain = {**dict.fromkeys(JAWS.values(), False), "own__b": False}
    assert answer(pack, facts(**plain)) is BREAKS
    for name in JAWS.values():
        assert answer(pack, facts(**plain | {name: True})) is None


def test_bars_that_nobody_measured_leave_the_opening_open_below() -> None:
    for jaws in (Jaws(double_width=None), Jaws(lamination_inside=None)):
        assert added(jaws, "inside_dog_across_pan") == (-math.inf, 0.0)
    assert added(Jaws(lamination_inside=None), "inside_gripping_faces") == (-math.inf, 0.0)
    assert added(Jaws(lamination_outside=None, face_width=0.01), "outside_across_pan") == (0.02, math.inf)
    # Each bar stands on both sides of the opening.
    assert added(Jaws(lamination_inside=0.003, double_width=0.004), "inside_dog_across_pan") == (
        pytest.approx(-0.014),
        0.0,
    )


def test_where_one_of_several_would_do_each_is_named_with_what_mends_it() -> None:
    found = any_of(
        [
            told(BREAKS, Say("no tag"), Say("tag it")),
            told(BREAKS, Say("no name")),
            told(BREAKS, Say("no number"), Say("number it")),
        ]
    )
    assert found.answer is BREAKS and found.cure is not None
    assert sorted(word for word in leaves(found.reason) if word.startswith("no ")) == [
        "no name",
        "no number",
        "no tag",
    ]
    assert sorted(word for word in leaves(found.cure) if word.endswith(" it")) == ["number it", "tag it"]


def from_the_trail(reference: str, reading: Fact, width: float | None) -> Answer | None:
    pack = pack_of(
        rules=f"kind: require\ncheck: {{distance: {{to: trail, at_least: 10 ft, reference: {reference}}}}}"
    )
    return answer(pack, facts(distance__trail=reading, **({} if width is None else {"width__trail": width * FOOT})))


def read(feet: float, low: float | None = None, high: float | None = None, method: str | None = None) -> Fact:
    ends = (None if end is None else end * FOOT for end in (low, high))
    return Fact(feet * FOOT, *ends, method=method)


@pytest.mark.parametrize("feet", [6.5, 7.9, 8.1, 9.0, 9.9, 10.1, 11.9, 12.1, 14.0, 17.0])
@pytest.mark.parametrize("width", [0.5, 4.0, 6.0])
def test_edge_and_centre_line_lie_half_the_width_apart(feet: float, width: float) -> None:
    meets = {True: MEETS, False: BREAKS}
    from_centre = from_the_trail("edge", read(feet, method="centreline"), width)
    assert from_centre is meets[feet - 0.5 * width >= 10.0]
    from_edge = from_the_trail("centreline", read(feet, method="edge"), width)
    assert from_edge is meets[feet + 0.5 * width >= 10.0]


def test_a_rough_reading_from_the_other_line_leaves_it_open() -> None:
    # Read as 11 to 13 ft from the centre line of a trail 4 ft wide: 9 to 11 ft from its edge.
    assert from_the_trail("edge", read(12.0, 11.0, 13.0, "centreline"), 4.0) is DOUBT
    # Read as 7 to 9 ft from the edge: 9 to 11 ft from the centre line.
    assert from_the_trail("centreline", read(8.0, 7.0, 9.0, "edge"), 4.0) is DOUBT
    assert from_the_trail("centreline", read(8.0, method="edge"), None) is DOUBT
    assert from_the_trail("centreline", read(10.5, method="edge"), None) is MEETS
    assert from_the_trail("edge", read(9.5, method="centreline"), None) is BREAKS
    # Nobody knows which line the reading is from: it is the edge, the centre line or between them.
    assert from_the_trail("edge", read(11.0), 4.0) is DOUBT
    assert from_the_trail("edge", read(12.5), 4.0) is MEETS


def values(said: Say) -> dict[str, object]:
    """Values of a sentence and of the sentences in it."""
    found = {name: value for name, value in said.values if not isinstance(value, Say)}
    for _, value in said.values:
        if isinstance(value, Say):
            found |= values(value)
    return found


def test_what_cannot_be_told_asks_and_a_breach_says_the_reading() -> None:
    pack = pack_of(rules="kind: require\ncheck: {distance: {to: trail, at_least: 10 ft, reference: edge}}")
    open_, broken = (
        finding(pack, facts(distance__trail=read(feet, method=method)))
        for feet, method in ((12.0, "centreline"), (9.0, "edge"))
    )
    assert open_ is not None and open_.question is not None and open_.answer is DOUBT
    assert broken is not None and broken.question is None and broken.answer is BREAKS
    assert values(broken.reason)["value"] == pytest.approx(9.0 * FOOT)


def test_a_jaw_measured_another_way_is_asked_for_in_the_way_of_the_rule() -> None:
    pack = pack_of(
        rules="kind: limit\ncheck: {limit: {feature: jaw_spread, method: inside_widest, op: '<=', value: 5 in}}"
    )
    found = finding(pack, facts(jaw_spread=Fact(4.9 * FOOT / 12.0, method="inside_bare_jaws")))
    assert found is not None and found.answer is DOUBT and found.question is not None
    assert values(found.question)["how"] == "inside widest"
