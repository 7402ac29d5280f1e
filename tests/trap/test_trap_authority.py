"""The closing against a general rigid-body program; `authorities/trap` has its models and what it answered."""

from __future__ import annotations

import importlib
import json
import math
import re
import sys
from types import ModuleType

import pytest
from rigid_cases import CASES, PLACE, RECORD, close_case, table, trap_of
from surface_slip import closing as with_surface_slip

from outside import rows
from setwright.trap.closing import CLOSES
from setwright.trap.holding import clamp
from setwright.trap.release import release

# What the two may differ by: they do not agree on how friction turns with the surfaces (see the last tests).
TIME, RATE = 0.004, 0.006
HOLD, OPEN = 0.01, 0.03
NEEDS = "the rigid-body program is not installed: `python3 run.py check --all` does it from requirements-oracles.lock"


TOGETHER = [name for name, case in CASES.items() if not case["rolls"]]
HELD = table("holding.csv")
APART = [name for name, case in CASES.items() if case["rolls"]]


def _held_id(row: dict[str, str]) -> str:
    return f"{row['id']} {1e3 * float(row['limb']):.0f} mm {row['friction']}"


def _apart(ours: float, theirs: float) -> float:
    return abs(float(ours) / theirs - 1.0)


def _rate(found: dict[str, float]) -> float:
    return 0.5 * (found["rate"] + found["other_rate"])


def test_the_cases_span_what_a_trap_meets() -> None:
    assert set(CASES) == set(RECORD), "one answer a case"
    levers = [case for case in CASES.values() if case["lever"]]
    rings = [case for case in CASES.values() if not case["lever"]]
    assert min(len(levers), len(rings)) >= 12
    for family in (levers, rings):
        assert {0.0, 0.25} <= {case["friction"] for case in family}, "friction from nothing to much"
        for name in ("limb", "drag", "added_inertia", "cover_mass", "tilt_across", "tilt_along"):
            assert any(case[name] > 0 for case in family), f"a case with {name}"
        for name in ("jaw_inertia", "height", "eye_half_opening", "loop_clearance", "bevel", "spring_rate"):
            assert len({case[name] for case in family}) >= 2, f"cases that differ in {name}"
    assert any(case["slot"] for case in levers)
    assert len({case["lever_length"] for case in levers}) >= 3


@pytest.mark.parametrize("name", TOGETHER)
def test_time_and_rate_are_those_of_the_rigid_bodies(name: str) -> None:
    ours, theirs = close_case(CASES[name]), RECORD[name]
    assert int(ours.state) == CLOSES
    assert theirs["returns"] == 0 and not bool(ours.recontact), "the loops do not come back before the jaws meet"
    assert _apart(ours.time, theirs["time"]) < TIME
    assert _apart(ours.rate, _rate(theirs)) < RATE


@pytest.mark.parametrize("name", [name for name in TOGETHER if name.endswith("-smooth")])
def test_without_friction_they_agree_closely(name: str) -> None:
    ours, theirs = close_case(CASES[name]), RECORD[name]
    # A slot's edge stands askew to the leg, which its clearance here does not follow.
    assert _apart(ours.time, theirs["time"]) < (1e-3 if CASES[name]["slot"] else 1e-4)
    assert _apart(ours.rate, _rate(theirs)) < (1e-3 if CASES[name]["slot"] else 3e-4)


@pytest.mark.parametrize("name", [name for name in TOGETHER if math.isfinite(RECORD[name]["separation_angle"])])
def test_jaws_leave_the_loops_where_the_rigid_bodies_do(name: str) -> None:
    # Contact fades out over some degrees, and the rigid bodies let go in small hops.
    ours = math.degrees(float(close_case(CASES[name]).separation_angle))
    assert ours == pytest.approx(math.degrees(RECORD[name]["separation_angle"]), abs=2.5)


