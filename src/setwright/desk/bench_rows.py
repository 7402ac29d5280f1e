"""The bench sheet in words: rows of figures that belong together, each with where it came from."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from setwright.basis.source import Quantity
from setwright.desk.bench_document import BenchPart, BenchRow
from setwright.desk.bench_figures import Numbers, middle, values
from setwright.desk.wording import show, springs_of, trip_words, with_band
from setwright.line.book import TrapEntry
from setwright.sets.context import Floats
from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables
from setwright.trap.guard import STATES as GUARD_STATES
from setwright.trap.guard import swing
from setwright.trap.holding import clamp, pressures
from setwright.trap.pan import NOTCH_STATES, notch_state, pan_fit, pan_travel, without_tension
from setwright.trap.pulls import retest
from setwright.trap.setting import ANSWERS, can_set
from setwright.trap.spring_check import STATES as SPRING_STATES
from setwright.trap.strength import PLACES
from setwright.trap.trigger import notch_force
from setwright.trap.wear import loss_per_season

# Kind of wording of every figure; its draws come in SI.
KIND = {
    "closing_time_ms": "short_time", "separation_deg": "angle", "loop_arrival_ms": "short_time",
    "tip_speed_m_s": "metres_a_second", "impact_momentum_N_s": "momentum", "jaw_energy_J": "energy",
    "loop_energy_J": "energy", "clamp_closing_N": "force", "clamp_opening_N": "force", "locked": "share",
    "lock_margin_deg": "angle", "face_pressure_kPa": "pressure", "edge_pressure_kPa": "pressure",
    "slack_mm": "length",
    "gives_way_N": "force", "lever_force_N": "force", "setter_force_N": "force", "foot_force_N": "force",
    "dog_force_N": "force", "set_torque_N_m": "torque", "pan_trip_force_N": "force",
}  # fmt: skip
# Beyond this an opening force is that of a trap about to lock [N].
NEAR_LOCK = 5000.0
# A pan that was read is let run up by this factor before it is said to be out of its band, where none is wanted.
_LET_RUN = 1.5


def in_words(draws: ArrayLike, kind: str) -> str:
    """Median with its band, or what can be said without."""
    found = np.asarray(draws, dtype=float)
    one, low, high = middle(found)
    if one is None or low is None or high is None:
        return "cannot tell"
    if np.isinf(one):
        return "locked"
    return with_band(one, low, high, kind).replace("no limit", "locked")


def row(what: str, draws: ArrayLike, kind: str, unit: str, note: str = "") -> BenchRow:
    """One figure over draws."""
    one, low, high = (None if x is None or np.isinf(x) else x for x in middle(draws))
    return BenchRow(what=what, shown=in_words(draws, kind), note=note, value=one, low=low, high=high, unit=unit)


def parts(found: Numbers, rig: TrapRig, entry: TrapEntry, student: tuple[float, float] | None) -> list[BenchPart]:
    """All parts of the sheet."""
    told = [
        BenchPart(head="The trap", rows=_facts(found, rig, entry)),
        BenchPart(head="Closing", rows=_closing(found)),
        BenchPart(head="Grip at the bars", rows=_grips(found)),
        BenchPart(head="Where it gives way", rows=_gives_way(found)),
        BenchPart(head="Springs", rows=_springs(found, entry)),
        BenchPart(head="Force to set it", rows=_setting(found, student)),
        BenchPart(head="Trigger", rows=_trigger(found, rig, entry)),
    ]
    if rig.guard is not None and found.guard_force is not None:
        told.append(BenchPart(head="Guard arm", rows=_guard(found, rig)))
    return told


def stated(what: str, quantity: Quantity, kind: str) -> BenchRow:
    """A figure as it was stated."""
    if quantity.value is None:
        return BenchRow(what=what, shown="not read", note=str(quantity.source), unit=quantity.unit)
    return BenchRow(
        what=what,
        shown=show(quantity.value, kind),
        note=str(quantity.source),
        value=quantity.value,
        low=quantity.low,
        high=quantity.high,
        unit=quantity.unit,
    )


def _facts(found: Numbers, rig: TrapRig, entry: TrapEntry) -> list[BenchRow]:
    gap = show(float(np.max(rig.dimensions.offset_gap)), "length")
    swivel = rig.dimensions.swivel_place
    rows = [
        stated("jaw spread", rig.spread, "length"),
        BenchRow(what="jaws", shown=rig.jaws or "not stated, taken as regular", note=f"gap {gap}"),
        BenchRow(what="springs", shown=springs_of(rig.family, rig.springs)),
    ]
    if rig.family == "coil":
        rows.append(BenchRow(what="eye of the lever", shown=entry.eye or "not stated, taken as round"))
    rows += [
        BenchRow(what="swivel", shown=swivel or "not stated", note="where the chain begins"),
        row(
            "arm by which a side pull turns it",
            found.swivel,
            "length",
            "m",
            "swivel to limb; a base swivel keeps it short",
        ),
        stated("pan trip force", rig.trip_force, "force"),
        stated("mass", rig.mass, "mass"),
        BenchRow(
            what="read on the bench",
            shown=", ".join(name.replace("_", " ") for name in rig.measured) or "nothing yet",
            note="the rest stands as in the table of patterns",
        ),
    ]
    return rows


def _closing(found: Numbers) -> list[BenchRow]:
    told = values(found)
    where = "in water" if found.bed.water else "in air"
    cover = f", under {show(found.bed.cover, 'length')} of loose dirt" if found.bed.cover else ", no cover"
    ahead = float(np.mean(found.closing.recontact))
    again = f"; the loop catches up in {ahead:.0%} of the draws, the time is then too long" if ahead else ""
    return [
        row(f"closing time {where}{cover}", told["closing_time_ms"], "short_time", "s", "empty, faces meet" + again),
        row("speed of the bar", told["tip_speed_m_s"], "metres_a_second", "m/s"),
        row("jaws leave the loop at", told["separation_deg"], "angle", "rad", "of 90° of jaw"),
        row("loop seats after", told["loop_arrival_ms"], "short_time", "s"),
        row("momentum of one jaw", told["impact_momentum_N_s"], "momentum", "N*s", "says nothing about injury"),
        row("energy of both jaws", told["jaw_energy_J"], "energy", "J"),
        row("energy of the loops, later", told["loop_energy_J"], "energy", "J"),
    ]


def _grips(found: Numbers) -> list[BenchRow]:
    table, trap, friction = trap_tables.limbs(), found.design.trap, found.design.friction
    rows = []
    for key in table:
        thick, wide = table.number(key, "thickness"), table.number(key, "width")
        held = clamp(trap, friction=friction, limb=thick, margin_to_lock=False)
        rows.append(_grip(f"{table.text(key, 'label')}, {show(thick, 'length')}", found, held, wide))
    limb = show(found.bed.limb, "length")
    margin = middle(found.grip.lock_margin)[0]
    rows.append(_grip(f"limb asked for, {limb}", found, found.grip, found.bed.limb_width))
    if margin is not None:
        rows.append(
            BenchRow(
                what="loop over the angle of its lock",
                shown=in_words(found.grip.lock_margin, "angle"),
                note="above 0 it locks by its shape; springs only lift it there",
                value=margin,
                unit="rad",
            )
        )
    rows.append(
        row("opening left when the loop is at its end", found.grip.slack, "length", "m", "thinner limbs are loose")
    )
    return rows


def _grip(what: str, found: Numbers, held: Any, width: float) -> BenchRow:
    closing, opening = middle(held.closing_force)[0], middle(held.opening_force)[0]
    locked = float(np.mean(held.locked))
    if closing is None:
        return BenchRow(what=what, shown="cannot tell", note="the jaws do not close on it", unit="N")
    if closing <= 0:
        return BenchRow(what=what, shown="not held", note="it lies in the gap, or the spring is spent", unit="N")
    top = "locked" if opening is None or np.isinf(opening) or locked > 0.5 else show(opening, "force")
    if top != "locked" and opening is not None and opening > NEAR_LOCK:
        top = "near its lock"
    pressed = pressures(found.design.trap, held.closing_force, width)
    face, edge = (middle(values)[0] for values in (pressed.face, pressed.edge))
    pressure = "" if face is None or edge is None else f"; {show(face, 'pressure')} on the face"
    return BenchRow(
        what=what,
        shown=f"{show(closing, 'force')} to {top}",
        note=f"closing to opening; locks in {locked:.0%} of the draws{pressure}",
        value=closing,
        high=None if top in ("locked", "near its lock") else opening,
        unit="N",
    )


def _gives_way(found: Numbers) -> list[BenchRow]:
    at = found.gives_way
    rows = []
    known = at.place >= 0
    if bool(known.any()):
        codes, counts = np.unique(at.place[known], return_counts=True)
        first = PLACES[int(codes[np.argmax(counts)])]
        note = f"first: {first}, in {counts.max() / counts.sum():.0%} of the draws; of the trap, never of the animal"
        rows.append(row("force at the bars", at.force, "force", "N", note))
    else:
        rows.append(BenchRow(what="force at the bars", shown="cannot tell", note="the jaws do not grip this limb"))
    for place, name in enumerate(PLACES):
        rows.append(row(name, at.by_place[place], "force", "N", "steel and sections assumed" if place else ""))
    return rows


def _springs(found: Numbers, entry: TrapEntry) -> list[BenchRow]:
    check = found.springs
    codes, counts = np.unique(check.state, return_counts=True)
    state = SPRING_STATES[int(codes[np.argmax(counts)])]
    rows = [
        BenchRow(
            what="when set",
            shown=state,
            note="sound only if the coil was wound beyond this once when it was made: that was not stated"
            if state == "cannot tell"
            else f"in {counts.max() / counts.sum():.0%} of the draws",
        ),
        row("share of tensile strength", check.share, "share", "one"),
        row("stress", check.stress, "megapascals", "Pa"),
    ]
    unit = "N*m/rad" if found.design.dimensions.family == "coil" else "N/m"
    kind = "turning_rate" if unit != "N/m" else "rate"
    rows.append(row("rate of one spring", check.rate, kind, unit))
    weakened = np.asarray(found.design.dimensions.spring_health, dtype=float)
    rows.append(row("its rate over that of new steel of its section", weakened, "ratio", "one", "by what was read"))
    dated = [
        (one.date.toordinal(), one.reading()) for one in entry.readings if one.date and one.read == "spring_rate"
    ]
    if len({day for day, _ in dated}) > 1:
        worn = loss_per_season(
            [day for day, _ in dated], [one.value for _, one in dated], [one.sd for _, one in dated]
        )  # fmt: skip
        shown = with_band(float(worn.middle), float(worn.low), float(worn.high), "percent")
        rows.append(BenchRow(what="rate lost from season to season", shown=shown, note="line through dated readings"))
    if found.design.dimensions.family == "coil":
        usual = "within" if bool(np.median(check.usual_index)) else "outside"
        rows.append(row("coil over wire diameter", check.spring_index, "number", "one", f"{usual} the usual 4 to 12"))
        if not np.isnan(check.post_clearance).all():
            rows.append(row("inside of the wound coil over its post", check.post_clearance, "length", "m"))
    loss = (
        f"{show(float(np.median(check.loss_low)), 'percent')} to {show(float(np.median(check.loss_high)), 'percent')}"
    )
    rows.append(
        BenchRow(
            what="force lost when left set for a season", shown=loss, note="relaxation, assumed; read it each year"
        )
    )
    return rows


def _setting(found: Numbers, student: tuple[float, float] | None) -> list[BenchRow]:
    needed = found.setting
    rows = [
        row("one lever or spring, by hand", needed.hand, "force", "N", "square to it, at its end"),
        row("a setter's handles", needed.setters, "force", "N", "six to one assumed: measure yours"),
        row("both feet", needed.together, "force", "N", "straight down, all that must go down at once"),
    ]
    if student is not None:
        table = trap_tables.working()
        found_answers = can_set(
            needed, strength=student[0], body_mass=student[1], doubt=0.0,
            foot_share=table.number("setting", "foot_share"),
        )  # fmt: skip
        for name, codes in (
            ("by hand", found_answers.hand), ("with setters", found_answers.setters), ("by foot", found_answers.foot)
        ):  # fmt: skip
            rows.append(BenchRow(what=f"this student {name}", shown=_agreed(codes)))
    return rows


def _agreed(codes: Any) -> str:
    """One answer where nine of ten draws agree."""
    found, counts = np.unique(codes, return_counts=True)
    return ANSWERS[int(found[np.argmax(counts)])] if counts.max() / counts.sum() >= 0.9 else "cannot tell"


def _trigger(found: Numbers, rig: TrapRig, entry: TrapEntry) -> list[BenchRow]:
    rows = [
        row("torque that lifts a jaw", found.torque, "torque", "N*m", "what frost and cover must not exceed"),
        row("force on the dog", found.dog, "force", "N", "at the bar of the dogged jaw"),
    ]
    if rig.trip_force.known:
        shown = trip_words(rig.trip_force)
        note = f"{rig.trip_force.source}; three pulls with a spring scale, after every catch"
        rows.append(BenchRow(what="pan", shown=shown, note=note, value=rig.trip_force.value, unit="N"))
    else:
        rows.append(row("pan", found.trip, "force", "N", "from notch and springs, the bolt left out: pull it"))
    notch = entry.notch
    if notch is not None:
        travel = pan_travel(notch.overlap.number, notch_arm=notch.arm.number, pan_radius=rig.pan_radius.number)
        rows.append(row("way of the pan until it fires", travel, "length", "m"))
        rake = 0.0 if notch.rake is None else notch.rake.number
        state = notch_state(rake, friction=0.2 if notch.friction is None else notch.friction.number)
        rows.append(BenchRow(what="notch", shown=NOTCH_STATES[int(state)], note=f"rake {show(rake, 'angle')}"))
        slack = without_tension(
            notch_force(found.design.trap, dogless=rig.dogless), notch_arm=notch.arm.number, rake=rake,
            notch_friction=0.2 if notch.friction is None else notch.friction.number,
            pan_radius=rig.pan_radius.number,
        )  # fmt: skip
        rows.append(row("pan with its bolt slack", slack.force, "force", "N", "what notch and springs alone hold"))
    radius = rig.pan_radius.number
    pan = pan_fit(
        np.pi * radius**2, radius, usual_radius=trap_tables.patterns().number(rig.knowledge.key, "pan_radius"),
        opening=found.design.spread, bar_length=found.design.trap.face_length,
    )  # fmt: skip
    ratio = float(np.median(pan.force_ratio))
    note = f"{ratio:.2f} times the force of the pattern's pan, at the same bolt" if abs(ratio - 1.0) > 0.01 else ""
    rows.append(row("pan over the opening between the jaws", pan.share, "percent", "one", note))
    rows += _due(rig, entry)
    return rows


def _due(rig: TrapRig, entry: TrapEntry) -> list[BenchRow]:
    """When rust asks for the next pull on the pan."""
    if not rig.trip_force.known:
        return [BenchRow(what="next test of the pan", shown="before it is set", note="it was never pulled")]
    wanted = getattr(entry, "trip_wanted", None)
    force = rig.trip_force.number
    low, high = (0.0, _LET_RUN * force) if wanted is None else (wanted.low or 0.0, wanted.high or wanted.number)
    growth = trap_tables.working().get("pan", "wet_week_growth")
    found = retest(
        force, band_low=low, band_high=high, wetness=np.array([1.0, 0.3]), growth=growth.number,
        growth_high=growth.high or growth.number,
    )  # fmt: skip
    read = max((one.date for one in entry.readings if one.read == "pan_pull" and one.date is not None), default=None)
    rows = []
    for name, first, later in zip(
        ("lying wet", "in ground that dries"), found.days_first, found.days_likely, strict=True
    ):
        said = "now: outside the band wanted"
        if first > 0:
            said = f"{first:.0f} to {later:.0f} days after the pull"
            if read is not None:
                said = f"by {_later(read, float(first))}"
        rows.append(
            BenchRow(
                what=f"pull the pan again, {name}",
                shown=said,
                value=float(first),
                unit="d",
                note=f"rust, factor {growth.number:g} a wet week assumed; and after every catch and waxing",
            )
        )
    return rows


def _later(day: Any, days: float) -> str:
    from datetime import timedelta

    return str(day + timedelta(days=int(min(days, 3650.0))))


def _guard(found: Numbers, rig: TrapRig) -> list[BenchRow]:
    assert rig.guard is not None and found.guard_time is not None and found.guard_force is not None
    state = swing(rig.guard, released_at=found.closing.time).state
    codes, counts = np.unique(state, return_counts=True)
    return [
        row(
            "arm at its stop after", found.guard_time, "short_time", "s", GUARD_STATES[int(codes[np.argmax(counts)])]
        ),
        row("force at its end there", found.guard_force, "force", "N", "keeps a held muskrat off its own foot"),
    ]


def curve_of_grips(found: Numbers, limbs: Floats) -> tuple[list[float | None], list[float | None], list[float]]:
    """Medians of the clamp interval, and the share that locks, at every thickness of `limbs` [m]."""
    closing: list[float | None] = []
    opening: list[float | None] = []
    locked: list[float] = []
    for limb in limbs:
        held = clamp(found.design.trap, friction=found.design.friction, limb=float(limb), margin_to_lock=False)
        one, two = middle(held.closing_force)[0], middle(held.opening_force)[0]
        closing.append(one)
        opening.append(None if two is None or np.isinf(two) else two)
        locked.append(float(np.mean(held.locked)))
    return closing, opening, locked
