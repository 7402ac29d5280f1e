"""Which soil is it: answers of thumb, ribbon, boot and stake weighed to classes with chances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

# A class is named only with this much of the chance; below it the answer is "cannot tell" (modelling choice).
SURE = 0.8


@dataclass(frozen=True, eq=False)
class Soils:
    """How likely each class of soil is after the answers given.

    Parameters
    ----------
    share : array (k,)
        Chance of each class [-]; NaN throughout when the answers contradict each other.
    best : int
        Index of the likeliest class; -1 when cannot tell.
    settles : int
        Index of the test, of those not yet made, that tells most; -1 when none is needed or none is left.
    told : array (t,)
        What each test that is not yet made is expected to tell [bit]; NaN for the tests made.

    """

    share: Floats
    best: int
    settles: int
    told: Floats


def weigh(prior: ArrayLike, likelihood: Sequence[ArrayLike]) -> Floats:
    """Chance of each class after some answers [-], shape (k,).

    Parameters
    ----------
    prior : array_like
        Chance before any answer, shape (k,) [-]; need not add up to 1.
    likelihood : sequence of array_like
        For each answer given: chance of that answer in each class, shape (k,) [-].

    Returns
    -------
    ndarray
        NaN throughout when no class gives all of the answers.

    Notes
    -----
    Bayes' rule with answers that do not depend on each other within a class, which is a doubt: a thumb and a ribbon
    both feel the same water.

    """
    share = np.asarray(prior, dtype=float)
    for one in likelihood:
        share = share * np.asarray(one, dtype=float)
    total = float(np.sum(share))
    return np.asarray(share / total if total > 0.0 else np.full(share.shape, np.nan))


def expected_told(share: ArrayLike, test: ArrayLike) -> float:
    """What a test is expected to tell about the class [bit], never below zero.

    Parameters
    ----------
    share : array_like
        Chance of each class so far, shape (k,) [-].
    test : array_like
        Chance of each answer in each class, shape (answers, k) [-]; columns add up to 1.

    References
    ----------
    Mutual information of class and answer (Shannon 1948, memory).

    """
    joint = np.asarray(test, dtype=float) * np.asarray(share, dtype=float)
    answer = np.sum(joint, axis=1, keepdims=True)
    with np.errstate(divide="ignore", invalid="ignore"):
        parts = joint * np.log2(joint / (answer * np.asarray(share, dtype=float)))
    return float(max(np.sum(np.where(joint > 0.0, parts, 0.0)), 0.0))


def by_hand(
    prior: ArrayLike, tests: Sequence[ArrayLike], answers: Sequence[int | None], *, sure: float = SURE
) -> Soils:
    """Class of soil from hand tests, honest about what they leave open.

    Parameters
    ----------
    prior : array_like
        Chance of each class before any test, shape (k,) [-].
    tests : sequence of array_like
        Of each test the chance of each answer in each class, shape (answers, k) [-].
    answers : sequence of int or None
        Index of the answer to each test; None for a test that was not made.
    sure : float
        Chance from which a class is named [-].

    Returns
    -------
    Soils
        With `best` -1 (cannot tell) below `sure`, and the test that settles most.

    Raises
    ------
    OutOfRange
        When an answer is none of its test's, or there are not as many answers as tests.

    """
    if len(answers) != len(tests):
        raise OutOfRange("one answer a test", field="answers", found=len(answers), allowed=str(len(tests)))
    given = []
    for number, (test, answer) in enumerate(zip(tests, answers, strict=True)):
        rows = np.asarray(test, dtype=float)
        if answer is None:
            continue
        if not 0 <= answer < rows.shape[0]:
            raise OutOfRange(
                "no such answer", field=f"answers[{number}]", found=answer, allowed=f"0 to {rows.shape[0] - 1}"
            )
        given.append(rows[answer])
    share = weigh(prior, given)
    told = np.array(
        [
            np.nan if answer is not None or bool(np.isnan(share).any()) else expected_told(share, test)
            for test, answer in zip(tests, answers, strict=True)
        ]
    )
    named = bool(np.nanmax(np.nan_to_num(share)) >= sure)
    open_tests = bool(np.any(told > 0.0))
    return Soils(
        share,
        int(np.argmax(share)) if named else -1,
        int(np.nanargmax(told)) if open_tests and not named else -1,
        told,
    )
