"""One printed figure of a field trial, what it is used for, and how the model meets it."""

from __future__ import annotations

from dataclasses import dataclass

GROUPS = ("coyote", "small", "bobcat", "raccoon")
PANS = ("standard", "shear-pin", "leaf-spring", "steel-tape", "tension", "other")
KINDS = ("excluded", "captured", "ratio", "injured")
USES = ("fitted", "held back", "not fitted")


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialRow:
    """One printed figure of a field trial.

    Parameters
    ----------
    key : str
        Row of the table of trials.
    group, pan, kind : str
        Any of `GROUPS`, `PANS`, `KINDS`.
    printed : float [-]
        The figure; NaN where the abstract has no figure.
    use, why : str
        Any of `USES`, and the reason.

    """

    key: str
    group: str
    pan: str
    kind: str
    printed: float
    use: str
    why: str


@dataclass(frozen=True, slots=True)
class RowFit:
    """A row against the model.

    Parameters
    ----------
    row : TrialRow
        The row.
    model : float [-]
        What the model gives at the best fit; for captures of a row that is not fitted, firing alone, which a capture
        cannot exceed if refused pans were counted. NaN where the model has no figure of that kind.
    low, high : float [-]
        The same at the 5 % and 95 % points of the couplings that the fitted rows allow.
    residual : float [-]
        Printed less model.

    """

    row: TrialRow
    model: float
    low: float
    high: float
    residual: float
