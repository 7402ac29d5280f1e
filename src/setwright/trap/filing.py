"""How much to file from the notch of a pan, when to stop, and what is the bolt's work and not the file's."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from setwright.trap.model import Floats
from setwright.trap.pan import pan_travel, without_tension


@dataclass(frozen=True)
class Filing:
    """Answer of `filing`, each of the broadcast shape (n,).

    Parameters
    ----------
    wedge : [m]
        Steel to take from the high end of the notch's face, to nothing at the other, until it is square.
    shorten : [m]
        Overlap to take off for the travel that is wanted; zero where it is short enough.
    left : [m]
        Overlap that is left after that.
    travel, travel_after : [m]
        Way of the pan until it fires, now and after filing.
    short : [m]
        By how much the travel stays longer than wanted, since no more may be filed; zero where it is reached.
    notch_now, notch_after : [N]
        Trip force that notch and springs hold by themselves, the bolt slack: now, and with the face square.

    """

    wedge: Floats
    shorten: Floats
    left: Floats
    travel: Floats
    travel_after: Floats
    short: Floats
    notch_now: Floats
    notch_after: Floats


def filing(
    overlap: ArrayLike,
    *,
    rake: ArrayLike,
    notch: ArrayLike,
    notch_arm: ArrayLike,
    notch_friction: ArrayLike,
    pan_radius: ArrayLike,
    wanted_travel: ArrayLike,
    least_overlap: ArrayLike,
) -> Filing:
    """What a file has to take from a notch, and what it must leave.

    Parameters
    ----------
    overlap : float or array [m]
        By how much the dog reaches into the notch.
    rake : float or array [rad]
        Of the notch; negative lets the dog slip out. A face with a rake of zero or more is left as it is.
    notch : float or array [N]
        Force on the notch.
    notch_arm, pan_radius : float or array [m]
        Pivot of the pan to the notch, and to where the foot presses.
    notch_friction : float or array [-]
        In the notch.
    wanted_travel : float or array [m]
        Way of the pan that is wanted; infinite when any will do.
    least_overlap : float or array [m]
        Below it the edge wears through: nothing more may be taken off.

    Notes
    -----
    Wedge o tan|γ| over the overlap o; overlap for a travel s: s e/r_p. Steel that is off cannot be put back, so the
    least overlap goes before the travel; what is shorter than that already is left as it is.

    """
    over, gamma, arm, radius, wanted, least = np.broadcast_arrays(
        *(
            np.asarray(value, dtype=float)
            for value in (overlap, rake, notch_arm, pan_radius, wanted_travel, least_overlap)
        )
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        wedge = np.where(gamma < 0.0, over * np.tan(-gamma), 0.0)
        asked = np.minimum(wanted * arm / radius, over)
        left = np.minimum(np.maximum(asked, least), over)
    travel = pan_travel(over, notch_arm=arm, pan_radius=radius)
    after = pan_travel(left, notch_arm=arm, pan_radius=radius)
    now = without_tension(
        notch, notch_arm=arm, notch_friction=notch_friction, pan_radius=radius, rake=gamma
    ).force  # fmt: skip
    square = without_tension(
        notch, notch_arm=arm, notch_friction=notch_friction, pan_radius=radius, rake=np.maximum(gamma, 0.0)
    ).force  # fmt: skip
    return Filing(
        wedge=wedge, shorten=over - left, left=left, travel=travel, travel_after=after,
        short=np.maximum(after - wanted, 0.0), notch_now=now, notch_after=square,
    )  # fmt: skip


def bolt_share(force: ArrayLike, notch_alone: ArrayLike) -> Floats:
    """Share of a trip force that is the bolt's work [-], from what the notch holds by itself.

    Parameters
    ----------
    force : float or array [N]
        Trip force that was read.
    notch_alone : float or array [N]
        Trip force with the bolt slack (`filing`).

    Returns
    -------
    array [-]
        1 − notch/force, not below 0; NaN where the force is not positive.

    """
    read, alone = np.asarray(force, dtype=float), np.asarray(notch_alone, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(np.where(read > 0.0, np.maximum(1.0 - alone / read, 0.0), np.nan))


def friction_for(force: ArrayLike, *, notch: ArrayLike, notch_arm: ArrayLike, pan_radius: ArrayLike) -> Floats:
    """Friction in a square notch at which it alone trips at a force [-].

    Parameters
    ----------
    force : float or array [N]
        Trip force that is wanted.
    notch : float or array [N]
        Force on the notch.
    notch_arm, pan_radius : float or array [m]
        Pivot of the pan to the notch, and to where the foot presses.

    Notes
    -----
    μ = F r_p/(R e), the balance of moments with a slack bolt and no rake.

    """
    wanted, load, arm, radius = (np.asarray(value, dtype=float) for value in (force, notch, notch_arm, pan_radius))
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.asarray(wanted * radius / (load * arm))
