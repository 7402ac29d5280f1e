"""Published welfare criteria, and what a small sample of held animals can say for or against them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from setwright.animal.injury import NECROPSY, Count, Findings, Injury, count, mean_points, tally
from setwright.animal.sample import LEVEL, lower_bound, upper_bound
from setwright.basis.errors import BadInput
from setwright.basis.source import Source

AT_LEAST, AT_MOST = "at_least", "at_most"
FREE, LIGHT, POINTS, HELD = "free_of_listed", "no_to_moderate", "mean_points", "held"
MEASURES = (FREE, LIGHT, POINTS, HELD, "insensible_in_time", "time_limit", "judged", "method")
INJURY_MEASURES = (FREE, LIGHT, POINTS)


class Evidence(StrEnum):
    """What is known of a trap design: a published test's word, own data's word, or nothing."""

    MEETS = "meets"
    BREAKS = "breaks"
    SUPPORTS = "supports"
    AGAINST = "against"
    TOO_FEW = "too few"
    NO_RECORD = "no record"


@dataclass(frozen=True, slots=True, kw_only=True)
class Criterion:
    """One published criterion.

    Parameters
    ----------
    key, scheme, device : str
        Name, whose it is, for which kind of trap (`restraining`, `killing`, `any`).
    measure : str
        One of `MEASURES`.
    limit : float or None
        Share [-], points [-] or seconds; None for a method, or where people judge.
    compare : str
        `at_least`, `at_most`, or empty.
    least_animals : int or None
        Animals that the scheme asks for; None when not known.
    counts : str
        What is counted, in words of this project.
    species : tuple of str
        Animals that it is for; empty for all.
    source : Source
        Where it was read.

    """

    key: str
    scheme: str
    device: str
    measure: str
    limit: float | None
    compare: str
    least_animals: int | None
    counts: str
    species: tuple[str, ...]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishedTest:
    """A published test of a trap design, as the line book cites it.

    Parameters
    ----------
    document, place : str
        Document and place in it; both must be filled in.
    criterion : str
        Key of the criterion that the figure belongs to.
    figure : float or None
        Share [-] or mean points [-] as printed; None when it was not read.
    animals : int or None
        Number of animals tested.
    same_design : bool or None
        True when the tested trap is of this design: size, jaws, springs, chain; None when that is not known.

    """

    document: str
    place: str
    criterion: str
    figure: float | None = None
    animals: int | None = None
    same_design: bool | None = None

    def __post_init__(self) -> None:
        for name in ("document", "place"):
            if not getattr(self, name).strip():
                raise BadInput("a published test without its source", field=name, found="", allowed="the document")


@dataclass(frozen=True, slots=True)
class Reading:
    """What the animals say on one criterion.

    Parameters
    ----------
    criterion : Criterion
        The criterion.
    word : Evidence
        The answer.
    animals, missing : int
        Held animals, and those of them of which it cannot be told.
    least, most : float
        Share or mean points: as if every missing one were bad, and as if every one were good.
    lower, upper : float
        One-sided 95 % bounds of a share (exact binomial, missing ones against each); NaN for points.
    field_only : bool
        True when no animal was opened: the figure is what was seen in the field, where injuries are missed.
    cited : str
        The published test, or empty.

    """

    criterion: Criterion
    word: Evidence
    animals: int
    missing: int
    least: float
    most: float
    lower: float = math.nan
    upper: float = math.nan
    field_only: bool = False
    cited: str = ""


def read_share(criterion: Criterion, found: Count, *, field_only: bool = False, level: float = LEVEL) -> Reading:
    """What own animals say on a criterion that is a share.

    Parameters
    ----------
    criterion : Criterion
        With a limit that is a least share.
    found : Count
        Animals in order, not in order, open.
    field_only : bool
        True when no animal was opened.
    level : float [-]
        Confidence of the bounds.

    Returns
    -------
    Reading
        *supports* when the lower bound, every missing one counted as bad, lies above the limit; *against* when the
        upper bound, every missing one counted as good, lies below it, or when there are as many animals as the scheme
        asks for and even so counted the share falls short; *too few* between; *no record* without animals.

    Raises
    ------
    BadInput
        When the criterion is not a least share.

    """
    if criterion.limit is None or criterion.compare != AT_LEAST or not 0.0 < criterion.limit < 1.0:
        raise BadInput("not a least share", field=criterion.key, found=criterion.limit, allowed="a share, at_least")
    total = found.total
    if total == 0:
        return Reading(criterion, Evidence.NO_RECORD, 0, 0, math.nan, math.nan)
    least, most = found.good / total, (found.good + found.missing) / total
    lower = float(lower_bound(found.good, total, level))
    upper = float(upper_bound(found.good + found.missing, total, level))
    short = criterion.least_animals is not None and total >= criterion.least_animals and most < criterion.limit
    word = Evidence.TOO_FEW
    if lower > criterion.limit:
        word = Evidence.SUPPORTS
    elif upper < criterion.limit or short:
        word = Evidence.AGAINST
    return Reading(criterion, word, total, found.missing, least, most, lower, upper, field_only)


def read_points(criterion: Criterion, findings: Sequence[Findings], scale: Mapping[str, Injury]) -> Reading:
    """What own animals say on a greatest mean of points.

    Parameters
    ----------
    criterion : Criterion
        With a limit that is a greatest mean.
    findings : sequence of Findings
        One per held animal.
    scale : mapping of str to Injury
        The injury scale by key.

    Returns
    -------
    Reading
        *against* when as many animals as the scheme asks for are known and even the least mean is above the limit;
        otherwise *too few*, never *supports*: a sum of points has no upper end, so no exact bound of its mean
        exists, and the next animal may carry it over.

    """
    if criterion.limit is None or criterion.compare != AT_MOST or criterion.measure != POINTS:
        raise BadInput("not a greatest mean of points", field=criterion.key, found=criterion.measure, allowed=POINTS)
    found = tally(findings, scale)
    total = found.points_low.size
    if total == 0:
        return Reading(criterion, Evidence.NO_RECORD, 0, 0, math.nan, math.nan)
    missing = int(np.sum(np.isinf(found.points_high)))
    low, high = mean_points(found)
    enough = criterion.least_animals is not None and total - missing >= criterion.least_animals
    word = Evidence.AGAINST if enough and low > criterion.limit else Evidence.TOO_FEW
    return Reading(criterion, word, total, missing, high, low, field_only=found.necropsies == 0)


def read_own(
    findings: Sequence[Findings], scale: Mapping[str, Injury], criteria: Iterable[Criterion]
) -> tuple[Reading, ...]:
    """Own findings on every criterion of injury among `criteria`, in their order.

    Parameters
    ----------
    findings : sequence of Findings
        One per animal that the trap held.
    scale : mapping of str to Injury
        The injury scale by key.
    criteria : iterable of Criterion
        Criteria; those that do not count injuries are left out.

    """
    found = tally(findings, scale)
    field_only = bool(findings) and all(animal.seen_by != NECROPSY for animal in findings)
    readings = []
    for criterion in criteria:
        if criterion.measure == POINTS:
            readings.append(read_points(criterion, findings, scale))
        elif criterion.measure in INJURY_MEASURES:
            good = found.free_of_listed if criterion.measure == FREE else found.no_to_moderate
            readings.append(read_share(criterion, count(good), field_only=field_only))
    return tuple(readings)


def read_published(criterion: Criterion, test: PublishedTest) -> Reading:
    """What a published test says on its criterion.

    Parameters
    ----------
    criterion : Criterion
        The criterion that the test names.
    test : PublishedTest
        The test.

    Returns
    -------
    Reading
        *meets* or *breaks* for a test of this very design with the number of animals that the scheme asks for;
        *no record* for another design; otherwise *too few*: it cannot be told.

    """
    if test.criterion != criterion.key:
        raise BadInput(
            "the test is of another criterion", field="criterion", found=test.criterion, allowed=criterion.key
        )
    figure = math.nan if test.figure is None else float(test.figure)
    animals = test.animals or 0
    cited = f"{test.document}, {test.place}"
    word = Evidence.TOO_FEW
    if test.same_design is False:
        word = Evidence.NO_RECORD
    elif (
        test.same_design
        and criterion.limit is not None
        and criterion.least_animals is not None
        and animals >= criterion.least_animals
        and math.isfinite(figure)
    ):
        good = figure >= criterion.limit if criterion.compare == AT_LEAST else figure <= criterion.limit
        word = Evidence.MEETS if good else Evidence.BREAKS
    return Reading(criterion, word, animals, 0, figure, figure, cited=cited)
