"""Where an answer turns, against the figure that the document prints."""

from __future__ import annotations

from datetime import timedelta

import pytest

from law.law_case import MEETS, answer, at, facts, pack_of
from outside import hold, rows
from setwright.law.facts import Fact


def turn(met, low, high):
    """Value between `low` and `high` at which `met` changes, by halving."""
    start = met(low)
    assert start is not met(high), "the answer turns between the ends"
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if met(middle) is start else (low, middle)
    return 0.5 * (low + high)


def turning_value(feature, op, value, high):
    method = "inside_dog_across_pan"
    pack = pack_of(
        rules=f"""
        kind: limit
        check: {{limit: {{feature: {feature}, method: {method}, op: '{op}', value: {value}}}}}
        """
    )
    return 1000 * turn(lambda x: answer(pack, facts(**{feature: Fact(x, method=method)})) is MEETS, 1e-6, high)


def turning_distance(value):
    pack = pack_of(rules=f"kind: limit\ncheck: {{distance: {{to: place, at_least: {value}}}}}")
    return turn(lambda x: answer(pack, facts(distance__place=x)) is MEETS, 1.0, 1000.0)


def turning_hours(every, start):
    pack = pack_of(rules=f"kind: require\ncheck: {{interval: {{every: {every}}}}}")
    made = at(8, start)

    def met(hours):
        return answer(pack, facts(last_visit=made, next_visit=made + timedelta(hours=hours))) is MEETS

    return turn(met, 1.0, 400.0)


CHECKS = {"turning_value": turning_value, "turning_distance": turning_distance, "turning_hours": turning_hours}


@pytest.mark.parametrize("row", rows("law", "published"))
def test_published(row):
    hold(row, CHECKS)
