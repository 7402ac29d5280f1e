"""A whole lunge: free run, push of the feet, body and anchor stiffness, shock spring with an end to its stroke."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.pull import run_up_speed, series

Floats = NDArray[np.float64]
GRAVITY = 9.80665
# A system stiffer than this per kilogram of body is called rigid: bone and flesh are the soft part.
RIGID = 1.0e5


@dataclass(frozen=True, slots=True, eq=False)
class Lunge:
    """One lunge against the end of the chain, every part on its own.

    Parameters
    ----------
    speed : array [m/s]
        When the chain comes tight.
    steady : array [N]
        What the feet go on giving; the pull of a lunge without a run.
    taut, slack : array [N]
        Peak when the chain already carries the steady pull, and when it was slack and the feet work over the
        stretch; NaN where `rigid`.
    bottomed : array of bool
        True where the shock spring reached its stop in the slack reading.
    stored : array [J]
        Energy in the shock spring at that peak.
    rigid : array of bool
        True where nothing gives: momentum alone has no peak force, so none is stated.

    """

    speed: Floats
    steady: Floats
    taut: Floats
    slack: Floats
    bottomed: NDArray[np.bool_]
    stored: Floats
    rigid: NDArray[np.bool_]


def feet_push(mass: ArrayLike, acceleration: ArrayLike, traction: ArrayLike = np.inf) -> Floats:
    """Push of the feet along the ground.

    Parameters
    ----------
    mass : float or array [kg]
        Body mass.
    acceleration : float or array [m/s²]
        What the animal would give on good ground.
    traction : float or array [-]
        Friction over weight; 0.6-1.0 turf, 0.3 snow (assumed). Infinity: claws hold.

    Returns
    -------
    array [N]
        m · min(a, μ g).

    """
    grip = np.asarray(traction, dtype=float) * GRAVITY
    return np.asarray(np.asarray(mass, dtype=float) * np.minimum(np.asarray(acceleration, dtype=float), grip))


def free_run(chain_length: ArrayLike, runs: ArrayLike = 1.0, taken: ArrayLike = 0.0) -> Floats:
    """Free run before the chain comes tight.

    Parameters
    ----------
    chain_length : float or array [m]
        Chain from the turning point of the anchor to the trap.
    runs : float or array [-]
        1 from the anchor outwards (typical), 2 from side to side (hard); assumed.
    taken : float or array [m]
        Chain that is wound round the stake or buried and does not run.

    Returns
    -------
    array [m]
        runs · (length − taken); 0 when all of it is taken.

    """
    left = np.asarray(chain_length, dtype=float) - np.asarray(taken, dtype=float)
    return np.asarray(np.asarray(runs, dtype=float) * np.where(left > 0.0, left, 0.0))


def peak_through(
    energy: ArrayLike,
    push: ArrayLike,
    stiffness: ArrayLike,
    spring_rate: ArrayLike = np.inf,
    stroke: ArrayLike = 0.0,
    preload: ArrayLike = 0.0,
) -> tuple[Floats, NDArray[np.bool_], Floats]:
    """Peak force that takes up an energy while a push goes on, through a spring in three pieces.

    Parameters
    ----------
    energy : float or array [J]
        Of motion when all is just tight.
    push : float or array [N]
        Held over the stretch.
    stiffness : float or array [N/m]
        Body, chain and anchor in series.
    spring_rate, stroke, preload : float or array [N/m], [m], [N]
        Shock spring: closed below its preload, then its rate, then solid after its stroke. A stroke of 0 is no
        spring.

    Returns
    -------
    tuple of array
        Peak force [N], true where the spring is solid, energy in the spring [J].

    Notes
    -----
    With E the energy, F the push, k the stiffness, r the rate, d the stroke and P the preload: closed
    S = F + √(F² + 2 k E); moving S = F + √(F² + k_c (2E + P²/r − 2FP/r)), 1/k_c = 1/k + 1/r; solid
    S = F + √(F² + k (2E + 2Fd − 2Pd − r d²)). Friction inside the spring, which would help, is left out.

    References
    ----------
    Energy balance (derived).

    """
    e, f, k, r, d, p = (
        np.asarray(part, dtype=float) for part in (energy, push, stiffness, spring_rate, stroke, preload)
    )
    has = (d > 0.0) & np.isfinite(r)
    rate, travel = np.where(has, r, 1.0), np.where(has, d, 0.0)
    closed = f + np.sqrt(f**2 + 2.0 * k * e)
    both = series(k, rate)
    moving = f + np.sqrt(np.maximum(f**2 + both * (2.0 * e + (p - 2.0 * f) * p / rate), 0.0))
    solid = f + np.sqrt(np.maximum(f**2 + k * (2.0 * e + 2.0 * (f - p) * travel - rate * travel**2), 0.0))
    shut = ~has | (closed <= p)
    bottomed = ~shut & (moving > p + rate * travel)
    force = np.where(shut, closed, np.where(bottomed, solid, moving))
    stretch = np.where(shut, 0.0, np.where(bottomed, travel, (moving - p) / rate))
    return np.asarray(force), np.asarray(bottomed), np.asarray(p * stretch + 0.5 * rate * stretch**2)


def peak_over_steady(
    energy: ArrayLike,
    push: ArrayLike,
    stiffness: ArrayLike,
    spring_rate: ArrayLike = np.inf,
    stroke: ArrayLike = 0.0,
    preload: ArrayLike = 0.0,
) -> Floats:
    """Peak force when all in series already hangs in the steady pull and the energy comes on top.

    Parameters
    ----------
    energy, push, stiffness, spring_rate, stroke, preload : float or array
        As in `peak_through`.

    Returns
    -------
    array [N]
        With no shock spring F + √(2 k E), with E = m v²/2 the form F + v √(k m). A spring that the steady pull
        alone has drawn to its stop gives nothing more.

    References
    ----------
    Energy balance about the rest position under the push (derived).

    """
    e, f, k, r, d, p = (
        np.asarray(part, dtype=float) for part in (energy, push, stiffness, spring_rate, stroke, preload)
    )
    has = (d > 0.0) & np.isfinite(r)
    rate, travel = np.where(has, r, 1.0), np.where(has, d, 0.0)
    drawn = np.minimum(np.maximum(f - p, 0.0) / rate, travel)
    # About the rest position the push is balanced: what is left is the same three pieces without a push.
    force, _, _ = peak_through(e, 0.0, k, np.where(has, r, np.inf), travel - drawn, np.maximum(p - f, 0.0))
    return np.asarray(f + force)


def lunge(
    mass: ArrayLike,
    acceleration: ArrayLike,
    run: ArrayLike,
    top_speed: ArrayLike,
    stiffness: ArrayLike,
    *,
    traction: ArrayLike = np.inf,
    spring_rate: ArrayLike = np.inf,
    stroke: ArrayLike = 0.0,
    preload: ArrayLike = 0.0,
) -> Lunge:
    """One lunge from standing to the end of the chain.

    Parameters
    ----------
    mass, acceleration, run, top_speed : float or array [kg], [m/s²], [m], [m/s]
        As in `peak_pull` and `run_up_speed`.
    stiffness : float or array [N/m]
        Body, chain and anchor in series, without the shock spring.
    traction : float or array [-]
        Friction over weight, as in `feet_push`.
    spring_rate, stroke, preload : float or array [N/m], [m], [N]
        Shock spring, as in `peak_through`.

    Returns
    -------
    Lunge
        Both readings of the event. They differ by up to once the steady pull; keep to one in a comparison.

    Notes
    -----
    A rigid chain on a rigid body is refused (`rigid`): momentum gives an impulse, and no force without a time.
    Never a measure of injury.

    References
    ----------
    Energy balance (derived). Steady pull and run-up: assumed, see the why-page.

    """
    body = np.asarray(mass, dtype=float)
    push = feet_push(body, acceleration, traction)
    speed = run_up_speed(push / body, run, top_speed)
    energy = 0.5 * body * speed**2
    k = np.asarray(stiffness, dtype=float)
    rigid = np.asarray(~(k < RIGID * body))
    soft = np.where(rigid, 1.0, k)
    slack, bottomed, stored = peak_through(energy, push, soft, spring_rate, stroke, preload)
    taut = peak_over_steady(energy, push, soft, spring_rate, stroke, preload)
    shape = np.broadcast_shapes(slack.shape, rigid.shape, taut.shape)
    return Lunge(
        speed=np.broadcast_to(speed, shape),
        steady=np.broadcast_to(push, shape),
        taut=np.asarray(np.where(rigid, np.nan, taut)),
        slack=np.asarray(np.where(rigid, np.nan, slack)),
        bottomed=np.asarray(bottomed & ~rigid),
        stored=np.asarray(np.where(rigid, np.nan, stored)),
        rigid=np.broadcast_to(rigid, shape),
    )
