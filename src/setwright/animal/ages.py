"""Old and young, male and female: what the animals weigh that come by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from setwright.animal.near import near_names
from setwright.basis.errors import BadInput
from setwright.basis.source import Quantity
from setwright.basis.spread import Z95, normal_cdf

Floats = NDArray[np.float64]

AGES = ("adult", "yearling", "young")
SEXES = ("male", "female", "both")
# Spread beyond that of the adults where neither shares nor a lighter class are known.
_WIDER = 1.5
_GRID = 2049


@dataclass(frozen=True, slots=True, kw_only=True)
class AgeClass:
    """Animals of one kind, age and sex.

    Parameters
    ----------
    key : str
        Age and sex, such as `adult_male` or `young`.
    age : str
        Any of `AGES`: adult, yearling (second autumn), young (young of the year).
    sex : str
        Any of `SEXES`.
    mass, mass_cv : Quantity
        Median mass [kg] and relative spread of individuals [-]; an unknown one says what to weigh.

    """

    key: str
    age: str
    sex: str
    mass: Quantity
    mass_cv: Quantity


@dataclass(frozen=True, slots=True, eq=False)
class MassMix:
    """Masses of a mixed lot of animals.

    Parameters
    ----------
    mass : array (c,) [kg]
        Median mass of each class.
    mass_cv : array (c,) [-]
        Relative spread in each class.
    weight : array (c,) [-]
        Share of each class; they sum to 1.
    known : bool
        False where shares or masses were unknown and adults with a wide spread stand in for the lot.
    question : str
        What to ask or weigh then; empty otherwise.

    """

    mass: Floats
    mass_cv: Floats
    weight: Floats
    known: bool
    question: str

    @property
    def mean(self) -> float:
        """Mean mass of the lot [kg]."""
        return float(np.sum(self.weight * self.mass * np.sqrt(1 + self.mass_cv**2)))


def mix_classes(
    classes: Sequence[AgeClass], shares: Mapping[str, float], adult_mass: float, adult_cv: float
) -> MassMix:
    """Mix age classes by stated shares; nothing in it depends on the month.

    Parameters
    ----------
    classes : sequence of AgeClass
        Classes that the table knows.
    shares : mapping of str to float [-]
        Share or count of each class by its key; only their ratios matter. Empty when nobody knows.
    adult_mass : float [kg]
        Median mass of adults.
    adult_cv : float [-]
        Their relative spread.

    Returns
    -------
    MassMix
        With unknown shares, or a share of a class that nobody weighed: adults whose spread reaches down so far that
        one in twenty is as light as the median of the lightest class, and the question that would settle it.

    Raises
    ------
    BadInput
        When a share belongs to no class (the near ones are named), is below zero, or all are zero.

    Notes
    -----
    Doubt: most masses of classes are recalled; a trapper's own scale is the better source.

    """
    known = {one.key: one for one in classes}
    for key, share in shares.items():
        if key not in known:
            near = near_names(key, {name: name.replace("_", " ") for name in known})
            raise BadInput("no such age class", field="shares", found=key, allowed=", ".join(near or known))
        if not share >= 0:
            raise BadInput("a share is below zero", field=f"shares {key}", found=share, allowed="0 or more")
    taken = [(known[key], share) for key, share in shares.items() if share > 0]
    if shares and not taken:
        raise BadInput("all shares are zero", field="shares", allowed="at least one above zero")
    question = ""
    if not taken:
        question = "what share of the animals are adults, yearlings and young of the year"
    else:
        blank = [one for one, _ in taken if one.mass.value is None or one.mass_cv.value is None]
        if blank:
            question = "; ".join(dict.fromkeys(one.mass.source.text for one in blank))
    if question:
        spread = _wide_spread(classes, adult_mass, adult_cv)
        wide = float(np.sqrt(np.expm1(spread**2)))
        return MassMix(np.array([adult_mass]), np.array([wide]), np.ones(1), False, question)
    weight = np.array([share for _, share in taken], dtype=float)
    return MassMix(
        np.array([one.mass.number for one, _ in taken]),
        np.array([one.mass_cv.number for one, _ in taken]),
        weight / weight.sum(),
        True,
        "",
    )


def _wide_spread(classes: Sequence[AgeClass], adult_mass: float, adult_cv: float) -> float:
    """Standard deviation of the logarithm of the mass when the shares of the classes are unknown."""
    own = float(np.sqrt(np.log1p(adult_cv**2)))
    masses = [one.mass.value for one in classes if one.mass.value is not None]
    lightest = min(masses, default=adult_mass)
    if lightest >= adult_mass:
        return _WIDER * own
    return max(_WIDER * own, float(np.log(adult_mass / lightest)) / Z95)


def mass_at(mix: MassMix, probability: ArrayLike) -> Floats:
    """Mass of which a share of the lot is lighter.

    Parameters
    ----------
    mix : MassMix
        From `mix_classes`.
    probability : float or array [-]
        Between 0 and 1.

    Returns
    -------
    array [kg]
        Quantiles of the mixture of lognormal laws, by interpolation on a fine grid; NaN outside 0 to 1.

    """
    middle, spread = np.log(mix.mass), np.sqrt(np.log1p(mix.mass_cv**2))
    grid = np.linspace((middle - 6 * spread).min(), (middle + 6 * spread).max(), _GRID)
    with np.errstate(divide="ignore", invalid="ignore"):
        score = np.where(
            spread[:, None] > 0,
            (grid - middle[:, None]) / spread[:, None],
            np.where(grid >= middle[:, None], np.inf, -np.inf),
        )
    below = mix.weight @ normal_cdf(score)
    wanted = np.asarray(probability, dtype=float)
    found = np.exp(np.interp(wanted, below, grid))
    return np.asarray(np.where((wanted >= 0) & (wanted <= 1), found, np.nan))
