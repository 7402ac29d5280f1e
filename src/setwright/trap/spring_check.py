"""Whether a spring stands what its set position asks of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.errors import OutOfRange
from setwright.trap import springs
from setwright.trap.model import COIL, STEEL_MODULUS, Dimensions, Floats, Number, Trap

CANNOT_TELL, SOUND, TAKES_A_SET, OVERSTRESSED = range(4)
STATES = ("cannot tell", "sound", "takes a set", "overstressed")

USUAL_INDEX = (4.0, 12.0)
# Yield of cold-drawn wire in bending over its tensile strength; the second once it was wound up beyond yield.
YIELD_SHARE = 0.78
SET_REMOVED_SHARE = 1.0


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


def check_springs(
    dimensions: Dimensions,
    trap: Trap,
    *,
    strength: ArrayLike | None = None,
    set_removed: bool | None = None,
    post_diameter: ArrayLike = np.nan,
) -> SpringCheck:
    """Check of the springs that a trap was built with, at its own set position.

    Parameters
    ----------
    dimensions : Dimensions
        Readings of one trap or of n designs.
    trap : Trap
        Built from them.
    strength : float or array [Pa], optional
        Tensile strength; music wire for a coil and not known for a leaf when None.
    set_removed : bool, optional
        True for springs that were once strained beyond yield; not known when None.
    post_diameter : float or array [m]
        Post of a coil; NaN when not measured.

    Raises
    ------
    OutOfRange
        When a reading of the family is missing.

    Notes
    -----
    The stress is that of the built trap. Unless rate and rest position were measured, it stands on the share of
    strength at which such coils are assumed to be set, and then tells nothing new of this trap.

    """
    d = dimensions
    if d.family == COIL:
        wire, coil = _read(d, "wire_diameter"), _read(d, "coil_diameter")
        return check_coil(
            wire, coil, d.coil_turns, springs.coil_moment(trap.set_stress, wire, coil),
            end_lengths=np.multiply(2.0, d.coil_leg), strength=strength, set_removed=set_removed,
            post_diameter=post_diameter,
        )  # fmt: skip
    width, thick = _read(d, "leaf_width"), _read(d, "leaf_thickness")
    arm, bend = _read(d, "leaf_arm"), _read(d, "leaf_bend")
    force = np.asarray(trap.set_stress, dtype=float) / springs.leaf_stress(1.0, width, thick, arm, bend)
    return check_leaf(
        width, thick, arm, bend, force, taper=d.arm_taper, strength=np.nan if strength is None else strength,
        set_removed=set_removed,
    )  # fmt: skip


def _read(dimensions: Dimensions, name: str) -> Number:
    value: Number | None = getattr(dimensions, name)
    if value is None:
        raise OutOfRange(f"a {dimensions.family}-spring trap needs this reading", field=name)
    return value


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
