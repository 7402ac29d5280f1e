"""Which traps of the outfit to keep, retune, repair or scrap, why, and the parts for the lot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from setwright.animal import tables as animal_tables
from setwright.basis.errors import BadInput
from setwright.basis.spread import Draws
from setwright.desk import overhaul_document as doc
from setwright.desk.bench_figures import drawn, springs_of
from setwright.desk.caution_words import HANDS, TEST_FIRING
from setwright.desk.wording import sentence, show
from setwright.line.assemble import Job
from setwright.line.book import TrapEntry
from setwright.line.brief import expand
from setwright.line.looked import LookedEntry
from setwright.sets.mechanics import posterior_of_trap, readings_of
from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables
from setwright.trap.overhaul import (
    CANNOT_TELL,
    KEEP,
    REPAIR,
    RETUNE,
    Finding,
    Overhaul,
    below,
    overhaul,
    parts_list,
    strength_left,
)
from setwright.trap.pan import KEEPS, NOTCH_STATES, notch_state
from setwright.trap.readings import Reading
from setwright.trap.spring_check import OVERSTRESSED
from setwright.trap.strength import stock_of
from setwright.trap.wear import health

DRAWS = 200
SEED = 20
# Forces that are held against earlier ones and against those of the other traps of a kind; so many make a lot.
COMPARED = ("spring_rate", "lever_force")
ENOUGH = 4
Lot = Mapping[tuple[str, str, int], Sequence[float]]
# What is looked at by eye and hand, and in which words it is asked.
LOOKS: Mapping[str, str] = {
    "frame": "frame, laid on a flat board", "jaws": "jaws, closed: do they meet all along",
    "ends": "ends of the jaws and their holes", "rivets": "rivets and pins", "springs": "springs, side against side",
    "dog": "end of the dog", "notch": "notch of the pan", "pan": "pan, when set", "swivels": "swivels",
    "rust": "rust, once brushed",
}  # fmt: skip
MOST_MINUTES, LEAST_WORTH, MOST_WORTH = 60.0, 5.0, 600.0
NOTES = (
    "Keep is said only when all was looked at and read; what nobody looked at is asked for, never taken as sound.",
    "What is looked at and what follows is common practice; minutes and limits were chosen, and stand in the table "
    "of looks.",
    "Readings go with a trap from year to year. Whether a trap complies is another question: see Law.",
)


def minutes_of(text: str) -> float:
    """Bench minutes that one trap is worth, from words.

    Raises
    ------
    BadInput
        When it is no such number.
    """
    try:
        found = float(text)
    except ValueError:
        found = np.nan
    if not LEAST_WORTH <= found <= MOST_WORTH:
        raise BadInput(
            "no number of minutes that a trap is worth", field="most", found=text,
            allowed=f"{LEAST_WORTH:g} to {MOST_WORTH:g}",
        )  # fmt: skip
    return found


def overhauled(job: Job, most_minutes: float = MOST_MINUTES) -> doc.Overhauled:
    """The verdict on every trap of the outfit.

    Parameters
    ----------
    job : Job
        The line made ready, with the rigs that stand.
    most_minutes : float
        Bench minutes that one trap is worth.
    """
    where = {tag: site for site in job.sites if site.key in job.stated for tag in job.stated[site.key].trap_ids}
    told: list[tuple[doc.TrapOverhaul, Overhaul]] = []
    shared, lot = Draws(DRAWS, SEED, "bench"), _lot(job)
    for entry in job.book.outfit.traps:
        kept: dict[str, Overhaul] = {}
        for tag in expand(entry.id, entry.count):
            rig, site = job.traps[tag], where.get(tag)
            target = "" if site is None else site.target
            if target not in kept:
                findings = _findings(rig, entry, target, lot, shared)
                kept[target] = overhaul(findings, most_seconds=60.0 * most_minutes)
            told.append((_told(rig, entry, kept[target], "" if site is None else site.key), kept[target]))
    counts: dict[doc.Verdict, int] = {
        verdict: sum(one.verdict == verdict for one, _ in told)
        for verdict in ("scrap", "repair", "retune", "cannot tell", "keep")
    }  # fmt: skip
    parts = [
        doc.PartWanted(
            name=name, count=count, traps=[one.trap for one, found in told if name in dict(found.parts)]
        )
        for name, count in parts_list([found for _, found in told])
    ]  # fmt: skip
    minutes = sum(one.minutes for one, _ in told)
    return doc.Overhauled(
        schema=doc.SCHEMA, most_minutes=most_minutes, say=_say(counts, minutes), counts=counts,
        traps=[one for one, _ in told], parts=parts, minutes=minutes, notes=list(NOTES),
        cautions=[HANDS, TEST_FIRING],
    )  # fmt: skip


def _say(counts: Mapping[doc.Verdict, int], minutes: float) -> str:
    words = [f"{count} to {verdict}" for verdict, count in counts.items() if count and verdict != "cannot tell"]
    if counts["cannot tell"]:
        words.append(f"{counts['cannot tell']} cannot be told")
    said = f"Of {sum(counts.values())} traps: {', '.join(words)}." if words else "The outfit has no trap."
    return f"{said} {show(60.0 * minutes, 'time')} at the bench." if minutes else said


def _told(rig: TrapRig, entry: TrapEntry, found: Overhaul, stands: str) -> doc.TrapOverhaul:
    looked = entry.looked
    read = "read" if "spread" in rig.measured else "of its pattern"
    return doc.TrapOverhaul.model_validate({
        "trap": rig.trap_id, "label": rig.label, "verdict": found.verdict, "why": sentence(found.why),
        "findings": [_found(one) for one in found.findings], "unread": [_found(one) for one in found.unread],
        "minutes": found.seconds / 60.0,
        "looked": "" if looked is None or looked.date is None else looked.date.isoformat(),
        "spread": f"{show(rig.spread.number, 'length')}, {read}", "stands": stands,
    })  # fmt: skip


def _found(one: Finding) -> doc.Found:
    return doc.Found.model_validate({
        "what": one.what, "found": one.found, "act": one.act, "why": sentence(one.why), "do": sentence(one.do),
        "minutes": one.seconds / 60.0, "source": one.source,
    })  # fmt: skip


def _findings(rig: TrapRig, entry: TrapEntry, target: str, lot: Lot, shared: Draws) -> list[Finding]:
    looked = entry.looked or LookedEntry()
    found = [_look(rig, name, getattr(looked, name)) for name in LOOKS]
    # What was found sound by eye is read only when somebody wants to know more.
    found += [] if looked.play is None and looked.ends is not None else [_play(rig, looked)]
    found += [] if _rake(entry) is None and looked.notch is not None else [_notch(entry)]
    found += [*_springs(rig, entry, lot, shared), _pan(rig, target)]
    if entry.state != "good":
        words = "the book calls it doubtful" if entry.state == "doubtful" else "the book says that it needs repair"
        found.append(
            Finding(
                "state", entry.state, CANNOT_TELL, words, "look it over, then write what was found", source="stated"
            )
        )
    return found


def _look(rig: TrapRig, name: str, word: str | None) -> Finding:
    if word is None:
        return Finding(LOOKS[name], "not looked at", CANNOT_TELL, f"nobody wrote how its {name} was found",
                       "look at it and write it down")  # fmt: skip
    table, key = trap_tables.looks(), f"{name} {word}"
    parts: tuple[tuple[str, int], ...] = ()
    if table.has(key, "part"):
        count = int(table.number(key, "pieces")) or rig.springs
        kind = f"{rig.family} spring" if table.text(key, "part") == "spring" else table.text(key, "part")
        parts = ((f"{kind}, {rig.label}", count),)
    seconds = table.number(key, "minutes") if table.has(key, "minutes") else 0.0
    return Finding(
        LOOKS[name], word, table.text(key, "act"), table.text(key, "why"), table.text(key, "do"), parts, seconds,
        str(table.get(key, "act").source.kind),
    )  # fmt: skip


def _limit(name: str) -> float:
    return trap_tables.looks().number("limits", name)


def _play(rig: TrapRig, looked: LookedEntry) -> Finding:
    what = "play of a jaw end in its hole"
    if looked.play is None:
        return Finding(what, "not read", CANNOT_TELL, "nobody read the play of its jaw ends",
                       "move a jaw end in its hole and read by how much, with calipers")  # fmt: skip
    stock = stock_of(rig.dimensions)
    left = float(strength_left(looked.play.number, pin_diameter=stock.pin_diameter, ear_edge=stock.ear_edge))
    said = f"{show(looked.play.number, 'fine_length')}: {show(left, 'percent')} of its strength left"
    source = "computed from the play; sections assumed"
    if left >= _limit("strength_least"):
        return Finding(what, said, KEEP, source=source)
    worn = "ends worn"
    table = trap_tables.looks()
    return Finding(
        what, said, REPAIR, "as if all of the play were worn off the pin or out of the frame, too little is left",
        table.text(worn, "do"), ((f"jaw, {rig.label}", int(table.number(worn, "pieces"))),),
        table.number(worn, "minutes"), source,
    )  # fmt: skip


def _lot(job: Job) -> Lot:
    """Forces read on springs of every kind of trap, by what was read and how."""
    found: dict[tuple[str, str, int], list[float]] = {}
    for rig in job.traps.values():
        for one in readings_of(rig.knowledge):
            if one.kind in COMPARED and not one.bound:
                found.setdefault((rig.label, one.label, rig.springs), []).append(one.value)
    return found


def _springs(rig: TrapRig, entry: TrapEntry, lot: Lot, shared: Draws) -> list[Finding]:
    """Is a spring weak: by its own earlier readings, by the others of its kind, or by the steel of its section."""
    what = "strength of its springs"
    read = readings_of(rig.knowledge)
    known = {one.kind for one in read} | {name for name, _ in rig.knowledge.stated}
    if not known & {*COMPARED, "opening_force", "creep_force", "spring_health"}:
        return [Finding(what, "not read", CANNOT_TELL, "no force was read on its springs",
                        "hold a lever or eye down with a spring scale, and write force and height")]  # fmt: skip
    compared = [*_since(entry), *_among(rig, read, lot)]
    findings: list[Finding] = []
    if {"wire_diameter", "leaf_thickness", "spring_health"} & known:
        posterior = posterior_of_trap(rig.knowledge)
        design = drawn(posterior, posterior.unknowns, rig, shared)
        rate = np.broadcast_to(np.asarray(design.dimensions.spring_health, dtype=float), (DRAWS,))
        compared.append(("of the rate of new steel of its section", float(np.median(rate)),
                         below(rate, _limit("health_least"), sure=_limit("sure"))))  # fmt: skip
        over = float(np.mean(springs_of(design, entry).state == OVERSTRESSED))
        if over > _limit("sure"):
            findings.append(Finding("strain of its springs", "beyond their strength", CANNOT_TELL,
                                    "as read its springs are strained beyond their strength: a reading is wrong",
                                    "read wire, coil and turns again", source="computed"))  # fmt: skip
    return [_weak(rig, what, compared), *findings]


def _weak(rig: TrapRig, what: str, compared: Sequence[tuple[str, float, bool | None]]) -> Finding:
    lost = show(1.0 - _limit("health_least"), "percent")
    if not compared:
        do = "read wire or leaf with calipers, the others of its kind, or the same again next year"
        return Finding(what, "read once", CANNOT_TELL, "nothing to hold its reading against", do)
    order = (True, None, False)
    words, ratio, weak = min(compared, key=lambda one: order.index(one[2]))
    said, source = f"{show(ratio, 'percent')} {words}", "computed from readings; limit assumed"
    if weak is None:
        return Finding(what, said, CANNOT_TELL, f"its readings leave open whether it has lost more than {lost}",
                       "read the force on a lever or eye again", source=source)  # fmt: skip
    if not weak:
        return Finding(what, said, KEEP, source=source)
    table = trap_tables.looks()
    return Finding(
        what, said, REPAIR, f"more than {lost} of its strength is lost", table.text("springs unlike", "do"),
        ((f"{rig.family} spring, {rig.label}", rig.springs),), table.number("springs unlike", "minutes"), source,
    )  # fmt: skip


def _over(now: Reading, value: float, sd: float) -> tuple[float, bool | None]:
    """Ratio of a reading to another one, and whether it lies below the limit with its whole 90 % band."""
    found = health(now.value, value, sd_now=now.sd, sd_new=sd)
    least = _limit("health_least")
    weak = True if float(found.high) < least else False if float(found.low) >= least else None
    return float(found.middle), weak


def _since(entry: TrapEntry) -> list[tuple[str, float, bool | None]]:
    """The last dated reading of a force against the first one that was read alike."""
    found = []
    for kind in COMPARED:
        dated = sorted(((one.date, one.reading()) for one in entry.readings if one.read == kind and one.date),
                       key=lambda pair: pair[0])  # fmt: skip
        if len(dated) > 1 and dated[0][0] < dated[-1][0] and dated[0][1].label == dated[-1][1].label:
            ratio, weak = _over(dated[-1][1], dated[0][1].value, dated[0][1].sd)
            found.append((f"of what was read on {dated[0][0].isoformat()}", ratio, weak))
    return found


def _among(rig: TrapRig, read: Sequence[Reading], lot: Lot) -> list[tuple[str, float, bool | None]]:
    """Its readings against the middle of its kind, where enough others were read alike."""
    found = []
    for one in read:
        values = lot.get((rig.label, one.label, rig.springs), [])
        if one.kind in COMPARED and not one.bound and len(values) >= ENOUGH:
            centre = float(np.median(values))
            # The middle of n readings wanders by about 1.25 of their scatter over the root of n.
            ratio, weak = _over(one, centre, 1.25 * float(np.std(values)) / np.sqrt(len(values)))
            found.append((f"of the middle of {len(values)} of its kind", ratio, weak))
    return found


def _rake(entry: TrapEntry) -> float | None:
    return None if entry.notch is None or entry.notch.rake is None else entry.notch.rake.number


def _notch(entry: TrapEntry) -> Finding:
    what, notch, rake = "rake of the notch", entry.notch, _rake(entry)
    if notch is None or rake is None:
        return Finding(what, "not read", CANNOT_TELL, "nobody read which way the notch rakes",
                       "see on its page, Dog and notch, how it is read")  # fmt: skip
    friction = 0.2 if notch.friction is None else notch.friction.number
    state = int(notch_state(rake, friction=friction))
    said = f"{show(rake, 'angle')}, {NOTCH_STATES[state]}"
    if state == KEEPS:
        return Finding(what, said, KEEP, source="computed")
    table = trap_tables.looks()
    return Finding(
        what, said, RETUNE, "raked the wrong way, the dog slips out without load: unsafe to set",
        table.text("notch rounded", "do"), (), table.number("notch rounded", "minutes"), "computed",
    )  # fmt: skip


def _pan(rig: TrapRig, target: str) -> Finding:
    what, force = "pan trip force", rig.trip_force
    if not force.known:
        return Finding(
            what, "not read", CANNOT_TELL, "nobody pulled its pan", "pull it three times with a spring scale"
        )
    said = show(force.number, "force")
    table = animal_tables.species()
    if not target or target not in table or not table.has(target, "pan_low"):
        return Finding(what, said, KEEP, source=str(force.source))
    low, high = table.get(target, "pan_low"), table.get(target, "pan_high")
    if low.number <= force.number <= high.number:
        return Finding(what, said, KEEP, source=str(force.source))
    name = table.text(target, "name").lower()
    seconds = trap_tables.looks().number("dog rounded", "minutes")
    return Finding(
        what, said, RETUNE,
        f"outside the {show(low.number, 'force')} to {show(high.number, 'force')} for {name} where it stands",
        "turn the pan bolt, then pull three times", (), seconds, str(low.source),
    )  # fmt: skip
