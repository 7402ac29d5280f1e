"""Wall-clock time of what is measured."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np


def seconds(act: Callable[[], object], times: int) -> float:
    """Best wall-clock time of some runs."""
    best = math.inf
    for _ in range(times):
        begun = time.perf_counter()
        act()
        best = min(best, time.perf_counter() - begun)
    return best


def pace() -> float:
    """Seconds of a fixed piece of plain work on this machine, by which runs on two machines are compared."""
    values = np.linspace(0.0, 1.0, 200_000)

    def act() -> float:
        total = 0.0
        for k in range(200_000):
            total += (k % 7) * 0.5
        for _ in range(40):
            total += float(np.sum(np.sin(values) * values))
        return total

    return seconds(act, 7)
