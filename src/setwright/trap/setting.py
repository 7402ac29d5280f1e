"""How hard it is to set a trap: the force on each lever or spring, and who can press it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.loop import EDGE, limb_angle, loop_at, upright_angle
from setwright.trap.model import GRAVITY, LONG, SLOT, Floats, Trap
from setwright.trap.springs import spring_effort

CANNOT_TELL, CAN, CANNOT = range(3)
ANSWERS = ("cannot tell", "can", "cannot")
_NODES = 121


@dataclass(frozen=True)
class SettingForce:
    """Answer of `setting_force`, each of the broadcast shape (n,) unless said otherwise.

    Parameters
    ----------
    hand : [N]
        Greatest force on one lever or spring, square to it at the press point.
    hand_at : [rad] or [m]
        Loop coordinate (lever angle, height of the eye) at which that is needed.
    setters : [N]
        Greatest force on the handles of one setter.
    foot : [N]
        Greatest force straight down on one lever or spring.
    foot_at : [rad] or [m]
        Loop coordinate at which that is needed.
    together : [N]
        Straight down on all that must go down at once: both levers of a coil-spring, one long-spring.
    work : [J]
        Put into one lever or spring from closed to set.
    coordinate, force : (n, nodes)
        Way from closed to set, and the square force along it.

    """

    hand: Floats
    hand_at: Floats
    setters: Floats
    foot: Floats
    foot_at: Floats
    together: Floats
    work: Floats
    coordinate: Floats
    force: Floats


@dataclass(frozen=True)
class CanSet:
    """Answer of `can_set`: `CAN`, `CANNOT` or `CANNOT_TELL` for each way; `ANSWERS` has the words.

    Parameters
    ----------
    hand, setters, foot : int
        Bare hands (one to a lever), a setter in each hand, and standing on it.
    body_share : [-]
        Share of the body mass that the feet must put on.

    """

    hand: NDArray[np.int_]
    setters: NDArray[np.int_]
    foot: NDArray[np.int_]
    body_share: Floats


def setting_force(
    trap: Trap,
    *,
    press_share: ArrayLike = 1.0,
    setter_ratio: ArrayLike = 6.0,
    rubbing: ArrayLike = 0.1,
    steepest: ArrayLike = np.pi / 3.0,
) -> SettingForce:
    """Force to press a lever or long-spring down, over the whole way from closed to set.

    Parameters
    ----------
    trap : Trap
        Parameters of one or n designs.
    press_share : float or array [-]
        Press point over the length of the lever from its pivot, or over the arm of the leaf from its bend; 1 at the
        eye.
    setter_ratio : float or array [-]
        Handle over jaw of a setter.
    rubbing : float or array [-]
        Friction of pivot, turns and eye over the effort of the spring.
    steepest : float or array [rad]
        A steeper lever is pushed over by hand before the foot takes it.

    Returns
    -------
    SettingForce
        NaN where the trap cannot be set so: the lever does not reach, or the eye does not clear the jaws.

    Notes
    -----
    Square to the lever F = T (1 + r)/(p L), straight down the same over cos φ, greatest over φ. A long-spring is
    pressed square and down alike; off its eye the force is taken as F ℓ/x, a stiff arm about the bend, which is too
    low: an even arm that bends all along takes 3.2 times the force half way, not twice. Both levers of a
    coil-spring must go down at once; long-springs go one after the other.

    Left out: the weight of the jaws, which helps by a few newtons. Doubts: rubbing of a rusted trap, and springs that
    were not measured. Care: keep hands outside the jaws and out from under the levers; a foot that slips lets both
    jaws go. Know how to free your own hand, with setters in reach, before you set.

    References
    ----------
    Balance of moments: derived. Ratio, rubbing and angle: assumed, see the table of working figures.

    """
    long = trap.family == LONG
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        upright = upright_angle(trap) - EDGE
        closed, down_there = loop_at(trap, np.fmin(limb_angle(trap, 0.0), upright)), loop_at(trap, trap.set_angle)
        reaches = (np.abs(down_there.lever_sine) < 1.0) & (upright > trap.set_angle)
        good = (trap.clearance > trap.loop_clearance) & reaches
        # Above its rest position a spring asks for nothing.
        start = np.minimum(closed.coordinate, trap.free_coordinate)
        lever = np.asarray(1.0 if long else trap.lever_length, dtype=float)
        if trap.eye == SLOT and not long:
            # The level distance is fixed there; the end of the set lever is where the jaws then stand in it.
            lever = lever / down_there.lever_cosine
        arm = np.asarray(press_share, dtype=float) * lever
        start, end, arm, rate, free, rub, steep, good = np.broadcast_arrays(
            start, down_there.coordinate, arm, trap.spring_rate, trap.free_coordinate, rubbing, steepest, good
        )
        way = start[..., None] + (end - start)[..., None] * np.linspace(0.0, 1.0, _NODES)
        pressed = spring_effort(rate[..., None], free[..., None], way) * (1.0 + rub[..., None])
        square = np.where(good[..., None], pressed / arm[..., None], np.nan)
        down = square
        if not long:
            flat = way <= steep[..., None]
            down = np.where(flat, square / np.cos(way), np.where(np.isnan(square), np.nan, 0.0))
        steps = 0.5 * (pressed[..., 1:] + pressed[..., :-1]) * -np.diff(way, axis=-1)
        work = np.where(good, np.sum(steps, axis=-1), np.nan)
    hand, hand_at = _greatest(square, way)
    foot, foot_at = _greatest(down, way)
    return SettingForce(
        hand=hand, hand_at=hand_at, setters=np.asarray(hand / np.asarray(setter_ratio, dtype=float)), foot=foot,
        foot_at=foot_at, together=np.asarray(foot * (1.0 if long else 2.0)), work=work, coordinate=way,
        force=square,
    )  # fmt: skip


def can_set(
    needed: SettingForce,
    *,
    strength: ArrayLike,
    body_mass: ArrayLike,
    doubt: ArrayLike = 0.3,
    foot_share: ArrayLike = 0.8,
) -> CanSet:
    """Whether a student of a stated strength can set the trap, by hand, with setters, by foot.

    Parameters
    ----------
    needed : SettingForce
        What the trap asks for.
    strength : float or array [N]
        What he can press with one hand.
    body_mass : float or array [kg]
        With clothes.
    doubt : float or array [-]
        Half the band of the force, over the force.
    foot_share : float or array [-]
        Share of the body weight that can be put on without losing balance.

    Returns
    -------
    CanSet
        `CAN` where the upper end of the force is within reach, `CANNOT` where even the lower end is not; between the
        two, and for what is not known, `CANNOT_TELL`.

    Notes
    -----
    A child works with a size that he can press. Whoever cannot free a hand from a trap does not set it alone.

    """
    reach, mass, spread = (np.asarray(value, dtype=float) for value in (strength, body_mass, doubt))
    weight = GRAVITY * mass
    with np.errstate(invalid="ignore", divide="ignore"):
        return CanSet(
            hand=_answer(needed.hand, reach, spread),
            setters=_answer(needed.setters, reach, spread),
            foot=_answer(needed.together, weight * np.asarray(foot_share, dtype=float), spread),
            body_share=np.asarray(needed.together / weight),
        )


def _answer(force: Floats, reach: Floats, spread: Floats) -> NDArray[np.int_]:
    able, unable = force * (1.0 + spread) <= reach, force * (1.0 - spread) > reach
    return np.asarray(np.select([able, unable], [CAN, CANNOT], CANNOT_TELL), dtype=int)


def _greatest(force: Floats, way: Floats) -> tuple[Floats, Floats]:
    """Greatest force along the way, and where; NaN where any of it is not known."""
    known = ~np.isnan(force).any(axis=-1)
    at = np.argmax(np.where(np.isnan(force), -np.inf, force), axis=-1)[..., None]
    found = (np.take_along_axis(force, at, axis=-1)[..., 0], np.take_along_axis(way, at, axis=-1)[..., 0])
    return np.where(known, found[0], np.nan), np.where(known, found[1], np.nan)
