"""The same work done the usual way: heat by a band solver, draws one by one, jaws in a rigid-body program."""

from __future__ import annotations

import importlib
import importlib.util
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

import numpy as np
from evening import C_FROZEN, C_THAWED, GRAINS, LATENT, ground, season
from figure import Figure
from scipy.linalg import solve_banded
from timing import seconds

from setwright.desk.demo import write_demo
from setwright.desk.plan import read_job
from setwright.ground.freezing import neumann_depth, neumann_root
from setwright.ground.frost_season import frost_season
from setwright.sets.evaluate import evaluate

HOURS, SITES = 24 * 14, 40
# Fewest draws that the closing is worked out for.
FEW = 10
STEPS = 4
AUTHORITY = Path(__file__).resolve().parents[1] / "authorities" / "trap"


def cells() -> np.ndarray:
    """Heights of cells that grow downward from 2.5 mm to 1.3 m, as the season has them [m]."""
    found, depth = [], 0.0
    while depth < 1.3:
        found.append(0.0025 + 0.18 * depth)
        depth += found[-1]
    return np.array(found)


def banded(air: np.ndarray, start: float, bottom: float) -> tuple[np.ndarray, float]:
    """Freezing of one ground by implicit Euler, Newton's method on the heat content and a band solver.

    Returns the temperature of every cell at the end and the depth of the frost [m].
    """
    size = cells()
    step = 3600.0 / STEPS
    heat = np.full(size.size, C_THAWED * start)
    bands = np.zeros((3, size.size))
    frozen = np.zeros(size.size)
    for outside in np.repeat(air, STEPS):
        before = heat.copy()
        for _ in range(60):
            below = np.where(heat > -LATENT, 0.0, (heat + LATENT) / C_FROZEN)
            temperature = np.where(heat >= 0, heat / C_THAWED, below)
            slope = np.where(heat >= 0, 1 / C_THAWED, np.where(heat > -LATENT, 1e-3 / C_FROZEN, 1 / C_FROZEN))
            frozen = np.clip(-heat / LATENT, 0.0, 1.0)
            conductivity = GRAINS["k_unfrozen"] + frozen * (GRAINS["k_frozen"] - GRAINS["k_unfrozen"])
            half = 0.5 * size / conductivity
            link = np.concatenate(([1.0 / (1e-9 + half[0])], 1.0 / (half[:-1] + half[1:]), [1.0 / half[-1]]))
            outer = np.concatenate(([outside], temperature, [bottom]))
            flow = link * np.diff(outer)
            rest = size * (heat - before) / step - np.diff(flow)
            bands[1] = size / step + (link[:-1] + link[1:]) * slope
            bands[0, 1:] = -link[1:-1] * slope[1:]
            bands[2, :-1] = -link[1:-1] * slope[:-1]
            moved = solve_banded((1, 1), bands, -rest)
            # A cell may not jump over the latent heat in one go, or Newton's method swings for ever.
            heat = heat + np.clip(moved, -0.5 * LATENT, 0.5 * LATENT)
            if np.max(np.abs(moved)) < 1e-6 * LATENT:
                break
    return temperature, float(np.sum(frozen * size))


def _heat() -> list[Figure]:
    """Season of many sites, compiled, over SciPy's band solver one site after the other; both against Neumann."""
    root = neumann_root(GRAINS["k_frozen"], GRAINS["k_unfrozen"], C_FROZEN, C_THAWED, LATENT, 5.0, 5.0)
    true = float(neumann_depth(root, GRAINS["k_frozen"], C_FROZEN, 24 * 3600.0))
    _, depth = banded(np.full(24, -5.0), 5.0, 5.0)
    air = 4.0 * np.cos(2.0 * np.pi * np.arange(HOURS) / 24.0) - 6.0
    season(2, 24)()
    layers = [ground(0.02), ground(np.inf)]
    many = np.tile(air, (SITES, 1))
    ours = SITES / seconds(lambda: frost_season(many, 1e9, layers, 0.02, initial_temperature=5.0), 3)
    theirs = 1.0 / seconds(lambda: banded(air, 5.0, 8.0), 1)
    note = f"its error against Neumann {100 * abs(depth / true - 1):.1f} %, same grid and steps"
    name = "frost, sites a second over SciPy's band solver one by one"
    return [Figure(name, ours / theirs, "×", note=note, digits=0)]


def _draws() -> Figure:
    """One set with 300 draws together, over the same chain a few draws at a time."""
    with tempfile.TemporaryDirectory() as folder:
        book = write_demo(Path(folder))

        def taken(draws: int, times: int) -> float:
            job = read_job(book, draws=draws)
            context, rig = job.contexts["ridge"], job.stated["ridge"]
            evaluate(context, rig, job.person)
            return seconds(lambda: evaluate(context, rig, job.person), times)

        ratio = 300 / FEW * taken(FEW, 5) / taken(300, 5)
    return Figure(f"300 draws at once over a loop of {FEW} at a time", ratio, "×", digits=1)


def _rigid() -> list[Figure]:
    """Closing against the rigid-body program that the physics is held against; only where it is installed."""
    if importlib.util.find_spec("mujoco") is None:
        return []
    sys.path.insert(0, str(AUTHORITY))
    rigid_body = importlib.import_module("rigid_body")

    from setwright.trap.closing import close
    from setwright.trap.tables import dimensions

    case = rigid_body.cases()["coil-plain"]
    theirs = 1.0 / seconds(lambda: rigid_body.run(case), 1)
    from setwright.trap.build import build

    base = dimensions("coil-1.5")
    many = build(replace(base, spread=np.asarray(base.spread) * np.linspace(0.95, 1.05, 20_000)))
    close(many, friction=0.2, engine="numba", nodes=27, motion=False)
    ours = 20_000 / seconds(lambda: close(many, friction=0.2, engine="numba", nodes=27, motion=False), 3)
    return [Figure("closing, designs a second over a rigid-body program at 1 µs", ours / theirs, "×", digits=0)]


def figures() -> list[Figure]:
    """Ratios against the usual way."""
    return [*_heat(), _draws(), *_rigid()]
