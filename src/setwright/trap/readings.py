"""Readings that a trapper takes on the bench: kinds, settings, usual errors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from setwright.basis.errors import OutOfRange
from setwright.basis.source import Quantity
from setwright.basis.spread import Z95
from setwright.trap.model import COIL, LONG, SLOT, Dimensions

AT_LEAST = "at least"
_SETTINGS = ("distance", "lever_angle", "eye_height", "base_height", "dowel", "bar_force", "frame_rate")


@dataclass(frozen=True)
class ReadingKind:
    """What is read, and what must be stated with it.

    Parameters
    ----------
    unit : str
        SI unit of the value.
    says : str
        What is read and how, in a few words.
    needs : tuple of str
        Settings that must be stated.
    families : tuple of str
        Families of traps that it can be read on.
    caution : str
        What may hurt while it is read.

    """

    unit: str
    says: str
    needs: tuple[str, ...] = ()
    families: tuple[str, ...] = (COIL, LONG)
    caution: str = ""


_SPRUNG = "hands outside the jaws, setters within reach, eyes covered: a spring that slips strikes hard"
_SET = "work from outside and below the loose jaw, safety on if the trap has one, setters within reach"
_COIL, _LONG = (COIL,), (LONG,)
KINDS: Mapping[str, ReadingKind] = MappingProxyType({
    "spread": ReadingKind("m", "inside the set jaws across the hinge line, at the pan", caution=_SET),
    "spread at the widest": ReadingKind("m", "inside the set jaws where they stand widest", caution=_SET),
    "spread outside": ReadingKind(
        "m", "over the set jaws from outside to outside, two face widths more", caution=_SET
    ),
    "jaw_height": ReadingKind("m", "hinge pin to gripping bar"),
    "face_width": ReadingKind("m", "width of the gripping face"),
    "leg_thickness": ReadingKind("m", "thickness of the leg where the eye bears"),
    "eye_opening": ReadingKind("m", "full inner width of the eye or ring"),
    "bevel": ReadingKind("rad", "by how much the bearing edge lags the plane of the jaw"),
    "set_angle": ReadingKind("rad", "set jaw above the hinge line", caution=_SET),
    "wire_diameter": ReadingKind("m", "wire of the coil", (), _COIL),
    "coil_outside": ReadingKind("m", "outer diameter of the coil", (), _COIL),
    "coil_turns": ReadingKind("one", "turns of the coil body", (), _COIL),
    "lever_length": ReadingKind("m", "lever from pivot to middle of the eye", (), _COIL),
    "pivot_drop": ReadingKind("m", "lever pivot below the hinge line", (), _COIL),
    "lever_mass": ReadingKind("kg", "one lever", (), _COIL),
    "leaf_width": ReadingKind("m", "width of the leaf at the bend", (), _LONG),
    "leaf_thickness": ReadingKind("m", "thickness of the leaf at the bend", (), _LONG),
    "leaf_arm": ReadingKind("m", "one arm of the long-spring", (), _LONG),
    "leaf_bend": ReadingKind("m", "radius of the bend", (), _LONG),
    "leaf_lift": ReadingKind("m", "free eye over set eye", (), _LONG, _SPRUNG),
    "ring_mass": ReadingKind("kg", "eye of the long-spring", (), _LONG),
    "spring_rate": ReadingKind("N/m", "rate of one spring at its eye", caution=_SPRUNG),
    "lever_force": ReadingKind(
        "N", "straight down on one lever, or one eye of a long-spring, held at a height", caution=_SPRUNG
    ),
    "empty_lever_angle": ReadingKind("rad", "lever above the level, jaws closed and empty", (), _COIL),
    "empty_eye_height": ReadingKind("m", "eye over the base, jaws closed and empty", ("base_height",), _LONG),
    "opening_force": ReadingKind(
        "N", "force at the bars at which the jaws begin to open on a dowel", ("dowel",), caution=_SPRUNG
    ),
    "creep_force": ReadingKind(
        "N", "down on each lever or eye until the loops creep down, bars pulled apart", ("dowel", "bar_force"),
        caution=_SPRUNG,
    ),
    "jaw_mass": ReadingKind("kg", "one jaw, taken out"),
    "mass": ReadingKind("kg", "whole trap without its chain"),
    "pan_pull": ReadingKind("N", "pan trip force, one pull", caution=_SET),
    "closing_time": ReadingKind("s", "release to faces meeting, empty and in air, by video", ("frame_rate",),
                                caution="fire it with a stick from arm's length, nobody near, eyes covered"),
})  # fmt: skip

# Readings of the pattern's figures in other words: kind and factor on the figure.
_IN_OTHER_WORDS = {"eye_half_opening": ("eye_opening", 2.0)}


@dataclass(frozen=True)
class ReadingError:
    """Usual error of a kind of reading: root of the squares of a fixed part and of a share of the value.

    Parameters
    ----------
    fixed : float
        In the unit of the reading.
    share : float [-]
        Of the value.

    """

    fixed: float
    share: float = 0.0

    def sd(self, value: float, frame_rate: float | None = None) -> float:
        """Standard deviation of a reading of this value, in its unit.

        Parameters
        ----------
        value : float
            The reading.
        frame_rate : float [1/s], optional
            Of a video: start and end each lie anywhere within a frame, which adds 1/(f √6).

        """
        frames = 0.0 if frame_rate is None else 1.0 / (frame_rate * np.sqrt(6.0))
        return float(np.sqrt(self.fixed**2 + (self.share * value) ** 2 + frames**2))


@dataclass(frozen=True)
class Reading:
    """One reading with its standard deviation and what was stated with it, in SI.

    Parameters
    ----------
    kind : str
        Key of `KINDS`.
    value, sd : float
        In the unit of the kind.
    bound : str
        Empty, or `at least`: it did not open, creep or trip at this value, and was not pulled further.
    distance : float [m], optional
        Pivot of the lever to where it is pressed; at the eye when not stated.
    lever_angle : float [rad], optional
        Of the pressed lever over the level.
    eye_height, base_height : float [m], optional
        Over the base: middle of the pressed eye; pivot of the lever (coil-spring) or hinge line (long-spring).
    dowel : float [m], optional
        Diameter of the round wood between the faces.
    bar_force : float [N], optional
        That pulls the two bars apart, on each.
    frame_rate : float [1/s], optional
        Frames of the video in a second.

    Raises
    ------
    OutOfRange
        When the kind is not known, a setting is missing, or value or deviation is not a positive number
        (angles may be negative).

    """

    kind: str
    value: float
    sd: float
    bound: str = ""
    distance: float | None = None
    lever_angle: float | None = None
    eye_height: float | None = None
    base_height: float | None = None
    dowel: float | None = None
    bar_force: float | None = None
    frame_rate: float | None = None

    def __post_init__(self) -> None:
        kind = KINDS.get(self.kind)
        if kind is None:
            raise OutOfRange("no such reading", field="kind", found=self.kind, allowed=", ".join(KINDS))
        if not (np.isfinite(self.value) and (self.value > 0 or kind.unit == "rad" or self.kind == "pivot_drop")):
            raise OutOfRange("not a reading", field=f"{self.kind} value", found=self.value, allowed="above 0")
        if not (np.isfinite(self.sd) and self.sd > 0):
            raise OutOfRange("an error is needed", field=f"{self.kind} sd", found=self.sd, allowed="above 0")
        if self.bound not in ("", AT_LEAST):
            raise OutOfRange("no such bound", field=f"{self.kind} bound", found=self.bound, allowed=f"'', {AT_LEAST}")
        for name in kind.needs:
            if getattr(self, name) is None:
                raise OutOfRange("must be stated with this reading", field=f"{self.kind} {name}")
        if self.kind == "lever_force" and self.lever_angle is None and None in (self.eye_height, self.base_height):
            raise OutOfRange(
                "the height it was held at must be stated", field="lever_force",
                allowed="lever_angle, or eye_height and base_height",
            )  # fmt: skip

    @property
    def label(self) -> str:
        """The kind, with the settings that tell it from another reading of the same kind."""
        parts = [f"{name} {getattr(self, name):g}" for name in _SETTINGS if getattr(self, name) is not None]
        return f"{self.kind} ({', '.join(parts)})" if parts else self.kind


def check_family(reading: Reading, dimensions: Dimensions) -> None:
    """Raise OutOfRange when a reading cannot be taken on this family of traps.

    Parameters
    ----------
    reading : Reading
        Any reading.
    dimensions : Dimensions
        The trap.

    """
    allowed = KINDS[reading.kind].families
    if dimensions.family not in allowed:
        raise OutOfRange(
            f"not read on a {dimensions.family}-spring trap", field=reading.kind, allowed=", ".join(allowed)
        )
    if reading.kind != "lever_force":
        return
    if dimensions.family == LONG and reading.eye_height is None:
        raise OutOfRange("a long-spring has no lever angle", field=reading.kind, allowed="eye_height and base_height")
    if dimensions.eye == SLOT and reading.distance is None:
        raise OutOfRange("the eye is a slot: say where it was pressed", field="lever_force distance")


def stated(overrides: Mapping[str, Quantity], errors: Mapping[str, ReadingError]) -> tuple[Reading, ...]:
    """Readings from figures that a line book states in place of the pattern's.

    Parameters
    ----------
    overrides : mapping of str to Quantity
        By field of `Dimensions`, in SI.
    errors : mapping of str to ReadingError
        Usual errors by kind; used where a figure has no spread of its own.

    Notes
    -----
    A band of 90 % is 3.29 standard deviations wide. Fields that no kind stands for are left to `not_read`.

    """
    found = []
    for name, quantity in overrides.items():
        kind, factor = _IN_OTHER_WORDS.get(name, (name, 1.0))
        if kind not in KINDS or quantity.value is None:
            continue
        value = factor * quantity.value
        sd = errors[kind].sd(value)
        if quantity.low is not None and quantity.high is not None and quantity.high > quantity.low:
            sd = factor * (quantity.high - quantity.low) / (2.0 * Z95)
        found.append(Reading(kind, value, sd))
    return tuple(found)


def not_read(overrides: Mapping[str, Quantity]) -> dict[str, Quantity]:
    """Stated figures that are no kind of reading, by field: they take the place of the pattern's prior.

    Parameters
    ----------
    overrides : mapping of str to Quantity
        By field of `Dimensions`, in SI.

    """
    return {name: q for name, q in overrides.items() if _IN_OTHER_WORDS.get(name, (name, 1.0))[0] not in KINDS}
