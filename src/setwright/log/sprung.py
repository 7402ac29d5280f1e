"""A trap that lies sprung and empty: from a few looks to what likely fired it, and one change."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from setwright.basis.errors import BadInput

# A cause that is this likely needs no further look.
ENOUGH = 0.75
MOST_LOOKS = 4


@dataclass(frozen=True, slots=True)
class Cause:
    """What may have fired it.

    Parameters
    ----------
    key, label : str
        Name, and words.
    medium : str
        `land`, `water` or `any`.
    share : float [-]
        How often it is the cause before anybody looks, against the others.
    evidence : str
        What the log writes as evidence.
    change : str
        The one change.

    """

    key: str
    medium: str
    share: float
    label: str
    evidence: str
    change: str


@dataclass(frozen=True, slots=True)
class Look:
    """One look.

    Parameters
    ----------
    key, question : str
        Name, and words.
    answers : mapping of str to tuple of float
        For each answer its chance by cause [-].

    """

    key: str
    question: str
    answers: Mapping[str, tuple[float, ...]]


@dataclass(frozen=True, slots=True)
class Tree:
    """Causes and looks.

    Parameters
    ----------
    causes : tuple of Cause
        c of them.
    looks : tuple of Look
        In no order: the best one comes first each time.

    """

    causes: tuple[Cause, ...]
    looks: tuple[Look, ...]

    def look(self, key: str) -> Look:
        """The look of a name.

        Parameters
        ----------
        key : str
            Its name.

        """
        for one in self.looks:
            if one.key == key:
                return one
        raise BadInput("no such look", field="LOOK", found=key, allowed=", ".join(one.key for one in self.looks))


def weights(tree: Tree, medium: str, seen: Mapping[str, str]) -> tuple[float, ...]:
    """How likely each cause is after what was seen; they sum to one.

    Parameters
    ----------
    tree : Tree
        Causes and looks.
    medium : str
        `land` or `water`; causes of the other are left out.
    seen : mapping of str to str
        Answer by look.

    Raises
    ------
    BadInput
        When a look or an answer is not known, or nothing can have led to all of it.

    Notes
    -----
    Bayes' rule, looks taken as independent given the cause: close calls are less sure than they seem.

    """
    if medium not in ("land", "water"):
        raise BadInput("on land or in water", field="medium", found=medium, allowed="land, water")
    found = [cause.share if cause.medium in ("any", medium) else 0.0 for cause in tree.causes]
    for key, answer in seen.items():
        answers = tree.look(key).answers
        if answer not in answers:
            raise BadInput("no such answer", field=key, found=answer, allowed=", ".join(answers))
        found = [weight * chance for weight, chance in zip(found, answers[answer], strict=True)]
    total = sum(found)
    if total <= 0.0:
        raise BadInput("nothing that is known leads to all of this", field="LOOK", found=dict(seen))
    return tuple(weight / total for weight in found)


def next_look(tree: Tree, medium: str, seen: Mapping[str, str]) -> Look | None:
    """The look that is expected to tell most; None when enough is known.

    Parameters
    ----------
    tree, medium, seen : Tree, str, mapping
        As for `weights`.

    """
    now = weights(tree, medium, seen)
    left = [look for look in tree.looks if look.key not in seen]
    if max(now) >= ENOUGH or len(seen) >= MOST_LOOKS or not left:
        return None
    return min(left, key=lambda look: _doubt_after(look, now))


def _doubt_after(look: Look, now: tuple[float, ...]) -> float:
    """Expected doubt (entropy) after a look."""
    doubt = 0.0
    for chances in look.answers.values():
        joint = [weight * chance for weight, chance in zip(now, chances, strict=True)]
        total = sum(joint)
        doubt -= sum(part * math.log(part / total) for part in joint if part > 0.0)
    return doubt
