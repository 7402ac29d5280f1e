"""How long the arithmetic of one closing must take on one core, from the measured pace of each kind of operation."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numba import njit
from timing import seconds

_ROUNDS = 20_000
_WIDE = 128
# Operations that the kernel does for a design with a round eye, counted in its source: at a node, over lanes side by
# side, and besides, one design after the other.
AT_NODE = {"add and multiply": 130.0, "divide": 10.0, "root": 3.0}
BESIDES = {"divide": 75.0, "root": 50.0, "sine": 36.0, "arc": 10.0}


@njit(cache=True)
def _multiply(values, more, out, rounds):
    for _ in range(rounds):
        for k in range(out.shape[0]):
            out[k] = values[k] * out[k] + more[k]


@njit(cache=True)
def _divide(values, more, out, rounds):
    for _ in range(rounds):
        for k in range(out.shape[0]):
            out[k] = values[k] / (out[k] + more[k])


@njit(cache=True)
def _root(values, more, out, rounds):
    for _ in range(rounds):
        for k in range(out.shape[0]):
            out[k] = math.sqrt(values[k] * out[k] + more[k])


@njit(cache=True)
def _divide_one(values, more, out, rounds):
    one = two = three = four = 1.0
    for _ in range(rounds):
        for k in range(0, out.shape[0], 4):
            one = values[k] / (one + more[k])
            two = values[k + 1] / (two + more[k])
            three = values[k + 2] / (three + more[k])
            four = values[k + 3] / (four + more[k])
    out[0] = one + two + three + four


@njit(cache=True)
def _sine(values, more, out, rounds):
    for turn in range(rounds):
        for k in range(out.shape[0]):
            out[k] = math.sin(values[k] + 1e-9 * turn * more[k])


@njit(cache=True)
def _arc(values, more, out, rounds):
    for turn in range(rounds):
        for k in range(out.shape[0]):
            out[k] = math.asin(values[k] + 1e-9 * turn * more[k])


def _pace(act: Any) -> float:
    """Seconds of one operation, many of them free of one another and all in the nearest cache."""
    values, more, out = np.linspace(0.1, 0.9, _WIDE), np.full(_WIDE, 0.5), np.ones(_WIDE)
    act(values, more, out, 1)
    return seconds(lambda: act(values, more, out, _ROUNDS), 3) / (_ROUNDS * _WIDE)


def floor_of(nodes: int) -> float:
    """Seconds that the arithmetic of one design asks for at least."""
    # One round of the first is a multiplication and an addition.
    wide = {"add and multiply": 0.5 * _pace(_multiply), "divide": _pace(_divide), "root": _pace(_root)}
    alone = {"divide": _pace(_divide_one), "sine": _pace(_sine), "arc": _pace(_arc)}
    alone["root"] = alone["divide"]
    return nodes * sum(count * wide[name] for name, count in AT_NODE.items()) + sum(
        count * alone[name] for name, count in BESIDES.items()
    )
