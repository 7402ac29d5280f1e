"""Wall-clock time of what is measured."""

from __future__ import annotations

import math
import time
from collections.abc import Callable


def seconds(act: Callable[[], object], times: int) -> float:
    """Best wall-clock time of some runs."""
    best = math.inf
    for _ in range(times):
        begun = time.perf_counter()
        act()
        best = min(best, time.perf_counter() - begun)
    return best
