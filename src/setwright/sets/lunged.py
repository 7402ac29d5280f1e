"""How hard a held animal pulls on this rig: one whole lunge, on land or swimming, through a shock spring."""

from __future__ import annotations

import numpy as np

from setwright.animal.lunge import free_run, peak_through
from setwright.animal.lunge_water import moved_mass, swim_speed
from setwright.animal.model import Species
from setwright.animal.pull import body_stiffness, run_up_speed, series
from setwright.sets.context import Context, Floats
from setwright.sets.model import Chain, Rig

# Where no figure of the animal is known (assumed): a hard start [m/s²] and the speed that caps the run-up [m/s].
HARD_START, TOP_SPEED = 6.0, 8.0
NO_CHAIN = 0.3
# Animals whose figures of speed and start are those of swimming.
SWIMS = ("beaver", "nutria", "muskrat", "river_otter")


def start(context: Context, species: Species) -> Floats:
    """Acceleration of a typical lunge [m/s²], shape (n,)."""
    hard = species.acceleration.number if species.acceleration.known else HARD_START
    return np.asarray(hard * context.own_figure("lunge_share"))


def top_speed(species: Species) -> float:
    """Speed that caps its run-up [m/s]."""
    return species.speed.number if species.speed.known else TOP_SPEED


def chain_length(context: Context, chain: Chain | None) -> Floats:
    """Draws of the length of the chain [m], shape (n,)."""
    if chain is None:
        return np.full(context.n, NO_CHAIN)
    return context.drawn("chain", chain.length.with_spread(0.03))


def shock_of(context: Context, chain: Chain | None) -> tuple[Floats | float, Floats | float, float]:
    """Rate [N/m], stroke [m] and preload [N] of the shock spring; a stroke of 0 is none."""
    found = False if chain is None else chain.shock_spring
    if found is False:
        return np.inf, 0.0, 0.0
    if found is True:
        return context.own_figure("shock_rate"), context.own_figure("shock_stroke"), 0.0
    return context.drawn("shock rate", found.rate), context.drawn("shock stroke", found.stroke), found.preload


def pull(context: Context, rig: Rig, species: Species, head_stiffness: Floats) -> Floats:
    """Median peak pull of one typical lunge [N], shape (n,).

    A free run of one chain length, its speed capped; then the energy goes into body and anchor in series while the
    feet work on, through the shock spring until that is solid. A swimming animal moves some water with it and is held
    back by drag as it gathers way.
    """
    mass, acceleration = context.mass(species), start(context, species)
    run, top = free_run(chain_length(context, rig.chain)), top_speed(species)
    push, moved = mass * acceleration, mass
    if context.site.medium == "water" and species.key in SWIMS:
        moved = moved_mass(mass, context.own_figure("entrained"))
        speed = swim_speed(push / moved, run, top)
    else:
        speed = run_up_speed(acceleration, run, top)
    stiffness = series(body_stiffness(mass) * context.own_figure("body_factor"), head_stiffness)
    force, _, _ = peak_through(0.5 * moved * speed**2, push, stiffness, *shock_of(context, rig.chain))
    return np.asarray(force)
