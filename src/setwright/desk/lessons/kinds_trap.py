"""Questions on the trap: how soon it closes, how hard it is to set, how its face bears."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache

import numpy as np

from setwright.animal.jawfit import time_available
from setwright.basis.units import convert, fraction, metric
from setwright.desk.bench import sheet
from setwright.desk.bench_document import SlowMotion
from setwright.desk.bench_figures import likely
from setwright.desk.bench_pick import pattern
from setwright.desk.lessons.question import UNIT_WORDS, Question, QuestionKind, asked, chosen, number, unit_of
from setwright.sets.mechanics import priors_of, readings_of
from setwright.trap import tables
from setwright.trap.calibrate import calibrate
from setwright.trap.holding import face_pressure
from setwright.trap.model import Trap
from setwright.trap.setting import CAN, can_set, setting_force

PATTERNS = ("coil-1.5", "coil-1.75", "coil-2", "coil-3")
STEP = 0.0005
TIMES = "\N{MULTIPLICATION SIGN}"


@cache
def trap_of(key: str) -> Trap:
    """The most likely trap of a pattern."""
    rig = pattern(key).rig
    posterior = calibrate(rig.knowledge.base, priors_of(rig.knowledge), readings_of(rig.knowledge)).posterior
    return likely(posterior, posterior.unknowns, rig).trap


@cache
def motion_of(key: str) -> SlowMotion:
    """The closing of the most likely trap of a pattern."""
    found = sheet(pattern(key), frame_step=STEP, draws=50).frames
    assert found is not None
    return found


def _label(key: str) -> str:
    return tables.patterns().text(key, "label")


def closing_angle(rng: random.Random) -> Question:
    """When the jaws stand at an angle."""
    key, angle = rng.choice(PATTERNS), rng.choice((30, 45, 60, 75))
    motion = motion_of(key)
    time = 1e3 * float(np.interp(np.radians(angle), motion.loose_jaw, motion.times))
    return Question(
        "closing-angle",
        f"Read the closing strip of a {_label(key)}. After how many milliseconds do the jaws stand {angle}° up?",
        f"At {time:.1f} ms. Most of the time goes by in the first degrees: there the levers push with the least "
        "gain.",
        "slow motion of this program; figures of a usual trap of that number, for comparing only",
        answer=time, unit="ms", tolerance=1.5, figure="trap-strip", given={"trap": key, "angle": angle},
    )  # fmt: skip


def foot_time(rng: random.Random) -> Question:
    """How long a foot stays within reach."""
    reaction, lift, height = rng.choice((30, 40, 45, 50)), rng.choice((16, 20, 24, 32)), rng.choice((1.0, 1.5, 2.0))
    over, unit = asked(height, "height", 5.0), unit_of("height")
    metres = convert(over, unit, "m")
    time = 1e3 * float(time_available(reaction / 1e3, lift, metres))
    fall = 1e3 * np.sqrt(2.0 * metres / lift)
    so = "1000 mm are 1 m" if metric() else "1 in is 0.0254 m"
    shown = f"{over:g} mm" if metric() else f"{fraction(over)} in"
    return Question(
        "foot-time",
        f"The pan drops. The foot starts to lift {reaction} ms later and speeds up by {lift} m/s each second. The "
        "bars "
        f"meet {shown} above the pan. How many milliseconds do they have? ({so}; "
        "the time for a height h at an even speed-up a is √(2h/a).)",
        f"{reaction} + {fall:.0f} = {time:.0f} ms. A trap that needs less than that is fast enough for this foot.",
        "motion at constant acceleration; reaction and lift are assumed, nobody has filmed them",
        answer=time, unit="ms", tolerance=3.0,
        given={"reaction": reaction, "lift": lift, "height": over, "unit": unit},
    )  # fmt: skip


def setter_force(rng: random.Random) -> Question:
    """What the handles of a setter ask for."""
    key = rng.choice((*PATTERNS, "coil-5"))
    ratio = rng.choice((4, 5, 6, 8))
    found = setting_force(trap_of(key), setter_ratio=float(ratio))
    unit = unit_of("force")
    hand, handle = (convert(float(np.ravel(part)[0]), "N", unit) for part in (found.hand, found.setters))
    pounds, word = ("N", "newtons") if metric() else ("lb", "pounds")
    return Question(
        "setter-force",
        f"One lever of a {_label(key)} asks for {hand:.0f} {pounds} at its end. Your setters are {ratio} times as "
        f"long from hinge to handle as from hinge to jaw. With how many {word} must you press the handles?",
        f"{hand:.0f} / {ratio} = {number(handle)} {pounds}. Long handles trade way for force.",
        "law of the lever; force of a usual trap of that number, computed",
        answer=handle, unit=unit, tolerance=max(0.05 * handle, 0.5),
        given={"trap": key, "ratio": ratio, "unit": unit},
    )  # fmt: skip


def both_feet(rng: random.Random) -> Question:
    """Whether a student can step a trap down."""
    key, share = rng.choice((*PATTERNS, "coil-5")), 0.8
    found = setting_force(trap_of(key))
    force = float(np.ravel(found.together)[0])
    # Well to one side of what is needed, so that the answer does not hang on rounding.
    pounds = round(convert(force, "N", "lbf") / share * rng.choice((0.55, 0.7, 1.4, 1.7)) / 5.0) * 5.0
    weight, unit = asked(pounds, "mass"), unit_of("mass")
    told = can_set(found, strength=1.0, body_mass=convert(weight, unit, "kg"), doubt=0.0, foot_share=share)
    able = int(np.ravel(told.foot)[0]) == CAN
    yes, no = "Yes, by foot", "No: setters, or a smaller trap"
    choices, place = chosen(rng, yes if able else no, [yes, no])
    needed, hint = f"{convert(force, 'N', 'lbf'):.0f} lb", ""
    sum_ = f"0.8 {TIMES} {weight:.0f} = {0.8 * weight:.0f} lb"
    if metric():
        needed, hint = f"{force:.0f} N", " (A kilogram presses with 9.8 N.)"
        sum_ = f"0.8 {TIMES} {weight:.0f} {TIMES} 9.8 = {0.8 * weight * 9.8:.0f} N"
    return Question(
        "both-feet",
        f"Both levers of a {_label(key)} must go down at once; together they ask for {needed}. A student "
        "weighs "
        f"{weight:.0f} {unit} with his boots on. He can put about four fifths of that on the levers and keep his "
        f"balance. Can he step this trap down?{hint}",
        f"{sum_} against {needed}. Who cannot press it does not set it.",
        "moments at the lever; share of the weight assumed; force of a usual trap of that number, computed",
        choices=choices, right=place, given={"trap": key, "weight": weight, "unit": unit},
    )  # fmt: skip


def pressure(rng: random.Random) -> Question:
    """What a wider face does to the same grip."""
    grip, wide = rng.randrange(12, 41, 4), rng.choice((2, 3))
    thick = rng.choice((1.5, 2.0))
    force, limb, narrow = asked(grip, "force", 5.0), asked(thick, "height", 5.0), asked(0.25, "height")
    of_force, of_length, unit = unit_of("force"), unit_of("height"), "kPa" if metric() else "psi"
    trap = replace(
        trap_of("coil-1.5"), face_width=np.asarray([convert(wide * narrow, of_length, "m")]),
        face_length=np.asarray([1.0]),
    )  # fmt: skip
    newtons, metres = convert(force, of_force, "N"), convert(limb, of_length, "m")
    found = convert(float(face_pressure(trap, newtons, metres)[0]), "Pa", unit)
    pounds = "N" if metric() else "lb"
    sum_, hint = f"{force:g} / ({wide * narrow:g} {TIMES} {limb:g}) = {number(found)}", ""
    if metric():
        sum_ = f"1000 {TIMES} {sum_}"
        hint = " (One newton to the square millimetre is 1000 kilopascals.)"
    return Question(
        "face-pressure",
        f"A jaw grips a limb {limb:g} {of_length} wide with {force:g} {pounds}. A strip is welded on, and the "
        f"face is now {wide * narrow:g} {of_length} wide in place of {narrow:g} {of_length}. How many "
        f"{UNIT_WORDS[unit]} are on the face now?{hint}",
        f"{sum_}. {wide} times the width, 1/{wide} of the "
        "pressure. It ranks jaws; what it does to a foot is judged by what is seen on animals.",
        "force over area",
        answer=found, unit=unit, tolerance=max(0.05 * found, 0.5),
        given={"force": force, "wide": wide, "limb": limb, "narrow": narrow, "unit": unit},
    )  # fmt: skip


KINDS = {
    "closing-angle": QuestionKind("time to an angle", closing_angle),
    "foot-time": QuestionKind("time that a foot gives", foot_time),
    "setter-force": QuestionKind("force on a setter", setter_force),
    "both-feet": QuestionKind("stepping a trap down", both_feet),
    "face-pressure": QuestionKind("width of the face", pressure),
}