@pytest.mark.parametrize("name", [name for name in TOGETHER if math.isfinite(RECORD[name]["loop_time"])])
def test_loops_arrive_when_and_as_hard_as_the_rigid_bodies(name: str) -> None:
    case, ours, theirs = CASES[name], close_case(CASES[name]), RECORD[name]
    assert _apart(ours.loop_time, theirs["loop_time"]) < TIME
    energy = 0.5 * case["loops"] * case["loop_inertia"] * theirs["loop_rate"] ** 2
    assert _apart(ours.loop_energy, energy) < 0.03


@pytest.mark.parametrize("name", [name for name in TOGETHER if not CASES[name]["slot"] and CASES[name]["friction"]])
def test_what_is_left_is_the_slip_of_the_turning_surfaces(name: str) -> None:
    time, rate = with_surface_slip(CASES[name], float(close_case(CASES[name]).angle))
    assert _apart(time, RECORD[name]["time"]) < 1e-3
    assert _apart(rate, _rate(RECORD[name])) < 5e-3


@pytest.mark.parametrize("name", APART)
def test_jaws_of_their_own_meet_when_the_rigid_bodies_do(name: str) -> None:
    case, theirs = CASES[name], RECORD[name]
    given = {
        part: case[part] for part in ("friction", "limb", "delay", "cover_mass", "cover_radius", "added_inertia")
    }
    ours = release(trap_of(case), **given, tilt=case["tilt_across"], steps=1000)
    assert int(ours.state) == CLOSES
    # An eye that has rolled presses the jaw that lags harder; `release` presses both alike: that jaw comes too slow.
    assert _apart(ours.time, theirs["time"]) < 0.016
    first = int(ours.rate[1] > ours.rate[0])
    assert _apart(ours.rate[first], theirs["other_rate" if first else "rate"]) < 0.04


@pytest.mark.parametrize(
    ("name", "changed"),
    [
        ("coil-tilt-across", {"tilt": 0.0}),
        ("coil-tilt-along", {"pitch": 0.0}),
        ("coil-post", {"pitch": 0.0}),
        ("long-tilt-across", {"tilt": 0.0}),
        ("long-tilt-along", {"pitch": 0.0}),
        ("long-hanging", {"pitch": 0.0}),
        ("coil-water", {"drag": 0.0}),
        ("coil-water", {"added_inertia": 0.0}),
        ("long-water", {"drag": 0.0}),
        ("long-water", {"added_inertia": 0.0}),
        ("coil-cover", {"cover_mass": 0.0}),
        ("long-cover", {"cover_mass": 0.0}),
        ("coil-limb", {"limb": 0.0}),
        ("long-limb", {"limb": 0.0}),
        ("coil-sticky", {"friction": 0.15}),
        ("long-sticky", {"friction": 0.15}),
        ("slot-limb", {"friction": 0.15}),
    ],
)
def test_what_a_case_is_for_can_be_seen(name: str, changed: dict[str, float]) -> None:
    ours, theirs = close_case(CASES[name], **changed), RECORD[name]
    assert _apart(ours.time, theirs["time"]) > TIME or _apart(ours.rate, _rate(theirs)) > RATE


@pytest.mark.parametrize("row", HELD, ids=_held_id)
def test_clamp_is_that_of_the_rigid_bodies(row: dict[str, str]) -> None:
    ours = clamp(trap_of(CASES[row["id"]]), friction=float(row["friction"]), limb=float(row["limb"]))
    closing_force, opening_force = float(row["closing_force"]), float(row["opening_force"])
    smooth = float(row["friction"]) == 0.0
    assert bool(ours.locked) == math.isinf(opening_force), "locked or not"
    assert _apart(ours.closing_force, closing_force) < (0.003 if smooth else HOLD)
    if not bool(ours.locked):
        # Near the lock the force goes towards infinity, and with it what the turning of the edge does to friction.
        near = min(2.5, 1.0 + max(0.0, 4.0 + math.degrees(float(ours.lock_margin))))
        assert _apart(ours.opening_force, opening_force) < (0.003 if smooth else OPEN * near)


