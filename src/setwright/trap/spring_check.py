"""Whether a spring stands what its set position asks of it, and how much it has weakened."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.trap import springs
from setwright.trap.model import STEEL_MODULUS, Floats

CANNOT_TELL, SOUND, TAKES_A_SET, OVERSTRESSED = range(4)
STATES = ("cannot tell", "sound", "takes a set", "overstressed")

USUAL_INDEX = (4.0, 12.0)
# Yield of cold-drawn wire in bending over its tensile strength; the second once it was wound up beyond yield.
YIELD_SHARE = 0.78
SET_REMOVED_SHARE = 1.0
# Points of the normal curve between which nine of ten lie.
NINE_OF_TEN = 1.6448536269514722


@dataclass(frozen=True)
class SpringCheck:
    """Answer of `check_coil` and `check_leaf`, each of the broadcast shape (n,).

    Parameters
    ----------
    rate : [N m/rad] or [N/m]
        Of one coil, or of one leaf from eye to eye.
    stress : [Pa]
        At the inner fibre of the coil, or in the bend of the leaf, when set.
    share : [-]
        That stress over the tensile strength; NaN where the strength is not known.
    spring_index : [-]
        Mean coil diameter over wire diameter; NaN for a leaf.
    usual_index : bool
        Index within 4 to 12; False for a leaf, which has none.
    post_clearance : [m]
        Inside of the wound coil over the post; negative where it binds, NaN where the post was not measured.
    loss_low, loss_high : [-]
        Band of the share of force that a season in the set position takes, by relaxation.
    state : int
        `CANNOT_TELL`, `SOUND`, `TAKES_A_SET` or `OVERSTRESSED`; `STATES` has the words.

    """

    rate: Floats
    stress: Floats
    share: Floats
    spring_index: Floats
    usual_index: NDArray[np.bool_]
    post_clearance: Floats
    loss_low: Floats
    loss_high: Floats
    state: NDArray[np.int_]


@dataclass(frozen=True)
class Health:
    """Answer of `health` and `loss_per_season`: a middle and a 90 % band [-].

    Parameters
    ----------
    middle, low, high : [-]
        Rate now over rate new; or share of the rate that a season takes, negative where it grew.

    """

    middle: Floats
    low: Floats
    high: Floats


def check_coil(
    wire_diameter: ArrayLike,
    coil_diameter: ArrayLike,
    body_turns: ArrayLike,
    moment: ArrayLike,
    *,
    end_lengths: ArrayLike = 0.05,
    strength: ArrayLike | None = None,
    set_removed: bool | None = None,
    yield_share: ArrayLike = YIELD_SHARE,
    set_removed_share: ArrayLike = SET_REMOVED_SHARE,
    relaxation: tuple[float, float] = (0.01, 0.10),
    post_diameter: ArrayLike = np.nan,
    modulus: ArrayLike = STEEL_MODULUS,
) -> SpringCheck:
    """Stress, index, set and loss of a torsion coil under its moment when set.

    Parameters
    ----------
    wire_diameter, coil_diameter : float or array [m]
        Wire d and mean coil diameter D.
    body_turns : float or array [-]
        Turns of the body.
    moment : float or array [N m]
        On one coil when the trap is set.
    end_lengths : float or array [m]
        Both straight ends together.
    strength : float or array [Pa], optional
        Tensile strength; that of music wire of this diameter when None.
    set_removed : bool, optional
        True for a coil that was once wound up beyond yield, as those of traps usually are; not known when None.
    yield_share, set_removed_share : float or array [-]
        Yield in bending over tensile strength, without and with that.
    relaxation : tuple of float [-]
        Band of the loss of force over a season kept set, at the stress of yield.
    post_diameter : float or array [m]
        Post that the coil sits on; NaN when not measured.
    modulus : float or array [Pa]
        Young's modulus.

    Returns
    -------
    SpringCheck
        Below `yield_share` sound; between the two shares a set coil takes a further set unless its set was removed,
        and without knowing which, the answer is cannot tell; above `set_removed_share` overstressed.

    Notes
    -----
    σ = K_i 32 M/(π d³), C = D/d, share = σ/S_ut. Loss is taken in proportion to the share. Inside diameter by
    `wound_inside_diameter`, with the turns of the body alone.

    Doubts: wire of unknown make may be weaker than music wire; rust pits are not in it; relaxation is assumed.

    References
    ----------
    Budynas & Nisbett, *Shigley's Mechanical Engineering Design*, springs (memory; 0.78 stands among the inputs of a
    public worked file of its torsion example). Share with favourable residual stress: spring makers' tables
    (memory). Index of 4 to 12: common practice. Band of the relaxation: assumed, see `stock.csv`.

    """
    wire, coil, body, load = (
        np.asarray(value, dtype=float) for value in (wire_diameter, coil_diameter, body_turns, moment)
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        index = coil / wire
        ultimate = springs.wire_strength(wire) if strength is None else np.asarray(strength, dtype=float)
        active = springs.active_turns(body, coil, end_lengths)
        rate = springs.coil_rate(wire, coil, active, modulus=modulus) / (2.0 * np.pi)
        stress = np.where(index > 1.0, springs.coil_stress(load, wire, coil), np.nan)
        turned = load / rate / (2.0 * np.pi) * body / active
        inside = springs.wound_inside_diameter(coil, wire, body, turned)
    return _checked(
        rate, stress, ultimate, index, inside - np.asarray(post_diameter, dtype=float),
        set_removed, yield_share, set_removed_share, relaxation,
    )  # fmt: skip


def check_leaf(
    width: ArrayLike,
    thickness: ArrayLike,
    arm: ArrayLike,
    bend: ArrayLike,
    force: ArrayLike,
    *,
    taper: ArrayLike = 1.5,
    strength: ArrayLike = np.nan,
    set_removed: bool | None = None,
    yield_share: ArrayLike = 0.85,
    set_removed_share: ArrayLike = SET_REMOVED_SHARE,
    relaxation: tuple[float, float] = (0.005, 0.08),
    modulus: ArrayLike = STEEL_MODULUS,
) -> SpringCheck:
    """Stress, set and loss of a long-spring under its force when set.

    Parameters
    ----------
    width, thickness : float or array [m]
        Section of the leaf at the bend.
    arm, bend : float or array [m]
        Length of one arm and radius of the bend.
    force : float or array [N]
        At the eye when the trap is set.
    taper : float or array [-]
        1 for arms of even section, 1.5 when they taper to even stress.
    strength : float or array [Pa]
        Tensile strength of the leaf; NaN when its hardness is not known, and then nothing is said.
    set_removed : bool, optional
        True for a leaf that was once pressed beyond yield; not known when None.
    yield_share, set_removed_share, relaxation : float or array [-]
        As for `check_coil`; chosen for hardened and tempered flat steel.
    modulus : float or array [Pa]
        Young's modulus.

    Returns
    -------
    SpringCheck
        Index and post are NaN.

    Notes
    -----
    σ = 6 F (ℓ + R)/(b t²), a straight beam's stress in the bend; curvature raises it by about t/(3 R).

    """
    stress = springs.leaf_stress(force, width, thickness, arm, bend)
    rate = springs.leaf_rate(width, thickness, arm, bend, taper=taper, modulus=modulus)
    nothing = np.full(np.shape(stress), np.nan)
    return _checked(
        rate, stress, np.asarray(strength, dtype=float), nothing, nothing,
        set_removed, yield_share, set_removed_share, relaxation,
    )  # fmt: skip


def _checked(
    rate: Floats,
    stress: Floats,
    strength: Floats,
    index: Floats,
    clearance: Floats,
    set_removed: bool | None,
    yield_share: ArrayLike,
    set_removed_share: ArrayLike,
    relaxation: tuple[float, float],
) -> SpringCheck:
    yields, breaks = np.asarray(yield_share, dtype=float), np.asarray(set_removed_share, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = stress / strength
        between = {None: CANNOT_TELL, True: SOUND, False: TAKES_A_SET}[set_removed]
        state = np.select(
            [share > breaks, share > yields, share <= yields], [OVERSTRESSED, between, SOUND], CANNOT_TELL
        )  # fmt: skip
        usual = (index >= USUAL_INDEX[0]) & (index <= USUAL_INDEX[1])
        low, high = (bound * share / yields for bound in relaxation)
    shape = np.broadcast_shapes(rate.shape, share.shape, index.shape, clearance.shape, state.shape, low.shape)

    def whole(value: NDArray[np.generic]) -> NDArray[np.generic]:
        return np.broadcast_to(value, shape).copy()

    numbers = [np.asarray(whole(value), dtype=float) for value in (rate, stress, share, index, clearance, low, high)]
    return SpringCheck(
        rate=numbers[0], stress=numbers[1], share=numbers[2], spring_index=numbers[3],
        usual_index=np.asarray(whole(usual), dtype=bool), post_clearance=numbers[4], loss_low=numbers[5],
        loss_high=numbers[6], state=np.asarray(whole(state), dtype=int),
    )  # fmt: skip


def agreed(states: ArrayLike) -> NDArray[np.int_]:
    """One state from those at the ends of a band.

    Parameters
    ----------
    states : array (..., m) of int
        States of one spring along the last axis, such as those for the low, the usual and the high strength.

    Returns
    -------
    array of int
        The state where all agree, `CANNOT_TELL` where they do not.

    """
    table = np.atleast_1d(np.asarray(states, dtype=int))
    same = (table == table[..., :1]).all(axis=-1)
    return np.asarray(np.where(same, table[..., 0], CANNOT_TELL), dtype=int)


def health(rate_now: ArrayLike, rate_new: ArrayLike, *, sd_now: ArrayLike, sd_new: ArrayLike) -> Health:
    """Rate now over rate when new, with its 90 % band from both readings.

    Parameters
    ----------
    rate_now, rate_new : float or array [any unit of rate]
        Measured alike.
    sd_now, sd_new : float or array [the same unit]
        Their standard deviations.

    Returns
    -------
    Health
        NaN where a rate is not positive or not known.

    Notes
    -----
    Readings as lognormal: band exp(±1.645 √((s/k)²_now + (s/k)²_new)) about the ratio. Good to spreads of about
    a fifth.

    """
    now, new = np.asarray(rate_now, dtype=float), np.asarray(rate_new, dtype=float)
    with np.errstate(invalid="ignore", divide="ignore"):
        good = (now > 0.0) & (new > 0.0)
        ratio = np.where(good, now / new, np.nan)
        spread = np.hypot(np.asarray(sd_now, dtype=float) / now, np.asarray(sd_new, dtype=float) / new)
        wide = np.exp(NINE_OF_TEN * spread)
    return Health(middle=ratio, low=ratio / wide, high=ratio * wide)


def loss_per_season(days: ArrayLike, rates: ArrayLike, sds: ArrayLike, *, season_days: float = 365.0) -> Health:
    """Share of its rate that a spring loses from season to season, by dated readings.

    Parameters
    ----------
    days : array (n,) [d]
        Days of the readings, from any day on.
    rates, sds : array (n,) [any unit of rate]
        Measured rates and their standard deviations.
    season_days : float [d]
        From one season to the next.

    Returns
    -------
    Health
        Positive for a loss; NaN with fewer than two days, or where a rate or its spread is not positive.

    Notes
    -----
    Weighted straight line through the logarithms of the rates, spreads taken as known; the loss is
    1 − exp(slope × season).

    """
    when, rate, spread = (np.atleast_1d(np.asarray(value, dtype=float)) for value in (days, rates, sds))
    nothing = Health(*(np.asarray(np.nan) for _ in range(3)))
    if not (np.isfinite(when).all() and (rate > 0.0).all() and (spread > 0.0).all()):
        return nothing
    weight = np.broadcast_to((rate / spread) ** 2, rate.shape)
    centred = when - float(np.average(when, weights=weight))
    squares = float(np.sum(weight * centred**2))
    if squares == 0.0:
        return nothing
    slope = float(np.sum(weight * centred * np.log(rate))) / squares
    half = NINE_OF_TEN / np.sqrt(squares)
    losses = [np.asarray(-np.expm1((slope + side * half) * season_days)) for side in (0.0, 1.0, -1.0)]
    return Health(middle=losses[0], low=losses[1], high=losses[2])
