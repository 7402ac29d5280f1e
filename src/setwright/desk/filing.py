"""Dog and notch of a trap: which way it rakes, how much to file and when to stop, what is left to the bolt."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.basis.units import parse
from setwright.desk import filing_document as doc
from setwright.desk.bench import OnBench
from setwright.desk.bench_figures import middle
from setwright.desk.caution_words import HANDS, TEST_FIRING
from setwright.desk.edit import State, changed
from setwright.desk.edit_acts import trap_entry
from setwright.desk.wording import show, trip_words, with_band
from setwright.line import retouch
from setwright.line.readings import NotchEntry
from setwright.trap import tables as trap_tables
from setwright.trap.filing import bolt_share, filing, friction_for
from setwright.trap.pan import CREEPS, KEEPS, LETS_GO, NOTCH_STATES, notch_state
from setwright.trap.trigger import notch_force

# What is kept in the book, and what is only asked for: words, unit, least and most.
KEPT: Mapping[str, tuple[str, str, float, float]] = {
    "overlap": ("the dog's reach into the notch", "m", 1e-4, 0.02), "arm": ("pan pivot to notch", "m", 1e-3, 0.1),
    "rake": ("rake of the notch, negative when it lets the dog out", "rad", -1.0, 1.0),
    "friction": ("friction in the notch", "one", 0.02, 1.0),
}  # fmt: skip
WANTED: Mapping[str, tuple[str, str, float, float]] = {
    "travel": ("way of the pan that you want", "m", 1e-4, 0.05),
    "force": ("trip force that you want", "N", 0.1, 200.0),
}  # fmt: skip
FRICTION = 0.2
PRACTICE = "common practice"
WORK = (
    "Few strokes of a fine file, square to the dog's way; read the overlap after each five.",
    "Then file the end of the dog square as well, and brush wax, rust and burrs out.",
    "Set it and pull the pan three times; a trap that goes off by itself is not set.",
)


@dataclass(frozen=True)
class Notch:
    """What is known of a notch and wanted of it, in SI; None is not said."""

    overlap: float | None = None
    arm: float | None = None
    rake: float | None = None
    friction: float | None = None
    travel: float | None = None
    force: float | None = None


def notch_of(words: Mapping[str, str], entry: NotchEntry | None) -> Notch:
    """What was typed, over what the book has.

    Raises
    ------
    BadInput
        For a word that is no such figure, or one that no notch has.
    """
    kept = {} if entry is None else {name: getattr(entry, name) for name in KEPT}
    found = Notch(**{name: None if one is None else one.number for name, one in kept.items()})
    for name, (said, unit, low, high) in {**KEPT, **WANTED}.items():
        text = words.get(name, "").strip()
        if not text:
            continue
        try:
            value = parse(text, unit)
        except BadInput as error:
            raise BadInput(error.message, field=name, found=text[:40], allowed=error.allowed) from None
        if not low <= value <= high:
            raise BadInput(f"no {said}", field=name, found=text[:40], allowed=_span(low, high, unit))
        found = replace(found, **{name: value})
    if found.overlap is not None and found.arm is not None and found.overlap >= found.arm:
        raise BadInput("the dog reaches no farther than the pan's pivot", field="overlap", found=words.get("overlap"),
                       allowed="less than the arm")  # fmt: skip
    return found


def _span(low: float, high: float, unit: str) -> str:
    factor, name = {"m": (1e3, "mm"), "rad": (math.degrees(1.0), "deg"), "N": (1.0, "N"), "one": (1.0, "")}[unit]
    return f"{factor * low:.3g} to {factor * high:.3g} {name}".strip()


def filing_sheet(on: OnBench, words: Mapping[str, str]) -> doc.FilingSheet:
    """What to file on a trap.

    Parameters
    ----------
    on : OnBench
        The trap as its readings leave it.
    words : mapping of str to str
        What was typed, by the names of `KEPT` and `WANTED`.

    Raises
    ------
    BadInput
        For a word that is no such figure.
    """
    rig = on.picked.rig
    known = notch_of(words, on.picked.entry.notch)
    friction = FRICTION if known.friction is None else known.friction
    state = int(notch_state(math.nan if known.rake is None else known.rake, friction=friction))
    missing = [said for name, (said, *_) in KEPT.items() if name != "friction" and getattr(known, name) is None]
    rows = [doc.FilingRow(what="notch", shown=NOTCH_STATES[state], note=_rake_note(known))]
    steps: list[doc.FilingStep] = []
    if known.overlap is not None and known.arm is not None:
        told = _figures(on, known, friction)
        rows += told[0]
        steps += told[1]
    steps += [doc.FilingStep(text=text, source=PRACTICE) for text in WORK]
    return doc.FilingSheet.model_validate({
        "schema": doc.SCHEMA, "trap": rig.trap_id, "label": rig.label, "state": NOTCH_STATES[state],
        "say": _say(state, known, missing), "rows": rows, "steps": steps, "missing": missing,
        "cautions": [HANDS, TEST_FIRING],
    })  # fmt: skip


def _rake_note(known: Notch) -> str:
    if known.rake is None:
        return "lay a straight edge on the notch's face: square to the dog's way, or which way off, by an angle gauge"
    return (
        f"rake {show(known.rake, 'angle')}; friction {FRICTION if known.friction is None else known.friction:g}"
        + (" assumed" if known.friction is None else "")
    )


def _figures(on: OnBench, known: Notch, friction: float) -> tuple[list[doc.FilingRow], list[doc.FilingStep]]:
    rig = on.picked.rig
    assert known.overlap is not None and known.arm is not None
    rake = 0.0 if known.rake is None else known.rake
    least = trap_tables.looks().number("limits", "overlap_least")
    notch = notch_force(on.found.design.trap, dogless=rig.dogless)
    radius = rig.pan_radius.number
    found = filing(
        known.overlap, rake=rake, notch=notch, notch_arm=known.arm, notch_friction=friction, pan_radius=radius,
        wanted_travel=math.inf if known.travel is None else known.travel, least_overlap=least,
    )  # fmt: skip
    one = {name: float(np.median(value)) for name, value in vars(found).items()}
    rows = [
        _row("way of the pan until it fires", one["travel"]),
        _row("overlap", known.overlap, f"never file below {show(least, 'fine_length')} (assumed)"),
    ]
    steps = []
    if rake < 0.0:
        rows.append(_row("to take off its high end, until it is square", one["wedge"], "to nothing at the other end"))
        steps.append(
            _step(f"Square the notch first: {show(one['wedge'], 'fine_length')} off its high end, and stop there.")
        )
    if known.travel is not None:
        rows.append(
            _row("overlap to take off for that travel", one["shorten"], f"leaves {show(one['left'], 'fine_length')}")
        )
        rows.append(_row("way of the pan then", one["travel_after"]))
        if one["short"] > 0.0:
            steps.append(_step(
                f"Stop at {show(one['left'], 'fine_length')} of overlap: the pan still travels "
                f"{show(one['short'], 'fine_length')} more than you want. A pan with a shorter arm or a second notch "
                "does that, not the file."
            ))  # fmt: skip
        elif one["shorten"] > 0.0:
            steps.append(_step(f"Take {show(one['shorten'], 'fine_length')} off the overlap, and stop at "
                               f"{show(one['left'], 'fine_length')}."))  # fmt: skip
        else:
            steps.append(_step("Nothing to file for the travel: it is short enough."))
    alone, square = _band(found.notch_now), _band(found.notch_after)
    rows.append(doc.FilingRow(what="pan with its bolt slack, now", shown=alone, note="what notch and springs hold"))
    if rake < 0.0:
        rows.append(doc.FilingRow(what="pan with its bolt slack, squared", shown=square))
    rows += _force_rows(on, known, found.notch_after, friction, steps)
    return rows, steps


def _force_rows(
    on: OnBench, known: Notch, alone: np.ndarray, friction: float, steps: list[doc.FilingStep]
) -> list[doc.FilingRow]:
    """What of the trip force is the bolt's, and what the bolt can still do for the force that is wanted."""
    rig, rows = on.picked.rig, []
    if rig.trip_force.known:
        share = float(np.median(bolt_share(rig.trip_force.number, alone)))
        rows.append(doc.FilingRow(what="pan as the book has it", shown=trip_words(rig.trip_force),
                                  note=f"{show(share, 'percent')} of it is the bolt's"))  # fmt: skip
    if known.force is None:
        return rows
    holds = float(np.median(alone))
    if holds <= known.force:
        steps.append(_step(f"The file has nothing to do with {show(known.force, 'force')}: the notch alone holds "
                           f"{show(holds, 'force')}, the rest is the bolt. Turn the bolt."))  # fmt: skip
        return rows
    assert known.arm is not None
    notch = notch_force(on.found.design.trap, dogless=rig.dogless)
    needed = float(
        np.median(friction_for(known.force, notch=notch, notch_arm=known.arm, pan_radius=rig.pan_radius.number))
    )
    steps.append(
        _step(
            f"With a slack bolt the notch alone holds {show(holds, 'force')}, more than you want. Brush and polish "
            f"it, do not deepen it: friction {needed:.2f} would do, {friction:.2f} is reckoned."
        )
    )
    return rows


