"""The trap under this cover and water: closing and clamp over draws of what is uncertain in it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from setwright.basis.spread import Draws
from setwright.sets.context import Context, Floats
from setwright.sets.model import TrapKnowledge, TrapRig
from setwright.trap import tables as trap_tables
from setwright.trap.build import build
from setwright.trap.closing import Closing, close, water_terms
from setwright.trap.holding import Clamp, clamp, set_torque
from setwright.trap.model import Trap
from setwright.trap.posterior import Posterior, posterior_of
from setwright.trap.readings import Reading, not_read, stated
from setwright.trap.unknowns import Design, Unknowns, design_of, unknowns_of

# The kernel runs on a fifth of the draws, each used five times: closing errs far more by model than by sampling.
SHARE = 5
NODES = 65
COVER_DENSITY = 1300.0
COVER_RADIUS_SHARE = 0.6


@dataclass(frozen=True)
class Load:
    """What the jaws must carry when they rise: cover [m] and whether they stand in water."""

    cover: float = 0.0
    water: bool = False


@dataclass(frozen=True)
class Run:
    """Closing over draws of the trap, and the factor on its time for what the motion leaves out; shape (few,)."""

    closing: Closing
    time_factor: Floats

    def time_to_height(self, height: float) -> Floats:
        """Time [s] until the bars stand `height` [m] over the hinge line."""
        return np.asarray(self.closing.time_to_height(height) * self.time_factor)


def readings_of(knowledge: TrapKnowledge) -> tuple[Reading, ...]:
    """All readings of a trap: those of the bench, and stated figures that are readings too."""
    return (*stated(dict(knowledge.stated), trap_tables.reading_errors()), *knowledge.readings)


def priors_of(knowledge: TrapKnowledge) -> dict[str, Any]:
    """Priors of a trap: its pattern's, with what the book states and no reading stands for."""
    return {**trap_tables.priors(knowledge.key), **not_read(dict(knowledge.stated))}


def posterior_of_trap(knowledge: TrapKnowledge) -> Posterior:
    """What is known of a trap after all its readings."""
    return posterior_of(unknowns_of(knowledge.base, priors_of(knowledge)), readings_of(knowledge))


def normals_of(draws: Draws, unknowns: Unknowns) -> Floats:
    """Normal draws of every unknown, shape (n, size); traps that share an unknown share its draws."""
    return np.stack([draws.normal(f"trap.{name}") for name in unknowns.names], axis=-1)


def changed(unknowns: Unknowns, rig_trap: TrapRig) -> Unknowns:
    """The same unknowns on a trap whose jaws or springs were changed after it was read."""
    return replace(unknowns, base=rig_trap.dimensions)


def design(context: Context, rig_trap: TrapRig) -> Design:
    """Draws of a trap, shape (n,), as its readings leave it."""
    known = rig_trap.knowledge

    def scores() -> tuple[Unknowns, Floats]:
        posterior = posterior_of_trap(known)
        return posterior.unknowns, posterior.scores(normals_of(context.shared, posterior.unknowns))

    def make() -> Design:
        unknowns, drawn = context.line_kept.get(("scores", known), scores)
        return design_of(changed(unknowns, rig_trap), drawn)

    return context.line_kept.get(("design", known, rig_trap.dimensions), make)


def few_of(context: Context, rig_trap: TrapRig) -> Design:
    """Every fifth of those draws, shape (few,), for what takes long."""

    def make() -> Design:
        whole = design(context, rig_trap)
        return _some(whole, slice(SHARE // 2, SHARE * few(context), SHARE))

    return context.line_kept.get(("few", rig_trap.knowledge, rig_trap.dimensions), make)


def _some(whole: Design, rows: slice) -> Design:
    """Some draws of a design."""

    def cut(record: Any) -> Any:
        return replace(
            record,
            **{name: value[rows] for name, value in vars(record).items() if np.ndim(value) == 1 and len(value) > 1},
        )

    some: Design = replace(cut(whole), dimensions=cut(whole.dimensions), trap=cut(whole.trap))
    return some


def few(context: Context) -> int:
    """Number of draws that the kernel runs on."""
    return max(2, context.n // SHARE)


def spread_out(context: Context, few_draws: Floats) -> Floats:
    """Repeat draws of the kernel over all draws, in a fixed shuffled order, shape (n,)."""
    pick = np.floor(context.shared.uniform("mechanics") * few_draws.shape[0]).astype(int)
    return np.asarray(few_draws[pick])


def trap_of(context: Context, rig_trap: TrapRig) -> Trap:
    """Parameters of a trap by its figures as they stand, kept by its dimensions."""
    return context.line_kept.get(("trap", rig_trap.dimensions), lambda: build(rig_trap.dimensions))


def closing(context: Context, rig_trap: TrapRig, load: Load) -> Run:
    """Closing of the trap over draws of it, shape (few,)."""

    def make() -> Run:
        drawn = few_of(context, rig_trap)
        inertia: ArrayLike = 0.0
        drag: ArrayLike = 0.0
        if load.water:
            inertia, drag = water_terms(drawn.trap)
        half_disc = np.pi * (0.5 * rig_trap.spread.number) ** 2 / 2.0
        run = close(
            drawn.trap,
            friction=drawn.friction,
            cover_mass=half_disc * load.cover * COVER_DENSITY,
            cover_radius=COVER_RADIUS_SHARE * 0.5 * rig_trap.spread.number,
            added_inertia=inertia,
            drag=drag,
            nodes=NODES,
        )
        return Run(run, drawn.time_factor)

    return context.line_kept.get(("close", rig_trap.knowledge, rig_trap.dimensions, load), make)


def grip(context: Context, rig_trap: TrapRig, limb: Floats) -> Clamp:
    """Clamp interval on limbs of thickness `limb` [m], shape (n,), over draws of the trap."""
    drawn = design(context, rig_trap)
    return clamp(drawn.trap, friction=drawn.friction, limb=limb, margin_to_lock=False)


def torque_when_set(context: Context, rig_trap: TrapRig) -> Floats:
    """Torque that lifts one jaw out of the set position [N m], shape (n,)."""

    def make() -> Floats:
        drawn = design(context, rig_trap)
        return np.asarray(np.broadcast_to(set_torque(drawn.trap, friction=drawn.friction), (context.n,)))

    return context.line_kept.get(("torque", rig_trap.knowledge, rig_trap.dimensions), make)
