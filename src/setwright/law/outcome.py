"""Answer of one check with its reason, its cure and the question that would settle it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from setwright.basis.say import Say
from setwright.basis.verdict import Answer
from setwright.law.facts import Facts, Feature
from setwright.law.pack import Pack


@dataclass(frozen=True, slots=True)
class Outcome:
    """Answer of one check.

    Parameters
    ----------
    answer : Answer
        *meets*, *breaks* or *cannot tell*.
    reason : Say
        Why.
    cure : Say or None
        What would mend a breach.
    question : Say or None
        What must be measured or asked when the answer cannot be told.
    open_text : bool
        True when the gap is in the rules and the authority must be asked, False when the trapper can find out.
    brief : Say or None
        The reason without what was wanted, for a list of which one would do.

    """

    answer: Answer
    reason: Say
    cure: Say | None = None
    question: Say | None = None
    open_text: bool = False
    brief: Say | None = None


def told(
    answer: Answer, reason: Say, cure: Say | None = None, question: Say | None = None, *, open_text: bool = False
) -> Outcome:
    """Outcome that keeps a cure only when the check is not met, a question only when it cannot be told."""
    return Outcome(
        answer,
        reason,
        None if answer is Answer.MEETS else cure,
        question if answer is Answer.CANNOT_TELL else None,
        open_text and answer is Answer.CANNOT_TELL,
    )


def asked(about: Feature) -> Outcome:
    """*Cannot tell* because a feature is unknown, with its question."""
    return Outcome(
        Answer.CANNOT_TELL,
        Say("not known: {label:word}", label=about.label),
        None,
        Say("{question:word}", question=about.question),
    )


@dataclass(frozen=True, slots=True)
class Case:
    """What a check is asked about: the pack, the facts, the day, the target of the set."""

    pack: Pack
    facts: Facts
    on: date
    species: str = ""
