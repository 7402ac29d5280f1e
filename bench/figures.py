"""Measure the figures of README.md in this folder and print them as a table."""

from __future__ import annotations

import math
import os
import platform
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from rich.console import Console
from rich.table import Table
from scipy.integrate import solve_ivp

from setwright.trap.build import build
from setwright.trap.closing import close
from setwright.trap.loop import limb_angle
from setwright.trap.model import Trap
from setwright.trap.tables import dimensions

FRICTION = 0.2
DESIGNS = 2000
SOLVED = 12


def seconds(act: Callable[[], object], times: int) -> float:
    """Best wall-clock time of some runs."""
    best = math.inf
    for _ in range(times):
        begun = time.perf_counter()
        act()
        best = min(best, time.perf_counter() - begun)
    return best


def command(*words: str, compiled: Path) -> None:
    """Run the command line in a process of its own, bytecode kept in `compiled`; a failure stops the measurement."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run(
        [sys.executable, "-c", "from setwright.cli.main import main; main()", *words],
        stdout=subprocess.DEVNULL, check=True, env={**kept, "PYTHONPYCACHEPREFIX": str(compiled)},
    )  # fmt: skip


def solved(trap: Trap) -> float:
    """Closing time [s] of one coil-spring design by an adaptive solver on the equations of motion."""
    loops, rate, free = (float(value) for value in (trap.loops, trap.spring_rate, trap.free_coordinate))
    inertia, jaw, weight = (float(value) for value in (trap.loop_inertia, trap.jaw_inertia, trap.weight_moment))
    b, c, length = float(trap.clearance), float(trap.loop_clearance), float(trap.lever_length)
    offset, pivot, bevel = float(trap.bearing_offset), float(trap.pivot_height), float(trap.bevel)

    def motion(_: float, state: np.ndarray) -> tuple[float, float]:
        theta, rate_of_turn = float(state[0]), float(state[1])
        sine, cosine = math.sin(theta - bevel), math.cos(theta - bevel)
        reach, slide = (b - c * sine) / cosine, (b * sine - c) / cosine**2
        lever_sine = ((b * sine - c) / cosine - pivot) / length
        if not -1.0 < lever_sine < 1.0:  # a trial step beyond the closed jaws
            return rate_of_turn, -weight * math.cos(theta) / jaw
        lever_cosine = math.sqrt(1.0 - lever_sine**2)
        slope = reach / cosine / (length * lever_cosine)
        curve = (2.0 * reach * sine - c * cosine) / cosine**2
        bend = curve / (length * lever_cosine) + slope**2 * lever_sine / lever_cosine
        sideways = length * abs(lever_sine) * slope
        total = math.hypot(slide, sideways) or 1.0
        along, across = slide / total, sideways / total
        arm = reach + FRICTION * along * offset
        effort = (cosine + FRICTION * along * sine) * length * lever_cosine + FRICTION * across * length * abs(
            lever_sine
        )
        share = loops * arm / (2.0 * effort)
        drive = rate * (free - math.asin(lever_sine)) - inertia * bend * rate_of_turn**2
        turn = (share * drive - weight * math.cos(theta)) / (jaw + share * inertia * slope)
        if drive - inertia * slope * turn < 0.0:
            turn = -weight * math.cos(theta) / jaw
        return rate_of_turn, turn

    end = float(limb_angle(trap, 0.0))

    found = solve_ivp(
        motion, (0.0, 1.0), (float(trap.set_angle), 0.0), "DOP853", events=_Closed(end), rtol=1e-8, atol=1e-10
    )
    return float(found.t[-1])


class _Closed:
    """Event that ends the motion where the faces meet."""

    terminal = True
    direction = 1.0

    def __init__(self, end: float) -> None:
        self.end = end

    def __call__(self, _: float, state: np.ndarray) -> float:
        return float(state[0]) - self.end


def closing() -> tuple[float, float, float]:
    """Designs per second, ratio to the adaptive solver, largest relative difference of the closing times."""
    base = dimensions("coil-1.5")
    spread = np.linspace(0.95, 1.05, DESIGNS)
    many = build(replace(base, spread=np.asarray(base.spread) * spread))
    rate = DESIGNS / seconds(lambda: close(many, friction=FRICTION), 3)
    picked = np.linspace(0, DESIGNS - 1, SOLVED).astype(int)
    singles = [build(replace(base, spread=float(np.asarray(base.spread) * spread[k]))) for k in picked]
    begun = time.perf_counter()
    slow = np.array([solved(single) for single in singles])
    rate_of_solver = SOLVED / (time.perf_counter() - begun)
    fast = np.asarray(close(many, friction=FRICTION).time)[picked]
    return rate, rate / rate_of_solver, float(np.max(np.abs(fast / slow - 1.0)))


def main() -> None:
    """Measure everything and print one table."""
    table = Table(title=f"setwright on Python {platform.python_version()}, {platform.machine()}")
    table.add_column("figure")
    table.add_column("measured", justify="right")
    table.add_column("wished for", justify="right")
    with tempfile.TemporaryDirectory() as folder:
        out, compiled = Path(folder) / "plan", Path(folder) / "compiled"
        demo = seconds(lambda: command("demo", "--no-serve", "--out", str(out), compiled=compiled), 1)
        book = next(iter(sorted(out.glob("*.yaml"))))
        first = seconds(lambda: command("set", str(book), "1", compiled=Path(folder) / "none"), 1)
        command("set", str(book), "1", compiled=compiled)
        one = seconds(lambda: command("set", str(book), "1", compiled=compiled), 5)
        start = seconds(lambda: command("--help", compiled=compiled), 5)
    rate, ratio, difference = closing()
    table.add_row("demo plan", f"{demo:.1f} s", "≤ 20 s")
    table.add_row("one set, new process", f"{one:.2f} s", "≤ 1.5 s")
    table.add_row("the same, nothing compiled yet", f"{first:.2f} s", "")
    table.add_row("help, new process", f"{start:.2f} s", "≤ 0.3 s")
    table.add_row("closing, designs per second", f"{rate:,.0f}", "≥ 5,000")
    table.add_row("closing against an adaptive solver", f"{ratio:,.0f} ×", "≥ 1,000 ×")
    table.add_row("agreement of both", f"{difference:.1e}", "≤ 1e-04")
    Console().print(table)


if __name__ == "__main__":
    main()
