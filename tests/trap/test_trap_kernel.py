"""The compiled kernel against plain NumPy, the slot, and both jaws by themselves against their mean."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trap_cases import COIL_CASE, LONG_CASE

from setwright.basis.errors import OutOfRange
from setwright.trap import closing
from setwright.trap.closing import CLOSES, close, water_terms
from setwright.trap.loop import arm_of_contact, loop_at, resistance
from setwright.trap.model import SLOT, Trap
from setwright.trap.motion import NO_CLEARANCE, SPRING_SPENT, STALLS
from setwright.trap.release import release

SLOT_CASE = replace(COIL_CASE, eye=SLOT, lever_length=0.045)
KINDS = {"round eye": COIL_CASE, "slot": SLOT_CASE, "long-spring": LONG_CASE}
COMPARED = (
    "time", "angle", "rate", "tip_speed", "jaw_energy", "loop_energy", "loop_time", "momentum", "separation_angle",
    "separation_time", "angles", "times",
)  # fmt: skip


def _varied(trap: Trap, count: int, seed: int, share: float = 0.2) -> Trap:
    """Designs about one, some of which do not close."""
    random = np.random.default_rng(seed)
    fixed = ("family", "eye", "loops", "set_stress", "strength")
    return replace(
        trap,
        **{
            entry.name: getattr(trap, entry.name) * random.uniform(1 - share, 1 + share, count)
            for entry in fields(trap)
            if entry.name not in fixed
        },
    )


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("nodes", [25, 101])
def test_compiled_and_plain_agree_to_1e_10(kind: str, nodes: int) -> None:
    count = 1500
    random = np.random.default_rng(4)
    load = {
        "friction": random.uniform(0.0, 0.35, count), "limb": random.choice([0.0, 0.01, 0.03, 0.4], count),
        "drag": random.choice([0.0, 1e-4, 1e-3, 5e-2], count),
        "cover_mass": random.choice([0.0, 0.05, 0.3, 5.0], count),
        "cover_radius": 0.04, "tilt": 0.4, "pitch": random.uniform(-1.5, 1.5, count),
    }  # fmt: skip
    trap = _varied(KINDS[kind], count, 3, 0.25)
    plain, compiled = (close(trap, nodes=nodes, engine=engine, **load) for engine in ("numpy", "numba"))
    assert len(np.unique(plain.state)) > 3, "the designs reach several states"
    np.testing.assert_array_equal(plain.state, compiled.state)
    np.testing.assert_array_equal(plain.recontact, compiled.recontact)
    for name in COMPARED:
        np.testing.assert_allclose(getattr(compiled, name), getattr(plain, name), rtol=1e-10, err_msg=name)


def test_threads_do_not_change_the_answer() -> None:
    trap = _varied(COIL_CASE, 500, 1)
    one, many = (close(trap, friction=0.15, engine="numba", workers=workers) for workers in (1, 3))
    np.testing.assert_array_equal(one.time, many.time)
    np.testing.assert_array_equal(one.times, many.times)


def test_many_designs_take_the_compiled_kernel(monkeypatch: pytest.MonkeyPatch) -> None:
    trap = _varied(COIL_CASE, 40, 2)
    plain = close(trap, friction=0.15)
    monkeypatch.setattr(closing, "MANY", 40)
    monkeypatch.setattr(closing, "move", None)
    np.testing.assert_allclose(close(trap, friction=0.15).time, plain.time, rtol=1e-10)


@settings(max_examples=60, deadline=None)
@given(angle=st.floats(0.06, 1.55), bevel=st.floats(-0.05, 0.3), friction=st.floats(0.0, 0.4))
def test_slot_power_is_kept_but_for_what_rubs(angle: float, bevel: float, friction: float) -> None:
    """For an eye without edge radius and a leg without thickness the sliding is that of the metal itself."""
    trap = replace(SLOT_CASE, loop_clearance=0.0, bearing_offset=0.0, bevel=bevel)
    loop = loop_at(trap, angle)
    given_away = float(resistance(trap, loop, friction) * loop.slope - arm_of_contact(trap, loop, friction))
    # Place of one point of the slot and of one point of the leg, and how fast they pass each other.
    phi, length, alpha = float(loop.coordinate), float(trap.lever_length), angle - bevel
    of_slot = float(loop.slope) * length / np.cos(phi) * np.array([0.0, -np.sin(phi), np.cos(phi)])
    of_leg = float(loop.reach) * np.array([-np.sin(alpha), 0.0, np.cos(alpha)])
    pressure = np.sqrt(1.0 + (np.cos(alpha) * np.tan(phi)) ** 2)
    rubbed = friction * pressure * float(np.linalg.norm(of_slot - of_leg))
    assert given_away == pytest.approx(rubbed, rel=1e-8, abs=1e-14)
    normal = np.cross([np.cos(alpha), 0.0, np.sin(alpha)], [0.0, np.cos(phi), np.sin(phi)])
    assert float((of_slot - of_leg) @ normal) == pytest.approx(0.0, abs=1e-12), "slot and leg stay in touch"


@settings(max_examples=30, deadline=None)
@given(angle=st.floats(0.06, 1.5), drop=st.floats(-0.005, 0.02), length=st.floats(0.03, 0.06))
def test_slot_derivatives(angle: float, drop: float, length: float) -> None:
    trap = replace(SLOT_CASE, pivot_height=-drop, lever_length=length)
    step = 1e-5
    below, here, above = (loop_at(trap, angle + way * step) for way in (-1, 0, 1))
    assert float(here.slope) == pytest.approx(float(above.coordinate - below.coordinate) / (2 * step), rel=1e-6)
    assert float(here.bend) == pytest.approx(float(above.slope - below.slope) / (2 * step), rel=1e-6)


@settings(max_examples=25, deadline=None)
@given(kind=st.sampled_from(sorted(KINDS)), share=st.floats(0.85, 1.15), friction=st.floats(0.0, 0.3))
def test_both_jaws_by_themselves_close_as_one(kind: str, share: float, friction: float) -> None:
    trap = replace(KINDS[kind], jaw_inertia=KINDS[kind].jaw_inertia * share)
    together, apart = close(trap, friction=friction), release(trap, friction=friction)
    assert int(apart.state) == CLOSES
    assert float(apart.time) == pytest.approx(float(together.time), rel=1e-4), (
        "sliding that turns costs a step its order"
    )
    assert apart.rate == pytest.approx(float(together.rate), rel=2e-4)
    assert apart.angle == pytest.approx(float(together.angle), abs=1e-5)


@pytest.mark.parametrize("kind", KINDS)
def test_a_dog_that_holds_its_jaw_back(kind: str) -> None:
    trap = KINDS[kind]
    delays = np.array([0.0, 0.0005, 0.001, 0.002, 0.004])
    found = release(trap, friction=0.15, delay=delays)
    assert (found.state == CLOSES).all()
    assert (np.diff(found.time) > 0).all(), "a longer delay closes later"
    assert ((found.time - found.time[0])[1:] < delays[1:]).all(), (
        "but by less than the delay: the other jaw has begun"
    )
    assert (np.diff(found.lead) > 0).all()
    assert found.lead[1:3] == pytest.approx(found.lead[1] * np.array([1.0, 4.0]), rel=0.01), (
        "like a fall: time squared"
    )
    assert (found.angle[1] >= found.angle[0] - 1e-9).all(), "the loose jaw comes farther over"


@pytest.mark.parametrize("kind", KINDS)
def test_tilt_of_the_bed_moves_the_meeting_but_hardly_the_time(kind: str) -> None:
    trap = KINDS[kind]
    for tilt in (0.3, 1.0):
        both, mean = release(trap, friction=0.15, tilt=tilt), close(trap, friction=0.15, tilt=tilt)
        assert float(both.time) == pytest.approx(float(mean.time), rel=5e-5), "both jaws by their mean"
        other = release(trap, friction=0.15, tilt=-tilt)
        assert both.angle == pytest.approx(other.angle[::-1], abs=1e-9), "the other way round"
        assert float(both.angle[0] - both.angle[1]) < 0.0, "the jaws meet on the lower side"


def test_weight_of_a_trap_on_a_post_or_overhead() -> None:
    level, upright, hanging = (
        float(close(COIL_CASE, friction=0.15, tilt=tilt).time) for tilt in np.radians([0, 90, 180])
    )
    without = float(close(replace(COIL_CASE, weight_moment=0.0), friction=0.15).time)
    assert level > upright > hanging
    assert upright == pytest.approx(without, rel=1e-12)
    assert float(close(COIL_CASE, friction=0.15, pitch=np.pi / 2).time) == pytest.approx(without, rel=1e-12)


@pytest.mark.parametrize("kind", KINDS)
def test_the_loop_seats_after_the_jaws(kind: str) -> None:
    found = close(KINDS[kind], friction=0.15, limb=np.linspace(0.0, 0.05, 6))
    assert (found.loop_time >= found.time).all()
    assert np.isfinite(found.loop_time).all()


def test_arrival_of_the_loop_by_stepping_in_time() -> None:
    from scipy.integrate import solve_ivp

    trap = LONG_CASE
    found = close(trap, friction=0.15, limb=0.02, nodes=201)
    part = loop_at(trap, found.separation_angle)
    index = int(np.searchsorted(found.angles, float(found.separation_angle)))
    rate = np.gradient(found.angles, found.times, edge_order=2)[index]
    seat = float(loop_at(trap, found.angle).coordinate)

    class Seated:
        terminal = True

        def __call__(self, _: float, state: np.ndarray) -> float:
            return float(state[0]) - seat

    run = solve_ivp(
        lambda _, q: [q[1], trap.spring_rate * max(trap.free_coordinate - q[0], 0.0) / trap.loop_inertia],
        (float(found.separation_time), 1.0), [float(part.coordinate), float(part.slope) * rate],
        events=[Seated()], rtol=1e-10, atol=1e-12,
    )  # fmt: skip
    assert float(found.loop_time) == pytest.approx(float(run.t[-1]), rel=2e-3)


def test_states_are_said_and_not_clipped() -> None:
    trap = replace(
        LONG_CASE,
        eye_half_opening=np.array([0.0095, 0.0040, 0.0095, 0.0095]),
        free_coordinate=np.array([0.05712609, 0.05712609, -0.01, 0.05712609]),
    )
    cover = np.array([0.0, 0.0, 0.0, 60.0])
    for engine in ("numpy", "numba"):
        found = close(trap, friction=0.15, cover_mass=cover, cover_radius=0.03, engine=engine)
        assert found.state.tolist() == [CLOSES, NO_CLEARANCE, SPRING_SPENT, STALLS]
        assert np.isnan(found.time[1:]).all()
        assert np.isnan(found.loop_time[1:]).all()


def test_misuse_is_refused() -> None:
    with pytest.raises(OutOfRange):
        release(COIL_CASE, friction=0.15, delay=-0.001)
    with pytest.raises(OutOfRange):
        release(COIL_CASE, friction=0.15, steps=20)


def test_water_slows_both_jaws_alike() -> None:
    inertia, drag = water_terms(COIL_CASE)
    both = release(COIL_CASE, friction=0.15, added_inertia=inertia, drag=drag)
    one = close(COIL_CASE, friction=0.15, added_inertia=inertia, drag=drag)
    assert float(both.time) == pytest.approx(float(one.time), rel=1e-5)
