"""One trap on the bench: what its pattern and its readings say, what a change would do, and what to read next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from setwright.basis.errors import BadInput
from setwright.basis.spread import Draws
from setwright.basis.units import parse
from setwright.desk import bench_document as doc
from setwright.desk.bench_calibration import told
from setwright.desk.bench_figures import KEYS, LIMB, Bed, Numbers, drawn, figures, likely, numbers, states, values
from setwright.desk.bench_pick import Picked, pattern, pick
from setwright.desk.bench_pictures import curves, grips, on_limb, shape, slow_motion
from setwright.desk.bench_rows import KIND, in_words, parts
from setwright.desk.bench_whatif import apply, differences
from setwright.desk.caution_words import HANDS, TEST_FIRING
from setwright.desk.wording import show
from setwright.sets.mechanics import priors_of, readings_of
from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables
from setwright.trap.calibrate import Calibration, calibrate
from setwright.trap.posterior import posterior_of
from setwright.trap.unknowns import Design, Unknowns

DRAWS = 200
SEED = 20
FRAME_STEP = 0.002


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


@dataclass(frozen=True)
class OnBench:
    """A trap with all that its readings tell, computed once, so that a change to it is soon answered."""

    picked: Picked
    calibration: Calibration
    unknowns: Unknowns
    shared: Draws
    bed: Bed
    found: Numbers

    @property
    def middle(self) -> Design:
        """The most likely trap as it stands."""
        return likely(self.calibration.posterior, self.unknowns, self.picked.rig)


def on_bench(picked: Picked, *, assume: str = "", draws: int = DRAWS, seed: int = SEED) -> OnBench:
    """Read a trap on the bench: its posterior from pattern and readings, and its figures.

    With `assume`, all of it as if that were changed on it, such as `springs=4`.

    Raises
    ------
    BadInput
        When a change is not known or cannot be.
    """
    rig, known = picked.rig, picked.rig.knowledge
    calibration = calibrate(known.base, priors_of(known), readings_of(known))
    shared = Draws(draws, seed, "bench")
    bed = Bed() if picked.limb is None else Bed(limb=picked.limb)
    posterior = calibration.posterior
    unknowns = posterior.unknowns
    if assume:
        assumed = apply(assume, rig, unknowns, bed)
        rig, unknowns, bed = assumed.rig, assumed.unknowns, assumed.bed
        picked = replace(picked, rig=rig)
    found = numbers(drawn(posterior, unknowns, rig, shared), rig, picked.entry, bed, shared)
    return OnBench(picked, calibration, unknowns, shared, bed, found)


def variant(on: OnBench, what_if: str, *, frame_step: float | None = None) -> doc.Variant:
    """The trap changed, such as `springs=4,jaws=laminated`, beside what it is; slow motion in steps of `frame_step`.

    Raises
    ------
    BadInput
        When a change is not known or cannot be.
    """
    posterior, picked = on.calibration.posterior, on.picked
    change = apply(what_if, picked.rig, on.unknowns, on.bed)
    design = drawn(posterior, change.unknowns, change.rig, on.shared)
    changed = numbers(design, change.rig, picked.entry, change.bed, on.shared)
    middle = likely(posterior, change.unknowns, change.rig)
    return doc.Variant(
        words=", ".join(f"{name.replace('_', ' ')} {value}" for name, value in change.words.items()),
        changes=dict(change.words),
        figures=figures(changed, on.calibration.standing, change.rig.trip_force),
        states=states(changed),
        differences=differences(on.found, changed, _in_field_units),
        remarks=_remarks(changed, change.rig),
        frames=None if frame_step is None else slow_motion(middle, change.bed, frame_step),
        shape=None if frame_step is None else shape(middle, change.rig),
    )


def sheet(
    picked: Picked,
    *,
    what_if: Sequence[str] = (),
    assume: str = "",
    student: tuple[float, float] | None = None,
    frame_step: float | None = None,
    drawn_too: bool = False,
    draws: int = DRAWS,
    seed: int = SEED,
) -> doc.BenchSheet:
    """The bench sheet of a trap, as it is or with something assumed of it."""
    on = on_bench(picked, assume=assume, draws=draws, seed=seed)
    step = (frame_step or FRAME_STEP) if drawn_too else frame_step
    found = sheet_of(on, student=student, frame_step=step, drawn_too=drawn_too)
    return found.model_copy(update={"what_if": [variant(on, text, frame_step=step) for text in what_if]})


def sheet_of(
    on: OnBench,
    *,
    student: tuple[float, float] | None = None,
    frame_step: float | None = None,
    drawn_too: bool = False,
) -> doc.BenchSheet:
    """The sheet of a trap that lies on the bench, nothing changed on it; arguments as of `bench`."""
    rig, entry, found, middle, bed = on.picked.rig, on.picked.entry, on.found, on.middle, on.bed
    posterior = on.calibration.posterior
    before = None
    if posterior.readings and drawn_too:
        plain = posterior_of(posterior.unknowns, ())
        before = numbers(drawn(plain, posterior.unknowns, rig, on.shared), rig, entry, bed, on.shared)
    return doc.BenchSheet(
        trap=rig.trap_id,
        title=rig.label if rig.trap_id == rig.pattern else f"{rig.trap_id}: {rig.label}",
        say=_say(found, on.calibration),
        limb=bed.limb,
        figures=figures(found, on.calibration.standing, rig.trip_force),
        states=states(found),
        parts=parts(found, rig, entry, student),
        calibration=told(on.calibration, bed.limb),
        what_if=[],
        frames=None if frame_step is None else slow_motion(middle, bed, frame_step),
        on_limb=on_limb(middle, bed.limb) if drawn_too else None,
        grips=grips(found) if drawn_too else None,
        grips_before=None if before is None else grips(before),
        curves=curves(middle, found) if drawn_too else None,
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
