"""Outside checks of the trap room; `published.csv` has the rows."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from rigid_cases import CASES as RIGID_CASES
from rigid_cases import close_case
from scipy.integrate import quad
from trap_cases import CASES, weightless

from outside import hold, rows
from setwright.trap import springs
from setwright.trap.build import build
from setwright.trap.closing import close, water_terms
from setwright.trap.fit import fit
from setwright.trap.holding import clamp, dog_force, face_pressure, lock_angle
from setwright.trap.loop import limb_angle, loop_at
from setwright.trap.model import Trap
from setwright.trap.pulls import student_quantile
from setwright.trap.spring_check import SOUND, check_coil
from setwright.trap.strength import BAR, gives_way, stock_of
from setwright.trap.tables import dimensions
from setwright.trap.trigger import notch_force, trip_force

INCH = 0.0254
KPSI = 6.894757293168e6
POUND_INCH = 0.1129848290276


@cache
def torsion_figures() -> dict[str, float]:
    """The example of a small torsion spring, from its inputs in inches."""
    wire, body = 0.072 * INCH, 4.25
    coil = (19.0 / 32.0 - 0.072) * INCH
    strength = float(springs.wire_strength(wire))
    moment = float(springs.coil_moment(0.78 * strength, wire, coil))
    active = float(springs.active_turns(body, coil, 2.0 * INCH))
    rate = float(springs.coil_rate(wire, coil, active, modulus=28.5e3 * KPSI))
    turned = moment / rate * body / active
    return {
        "mean coil diameter in": coil / INCH,
        "stress factor": float(springs.stress_factor(coil / wire)),
        "strength kpsi": strength / KPSI,
        "moment lbf in": moment / POUND_INCH,
        "active turns": active,
        "rate lbf in per turn": rate / POUND_INCH,
        "rotation turns": moment / rate,
        "rotation of the body turns": turned,
        "loaded inside diameter in": float(springs.wound_inside_diameter(coil, wire, body, turned)) / INCH,
    }


def torsion_example(what: str) -> float:
    return torsion_figures()[what]


def rate_newton_millimetre(modulus: float, wire: float, coil: float, turns: float) -> float:
    return 1e3 * float(springs.coil_rate(wire, coil, turns, modulus=modulus))


def rate_pound_inch(modulus: float, wire: float, coil: float, turns: float) -> float:
    """Inches and pounds all through: the law holds in any set of units that agree."""
    return float(springs.coil_rate(wire, coil, turns, modulus=modulus))


def reference_case(
    case: str, what: str, friction: float = 0.15, weight: bool = True, water: bool = False, cover: float = 0.0
) -> float:
    trap = CASES[case] if weight else replace(CASES[case], weight_moment=0.0)
    inertia, drag = water_terms(trap) if water else (0.0, 0.0)
    found = close(
        trap, friction=friction, added_inertia=inertia, drag=drag, cover_mass=cover, cover_radius=0.6 * trap.height
    )
    figures = {
        "time_ms": found.time * 1e3,
        "rate": found.rate,
        "angle_deg": np.degrees(found.angle),
        "separation": found.separation_angle,
        "tip_speed": found.tip_speed,
    }
    return float(figures[what])


def reference_clamp(case: str, what: str) -> float:
    found = clamp(CASES[case], friction=0.15, limb=0.020)
    return float(
        {"angle": np.degrees(found.angle), "closing": found.closing_force, "opening": found.opening_force}[what]
    )


def sensitivity(field: str, scale: float) -> float:
    trap = CASES["coil"]
    other = replace(trap, **{field: getattr(trap, field) * scale})
    return 100.0 * float(close(other, friction=0.15).time / close(trap, friction=0.15).time - 1.0)


def sensitivity_friction(friction: float) -> float:
    trap = CASES["coil"]
    return 100.0 * float(close(trap, friction=friction).time / close(trap, friction=0.15).time - 1.0)


def trap_of(key: str, count: int | None = None) -> Trap:
    return build(dimensions(key, springs=count))


def pattern(key: str, springs: int, what: str) -> float:
    trap = trap_of(key, springs)
    if what in ("closing", "opening"):
        held = clamp(trap, friction=0.15, limb=0.4 * trap.height)
        return float(held.closing_force if what == "closing" else held.opening_force)
    found = close(trap, friction=0.15)
    return float({"time_ms": found.time * 1e3, "tip_speed": found.tip_speed, "momentum": found.momentum}[what])


def lock_degrees(key: str, friction: float) -> float:
    return float(np.degrees(lock_angle(trap_of(key), friction=friction)))


def lamination(what: str) -> float:
    plain, strip = (build(dimensions("coil-1.5", jaws=kind)) for kind in ("regular", "laminated"))
    if what == "inertia":
        return float(strip.jaw_inertia / plain.jaw_inertia)
    return 1e3 * float(close(strip, friction=0.15).time)


def opening(key: str, friction: float, limb: float) -> float:
    return float(clamp(trap_of(key), friction=friction, limb=limb).opening_force)


def dog(key: str) -> float:
    return float(dog_force(trap_of(key)))


def trip(key: str) -> float:
    force = notch_force(trap_of(key), dog_ratio=0.3)
    return float(trip_force(force, notch_arm=0.012, notch_friction=0.2, pan_radius=0.025).force)


def leaf(what: str, taper: float, arm: float, bend: float) -> float:
    width, thick, force = 0.020, 0.0025, 100.0
    if what == "stress":
        return float(springs.leaf_stress(force, width, thick, arm, bend))
    return force / float(springs.leaf_rate(width, thick, arm, bend, taper=taper, modulus=200e9))


def bar_bends(limb_width: float) -> float:
    trap = replace(CASES["coil"], face_length=0.12)
    section = stock_of(dimensions("coil-1"))
    plain = replace(section, yield_strength=200e6, bar_section=0.008 * 0.005**2 / 4.0)
    return float(gives_way(trap, plain, friction=0.15, limb=0.02, limb_width=limb_width).by_place[BAR])


def student(degrees: int) -> float:
    return student_quantile(degrees)


def torsion_at_yield() -> float:
    """Moment in lbf in at which the check of the small torsion spring stops to call it sound."""
    wire, coil = 0.072 * INCH, (19.0 / 32.0 - 0.072) * INCH
    moments = np.linspace(7.0, 8.0, 4001)
    found = check_coil(wire, coil, 4.25, moments * POUND_INCH, end_lengths=2 * INCH, set_removed=False)
    return float(moments[found.state == SOUND].max())


def torsion_post() -> float:
    """Inside of the small torsion spring over a post of no thickness, in inches."""
    wire, coil = 0.072 * INCH, (19.0 / 32.0 - 0.072) * INCH
    found = check_coil(wire, coil, 4.25, 7.549 * POUND_INCH, end_lengths=2 * INCH, post_diameter=0.0)
    return float(found.post_clearance) / INCH


def leaf_by_moments(key: str, taper: float) -> float:
    """Deflection of a long-spring by integrating its bending moments, over that by its rate."""
    size = dimensions(key)
    width, thick, arm, bend = (
        float(np.asarray(getattr(size, f"leaf_{name}"))) for name in ("width", "thickness", "arm", "bend")
    )
    stiffness = 200e9 * width * thick**3 / 12.0

    def in_arm(x: float) -> float:
        # Tapered to even stress: the width grows with the moment.
        return x**2 if taper == 1.0 else x * arm

    arms, _ = quad(in_arm, 0.0, arm, epsrel=1e-12)
    half_ring, _ = quad(lambda turn: (arm + bend * np.sin(turn)) ** 2 * bend, 0.0, np.pi, epsrel=1e-12)
    flexibility = (2.0 * arms + half_ring) / stiffness
    return flexibility * float(springs.leaf_rate(width, thick, arm, bend, taper=taper, modulus=200e9))


def doubled(case: str, what: str) -> float:
    trap = weightless(CASES[case])
    one, two = (close(replace(trap, spring_rate=n * trap.spring_rate), friction=0.15) for n in (1.0, 2.0))
    return float(getattr(two, what) / getattr(one, what))


def lock_with_springs(key: str, factor: float, friction: float, what: str, limb: float = 0.0) -> float:
    plain = trap_of(key)
    trap = replace(plain, spring_rate=factor * plain.spring_rate)
    if what == "angle":
        return float(np.degrees(lock_angle(trap, friction=friction)))
    one, other = (clamp(each, friction=friction, limb=limb) for each in (plain, trap))
    assert bool(other.locked)
    if what == "margin":
        return float(np.degrees(other.lock_margin))
    return float(other.closing_force / one.closing_force)


def offset_gain(case: str, gap: float, limb: float | None) -> float:
    """Degrees that jaws with a gap stand higher on a limb; the least over many limbs when none is given."""
    limbs = np.linspace(0.0, 0.06, 241) if limb is None else np.asarray(limb)
    plain, offset = (limb_angle(replace(CASES[case], offset_gap=each), limbs) for each in (0.0, gap))
    return float(np.nanmin(np.degrees(offset - plain)))


def gap_pressure(case: str, gap: float, limb: float) -> float:
    """Greatest pressure on limbs up to a thickness, of a trap whose springs still push when it stands closed."""
    more = {"lever_length": 0.09, "free_coordinate": 1.7} if case == "coil" else {"free_coordinate": 0.4}
    trap = replace(CASES[case], offset_gap=gap, **more)
    within, over = (
        face_pressure(trap, clamp(trap, friction=0.15, limb=thick).closing_force, 0.03)
        for thick in (np.linspace(0.0, limb, 61), limb * 1.001)
    )
    assert float(over) > 0.0, "a limb that is a little thicker is pressed"
    return float(np.max(within))


def energy(case: str, eye: str = "round") -> float:
    """Energy of motion where jaws and loops part, over the work that the springs did until then."""
    trap = replace(weightless(CASES[case]), eye=eye)
    found = close(trap, friction=0.0, nodes=401)
    start, part = loop_at(trap, trap.set_angle), loop_at(trap, found.separation_angle)
    slack = [trap.free_coordinate - float(at.coordinate) for at in (start, part)]
    work = trap.loops * 0.5 * trap.spring_rate * (slack[0] ** 2 - slack[1] ** 2)
    # Without weight and drag the jaws keep their rate after they have left the loops.
    loops = trap.loops * 0.5 * trap.loop_inertia * (part.slope * found.rate) ** 2
    return float((found.jaw_energy + loops) / work)


def calibration_ms(key: str, springs: int, jaws: str) -> float:
    return 1e3 * float(close(build(dimensions(key, springs=springs, jaws=jaws)), friction=0.15).time)


def rigid_body(case: str) -> float:
    return 1e3 * float(close_case(RIGID_CASES[case]).time)


def conjugate(prior_sd: float, readings: list[list[float]], what: str) -> float:
    """Normal mean with normal prior around zero and known errors, by the fit of the bench calibration."""
    seen, sd = np.array(readings).T
    found = fit(lambda scores: (prior_sd * scores - seen) / sd, 1)
    return prior_sd * float(found.mode[0] if what == "mean" else found.factor[0, 0])


CHECKS = {
    function.__name__: function
    for function in (
        leaf_by_moments,
        doubled,
        lock_with_springs,
        offset_gain,
        gap_pressure,
        energy,
        calibration_ms,
        rigid_body,
        torsion_example,
        rate_newton_millimetre,
        rate_pound_inch,
        reference_case,
        reference_clamp,
        sensitivity,
        sensitivity_friction,
        pattern,
        lock_degrees,
        lamination,
        opening,
        dog,
        trip,
        leaf,
        bar_bends,
        student,
        torsion_at_yield,
        torsion_post,
        conjugate,
    )
}


@pytest.mark.parametrize("row", rows("trap", "published"))
def test_published(row: dict[str, str]) -> None:
    hold(row, CHECKS)
