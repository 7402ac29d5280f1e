"""Closing: designs a second by plain NumPy, by the compiled kernel, and one by one by adaptive solvers."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np
from arithmetic import floor_of
from figure import Figure
from peer import FRICTION, Method, solved
from timing import seconds

from setwright.desk.bench_pick import pick
from setwright.sets.mechanics import priors_of, readings_of
from setwright.trap.build import build
from setwright.trap.calibrate import calibrate
from setwright.trap.closing import close
from setwright.trap.model import Floats, Trap
from setwright.trap.next_reading import next_readings
from setwright.trap.tables import dimensions, reading_errors

DESIGNS = 200_000
PLAIN = 4_000
SOLVED = 60
# Fewest nodes that keep the time within 1e-4.
NODES = 27
PEERS: tuple[tuple[str, Method, float], ...] = (
    ("RK45, the usual one, at 1e-5", "RK45", 1e-5),
    ("LSODA at 1e-4, the quickest found", "LSODA", 1e-4),
    ("DOP853 at 1e-8", "DOP853", 1e-8),
)


@dataclass(frozen=True)
class Closing:
    """Designs a second, largest relative error of the time, and how near the kernel comes to the arithmetic."""

    plain: float
    one: float
    two: float
    cores: int
    error: float
    peers: tuple[tuple[str, float, float], ...]
    limit: float
    calibrating: float

    def figures(self) -> list[Figure]:
        """Figures of the closing."""
        found = [
            Figure("closing, plain NumPy, designs", self.plain, "/s", digits=0),
            Figure("closing, compiled, one core, designs", self.one, "/s", digits=0),
            Figure("closing, compiled, all cores, designs", self.two, "/s", digits=0, note=f"{self.cores} cores"),
            Figure(f"largest error of its time, {NODES} nodes", self.error, most=1e-4, digits=6),
        ]
        for number, (name, rate, error) in enumerate(self.peers):
            note = f"{rate:,.0f} a second, error {error:.0e}"
            least = None if number else 1000.0
            found.append(Figure(f"against {name}", self.two / rate, "×", least=least, note=note, digits=0))
        found.append(Figure("one core, share of what its arithmetic allows", 100.0 * self.limit, "%", digits=0))
        found.append(Figure("calibrating one trap and what to read next", self.calibrating, "s", most=1.0))
        return found


def _designs(count: int) -> tuple[Trap, Floats]:
    base = dimensions("coil-1.5")
    share = np.linspace(0.95, 1.05, count)
    return build(replace(base, spread=np.asarray(base.spread) * share)), share


def measured() -> Closing:
    """Measure everything about the closing."""
    many, share = _designs(DESIGNS)
    few, _ = _designs(PLAIN)
    cores = os.cpu_count() or 1
    close(few, friction=FRICTION, engine="numba", nodes=NODES)
    plain = PLAIN / seconds(lambda: close(few, friction=FRICTION, engine="numpy", nodes=NODES), 3)
    quick = partial(close, many, friction=FRICTION, engine="numba", nodes=NODES, motion=False)
    one, two = (DESIGNS / seconds(partial(quick, workers=workers), 5) for workers in (1, cores))
    picked = np.linspace(0, DESIGNS - 1, SOLVED).astype(int)
    base = dimensions("coil-1.5")
    singles = [build(replace(base, spread=float(np.asarray(base.spread) * share[k]))) for k in picked]
    exact = np.array([float(close(single, friction=FRICTION, nodes=1601).time) for single in singles])
    fast = np.asarray(close(many, friction=FRICTION, engine="numba", nodes=NODES).time)[picked]
    peers = []
    for name, method, tolerance in PEERS:
        begun = time.perf_counter()
        slow = np.array([solved(single, method, tolerance) for single in singles])
        rate = SOLVED / (time.perf_counter() - begun)
        peers.append((name, rate, float(np.max(np.abs(slow / exact - 1.0)))))
    return Closing(
        plain=plain,
        one=one,
        two=two,
        cores=cores,
        error=float(np.max(np.abs(fast / exact - 1.0))),
        peers=tuple(peers),
        limit=floor_of(NODES) * one,
        calibrating=seconds(_calibrating(), 3),
    )


EXAMPLE = Path(__file__).resolve().parents[1] / "docs" / "examples" / "bench-coil-four.yaml"


def _calibrating() -> Callable[[], None]:
    known = pick(str(EXAMPLE)).rig.knowledge
    priors, readings = priors_of(known), readings_of(known)

    def act() -> None:
        found = calibrate(known.base, priors, readings)
        next_readings(found.posterior, reading_errors())

    return act
