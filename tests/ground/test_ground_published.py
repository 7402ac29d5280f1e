"""Outside checks of anchors, bearing and reliability; `published.csv` has the rows."""

from __future__ import annotations

import math

import numpy as np
import pytest

from outside import hold, rows
from setwright.ground import anchor, bearing, bedding, loading, plate, proof, reliability, stake, tables
from setwright.ground.soil import Layer

NAN, INF = math.nan, math.inf
GRAVITY = 9.80665
STRIP = 0.02
PLATE = (0.025, 0.064)
# Rows name their argument `proof`.
PROOF = proof


def clay(cu: float, unit_weight: float) -> list[Layer]:
    return [Layer("clay", "undrained", INF, NAN, cu, unit_weight, NAN)]


def broms_side(cu: float, width: float, length: float, height: float) -> float:
    return float(stake.lateral_undrained(cu, width, length, height)[0])


def broms_moment(cu: float, width: float, length: float, height: float) -> float:
    return float(stake.lateral_undrained(cu, width, length, height)[1])


def broms_thin_share(cu: float, length: float) -> float:
    width = 1e-5
    return broms_side(cu, width, length, 0.0) / (9.0 * cu * width * length)


def straight_pull(cu: float, unit_weight: float, perimeter: float, length: float) -> float:
    return float(stake.axial(clay(cu, unit_weight), perimeter=perimeter, length=length))


def oblique(side: float, straight: float, degrees: float) -> float:
    return float(stake.oblique(side, straight, np.radians(degrees)))


def crossed_up(side: float, straight: float, degrees: float) -> float:
    return float(stake.crossed(side, straight, np.radians(degrees)))


def plastic_moment(key: str) -> float:
    return tables.stakes().number(key, "yield_moment")


def breakout(ratio: float, m: float, pressure_tan_phi: float) -> float:
    return float(plate.breakout_factor(ratio, m, pressure_tan_phi))


def deep_square(degrees: float) -> float:
    """Factor of a square plate far below its critical depth."""
    side, depth = 0.02, 2.0
    return float(plate.uplift_drained(np.radians(degrees), 1.0, depth, side, side)) / (side * side * depth)


def plate_clay(cu: float, unit_weight: float, depth: float) -> float:
    return float(plate.uplift_undrained(cu, unit_weight, depth, *PLATE))


def plate_sand(degrees: float, unit_weight: float, depth: float) -> float:
    return float(plate.uplift_drained(np.radians(degrees), unit_weight, depth, *PLATE))


def plate_jerk(cu: float, unit_weight: float, depth: float, rate: float) -> float:
    """A plate that lies at the depth after it has turned."""
    driven = depth + plate.KEYING * PLATE[1]
    cable = anchor.Anchor("plate", plate_width=PLATE[0], plate_length=PLATE[1], depth=driven)
    return float(anchor.capacity(cable, clay(cu, unit_weight), rate=rate).force)


def tbar_hold(kind: str) -> float:
    tbar = anchor.Anchor(kind, width=0.025, perimeter=0.085, length=0.56, yield_moment=400.0, pull_height=0.02)
    found = anchor.capacity(tbar, clay(36e3, 18e3), angle=np.radians(15.0), cyclic=0.6, rate=1.3)
    return float(found.force)


def peak_degrees(relative_density: float, pressure: float) -> float:
    return float(np.degrees(plate.peak_friction(relative_density, pressure)))


def adhesion(cu: float, stress: float) -> float:
    return float(stake.adhesion(cu, stress))


def shaft_friction(cu: float, stress: float) -> float:
    return cu * adhesion(cu, stress)


def bearing_clay(cu: float, width: float, length: float) -> float:
    return float(bearing.undrained_capacity(cu, 18e3, 0.0, width, length))


def bearing_factor(degrees: float, which: int) -> float:
    return float(bearing.bearing_factors(np.radians(degrees))[which])


def pressure(trap: float, area: float, step: float) -> float:
    return (trap + step) * GRAVITY / area


def sinks(terrain: str, trap: float, area: float, step: float) -> float:
    kc, kphi, n = (tables.terrains().number(terrain, name) for name in ("kc", "kphi", "n"))
    return float(bearing.sinkage_bekker(pressure(trap, area, step), STRIP, kc, kphi, n))


def bed_litres(length: float, width: float, depth: float) -> float:
    return 1000.0 * float(bedding.bed_volume(length, width, depth - 0.01, 0.01))


def index(ratio: float, cov_strength: float, cov_pull: float) -> float:
    return float(reliability.index(ratio, cov_strength, cov_pull))


def failure(ratio: float, cov_strength: float, cov_pull: float) -> float:
    return float(reliability.failure(ratio, cov_strength, cov_pull))


def failure_in(ratio: float, cov_strength: float, cov_pull: float, lunges: float) -> float:
    return float(reliability.failure_in(ratio, cov_strength, cov_pull, lunges))


def picket_margin(allowed_lbf: float) -> float:
    """Our wooden picket in loam over the safe load of a manual."""
    return broms_side(36e3, 0.0762, 1.0668, 0.0) / (allowed_lbf * 4.4482216)


def over_pulled(cu: float, width: float, length: float, height: float, pulled_lbf: float) -> float:
    """Our side pull over what a stake of that size held when pulled."""
    return broms_side(cu, width, length, height) / (pulled_lbf * 4.4482216)


def over_safe(cu: float, width: float, length: float, height: float, allowed_newton: float) -> float:
    """Our side pull over the force that a standard or a manual asks of such a stake."""
    return broms_side(cu, width, length, height) / allowed_newton


def outline_litres(degrees: float, depth: float) -> float:
    found = bedding.trap_outline(0.137, 0.15, 0.1365, 0.025, np.radians(degrees))
    return 1000.0 * float(found.box) * depth


def proof_point(median: float, scatter: float, proof: float, error: float, which: str) -> float:
    return float(getattr(PROOF.updated(median, scatter, proof, error=error), which))


def proof_moved(median: float, scatter: float, proof: float, error: float) -> float:
    return float(PROOF.updated(median, scatter, proof, kind="moved", error=error).median)


def lost_after_proof(
    median: float, scatter: float, proof: float, pull: float, pull_scatter: float, lunges: float, error: float
) -> float:
    return float(PROOF.failure_proved(median, scatter, proof, pull, pull_scatter, lunges, error=error))


def jerk_gain(duration: float) -> float:
    return float(loading.jerk_gain(duration))


CHECKS = {
    function.__name__: function
    for function in (
        broms_side, broms_moment, broms_thin_share, straight_pull, oblique, crossed_up, plastic_moment, breakout,
        deep_square, plate_clay, plate_sand, plate_jerk, tbar_hold, peak_degrees, adhesion, shaft_friction,
        bearing_clay, bearing_factor, pressure, sinks, bed_litres, index, failure, failure_in, picket_margin,
        over_pulled, over_safe,
        outline_litres, proof_point, proof_moved, lost_after_proof, jerk_gain,
    )
}  # fmt: skip


@pytest.mark.parametrize("row", rows("ground", "published"))
def test_ground_published(row: dict[str, str]) -> None:
    hold(row, CHECKS)
