"""Gaits, and how a foot comes down at a kind of set."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.basis.source import Kind, Quantity, Source, assumed

Floats = NDArray[np.float64]

GAITS = ("walk", "trot", "lope", "bound", "hop")
HOURS = 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Gait:
    """One way of going.

    Parameters
    ----------
    word : str
        Any of `GAITS`.
    usual : bool
        True for the gait in which it travels as a rule.
    stride : Quantity
        Ground from one print of a foot to the next of the same foot [m].
    places : Quantity
        Separate foot places in a stride [-].
    load_factor : Quantity
        Peak force of one foot over that at a walk [-].

    """

    word: str
    usual: bool
    stride: Quantity
    places: Quantity
    load_factor: Quantity

    @classmethod
    def walk(cls, step: Quantity, *, usual: bool) -> Gait:
        """The walk: a stride of two steps, the hind foot in the place of the fore foot.

        Parameters
        ----------
        step : Quantity
            Distance between successive foot places [m].
        usual : bool
            True when it travels at a walk.

        """
        stride = step
        if step.value is not None:
            source = Source(Kind.COMPUTED, f"two steps; {step.source.text}", "derived")
            ends = [None if end is None else 2 * end for end in (step.low, step.high)]
            stride = replace(step, value=2 * step.value, low=ends[0], high=ends[1], source=source)
        places = Quantity(2.0, "one", assumed("the hind foot takes the place of the fore foot"))
        factor = Quantity(1.0, "one", Source(Kind.COMPUTED, "the walk is the measure", "derived"))
        return cls(word="walk", usual=usual, stride=stride, places=places, load_factor=factor)


@dataclass(frozen=True, slots=True)
class Tread:
    """How a foot comes down on the pan at a kind of set.

    Parameters
    ----------
    kind : str
        worked, trail or water.
    coupling_mean, coupling_sd : Quantity
        Mean and spread over steps of the share of a foot's force that reaches the pan [-]; one draw for all animals.
    gait : Quantity
        Factor on the walking load [-].

    """

    kind: str
    coupling_mean: Quantity
    coupling_sd: Quantity
    gait: Quantity


def hourly_rates(shares: ArrayLike, hours: ArrayLike) -> Floats:
    """How much likelier an animal passes in an hour of a part of the day than in the mean hour.

    Parameters
    ----------
    shares : array (..., 3) [-]
        Shares of what passes by night, at twilight, by day; they add up to 1.
    hours : array (..., 3) [h]
        Lengths of night, twilight and day at that place and date; they add up to 24.

    Returns
    -------
    array (..., 3) [-]
        share · 24 / hours, mean 1 over the 24 hours; NaN where hours do not add up to 24, shares not to 1, one of
        them is below zero, or a part has a share and no length.

    Notes
    -----
    Doubt: a share was found at one season; whether an animal keeps its share or its hourly rate when the nights grow
    longer is not known. This keeps the share.

    References
    ----------
    Definition (derived).

    """
    part, length = np.broadcast_arrays(np.asarray(shares, dtype=float), np.asarray(hours, dtype=float))
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = np.where(length > 0, part * HOURS / length, np.where(part > 0, np.nan, 0.0))
    whole = (
        np.isclose(part.sum(axis=-1), 1.0, atol=1e-6)
        & np.isclose(length.sum(axis=-1), HOURS, atol=1e-6)
        & (part >= 0).all(axis=-1)
        & (length >= 0).all(axis=-1)
        & np.isfinite(rate).all(axis=-1)
    )
    return np.asarray(np.where(whole[..., None], rate, np.nan))
