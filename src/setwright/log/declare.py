"""Rules of counting that were declared before looking, followed animal by animal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from setwright.animal.injury import Findings, Injury, tally
from setwright.log import kinds
from setwright.log.amend import Standing, standing
from setwright.log.event import Event
from setwright.log.proof import PROOF, Word, judge, proof_value, sequential_lines
from setwright.log.waits import Visitors

# Chances of error of Wald's lines, and animals below which nothing is accepted.
WRONG_REJECT, WRONG_ACCEPT, LEAST = 0.05, 0.10, 20


@dataclass(frozen=True, slots=True)
class Declared:
    """A rule as it was declared.

    Parameters
    ----------
    id, rig_id : str
        Its event and the rig that it is about.
    instant : int [µs]
        When it was declared: only what was found later counts.
    measure : str
        `efficiency`, `light_injury` or `free_of_listed`.
    line : float [-]
        Share that is asked for.
    rule : str
        `fixed` (look once, at so many animals), `lines` (Wald) or `proof` (weight of evidence).
    animals : int or None
        Animals of a fixed rule.
    bad_share : float or None [-]
        Share of bad animals of a trap that has to be found out, for Wald's lines.
    severe_stop : int or None
        So many severe injuries halt the rig at once.

    """

    id: str
    rig_id: str
    instant: int
    measure: str
    line: float
    rule: str
    animals: int | None = None
    bad_share: float | None = None
    severe_stop: int | None = None


@dataclass(frozen=True, slots=True)
class Progress:
    """Where a declared rule stands.

    Parameters
    ----------
    declared : Declared
        The rule.
    good, bad, missing, severe : int
        Animals since it was declared; a missing one counts as bad in every rule.
    word : Word
        Answer so far.
    ended : bool
        True when the rule has come to its end and no animal more changes its answer.
    halt : bool
        True when the rig has to be taken off: stopping for harm needs no proof.
    reason : str
        In a plain sentence.

    """

    declared: Declared
    good: int
    bad: int
    missing: int
    severe: int
    word: Word
    ended: bool
    halt: bool
    reason: str


def declared_rules(events: Iterable[Event] | Standing) -> list[Declared]:
    """Rules of a log, in the order in which they were declared.

    Parameters
    ----------
    events : iterable of Event, or Standing
        The log; a rule of which rig, line or kind is unknown is no rule.

    """
    found = []
    for event in standing(events).events:
        if event.kind != kinds.DECLARED or event.rig_id is None:
            continue
        own = event.details
        if None in (own["measure"], own["line"], own["rule"]):
            continue
        rule = Declared(
            event.id, event.rig_id, event.instant, own["measure"], float(own["line"]), own["rule"],
            own.get("animals"), own.get("bad_share"), own.get("severe_stop"),
        )  # fmt: skip
        found.append(rule)
    return found


def follow(declared: Declared, visitors: Visitors, scale: Mapping[str, Injury]) -> Progress:
    """Follow one rule through what was found since it was declared.

    Parameters
    ----------
    declared : Declared
        The rule.
    visitors : Visitors
        As `waits.read` gives them.
    scale : mapping of str to Injury
        Injury scale.

    """
    here = (visitors.labels["rig_id"] == declared.rig_id) & (visitors.instant > declared.instant)
    rows = np.flatnonzero(here)
    rows = rows[np.argsort(visitors.instant[rows], kind="stable")]
    held = [int(row) for row in rows if visitors.held[row]]
    marks = (
        _efficiency(visitors, rows) if declared.measure == "efficiency" else _harm(visitors, held, declared, scale)
    )
    severe = sum(
        any(key in scale and scale[key].trauma == "severe" for key in visitors.injuries[row] or ()) for row in held
    )
    good, bad, missing = (sum(mark is wanted for mark in marks) for wanted in (True, False, None))
    word, ended, reason = _RULES[declared.rule](declared, marks)
    halt = declared.severe_stop is not None and severe >= declared.severe_stop
    if halt:
        word, ended = Word.NOT_SHOWN, True
        reason = f"{severe} severe injuries reach the number at which this rig is taken off at once"
    return Progress(declared, good, bad, missing, severe, word, ended, halt, reason)


def _efficiency(visitors: Visitors, rows: Sequence[int] | np.ndarray) -> list[bool | None]:
    # Pets and stock are no furbearers.
    furred = visitors.held & ~visitors.domestic
    came = furred | visitors.escaped | visitors.sign
    return [bool(furred[row]) for row in rows if came[row]]


def _harm(
    visitors: Visitors, held: Sequence[int], declared: Declared, scale: Mapping[str, Injury]
) -> list[bool | None]:
    findings = []
    for row in held:
        found = visitors.injuries[row]
        unknown = found is None or any(key not in scale for key in found) or visitors.looked_over[row] == "not"
        findings.append(Findings(None if unknown else found, whole=visitors.looked_over[row] in ("", "whole")))
    if not findings:
        return []
    counted = tally(findings, scale)
    marks = counted.no_to_moderate if declared.measure == "light_injury" else counted.free_of_listed
    return [None if np.isnan(mark) else bool(mark) for mark in marks]


def _fixed(declared: Declared, marks: Sequence[bool | None]) -> tuple[Word, bool, str]:
    wanted = declared.animals or LEAST
    if len(marks) < wanted:
        return Word.NOT_SHOWN, False, f"{len(marks)} of {wanted} animals: it is looked at when all are there"
    first = marks[:wanted]
    found = judge(
        sum(mark is True for mark in first), sum(mark is False for mark in first),
        sum(mark is None for mark in first), declared.line, 1, most_missing=wanted,
    )  # fmt: skip
    return found.word, True, f"the first {wanted} animals: {found.reason}"


def _lines(declared: Declared, marks: Sequence[bool | None]) -> tuple[Word, bool, str]:
    fair = 1.0 - declared.line
    poor = declared.bad_share if declared.bad_share is not None else min(2.0 * fair, 0.5 * (1.0 + fair))
    if not fair < poor < 1.0:
        return Word.NOT_SHOWN, True, "the share of a bad trap must lie above that of a trap at the line"
    lines = sequential_lines(fair, poor, WRONG_REJECT, WRONG_ACCEPT)
    bad = 0
    for number, mark in enumerate(marks, start=1):
        bad += mark is not True
        if bad >= lines.reject_at + lines.slope * number:
            return Word.NOT_SHOWN, True, f"{bad} of {number} not in order crosses the upper line: give it up"
        if number >= LEAST and bad <= lines.accept_at + lines.slope * number:
            return Word.BETTER, True, f"{bad} of {number} not in order crosses the lower line"
    return Word.NOT_SHOWN, False, f"{bad} of {len(marks)} not in order lies between the lines"


def _proof(declared: Declared, marks: Sequence[bool | None]) -> tuple[Word, bool, str]:
    good = np.cumsum([mark is True for mark in marks])
    number = np.arange(1, len(marks) + 1)
    weight = proof_value(good, number, declared.line)
    passed = np.flatnonzero((weight >= PROOF) & (good > declared.line * number))
    if passed.size:
        first = int(passed[0])
        return Word.BETTER, True, f"{good[first]} of {number[first]}: weight of evidence {weight[first]:.0f}"
    if not len(marks):
        return Word.NOT_SHOWN, False, "no animal yet"
    return (
        Word.NOT_SHOWN,
        False,
        f"{good[-1]} of {len(marks)}: weight of evidence {weight[-1]:.2g}, {PROOF:.0f} is asked",
    )


_RULES = {"fixed": _fixed, "lines": _lines, "proof": _proof}
