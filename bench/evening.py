"""Speed of the evening: a season of frost at many sites, a line of sixty sets, three years of a gauge."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from figure import Figure
from timing import seconds

from setwright.basis.tables import DATA
from setwright.desk.tonight import tonight
from setwright.ground.freezing import neumann_depth, neumann_root
from setwright.ground.frost import ThermalLayer, frost_profile
from setwright.ground.frost_season import frost_season
from setwright.water.odds import level_odds
from setwright.water.stage import hour_starts, hourly
from setwright.water.tables import read_stage_csv

SITES, HOURS = 200, 182 * 24
GRAINS = {"k_frozen": 1.9, "k_unfrozen": 1.3}
# Neumann's ground: grains 840, ice 2100, water 4186 J/(kg K), 1500 kg/m3 dry, a fifth of it water.
DENSITY, WATER = 1500.0, 0.2
C_FROZEN, C_THAWED = DENSITY * (840.0 + WATER * 2100.0), DENSITY * (840.0 + WATER * 4186.0)
LATENT = 333600.0 * DENSITY * WATER
TRAP = (
    "    - {{id: B-{number}, pattern: coil-1.75, springs: 4, jaws: offset, trip_force: 3 lbf, toothed: false, "
    'base_swivel: true, tag: "yes"}}'
)


@dataclass(frozen=True)
class Found:
    """Seconds of each job, and errors of the frost model against Neumann's solution on two grids [-]."""

    compile: float
    season: float
    quick: float
    fine: float
    gauge: float
    evening: float

    def figures(self) -> list[Figure]:
        """Figures of the evening."""
        return [
            Figure("frost, 200 sites × 182 d hourly, after compile", self.season, "s", most=3.0),
            Figure("the first call, which compiles", self.compile, "s", digits=1),
            Figure("its error against Neumann, 24 h, same grid (2.5 mm, 15 min)", 100.0 * self.quick, "%", digits=1),
            Figure("the same at 6 and 24 h, 1.25 mm and 5 min", 100.0 * self.fine, "%", most=2.0, digits=1),
            Figure("gauge of 3 years at 5 min, read and analysed", self.gauge, "s", most=2.0),
            Figure("tonight for 60 sets, warm process", self.evening, "s", most=2.0),
        ]


def ground(thickness: float) -> ThermalLayer:
    """Neumann's ground as one layer."""
    return ThermalLayer(thickness, GRAINS["k_frozen"], GRAINS["k_unfrozen"], C_FROZEN, C_THAWED, LATENT)


def season(sites: int, hours: int) -> Callable[[], object]:
    """A season of made-up weather at many sites; every site its own cold and its own rain."""
    clock = np.arange(hours)
    draws = np.random.default_rng(20)
    air = 4.0 * np.cos(2.0 * np.pi * clock / 24.0) - 8.0 * np.sin(np.pi * clock / hours) + 1.0
    air = air[None, :] + draws.normal(0.0, 2.0, (sites, 1))
    rain = np.where(draws.random((sites, hours)) < 0.01, 1.0, 0.0)
    layers = [ground(0.02), ground(np.inf)]
    return lambda: frost_season(air, 12.0, layers, 0.02, rain=rain, initial_temperature=5.0)


def neumann_error(cell: float, steps: int, growth: float, depth: float, hours: tuple[int, ...]) -> float:
    """Greatest error of the frost depth over Neumann's four cases at some hours, on one grid [-]."""
    cases = ((5.0, 5.0), (0.0, 10.0), (2.0, 2.0), (8.0, 15.0))
    start = np.array([[above] for above, _ in cases])
    air = np.array([[-below] * max(hours) for _, below in cases])
    run = frost_profile(
        air, 1e9, [ground(np.inf)], initial_temperature=start, bottom_temperature=start[:, 0], steps_per_hour=steps,
        cell=cell, depth=depth, growth=growth,
    )  # fmt: skip
    depths, worst = run.frost_depth(), 0.0
    for row, (above, below) in enumerate(cases):
        root = neumann_root(1.9, 1.3, C_FROZEN, C_THAWED, LATENT, above, below)
        for hour in hours:
            true = float(neumann_depth(root, 1.9, C_FROZEN, 3600.0 * hour))
            worst = max(worst, abs(float(depths[row, hour - 1]) / true - 1.0))
    return worst


def gauge_text() -> str:
    """Three years at five minutes in the documented CSV: a made-up creek with floods."""
    count = 3 * 365 * 288
    draws = np.random.default_rng(20)
    level = (
        1.0
        + np.convolve((draws.random(count) < 0.0005) * draws.gamma(2.0, 0.2, count), np.exp(-np.arange(900) / 250.0))[
            :count
        ]
    )
    times = np.datetime64("2023-01-01T00:00") + np.arange(count) * np.timedelta64(5, "m")
    rows = "\n".join(f"{time}Z,{value:.4f}" for time, value in zip(times.astype(str), level, strict=True))
    head = "# label: made-up creek\n# origin: bench\n# licence: none needed\n# stand-in: yes\ntime,stage_m\n"
    return head + rows


def analysed(text: str) -> None:
    """Read the record and ask it for two check intervals in season."""
    stage = read_stage_csv(text, file="creek.csv")
    level, starts = hourly(stage), hour_starts(stage)
    for hours in (24, 72):
        level_odds(level, starts, hours, months=(11, 12, 1, 2, 3))


def line_of(count: int, folder: Path) -> Path:
    """A book of so many sets: the demo line's sites with a trap, again and again at other ids."""
    text = (DATA / "demo" / "line-book.yaml").read_text(encoding="utf-8")
    head, _, tail = text.partition("\nsites:\n")
    sites = [
        part for part in re.split(r"\n(?=  - id: )", "\n" + tail) if "rig: {trap: " in part and "gang: [" not in part
    ]
    made, traps = [], []
    for number in range(count):
        site = sites[number % len(sites)]
        pattern = re.search(r"rig: \{trap: (T-\d+)", site)
        assert pattern is not None
        site = re.sub(r"- id: (\w+)", rf"- id: \1-{number}", site, count=1)
        made.append(site.replace(f"trap: {pattern[1]}", f"trap: B-{number + 100}", 1))
        traps.append(TRAP.format(number=number + 100))
    head = head.replace("  chains:\n", "\n".join(traps) + "\n  chains:\n", 1)
    head = re.sub(r"count: \d+\}", "count: 99}", head).replace(
        "pattern: coil-1.5, count: 99", "pattern: coil-1.5, count: 6"
    )
    place = folder / "sixty.yaml"
    place.write_text(head + "\nsites:\n" + "\n".join(made) + "\n", encoding="utf-8")
    return place


def measured() -> Found:
    """Measure all of it."""
    run = season(SITES, HOURS)
    first = seconds(season(2, 24), 1)
    text = gauge_text()
    with tempfile.TemporaryDirectory() as folder:
        book = line_of(60, Path(folder))
        tonight(book, draws=50)
        evening = seconds(lambda: tonight(book), 3)
    return Found(
        first, seconds(run, 3), neumann_error(0.0025, 4, 0.18, 1.3, (24,)),
        neumann_error(0.00125, 12, 0.05, 2.7, (6, 24)), seconds(lambda: analysed(text), 2), evening,
    )  # fmt: skip
