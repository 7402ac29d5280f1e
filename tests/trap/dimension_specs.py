"""One call of every public function of the trap room, each number with its unit, for `test_trap_dimensions_pint.py`.

A new function wants one line in `SPECS`, or a reason in `APART` of `dimension_parts.py`.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from dimension_parts import DIMENSIONS, FLIGHT, GUARD, ONE, RAD, STOCK, STOCK_LENGTHS, TRAPS, M, Record, Spec

from setwright.trap import (
    build,
    closing,
    filing,
    flight,
    frames,
    guard,
    holding,
    loop,
    model,
    overhaul,
    pan,
    pulls,
    quadrature,
    release,
    setting,
    spring_check,
    springs,
    strength,
    swivel,
    trigger,
    wear,
)


def _spec(name: str, call: Callable[..., Any], gives: Any, *given: Any, **named: Any) -> Spec:
    return Spec(name, call, gives, given, named)


def _units_of(kind: type, shown: Record) -> dict[str, str]:
    return {
        name: shown.fields[name][1] for name in kind.__dataclass_fields__ if isinstance(shown.fields.get(name), tuple)
    }


def _loop_units(which: str) -> dict[str, str]:
    own = M if which == "ring" else ONE
    return {
        "coordinate": own, "slope": own, "bend": own, "reach": M, "slide": M,
        **dict.fromkeys(("cosine", "sine", "lever_cosine", "lever_sine", "along", "across"), ONE),
    }  # fmt: skip


CLOSING = {
    "time": "s", "angle": RAD, "rate": "1/s", "tip_speed": "m/s", "jaw_energy": "J", "loop_energy": "J",
    "loop_time": "s", "momentum": "N*s", "separation_angle": RAD, "separation_time": "s", "angles": RAD, "times": "s",
    "state": ONE, "height": M, "recontact": ONE,
}  # fmt: skip
_TWO_JAWS = {
    "time": "s", "angle": RAD, "rate": "1/s", "lead": RAD, "separation_time": "s", "angles": RAD, "times": "s",
    "rates": "1/s", "presses": "N", "state": ONE,
}  # fmt: skip
CLAMP = {
    "closing_force": "N", "opening_force": "N", "locked": ONE, "lock_margin": RAD, "angle": RAD, "slack": M,
    "state": ONE,
}  # fmt: skip
TRIP = {"force": "N", "creeps": ONE, "holds": ONE}
_CHECK = {
    "stress": "Pa", "share": ONE, "spring_index": ONE, "usual_index": ONE, "post_clearance": M, "loss_low": ONE,
    "loss_high": ONE, "state": ONE,
}  # fmt: skip
_LOADED = {
    "friction": 0.15, "limb": ([0.0, 0.02], M), "cover_mass": (0.15, "kg"), "cover_radius": (0.04, M),
    "added_inertia": (1e-4, "kg*m**2"), "drag": (2e-4, "N*m*s**2"), "tilt": (0.3, RAD),
}  # fmt: skip
_BARE = {"friction": 0.15, "limb": (0.0, M)}
_PAN = {
    "notch_arm": (0.012, M), "notch_friction": 0.2, "pan_radius": (0.025, M), "rake": (0.1, RAD),
    "pan_mass": (0.02, "kg"), "pan_centre": (0.02, M),
}  # fmt: skip
_WIRE = ((0.002, M), (0.014, M))
_LEAF_SIZE = ((0.019, M), (0.0028, M), (0.125, M), (0.010, M))


def _of_trap(which: str) -> list[Spec]:
    trap = TRAPS[which]
    own, effort = (M, "N") if which == "ring" else (RAD, "N*m")

    def turned(own_trap: model.Trap, what: Callable[..., Any]) -> Any:
        return what(own_trap, loop.loop_at(own_trap, 0.9), 0.2)

    def met(own_trap: model.Trap, height: float) -> Any:
        return closing.close(own_trap, friction=0.15, nodes=41).time_to_height(height)

    found = [
        _spec("closing.close", closing.close, CLOSING, trap, **_LOADED, pitch=(0.2, RAD), nodes=41, engine="numpy"),
        _spec("closing.close", closing.close, CLOSING, trap, **_BARE, nodes=41, engine="numba"),
        _spec("closing.water_terms", closing.water_terms, ("kg*m**2", "N*m*s**2"), trap, density=(1000.0, "kg/m**3")),
        _spec("motion.Closing.time_to_height", met, "s", trap, (0.05, M)),
        _spec("model.Trap.clearance", lambda t: t.clearance, M, trap),
        _spec("model.Trap.over_stressed", lambda t: t.over_stressed, ONE, trap),
        _spec("loop.loop_at", loop.loop_at, _loop_units(which), trap, ([0.06, 0.7, 1.3], RAD)),
        _spec("loop.resistance", turned, ONE if which == "ring" else M, trap, loop.resistance),
        _spec("loop.arm_of_contact", turned, M, trap, loop.arm_of_contact),
        _spec("loop.upright_angle", loop.upright_angle, RAD, trap),
        _spec("loop.angle_of_height", loop.angle_of_height, RAD, trap, (0.02, M)),
        _spec("loop.reversal_angle", loop.reversal_angle, RAD, trap),
        _spec("loop.spent_angle", loop.spent_angle, RAD, trap),
        _spec("loop.limb_angle", loop.limb_angle, RAD, trap, (0.02, M)),
        _spec("loop.opening_at", loop.opening_at, M, trap, (1.2, RAD)),
        _spec("holding.clamp", holding.clamp, CLAMP, trap, friction=0.15, limb=([0.002, 0.02, 0.05], M)),
        _spec("holding.lock_angle", holding.lock_angle, RAD, trap, friction=0.15),
        _spec("holding.face_pressure", holding.face_pressure, "Pa", trap, (80.0, "N"), (0.03, M)),
        _spec(
            "holding.pressures", holding.pressures, {"face": "Pa", "edge": "Pa"}, trap, (80.0, "N"), (0.03, M),
            edge_radius=(0.0005, M),
        ),
        _spec("holding.set_torque", holding.set_torque, "N*m", trap, friction=0.15),
        _spec("holding.dog_force", holding.dog_force, "N", trap),
        _spec("holding.slack_opening", holding.slack_opening, M, trap),
        _spec(
            "release.release", release.release, _TWO_JAWS, trap, **_LOADED, delay=(0.001, "s"), steps=120,
        ),
        _spec(
            "frames.frames", frames.frames,
            {
                "times": "s", "angles": RAD, "height": M, "coordinate": own, "force": "N", "apart": ONE, "state": ONE,
            },
            trap, **{**_LOADED, "limb": (0.02, M)}, delay=(0.001, "s"), step=(0.002, "s"),
        ),
        _spec("frames.seated", frames.seated, (RAD, M), trap, limb=(0.02, M)),
        _spec(
            "setting.setting_force", setting.setting_force,
            {
                **dict.fromkeys(("hand", "setters", "foot", "together", "force"), "N"), "work": "J",
                **dict.fromkeys(("hand_at", "foot_at", "coordinate"), own),
            },
            trap,
        ),
        _spec(
            "setting.can_set", lambda t, f, m: setting.can_set(setting.setting_force(t), strength=f, body_mass=m),
            {"hand": ONE, "setters": ONE, "foot": ONE, "body_share": ONE}, trap, (150.0, "N"), (60.0, "kg"),
        ),
        _spec(
            "strength.gives_way", strength.gives_way, {"by_place": "N", "force": "N", "place": ONE}, trap, STOCK,
            friction=0.15, limb=(0.02, M), limb_width=(0.03, M),
        ),
        _spec("trigger.notch_force", trigger.notch_force, "N", trap),
        _spec("trigger.notch_force", trigger.notch_force, "N", trap, dogless=True, latch_radius=(0.03, M)),
        _spec("springs.spring_effort", springs.spring_effort, effort,
              trap.fields["spring_rate"], (1.0, own), (0.2, own)),
    ]  # fmt: skip
    if which != "ring":
        found.append(_spec("holding.bevel_from_empty_lever", holding.bevel_from_empty_lever, RAD, trap, (1.2, RAD)))
    return found


def _of_dimensions(which: str) -> list[Spec]:
    sizes = DIMENSIONS[which]
    leaf = which.startswith("leaf")
    units = _units_of(model.Trap, TRAPS["ring" if leaf else "lever"])
    return [
        _spec("build.build", build.build, units, sizes),
        _spec(
            "strength.stock_of", strength.stock_of,
            {"yield_strength": "Pa", "bar_section": "m**3", "leg_section": "m**3", **dict.fromkeys(STOCK_LENGTHS, M)},
            sizes,
            yield_strength=(250e6, "Pa"),
        ),
        _spec(
            "spring_check.check_springs",
            lambda d, post: spring_check.check_springs(d, build.build(d), post_diameter=post),
            {"rate": "N/m" if leaf else "N*m", **_CHECK}, sizes, (0.01, M),
        ),
        _spec("swivel.swivel_arm", swivel.swivel_arm, M, sizes, base_play=(0.005, M)),
    ]  # fmt: skip


_SINGLE = [
    _spec("springs.active_turns", springs.active_turns, ONE, 4.25, (0.014, M), (0.05, M)),
    _spec("springs.coil_rate", springs.coil_rate, "N*m", *_WIRE, 4.6, modulus=(2e11, "Pa")),
    _spec("springs.stress_factor", springs.stress_factor, ONE, 7.2),
    _spec("springs.wire_strength", springs.wire_strength, "Pa", (0.002, M)),
    _spec("springs.coil_stress", springs.coil_stress, "Pa", (0.9, "N*m"), *_WIRE),
    _spec("springs.coil_moment", springs.coil_moment, "N*m", (1e9, "Pa"), *_WIRE),
    _spec("springs.leaf_rate", springs.leaf_rate, "N/m", *_LEAF_SIZE, modulus=(2e11, "Pa")),
    _spec("springs.leaf_stress", springs.leaf_stress, "Pa", (90.0, "N"), *_LEAF_SIZE),
    _spec("springs.wound_inside_diameter", springs.wound_inside_diameter, M, (0.014, M), (0.002, M), 4.25, 0.24),
    _spec(
        "trigger.bolt_moment", trigger.bolt_moment, "N*m", (50.0, "N"), friction=0.2, outer_radius=(0.006, M),
        inner_radius=(0.003, M),
    ),
    _spec("trigger.trip_force", trigger.trip_force, TRIP, (16.0, "N"), **_PAN, bolt=(0.1, "N*m")),
    _spec("pan.without_tension", pan.without_tension, TRIP, (16.0, "N"), **_PAN),
    *(
        _spec(
            "filing.filing", filing.filing,
            {
                **dict.fromkeys(("wedge", "shorten", "left", "travel", "travel_after", "short"), M),
                "notch_now": "N", "notch_after": "N",
            },
            (0.003, M), rake=(rake, RAD), notch=(20.0, "N"), notch_arm=(0.012, M), notch_friction=0.2,
            pan_radius=(0.025, M), wanted_travel=(travel, M), least_overlap=(0.001, M),
        )
        for rake, travel in ((-0.17, 0.004), (0.05, 0.0005))
    ),
    _spec("filing.bolt_share", filing.bolt_share, ONE, (10.0, "N"), (2.0, "N")),
    _spec(
        "filing.friction_for", filing.friction_for, ONE, (1.2, "N"), notch=(20.0, "N"), notch_arm=(0.012, M),
        pan_radius=(0.025, M),
    ),
    _spec(
        "overhaul.strength_left", overhaul.strength_left, ONE, (0.001, M), pin_diameter=(0.006, M),
        ear_edge=(0.008, M),
    ),
    _spec("pan.pan_travel", pan.pan_travel, M, (0.002, M), notch_arm=(0.012, M), pan_radius=(0.025, M)),
    _spec(
        "pan.pan_fit", pan.pan_fit, {"share": ONE, "force_ratio": ONE, "within": ONE}, (0.002, "m**2"), (0.03, M),
        usual_radius=(0.025, M), opening=(0.13, M), bar_length=(0.11, M),
    ),
    _spec(
        "pulls.next_pull", pulls.next_pull,
        {"mean": "N", "sd": "N", "low": "N", "high": "N", "count": ONE, "assumed": ONE}, ([9.0, 11.0, 10.5], "N"),
    ),
    _spec("guard.swing", guard.swing, {"time": "s", "force": "N", "state": ONE}, GUARD, released_at=(0.02, "s")),
    _spec(
        "spring_check.check_coil", spring_check.check_coil, {"rate": "N*m", **_CHECK}, *_WIRE, 4.25, (0.9, "N*m"),
        end_lengths=(0.05, M), post_diameter=(0.01, M), modulus=(2e11, "Pa"),
    ),
    _spec(
        "spring_check.check_leaf", spring_check.check_leaf, {"rate": "N/m", **_CHECK}, *_LEAF_SIZE, (90.0, "N"),
        strength=(1.5e9, "Pa"), modulus=(2e11, "Pa"),
    ),
    _spec(
        "wear.health", wear.health, {"middle": ONE, "low": ONE, "high": ONE}, (2000.0, "N/m"),
        (2300.0, "N/m"), sd_now=(60.0, "N/m"), sd_new=(70.0, "N/m"),
    ),
    _spec(
        "wear.loss_per_season", wear.loss_per_season, {"middle": ONE, "low": ONE, "high": ONE},
        ([0.0, 3e7, 6e7], "s"), ([2300.0, 2200.0, 2150.0], "N/m"), ([50.0, 50.0, 50.0], "N/m"),
        season_days=(3.15e7, "s"),
    ),
    _spec("swivel.turning_moment", swivel.turning_moment, "N*m", (300.0, "N"), (0.07, M), (0.6, RAD)),
    _spec("flight.speed_squared", flight.speed_squared, "1/s**2", FLIGHT, np.array([[1.4]])),
    _spec("flight.Flight.__call__", lambda f, a: f(a), "1/s**2", FLIGHT, np.array([[1.4]])),
    _spec(
        "flight.flight_time", lambda f: flight.flight_time(f.angle, f.angle + 0.3, None, f), "s", FLIGHT,
    ),
    _spec(
        "flight.hermite", lambda *b: flight.hermite(b[:6], b[6]), "1/s**2",
        *(np.array([[x]]) for x in (1.0, 1.2)), *(([[x]], "1/s**2") for x in (80.0, 90.0, 40.0, 55.0)),
        np.array([[1.13]]),
    ),
    _spec(
        "flight.loop_runs_ahead", flight.loop_runs_ahead, M, (0.02, M), (1.5, "m/s"), (0.03, M), (400.0, "1/s"),
        ([1e-3, 8e-3], "s"),
    ),
    _spec("quadrature.running", quadrature.running, "m*s", ([1.0, 2.0, 4.0, 3.0, 5.0], M), (0.25, "s")),
]  # fmt: skip
SPECS = [
    *(spec for which in TRAPS for spec in _of_trap(which)),
    *(spec for which in DIMENSIONS for spec in _of_dimensions(which)),
    *_SINGLE,
]
