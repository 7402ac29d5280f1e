"""What the readings of a trap said, in words."""

from __future__ import annotations

from setwright.desk import bench_document as doc
from setwright.desk.wording import show, with_band
from setwright.trap import tables as trap_tables
from setwright.trap.calibrate import Calibration, Change
from setwright.trap.next_reading import next_readings
from setwright.trap.readings import KINDS, Reading

_UNITS = {
    "m": "fine_length",
    "rad": "angle",
    "N": "force",
    "kg": "mass",
    "N/m": "rate",
    "s": "short_time",
    "one": "ratio",
}
_NEXT = 3
# Units of unknowns that are not fields of the table of patterns.
_OF_UNKNOWNS = {"edge_radius": "m", "hinge_play": "m", "rest_mass": "kg", "trip_force": "N"}
_SETTINGS = {
    "distance": ("pressed {} from the pivot", "m"), "lever_angle": ("lever at {}", "rad"),
    "eye_height": ("eye {} over the base", "m"), "base_height": ("pivot or hinge {} over the base", "m"),
    "dowel": ("on a dowel of {}", "m"), "bar_force": ("bars pulled with {} each", "N"),
    "frame_rate": ("{} pictures a second", "count"),
}  # fmt: skip


def told(calibration: Calibration, limb: float) -> doc.Calibrated:
    """The calibration for page and terminal."""
    posterior = calibration.posterior
    following = next_readings(posterior, trap_tables.reading_errors(), limb=limb)
    wrong = [
        f"{one.reading.kind.replace('_', ' ')} stands {abs(one.alone):.1f} sd from what the others say"
        for one in calibration.residuals
        if one.flagged
    ]
    for one in calibration.conflicts:
        first, second = (reading.kind.replace("_", " ") for reading in (one.first, one.second))
        wrong.append(f"{first} and {second} cannot both be right: read both again")
    return doc.Calibrated(
        readings=len(posterior.readings),
        standing=dict(calibration.standing),
        learned=[_learned(one) for one in calibration.changes],
        disagree=wrong,
        missing=[kind.replace("_", " ") for kind in calibration.missing],
        next=[
            doc.Next(
                reading=one.reading.kind.replace("_", " "),
                how=how(one.reading),
                caution=KINDS[one.reading.kind].caution,
                removes=dict(one.removed),
            )
            for one in following[:_NEXT]
        ],
        remarks=list(calibration.remarks),
    )


def how(reading: Reading) -> str:
    """What is read and at which settings."""
    parts = [KINDS[reading.kind].says]
    for name, (words, unit) in _SETTINGS.items():
        value = getattr(reading, name)
        if value is not None:
            shown = f"{value:.0f}" if unit == "count" else show(value, _UNITS[unit])
            parts.append(words.format(shown))
    return ", ".join(parts)


def _learned(change: Change) -> doc.Learned:
    field = trap_tables.DIMENSION_FIELDS.get(change.name)
    kind = _UNITS[field.unit if field is not None else _OF_UNKNOWNS.get(change.name, "one")]
    return doc.Learned(
        name=change.name.replace("_", " "),
        before=_band(change.before, kind),
        after=_band(change.after, kind),
        removed=change.removed,
        si_before=change.before,
        si_after=change.after,
    )


def _band(points: tuple[float, float, float], kind: str) -> str:
    return with_band(*points, kind)
