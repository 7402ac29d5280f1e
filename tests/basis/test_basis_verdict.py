"""Three-valued answers and standings: whole truth tables."""

from __future__ import annotations

from itertools import permutations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from setwright.basis.verdict import Answer, Standing, all_of, any_of, standing_of_margin, worst

M, B, C = Answer.MEETS, Answer.BREAKS, Answer.CANNOT_TELL
BOTH = {(M, M): M, (M, B): B, (M, C): C, (B, M): B, (B, B): B, (B, C): B, (C, M): C, (C, B): B, (C, C): C}
EITHER = {(M, M): M, (M, B): M, (M, C): M, (B, M): M, (B, B): B, (B, C): C, (C, M): M, (C, B): C, (C, C): C}
ANSWERS = st.lists(st.sampled_from(list(Answer)), max_size=6)


@pytest.mark.parametrize(("pair", "expected"), BOTH.items())
def test_conjunction(pair: tuple[Answer, Answer], expected: Answer) -> None:
    assert all_of(pair) is expected


@pytest.mark.parametrize(("pair", "expected"), EITHER.items())
def test_disjunction(pair: tuple[Answer, Answer], expected: Answer) -> None:
    assert any_of(pair) is expected


def test_nothing_asked() -> None:
    assert all_of([]) is M, "no rule, nothing broken"
    assert any_of([]) is B, "no way named, none met"


@given(ANSWERS)
def test_negation_swaps_the_two(answers: list[Answer]) -> None:
    assert all_of(answers).negated() is any_of([answer.negated() for answer in answers])
    assert all(answer.negated().negated() is answer for answer in answers)


@given(ANSWERS)
def test_order_does_not_count(answers: list[Answer]) -> None:
    for order in list(permutations(answers))[:24]:
        assert all_of(order) is all_of(answers)
        assert any_of(order) is any_of(answers)


@given(ANSWERS, ANSWERS)
def test_joining_in_parts_is_joining_at_once(first: list[Answer], second: list[Answer]) -> None:
    assert all_of([all_of(first), all_of(second)]) is all_of(first + second)


def test_worst_standing() -> None:
    order = [Standing.SOUND, Standing.THIN, Standing.CANNOT_TELL, Standing.FAILS]
    for low, first in enumerate(order):
        for high, second in enumerate(order):
            assert worst([first, second]) is order[max(low, high)]
    assert worst([]) is Standing.CANNOT_TELL, "nothing was looked at"
    assert worst(iter([Standing.SOUND])) is Standing.SOUND


@pytest.mark.parametrize(
    ("margin", "expected"),
    [
        (1.0, Standing.SOUND),
        (0.0, Standing.FAILS),
        (-1.0, Standing.FAILS),
        (np.linspace(0.1, 1.0, 100), Standing.SOUND),
        (np.linspace(-0.2, 1.0, 100), Standing.THIN),
        (np.linspace(-1.0, 0.9, 100), Standing.FAILS),
        ([1.0, float("nan")], Standing.CANNOT_TELL),
        ([], Standing.CANNOT_TELL),
        ([float("inf")] * 3, Standing.SOUND),
    ],
)
def test_standing_of_a_margin(margin: object, expected: Standing) -> None:
    assert standing_of_margin(np.asarray(margin)) is expected


@given(st.lists(st.floats(-10, 10), min_size=1, max_size=40), st.floats(0, 5))
def test_more_margin_is_never_worse(values: list[float], more: float) -> None:
    order = [Standing.FAILS, Standing.THIN, Standing.SOUND]
    before, after = standing_of_margin(values), standing_of_margin(np.asarray(values) + more)
    assert order.index(after) >= order.index(before)
