"""What a rule applies to, how a jaw is measured whose bars nobody measured, and a breach that names every way out."""

from __future__ import annotations

import math

import pytest

from law.law_case import BREAKS, DOUBT, MEETS, answer, facts, pack_of
from setwright.basis.say import Say
from setwright.law.evaluate import any_of
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
    assert {"no tag", "no name", "no number"} <= set(leaves(found.reason))
    assert {"tag it", "number it"} <= set(leaves(found.cure))
