"""Kinds of events and what each has to say: one table, used by validation, forms and readers of files."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

SET, CHECKED, SPRUNG, INOPERATIVE = "set", "checked", "sprung_empty", "inoperative"
CATCH, NONTARGET, ESCAPE = "catch_target", "catch_nontarget", "escape"
RELEASE, DISPATCH, SUBMERGED = "release", "dispatch", "submerged_dead"
RESET, PULLED = "reset", "pulled"
TRACK, REFUSED, ANCHOR_MOVED = "track_on_pan", "tracks_at_set", "anchor_moved"
PROOF_PULL, LEVEL = "proof_pull", "level_at_mark"
MEASURED, DUTY, DONE, NOTE, DECLARED = "measured", "duty", "done", "note", "declared"
CORRECTION, VOID = "correction", "void"

CATCHES = frozenset((CATCH, NONTARGET))
ENDS = frozenset((RELEASE, DISPATCH, SUBMERGED))
LOOKS = frozenset((CHECKED, SPRUNG, INOPERATIVE, CATCH, NONTARGET, ESCAPE))
AMENDMENTS = frozenset((CORRECTION, VOID))
DISTURBED = frozenset((SPRUNG, CATCH, NONTARGET, ESCAPE))


@dataclass(frozen=True, slots=True)
class Slot:
    """What one detail of an event may hold.

    Parameters
    ----------
    form : str
        `text`, `choice`, `number`, `whole`, `yes_no`, `moment`, `words` (list of texts), `photos` or `changes`.
    needed : bool
        True when the detail must be named; its value may still be None, which says *unknown*.
    choices : tuple of str
        Words allowed in a `choice`.
    low, high : float
        Span of a number, in the unit of the detail (SI).

    """

    form: str
    needed: bool = False
    choices: tuple[str, ...] = ()
    low: float = float("-inf")
    high: float = float("inf")


def _must(form: str, *choices: str, low: float = float("-inf"), high: float = float("inf")) -> Slot:
    return Slot(form, True, choices, low, high)


def _force() -> Slot:
    return Slot("number", low=0.0, high=5000.0)


_TRAP: dict[str, Slot] = {
    "trip_force": _force(),
    "jaw_spread": Slot("number", low=0.0, high=1.0),
    "spread_method": Slot("text"),
    "jaw_gap": Slot("number", low=0.0, high=0.1),
    "springs": Slot("whole", low=0, high=8),
}
_ANY: dict[str, Slot] = {
    "note": Slot("text"),
    "weather": Slot("text"),
    "photos": Slot("photos"),
    "minutes": Slot("number", low=0.0, high=1440.0),
}
_SPECIES = _must("text")
_INJURY: dict[str, Slot] = {
    "injuries": Slot("words"),
    "looked_over": Slot("choice", choices=("whole", "part", "not")),
}
_HELD: dict[str, Slot] = {
    "species": _SPECIES,
    "sex": _must("choice", "female", "male"),
    "age": _must("choice", "young", "adult"),
    "judged_by": Slot("text"),
    "part": _must("text"),
    "alive": _must("yes_no"),
    **_INJURY,
    "first_seen": Slot("moment"),
    "tag": Slot("text"),
}
EVIDENCE = ("hair", "toe mark", "digging", "frost heave", "stock", "thief", "water", "none seen")

KINDS: Mapping[str, Mapping[str, Slot]] = MappingProxyType(
    {
        SET: {
            "site": _must("text"),
            "medium": _must("choice", "land", "water"),
            "set_type": _must("text"),
            "target": _must("text"),
            "anchor": _must("text"),
            "chain": Slot("text"),
            "swivels": Slot("whole", low=0, high=12),
            "bait": Slot("text"),
            "bait_visible": Slot("yes_no"),
            "tag_present": _must("yes_no"),
            "cover": Slot("text"),
            **_TRAP,
        },
        CHECKED: {"method": _must("choice", "in person", "from a distance", "remote alarm")},
        SPRUNG: {
            "evidence": _must("choice", *EVIDENCE),
            "species_guess": Slot("text"),
            "doubtful": Slot("yes_no"),
            "sprung_at": Slot("moment"),
            "looks": Slot("words"),
            "likely": Slot("words"),
            "change": Slot("text"),
        },
        INOPERATIVE: {
            "cause": _must("choice", "frozen", "snowed in", "flooded", "dry", "missing", "stolen", "other"),
            "last_working": _must("moment"),
        },
        CATCH: _HELD,
        NONTARGET: {**_HELD, "domestic": _must("yes_no")},
        ESCAPE: {"species_guess": _must("text"), "doubtful": Slot("yes_no"), "evidence": Slot("text"), **_INJURY},
        RELEASE: {"condition": _must("text"), "means": _must("text"), **_INJURY},
        DISPATCH: {"method": _must("text"), "seconds": Slot("number", low=0.0, high=3600.0)},
        SUBMERGED: {
            "depth": _must("number", low=0.0, high=30.0),
            "device": _must("text"),
            "lock_held": _must("yes_no"),
        },
        RESET: dict(_TRAP),
        PULLED: {"reason": _must("text")},
        TRACK: {"species_guess": Slot("text"), "doubtful": Slot("yes_no")},
        REFUSED: {"species_guess": Slot("text"), "doubtful": Slot("yes_no")},
        ANCHOR_MOVED: {"distance": Slot("number", low=0.0, high=100.0)},
        PROOF_PULL: {"force": _force(), "held": Slot("yes_no")},
        LEVEL: {"over_pan": Slot("number", low=-10.0, high=10.0)},
        MEASURED: dict(_TRAP),
        DUTY: {"act": _must("text"), "due": _must("moment"), "about": Slot("text")},
        DONE: {"duty": _must("text")},
        NOTE: {},
        DECLARED: {
            "measure": _must("choice", "efficiency", "light_injury", "free_of_listed"),
            "line": _must("number", low=0.01, high=0.99),
            "rule": _must("choice", "fixed", "lines", "proof"),
            "animals": Slot("whole", low=1, high=10000),
            "bad_share": Slot("number", low=0.01, high=0.99),
            "severe_stop": Slot("whole", low=1, high=1000),
        },
        CORRECTION: {"changes": _must("changes"), "reason": Slot("text")},
        VOID: {"reason": _must("text")},
    }
)
SLOTS: Mapping[str, Mapping[str, Slot]] = MappingProxyType({kind: {**_ANY, **own} for kind, own in KINDS.items()})
# Kinds that speak of a set, and kinds that speak of one trap of it.
OF_A_SET = frozenset(KINDS) - {MEASURED, DUTY, DONE, NOTE, DECLARED} - AMENDMENTS
OF_A_TRAP = frozenset((SET, RESET, MEASURED, *DISTURBED, INOPERATIVE))


def blank(kind: str) -> dict[str, Any]:
    """Details of a kind with everything that has to be named, all of it still unknown.

    Parameters
    ----------
    kind : str
        Kind of event.

    """
    return {name: None for name, slot in KINDS[kind].items() if slot.needed}
