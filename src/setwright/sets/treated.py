"""A cover with salt or glycol in it: where its water freezes, where all of it is solid, and how it is called."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.ground.cover import thinned_share
from setwright.sets.model import Treated
from setwright.sets.naming import cover_name
from setwright.weather import tables as weather_tables

Floats = NDArray[np.float64]


def freezing_of(treated: Treated | None, laid: ArrayLike, wet: ArrayLike) -> tuple[Floats, float]:
    """Where the water of a cover begins to freeze and where all of it is solid.

    Parameters
    ----------
    treated : Treated or None
        What is mixed in; None leaves plain water.
    laid, wet : float or array [-]
        Water by volume of the cover as laid, and with the rain that fell on it, before any of it drained.

    Returns
    -------
    freezing_point : array [degC]
    solid : float [degC]
        The eutectic; minus infinity for plain water, which needs no second point.

    """
    if treated is None:
        return np.zeros(np.shape(wet)), float("-inf")
    shares, points = weather_tables.freezing_curve(weather_tables.additives().text(treated.key, "solute"))
    share = thinned_share(treated.strength.number, laid, wet)
    return np.asarray(np.interp(share, shares, points)), float(points[-1])


def cover_words(cover: str | None, treated: Treated | None) -> str:
    """A cover with what is in it, within a sentence: 'dry dirt with 10 % salt in its water'."""
    name = cover_name(cover)
    if treated is None:
        return name
    return f"{name} with {100.0 * treated.strength.number:g} % {additive_name(treated)} in its water"


def additive_name(treated: Treated) -> str:
    """Name of what is mixed in, within a sentence."""
    return weather_tables.additives().text(treated.key, "name")


def harm_of(treated: Treated) -> str:
    """What it does besides: rust, refusals, animals that it draws; to follow 'it'."""
    return weather_tables.additives().text(treated.key, "harm")
