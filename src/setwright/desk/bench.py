"""One trap on the bench: what its pattern and its readings say, what a change would do, and what to read next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from setwright.basis.errors import BadInput
from setwright.basis.spread import Draws
from setwright.basis.units import parse
from setwright.desk import bench_document as doc
from setwright.desk.bench_calibration import told
from setwright.desk.bench_figures import (
    KEYS,
    LIMB,
    Bed,
    Numbers,
    drawn,
    figures,
    likely,
    load_of,
    numbers,
    states,
    values,
)
from setwright.desk.bench_pick import Picked, pattern, pick
from setwright.desk.bench_rows import KIND, curve_of_grips, in_words, parts
from setwright.desk.bench_whatif import apply, differences
from setwright.desk.caution_words import HANDS, TEST_FIRING
from setwright.desk.wording import show
from setwright.sets.context import Floats
from setwright.sets.mechanics import priors_of, readings_of
from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables
from setwright.trap.calibrate import Calibration, calibrate
from setwright.trap.frames import frames, seated
from setwright.trap.loop import loop_at, upright_angle
from setwright.trap.model import Trap
from setwright.trap.posterior import posterior_of
from setwright.trap.springs import spring_effort
from setwright.trap.unknowns import Design

DRAWS = 200
SEED = 20
FRAME_STEP = 0.002
_LIMBS = np.linspace(0.002, 0.05, 25)
_CURVE_NODES = 60


def bench(
    what: str,
    *,
    book: Path | None = None,
    what_if: Sequence[str] = (),
    student: tuple[float, float] | None = None,
    frame_step: float | None = None,
    drawn_too: bool = False,
    draws: int = DRAWS,
    seed: int = SEED,
) -> doc.BenchSheet:
    """Explain the trap in a file, of a tag in the outfit of `book`, or of a pattern.

    `student` is what a student presses with one hand [N] and weighs [kg]. Slow motion in steps of `frame_step` [s]
    and what drawings need (`drawn_too`) are made when asked for.

    Raises
    ------
    BadInput
        When the file cannot be used or a change cannot be made, with file, line, field, found and allowed.
    """
    picked = pick(what, book)
    return sheet(
        picked, what_if=what_if, student=student, frame_step=frame_step, drawn_too=drawn_too, draws=draws, seed=seed
    )  # fmt: skip


def student_of(presses: str | None, weighs: str | None) -> tuple[float, float] | None:
    """Force with one hand [N] and mass [kg] of a student from words; what is not said stays unknown.

    Raises
    ------
    BadInput
        When one is no force or mass that a person has.
    """
    if presses is None and weighs is None:
        return None
    force = np.nan if presses is None else _person("--presses", presses, "N", 10.0, 1500.0)
    return force, np.nan if weighs is None else _person("--weighs", weighs, "kg", 15.0, 250.0)


def _person(option: str, text: str, unit: str, low: float, high: float) -> float:
    try:
        found = parse(text, unit)
    except BadInput as error:
        raise BadInput(error.message, field=option, found=error.found, allowed=error.allowed) from None
    if not low <= found <= high:
        raise BadInput("no person's", field=option, found=text, allowed=f"{low:g} to {high:g} {unit}")
    return found


def sheet(
    picked: Picked,
    *,
    what_if: Sequence[str] = (),
    student: tuple[float, float] | None = None,
    frame_step: float | None = None,
    drawn_too: bool = False,
    draws: int = DRAWS,
    seed: int = SEED,
) -> doc.BenchSheet:
    """The bench sheet of a trap."""
    rig, entry = picked.rig, picked.entry
    known = rig.knowledge
    calibration = calibrate(known.base, priors_of(known), readings_of(known))
    posterior, unknowns = calibration.posterior, calibration.posterior.unknowns
    shared = Draws(draws, seed, "bench")
    bed = Bed() if picked.limb is None else Bed(limb=picked.limb)
    found = numbers(drawn(posterior, unknowns, rig, shared), rig, entry, bed, shared)
    middle = likely(posterior, unknowns, rig)
    variants = []
    for text in what_if:
        change = apply(text, rig, unknowns, bed)
        changed = numbers(
            drawn(posterior, change.unknowns, change.rig, shared), change.rig, entry, change.bed, shared
        )
        variants.append(
            doc.Variant(
                words=", ".join(f"{name.replace('_', ' ')} {value}" for name, value in change.words.items()),
                changes=dict(change.words),
                figures=figures(changed, calibration.standing, change.rig.trip_force),
                states=states(changed),
                differences=differences(found, changed, _in_field_units),
                remarks=_remarks(changed, change.rig),
            )
        )
    before = None
    if posterior.readings and drawn_too:
        plain = posterior_of(unknowns, ())
        before = numbers(drawn(plain, unknowns, rig, shared), rig, entry, bed, shared)
    return doc.BenchSheet(
        trap=rig.trap_id,
        title=rig.label if rig.trap_id == rig.pattern else f"{rig.trap_id}: {rig.label}",
        say=_say(found, calibration),
        limb=bed.limb,
        figures=figures(found, calibration.standing, rig.trip_force),
        states=states(found),
        parts=parts(found, rig, entry, student),
        calibration=told(calibration, bed.limb),
        what_if=variants,
        frames=None if frame_step is None and not drawn_too else _slow_motion(middle, bed, frame_step or FRAME_STEP),
        on_limb=_on_limb(middle, bed.limb) if drawn_too else None,
        grips=_grips(found) if drawn_too else None,
        grips_before=None if before is None else _grips(before),
        curves=_curves(middle, found) if drawn_too else None,
        shape=shape(middle, rig),
        remarks=_remarks(found, rig),
        cautions=[HANDS, TEST_FIRING],
    )


def all_patterns(draws: int = DRAWS) -> list[doc.BenchSheet]:
    """Every pattern of the table as it stands there, coil-springs with two and with four coils."""
    table = trap_tables.patterns()
    found = []
    for key in table:
        if table.text(key, "family") == "coil":
            for coils in (2, 4):
                one = sheet(pattern(key, springs=coils), draws=draws)
                found.append(one.model_copy(update={"title": f"{one.title}, {coils} coils"}))
        else:
            found.append(sheet(pattern(key), draws=draws))
    return found


def _say(found: Numbers, calibration: Calibration) -> str:
    time = in_words(values(found)["closing_time_ms"], "short_time")
    if time == "cannot tell":
        return "Does not close as described: see the remarks."
    if calibration.standing["closing_time"] == "absolute":
        return f"Closes in {time}, by your readings."
    return f"Closes in about {time}, for comparing with your other traps."


def _in_field_units(key: str, draws: Any) -> str:
    """Draws of a figure, in the unit of its key, as words in field units."""
    factor = next(factor for name, _, _, factor, _ in KEYS if name == key)
    found = np.asarray(draws, dtype=float) / factor
    if key == "locked":
        return "cannot tell" if np.isnan(found).all() else show(float(np.nanmean(found)), "share")
    return in_words(found, KIND[key])


def _point(design: Design) -> tuple[Trap, float]:
    """Trap and friction of the first design, as plain numbers."""
    one = {name: float(np.ravel(v)[0]) for name, v in vars(design.trap).items() if name not in ("family", "eye")}
    figures: dict[str, Any] = one
    return replace(design.trap, **figures), float(design.friction[0])


def _slow_motion(middle: Design, bed: Bed, step: float) -> doc.SlowMotion | None:
    trap, friction = _point(middle)
    load = {name: float(np.ravel(value)[0]) for name, value in load_of(middle, bed).items()}
    found = frames(trap, friction=friction, step=step, delay=bed.delay, **load)
    if found.times.size == 0:
        return None
    return doc.SlowMotion(
        # What the motion leaves out lengthens or shortens all of it alike.
        times=(found.times * float(middle.time_factor[0])).tolist(),
        dogged_jaw=found.angles[0].tolist(),
        loose_jaw=found.angles[1].tolist(),
        loop_height=found.height.tolist(),
        loop_coordinate=found.coordinate.tolist(),
        force_dogged=found.force[0].tolist(),
        force_loose=found.force[1].tolist(),
        apart=found.apart.tolist(),
    )


def _on_limb(middle: Design, limb: float) -> tuple[float, float] | None:
    """Jaw angle and loop height of the most likely trap on a limb."""
    angle, height = seated(_point(middle)[0], limb=limb)
    return None if np.isnan(height) else (angle, height)


def _grips(found: Numbers) -> doc.Grips:
    closing, opening, locked = curve_of_grips(found, _LIMBS)
    return doc.Grips(limb=_LIMBS.tolist(), closing=closing, opening=opening, locked=locked)


def _curves(middle: Design, found: Numbers) -> doc.Curves | None:
    """Push of the springs and leverage of one loop; jaw angle over time of the run nearest the median."""
    times = found.closing.time
    if np.isnan(times).all():
        return None
    trap, _ = _point(middle)
    last = float(np.minimum(np.nanmedian(found.closing.angle), upright_angle(trap) - 0.05))
    angle = np.linspace(float(trap.set_angle), last, _CURVE_NODES)
    loop = loop_at(trap, angle)
    push = (
        spring_effort(trap.spring_rate, trap.free_coordinate, loop.coordinate) * loop.slope * trap.loops / trap.height
    )
    row = int(np.nanargmin(np.abs(times - np.nanmedian(times))))
    separation = float(found.closing.separation_angle[row])
    return doc.Curves(
        angle=angle.tolist(),
        push=np.asarray(push).tolist(),
        leverage=np.asarray(loop.reach / loop.cosine).tolist(),
        time=_plain(found.closing.times[row] * float(middle.time_factor[0])),
        time_angle=_plain(found.closing.angles[row]),
        separation_angle=None if np.isnan(separation) else separation,
    )


def _plain(values: Floats) -> list[float]:
    return [float(x) for x in values]


def shape(middle: Design, rig: TrapRig) -> doc.Shape:
    """Dimensions for drawing, of the most likely trap."""
    d, trap = middle.dimensions, middle.trap

    def one(value: Any) -> Any:
        return None if value is None else float(np.ravel(value)[0])

    coil = d.family == "coil"
    return doc.Shape(
        family=d.family, spread=float(middle.spread[0]), height=one(trap.height),
        hinge_half_distance=one(trap.hinge_half_distance), face_width=one(d.face_width),
        leg_thickness=one(d.leg_thickness), eye_half_opening=one(d.eye_half_opening),
        loop_clearance=one(trap.loop_clearance), bevel=one(d.bevel), set_angle=one(d.set_angle), springs=d.springs,
        offset_gap=one(d.offset_gap), lamination_width=one(d.lamination_width),
        lamination_thickness=one(d.lamination_thickness), lamination_side=d.lamination_side,
        pad_width=one(d.pad_width), pad_thickness=one(d.pad_thickness), double=d.jaw_kind == "double",
        pan_radius=one(d.pan_radius), dogless=d.dogless, eye=d.eye,
        lever_length=one(d.lever_length) if coil else None,
        pivot_height=one(trap.pivot_height) if coil else None, wire_diameter=one(d.wire_diameter) if coil else None,
        coil_diameter=one(d.coil_diameter) if coil else None, coil_turns=one(d.coil_turns),
        leaf_arm=one(d.leaf_arm), leaf_bend=one(d.leaf_bend), leaf_width=one(d.leaf_width),
        leaf_thickness=one(d.leaf_thickness), swivel_place=d.swivel_place,
        guard_length=None if rig.guard is None else one(rig.guard.length),
    )  # fmt: skip


def _remarks(found: Numbers, rig: TrapRig) -> list[str]:
    remarks = ["Momentum and grip say nothing about injury: that is judged by what is seen on animals."]
    fails = float(np.mean(np.isnan(found.closing.time)))
    if fails == 1.0:
        remarks.insert(0, f"As described it does not close: {states(found)['closing']}. Read it again.")
    elif fails > 0.0:
        remarks.insert(0, f"In {fails:.0%} of the draws it does not close: its readings leave that open.")
    over = float(np.mean(found.springs.state == 3))
    if over > 0.5:
        remarks.insert(0, "As described its springs are strained beyond their strength: read wire and coil again.")
    if float(np.mean(found.grip.slack > LIMB)) > 0.5:
        remarks.insert(0, "Its loop comes to its end before the jaws meet: thin limbs are loose in it.")
    if not rig.trip_force.known:
        remarks.insert(0, "Pull the pan with a spring scale: until then nobody can say who fires it.")
    return remarks