def test_the_step_of_the_record_is_short_enough() -> None:
    for name in {row["id"] for row in table("steps.csv")}:
        found = {float(row["step"]): row for row in table("steps.csv") if row["id"] == name}
        finest, rough = min(found), max(found)
        used = RECORD[name]["step"]
        assert finest < used < rough
        times = {step: float(row["time"]) for step, row in found.items()}
        assert _apart(times[used], times[finest]) < 5e-4, f"{name}: half the step changes nothing that counts"
        assert _apart(times[used], times[finest]) < 0.5 * _apart(times[rough], times[finest]), f"{name}: it converges"


def _program(name: str = "rigid_body") -> ModuleType:
    pytest.importorskip("mujoco", reason=NEEDS)
    if str(PLACE) not in sys.path:
        sys.path.insert(0, str(PLACE))
    return importlib.import_module(name)


def test_published_rows_hold_the_record() -> None:
    """The rows that show these checks beside all others are the same figures."""
    shown = {
        json.loads(row.values[0]["inputs"])["case"]: float(row.values[0]["expected"])
        for row in rows("trap", "published")
        if row.values[0]["check"] == "rigid_body"
    }
    assert set(shown) == set(TOGETHER)
    for name, milliseconds in shown.items():
        assert milliseconds == pytest.approx(1e3 * RECORD[name]["time"], rel=1e-6), name


def test_the_lock_of_the_program_fits_the_lock_for_work() -> None:
    root, lock = PLACE.parents[1], "requirements-oracles.lock"
    ours, work = (
        re.findall(r"^([\w.\-]+)==(\S+)((?: ;.*)?) \\$", (root / name).read_text(encoding="utf-8"), re.MULTILINE)
        for name in (lock, "requirements-dev.lock")
    )
    assert any(name == "mujoco-core" for name, *_ in ours)
    known = {name for name, *_ in work}
    assert {pin for pin in ours if pin[0] in known} <= set(work), "what both hold is the same in both"
    text = (root / lock).read_text(encoding="utf-8")
    assert not re.search(r"https?:|--index|--extra-index|--find-links|file:|git\+|@ ", text), "no addresses"
    assert all("--hash=sha256:" in block for block in re.split(r"\n(?=\w)", text.strip())), "pinned by hash"


@pytest.mark.slow
@pytest.mark.parametrize("name", CASES)
def test_the_rigid_bodies_answer_the_same_again(name: str) -> None:
    program = _program()
    assert program.cases()[name] == CASES[name]
    again, theirs = program.run(CASES[name]), RECORD[name]
    # Hops of a stiff contact are not the same on every processor: the sums are.
    assert _apart(again.time, theirs["time"]) < 5e-4
    assert _apart(again.rate, theirs["rate"]) < 6e-3
    assert _apart(again.other_rate, theirs["other_rate"]) < 6e-3
    if name in TOGETHER:
        ours = close_case(CASES[name])
        assert _apart(ours.time, again.time) < TIME
        assert _apart(ours.rate, 0.5 * (again.rate + again.other_rate)) < RATE


@pytest.mark.slow
@pytest.mark.parametrize("row", HELD, ids=_held_id)
def test_the_rigid_bodies_hold_the_same_again(row: dict[str, str]) -> None:
    program, case = _program("rigid_hold"), CASES[row["id"]]
    friction, limb = float(row["friction"]), float(row["limb"])
    on = program.grip(case, friction, limb, 1.0)
    assert _apart(on, float(row["closing_force"])) < 5e-3
    if math.isinf(float(row["opening_force"])):
        assert program.holds(case, friction, limb, program.FORCED * on)
    else:
        assert not program.holds(case, friction, limb, program.FORCED * on)
        assert _apart(program.grip(case, friction, limb, -1.0), float(row["opening_force"])) < 0.02
