"""What the chain finds: checks, links, gates and outcomes, as draws with reasons and sources."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from setwright.basis.say import Say
from setwright.basis.source import Source
from setwright.basis.verdict import Answer, Standing, standing_of_margin

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Origin:
    """Name of an input and where it came from."""

    what: str
    source: Source


@dataclass(frozen=True)
class CheckResult:
    """One check inside a link.

    `draws` is the checked quantity, shape (n,) in SI; `margin` is how far it stands on the good side
    of the limit, shape (n,) (None when nothing can be told); `kind` is a kind of `basis.say.KINDS`.
    """

    name: str
    standing: Standing
    draws: Floats | None
    limit: float | None
    margin: Floats | None
    kind: str
    why: Say
    mend: Say | None = None
    origins: tuple[Origin, ...] = ()
    question: Say | None = None


def check_margin(
    name: str,
    draws: Floats,
    limit: float,
    kind: str,
    why: Say,
    *,
    mend: Say | None = None,
    origins: tuple[Origin, ...] = (),
    upper: bool = False,
) -> CheckResult:
    """Check draws against a least value, or a greatest one when `upper`."""
    margin = limit - draws if upper else draws - limit
    standing = standing_of_margin(margin)
    return CheckResult(
        name, standing, draws, limit, margin, kind, why, None if standing is Standing.SOUND else mend, origins
    )


def check_unknown(
    name: str, kind: str, why: Say, question: Say, *, origins: tuple[Origin, ...] = (), limit: float | None = None
) -> CheckResult:
    """A check that nothing can be told of, with the question that would settle it."""
    return CheckResult(name, Standing.CANNOT_TELL, None, limit, None, kind, why, question, origins, question)


@dataclass(frozen=True)
class LinkResult:
    """One link of the chain for the target, and the same figure for every other species.

    `value` is a probability (for `visit` a rate a night, for `check` hours), shape (n,). `in_order` is the
    share of the wait in which the trap can fire at all, where the link knows it. `reasons` say of animals why no
    figure from their weight may be shown.
    """

    link: str
    value: Floats
    kind: str
    limit: float | None
    checks: tuple[CheckResult, ...]
    by_species: Mapping[str, Floats] = field(default_factory=dict)
    in_order: Floats | None = None
    reasons: Mapping[str, str] = field(default_factory=dict)

    @property
    def governing(self) -> CheckResult:
        """The check that decides the standing; the earliest of the worst."""
        order = (Standing.FAILS, Standing.CANNOT_TELL, Standing.THIN, Standing.SOUND)
        return min(self.checks, key=lambda check: order.index(check.standing))

    @property
    def standing(self) -> Standing:
        """Standing of the governing check."""
        return self.governing.standing


@dataclass(frozen=True)
class OutcomeDraws:
    """One kind of visitor over the check interval: first to fire, held, lost after firing, shape (n,)."""

    first: Floats
    held: Floats
    lost: Floats


@dataclass(frozen=True)
class Gate:
    """A welfare or selectivity gate's answer."""

    name: str
    answer: Answer
    reason: Say
    source: Source
    cure: Say | None = None
    question: Say | None = None


@dataclass(frozen=True)
class LawAnswer:
    """One rule's answer with the pack it stands in; a profile of good practice is no law."""

    rule: str
    pack: str
    answer: Answer
    reason: Say
    citation: str
    cure: Say | None = None
    question: Say | None = None
    profile: bool = False
