"""Strength of anchor and tackle at a site, as draws, with names and sources."""

from __future__ import annotations

from dataclasses import dataclass

from setwright.basis.say import Say
from setwright.sets.anchored import Anchored, anchored
from setwright.sets.context import Context, Floats
from setwright.sets.model import Rig
from setwright.sets.tackled import Tackled, tackled


@dataclass(frozen=True, eq=False)
class Strengths:
    """Anchor and tackle of a rig at a site; forces [N], shape (n,), are NaN where nothing can be told."""

    held: Anchored
    parts: Tackled

    @property
    def anchor(self) -> Floats:
        """What the anchor holds of a lunge [N]."""
        return self.held.force

    @property
    def anchor_question(self) -> Say | None:
        """What to feel, pull or write down where nothing can be told."""
        return self.held.question

    @property
    def stiffness(self) -> Floats:
        """At the head of the anchor [N/m]."""
        return self.held.stiffness

    @property
    def tackle(self) -> Floats:
        """What the weakest rated part holds of a jerk [N]."""
        return self.parts.force

    @property
    def tackle_question(self) -> Say | None:
        """The reading to take of parts that nobody rates."""
        return self.parts.question


def strengths(context: Context, rig: Rig) -> Strengths:
    """Anchor and weakest tackle part of a rig at this site."""
    return Strengths(anchored(context, rig), tackled(context, rig))


def strengths_here(context: Context, rig: Rig) -> Strengths:
    """The same, kept at the site: for rigs that stand there, not for the many that are only tried."""
    return context.kept.get(("strength", rig.chain, rig.anchor, rig.slide), lambda: strengths(context, rig))
