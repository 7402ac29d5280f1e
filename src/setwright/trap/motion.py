"""What became of a closing: the states, and the motion that was found."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap.model import Floats

CLOSES = 0
STALLS = 1
LEVER_PAST_VERTICAL = 2
SPRING_SPENT = 3
NO_CLEARANCE = 4
LIMB_TOO_THICK = 5
NOT_KNOWN = 6
NOT_RESOLVED = 7
STATE_NAMES = (
    "closes", "stalls", "lever past vertical", "spring spent", "no clearance", "limb too thick", "not known",
    "not resolved",
)  # fmt: skip


def pick(values: Floats, index: NDArray[np.int_]) -> Floats:
    """Value of every row at its own index of the last axis."""
    return np.asarray(np.take_along_axis(values, index[..., None], axis=-1)[..., 0])


@dataclass(frozen=True)
class Closing:
    """Answer of `close`, each of the broadcast shape (n,), NaN where the jaws do not close.

    Parameters
    ----------
    time, angle, rate : [s], [rad], [rad/s]
        At the first meeting of faces, or of face and limb: time since release, jaw angle, jaw rate.
    tip_speed : [m/s]
        Of the gripping bar, H ω.
    jaw_energy, loop_energy : [J]
        Both jaws at the meeting; all loops when they seat, later than the jaws and without friction.
    loop_time : [s]
        Since release, when the loops seat, or come to the end of their springs on the way; the time itself where
        the jaws never leave them.
    momentum : [N s]
        Of one jaw at its bar, J ω/H, without what it carries; for comparing set-ups only.
    separation_angle, separation_time : [rad], [s]
        Jaw angle at which the jaws run ahead of the loop, and when; NaN when they never do.
    recontact : bool
        True where the loop would catch up with the jaws before they meet; the time is then too long.
    angles, times : shape (n, nodes), [rad], [s]
        The motion itself.
    state : int
        Code; `STATE_NAMES` has the words.
    height : [m]
        Hinge to gripping bar.

    """

    time: Floats
    angle: Floats
    rate: Floats
    tip_speed: Floats
    jaw_energy: Floats
    loop_energy: Floats
    loop_time: Floats
    momentum: Floats
    separation_angle: Floats
    separation_time: Floats
    recontact: NDArray[np.bool_]
    angles: Floats
    times: Floats
    state: NDArray[np.int_]
    height: Floats

    def time_to_height(self, height: ArrayLike) -> Floats:
        """Time [s] until the gripping bars stand `height` [m] over the hinge line, NaN when they never do.

        Parameters
        ----------
        height : float or array [m]
            H sin θ; broadcasts with the designs.

        """
        wanted, bar = np.broadcast_arrays(np.asarray(height, dtype=float), self.height)
        shape = np.broadcast_shapes(wanted.shape, self.time.shape)
        with np.errstate(invalid="ignore"):
            target = np.broadcast_to(np.arcsin(wanted / bar), shape)
            reached = np.broadcast_to(target <= self.angle, shape)
        angles = np.broadcast_to(self.angles, (*shape, self.angles.shape[-1]))
        times = np.broadcast_to(self.times, angles.shape)
        with np.errstate(invalid="ignore"):
            index = np.clip(np.sum(angles < target[..., None], axis=-1), 1, angles.shape[-1] - 1)
        # Time grows with the root of the angle at first: interpolate in that root.
        start = angles[..., 0]
        right = np.sqrt(pick(angles, index) - start)
        left = np.sqrt(pick(angles, index - 1) - start)
        with np.errstate(invalid="ignore"):
            here = np.sqrt(np.maximum(target - start, 0.0))
        width = right - left
        share = np.divide(here - left, width, out=np.zeros_like(here), where=width > 0)
        low, high = pick(times, index - 1), pick(times, index)
        return np.where(reached, low + np.clip(share, 0.0, 1.0) * (high - low), np.nan)
