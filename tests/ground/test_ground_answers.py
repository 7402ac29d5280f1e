"""Worked answers of the page: a T-bar against a coyote, a plate against a beaver, traps under a beaver's step."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from setwright.animal.pull import body_stiffness, peak_pull, run_up_speed, series, with_shock_spring
from setwright.ground import bearing
from setwright.ground.anchor import Anchor, capacity, fine_share
from setwright.ground.cures import Option, Ranked, rank_cures
from setwright.ground.proof import proof_needed
from setwright.ground.soil import Layer

NAN, INF = math.nan, math.inf
GRAVITY, LUNGES = 9.80665, 20
FOOT = 0.3048
LOAM = Layer("loam", "undrained", INF, NAN, 36e3, 18e3, NAN)
SAND = Layer("firm sand", "drained", INF, np.radians(33.5), NAN, 18e3, np.radians(17.0))
MUCK = Layer("muck", "undrained", INF, NAN, 4e3, 1.2e3, NAN)
GROUND = {"loam": LOAM, "firm sand": SAND, "muck": MUCK}
TBAR = Anchor("stake", width=0.025, perimeter=0.085, length=0.56, yield_moment=400.0)
CABLE = Anchor("plate", plate_width=0.025, plate_length=0.064, depth=0.762)
PAGE = Path(__file__).resolve().parents[2] / "docs" / "why" / "ground-answers.md"
SHOCK_RATE, SHOCK_STROKE = 400.0 / 0.075, 0.075


def lunge(chain: float, anchor: Anchor, layers: list[Layer], shock: bool = False) -> float:
    """Typical lunge of a 14 kg coyote [N]: 4 m/s², run-up of one chain, body and anchor in series."""
    speed = run_up_speed(4.0, chain, 15.0)
    stiffness = series(body_stiffness(14.0), capacity(anchor, layers).stiffness)
    if shock:
        return float(with_shock_spring(14.0, 4.0, speed, stiffness, SHOCK_RATE, SHOCK_STROKE).force)
    return float(peak_pull(14.0, 4.0, speed, stiffness))


def holds(anchor: Anchor, layers: list[Layer]) -> float:
    gain = 1.0 + 0.3 * fine_share(anchor, layers)
    return float(capacity(anchor, layers, angle=math.radians(15.0), cyclic=0.6, rate=gain).force)


def coyote(ground: str, chain: float) -> tuple[Ranked, ...]:
    """Options with minutes and weight (assumed) in the order of loss."""
    layers = [GROUND[ground]]

    def option(name: str, anchor: Anchor, minutes: float, mass: float, shock: bool = False) -> Option:
        return Option(name, holds(anchor, layers), lunge(chain, anchor, layers, shock), 60.0 * minutes, mass)

    now = option("as it is", TBAR, 0.0, 0.0)
    options = [
        option("crossed", replace(TBAR, kind="crossed"), 3.0, 1.0),
        option("plate at 30 in", CABLE, 3.0, 0.15),
        option("30 in T-bar", replace(TBAR, length=0.71), 1.0, 0.25),
        option("shock spring", TBAR, 1.0, 0.2, shock=True),
        option("tree", Anchor("tree"), 5.0, 0.5),
        replace(now, name="proof pull of 1.5 lunges", time=120.0, proof=1.5 * now.pull),
    ]
    if ground == "muck":
        bottom = [replace(MUCK, thickness=0.4), LOAM]
        through = replace(CABLE, depth=0.4 + 0.3 + 1.5 * 0.064)
        held = float(capacity(through, bottom, rate=1.3).force)
        options.append(Option("plate 0.3 m into loam below", held, lunge(chain, through, bottom), 300.0, 0.15))
    return rank_cures(now, options, LUNGES)


def coyote_rows() -> list[str]:
    lines = []
    for ground in GROUND:
        for inches in (12, 60):
            found = coyote(ground, inches / 12 * FOOT)
            now = next(one for one in found if one.option.name == "as it is")
            best = [one for one in found if one.spared > 0.005 and one.stands >= 0.5 and one.option.name != "tree"][
                :3
            ]
            cells = [
                ground,
                f"{inches} in",
                f"{now.option.strength:.0f} N",
                f"{now.option.pull:.0f} N",
                f"{now.option.strength / now.option.pull:.2f}",
                f"{now.chance:.2f} ({now.low:.2f}-{now.high:.2f})",
                "; ".join(f"{one.option.name} {one.chance:.2f}" for one in best) or "none but a tree or a drag",
            ]
            lines.append(f"| {' | '.join(cells)} |")
    return lines


BEAVER = (409.0, 818.0)
BOTTOMS = {"none, all muck": None, "soft clay": (18e3, 8e3), "loam-like": (36e3, 9e3), "stiff clay": (72e3, 9.5e3)}


def plate_holds(name: str, into: float) -> float:
    """A plate through half a metre of muck and this far into the bottom, jerked [N]."""
    bottom = BOTTOMS[name]
    layers = [MUCK]
    if bottom is not None:
        layers = [replace(MUCK, thickness=0.5), Layer(name, "undrained", INF, NAN, *bottom, NAN)]
    return float(capacity(replace(CABLE, depth=0.5 + into + 1.5 * 0.064), layers, rate=1.3).force)


def plate_rows() -> list[str]:
    lines = []
    for name, bottom in BOTTOMS.items():
        for into in (0.0,) if bottom is None else (0.05, 0.30):
            held = plate_holds(name, into)
            depth = "-" if bottom is None else f"{1000 * into:.0f} mm"
            lines.append(f"| {name} | {depth} | {held:.0f} N | {held / BEAVER[0]:.2f} | {held / BEAVER[1]:.2f} |")
    return lines


TRAPS = {"coil-spring, 0.7 kg, 70 cm²": (0.7, 70e-4), "double long-spring, 1.3 kg, 150 cm²": (1.3, 150e-4)}


def step_rows() -> list[str]:
    lines = []
    for name, (mass, area) in TRAPS.items():
        for cu in (2e3, 3e3, 4e3):
            load = (mass + 12.5) * GRAVITY
            board = float(bearing.board_area(0.25, 0.25, 1.0, area))
            sunk = [
                float(bearing.sinkage_undrained(load, *bed, cu, 0.0, 1.2e3))
                for bed in ((area, 0.02, 0.3), (board, 0.25, 0.25))
            ]
            told = [f"{1000 * depth:.0f} mm" for depth in sunk]
            carries = float(bearing.undrained_capacity(cu, 1.2e3, 0.0, 0.02, 0.3))
            cells = [name, f"{cu / 1e3:.0f} kPa", f"{load / area / 1e3:.1f} kPa", f"{carries / 1e3:.1f} kPa", *told]
            lines.append(f"| {' | '.join(cells)} |")
    return lines


TABLES = {
    "A T-bar against a coyote": coyote_rows,
    "A plate in muck against a beaver": plate_rows,
    "A trap under a beaver's step": step_rows,
}


@pytest.mark.parametrize("title", TABLES)
def test_the_page_shows_what_is_computed(title: str) -> None:
    text = PAGE.read_text(encoding="utf-8").split(f"## {title}\n")[1].split("\n## ")[0]
    shown = [line for line in text.splitlines() if line.startswith("| ")][1:]
    assert shown == TABLES[title](), f"make the table of {PAGE.name} anew"


def test_lunges_are_those_of_the_worked_answers() -> None:
    short, long = lunge(FOOT, TBAR, [LOAM]), lunge(5 * FOOT, TBAR, [LOAM])
    assert short == pytest.approx(434.0, rel=0.01) and long == pytest.approx(893.0, rel=0.01)
    assert long / short == pytest.approx(2.1, abs=0.05), "five feet of chain: twice the pull"
    assert lunge(FOOT, TBAR, [LOAM], shock=True) < short


def test_what_the_answers_say() -> None:
    loam = {one.option.name: one for one in coyote("loam", FOOT)}
    assert loam["as it is"].chance == pytest.approx(0.6, abs=0.01)
    assert loam["as it is"].option.strength / loam["as it is"].option.pull == pytest.approx(2.1, abs=0.05)
    assert loam["crossed"].chance < 0.5 * loam["as it is"].chance
    assert loam["proof pull of 1.5 lunges"].spared > 0.1
    sand = {one.option.name: one for one in coyote("firm sand", FOOT)}
    assert sand["as it is"].chance > 0.99 and sand["30 in T-bar"].chance > 0.95, "a longer rod is no cure in sand"
    muck = {one.option.name: one for one in coyote("muck", FOOT)}
    stays = [muck[name] for name in ("as it is", "crossed", "plate at 30 in", "30 in T-bar")]
    assert all(one.chance > 0.9 for one in stays), "in muck nothing that stays in muck holds a coyote"
    assert muck["proof pull of 1.5 lunges"].stands < 0.05, "there is nothing to prove in muck"
    assert muck["plate 0.3 m into loam below"].spared > 0.05 and muck["tree"].chance < 0.01


def test_the_proof_to_aim_for_is_that_of_the_page() -> None:
    scatter, pull_scatter = (math.sqrt(math.log1p(cov**2)) for cov in (0.5, 0.44))
    median = holds(TBAR, [LOAM]) * math.exp(-0.5 * scatter**2)
    for feet, aim in ((1, 1.1e3), (5, 2.5e3)):
        pull = lunge(feet * FOOT, TBAR, [LOAM])
        assert float(proof_needed(median, scatter, pull, pull_scatter, LUNGES, 0.1)) == pytest.approx(aim, rel=0.02)


def test_a_plate_must_go_well_into_the_firm_bottom() -> None:
    assert plate_holds("none, all muck", 0.0) == pytest.approx(69.0, rel=0.01)
    for name, ratio in (("loam-like", 1.5), ("stiff clay", 3.0)):
        assert plate_holds(name, 0.30) / BEAVER[0] == pytest.approx(ratio, rel=0.02)
        assert plate_holds(name, 0.05) < 0.5 * plate_holds(name, 0.30)
