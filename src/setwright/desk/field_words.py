"""Kinds of events, their details and the scale of injuries in words: what forms are made of."""

from __future__ import annotations

from typing import Any

from setwright.animal.welfare_tables import injury_scale
from setwright.basis.units import convert
from setwright.desk.log_words import MEANING, UNITS
from setwright.log import kinds

# Unit that is written in the field for each unit that is kept, in either choice of units.
WRITTEN = {"us": {"N": "lbf", "m": "in"}, "metric": {"N": "N", "m": "mm"}}
MORE = {
    kinds.MEASURED: "a trap was read", kinds.DUTY: "something to be done", kinds.DONE: "a duty was done",
    kinds.NOTE: "a note", kinds.DECLARED: "a rule of counting, fixed before looking",
    kinds.CORRECTION: "an entry was wrong: new values", kinds.VOID: "an entry is taken back",
}  # fmt: skip
GROUPS = {
    "Found": (kinds.CHECKED, kinds.CATCH, kinds.NONTARGET, kinds.SPRUNG, kinds.INOPERATIVE, kinds.ESCAPE),
    "Done": (kinds.SET, kinds.RESET, kinds.PULLED, kinds.RELEASE, kinds.DISPATCH, kinds.SUBMERGED),
    "Seen and read": (
        kinds.TRACK, kinds.REFUSED, kinds.ANCHOR_MOVED, kinds.PROOF_PULL, kinds.LEVEL, kinds.MEASURED,
    ),
    "Besides": (kinds.NOTE, kinds.DUTY, kinds.DONE, kinds.DECLARED),
}  # fmt: skip
LABELS = {
    "trip_force": "pan trips at", "jaw_spread": "jaw spread", "jaw_gap": "gap of the jaws", "force": "pull",
    "over_pan": "water over the pan", "distance": "how far", "depth": "depth under water", "part": "part held",
    "tag_present": "tag on the trap", "looked_over": "looked over", "species_guess": "likely animal", "domestic":
    "pet or stock", "injuries": "injuries", "first_seen": "first seen", "last_working": "last seen working",
    "sprung_at": "fired at", "lock_held": "lock held", "judged_by": "age judged by", "bait_visible":
    "bait in sight", "held": "anchor held", "seconds": "seconds it took", "minutes": "minutes at the set", "due":
    "by when", "about": "about what", "duty": "which duty", "spread_method": "spread measured how", "act":
    "what has to be done",
}  # fmt: skip


def said(kind: str) -> str:
    """What a kind of event says, in words."""
    return MEANING.get(kind) or MORE.get(kind) or kind.replace("_", " ")


def label(name: str) -> str:
    """What a detail is called on a form."""
    return LABELS.get(name, name.replace("_", " "))


def table() -> dict[str, Any]:
    """Kinds with their slots, groups of kinds, and the scale of injuries."""
    return {
        "kinds": {
            kind: {
                "words": said(kind), "of_a_set": kind in kinds.OF_A_SET, "of_a_trap": kind in kinds.OF_A_TRAP,
                "slots": {name: _slot(name, slot) for name, slot in slots.items()},
            }
            for kind, slots in kinds.SLOTS.items()
        },
        "groups": {head: list(names) for head, names in GROUPS.items()},
        "looks": sorted(kinds.LOOKS),
        "injuries": [
            {"key": one.key, "words": one.words, "trauma": one.trauma.replace("_", " ")}
            for one in injury_scale().values()
        ],
    }  # fmt: skip


def _slot(name: str, slot: kinds.Slot) -> dict[str, Any]:
    found: dict[str, Any] = {"label": label(name), "form": slot.form, "needed": slot.needed}
    if slot.choices:
        found["choices"] = list(slot.choices)
    if slot.form in ("number", "whole"):
        unit = UNITS.get(name)
        if unit is not None:
            found["units"] = {
                system: {"unit": written[unit], "factor": convert(1.0, written[unit], unit)}
                for system, written in WRITTEN.items()
            }
        if slot.low > float("-inf"):
            found["low"] = slot.low
        if slot.high < float("inf"):
            found["high"] = slot.high
    return found
