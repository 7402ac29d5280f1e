"""The changes that make sense on a trap, for a form."""

from __future__ import annotations

from collections.abc import Mapping

from setwright.desk.bench import OnBench
from setwright.desk.bench_whatif import names
from setwright.desk.control import Control
from setwright.desk.wording import show, trip_words
from setwright.trap import tables as trap_tables
from setwright.trap.model import COIL

# Figures of the trap that are worth a field of their own: name, words, kind for showing, example.
_FIGURES = (
    ("spread", "jaw spread", "fine_length", "5 1/2 in"),
    ("set_angle", "set jaw over the level (pan level)", "angle", "2 deg"),
    ("wire_diameter", "wire of the coil", "fine_length", "3.8 mm"),
    ("coil_turns", "turns of the coil", "ratio", "8"),
    ("leaf_thickness", "leaf of the spring, thickness", "fine_length", "3 mm"),
    ("pan_radius", "pivot of the pan to the foot", "fine_length", "25 mm"),
)
_YES = (("yes", "yes"), ("no", "no"))


def controls(on: OnBench) -> list[Control]:
    """The changes that make sense on the trap that lies on the bench."""
    rig, bed = on.picked.rig, on.bed
    dimensions = rig.dimensions
    coil = rig.family == COIL
    springs = ("2", "4") if coil else ("1", "2")
    kinds = tuple((kind, kind) for kind in trap_tables.jaws())

    def length(name: str) -> str:
        value = float(getattr(dimensions, name))
        return show(value, "fine_length") if value > 0.0 else "none"

    found = [
        Control("springs", "springs", str(rig.springs), tuple((one, one) for one in springs)),
        Control("jaws", "jaws", rig.jaws or "not stated", kinds),
        Control("offset", "offset, gap between the closed faces", length("offset_gap"), example="6 mm"),
        Control("lamination_width", "lamination, width", length("lamination_width"), example="1/4 in"),
        Control("trip_force", "pan trip force", trip_words(rig.trip_force), example="3 lbf"),
    ]
    open_ = set(names(on.calibration.posterior.unknowns))
    for name, label, kind, example in _FIGURES:
        value = getattr(dimensions, name, None)
        if name in open_ and value is not None:
            now = show(float(value), kind)
            found.append(Control(name, label, now, example=example))
    found += [
        Control("friction", "rubbing of loop on jaw (coefficient)", "as read or assumed", example="0.15"),
        Control("dog_delay", "dog holds its jaw back", "not at all", example="1 ms"),
        Control("limb", "what the jaws close on", show(bed.limb, "fine_length"), example="22 mm"),
        Control("cover", "cover over the jaws", show(bed.cover, "length") if bed.cover else "none", example="1/2 in"),
        Control("water", "under water", "yes" if bed.water else "no", _YES),
        Control("tilt", "bed tilted across the hinges", "level", example="10 deg"),
    ]
    return found


def words_of(changes: Mapping[str, str]) -> str:
    """Changes by name as the one line that the command takes; empty ones are none."""
    return ",".join(f"{name}={value.replace(',', '.')}" for name, value in changes.items() if value)