def _row(what: str, value: float, note: str = "") -> doc.FilingRow:
    return doc.FilingRow(what=what, shown=show(value, "fine_length"), note=note, value=value, unit="m")


def _step(text: str) -> doc.FilingStep:
    return doc.FilingStep(text=text, source="computed")


def _band(draws: np.ndarray) -> str:
    one, low, high = middle(draws)
    return "cannot tell" if one is None or low is None or high is None else with_band(one, low, high, "force")


def _say(state: int, known: Notch, missing: list[str]) -> str:
    if state == CREEPS:
        return "The notch rakes the wrong way: only friction holds the dog. Not to be set before it is squared."
    if state == LETS_GO:
        return "The notch lets the dog go by itself. Not to be set before it is squared."
    if state == KEEPS and not missing:
        return "The notch keeps the dog." + (
            "" if known.travel is None else " The figures say how much to file, and where to stop."
        )
    return f"Cannot tell yet: read {', '.join(missing)}."


def keep_notch(path: Path, seen: str, tag: str, words: Mapping[str, str]) -> State:
    """Write the readings of a notch into the line book.

    Parameters
    ----------
    path : Path
        Line book.
    seen : str
        Digest of the state that the user saw.
    tag : str
        Tag of the trap; one of several alike gets an entry of its own.
    words : mapping of str to str
        What was typed, by the names of `KEPT`.

    Raises
    ------
    BadInput
        When overlap or arm is missing, or a word is refused; the book is as it was.
    """
    notch_of(words, None)
    made = {name: text for name in KEPT if (text := words.get(name, "").strip()[:40])}
    for name in ("overlap", "arm"):
        if name not in made:
            raise BadInput("a notch is kept with its overlap and its arm", field=name, allowed="such as 2 mm")

    def act(book: CommentedMap) -> None:
        retouch.put(trap_entry(book, tag), "notch", made)

    return changed(path, seen, f"kept dog and notch of {tag}", act)
