"""Cases of `authorities/trap` and what the rigid-body program answered to them."""

from __future__ import annotations

import csv
from pathlib import Path

from setwright.trap.closing import Closing, close
from setwright.trap.model import Trap

PLACE = Path(__file__).resolve().parents[2] / "authorities" / "trap"
FIELDS = (
    "loops", "hinge_half_distance", "eye_half_opening", "loop_clearance", "bearing_offset", "face_offset",
    "offset_gap", "height", "bevel", "set_angle", "jaw_inertia", "spring_rate", "free_coordinate", "loop_inertia",
    "lever_length", "pivot_height",
)  # fmt: skip
LOADS = ("friction", "limb", "cover_mass", "cover_radius", "added_inertia", "drag")


def table(name: str) -> list[dict[str, str]]:
    """Rows of a file of the folder, without its remarks."""
    with (PLACE / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(line for line in handle if not line.startswith("#")))


CASES = {
    row["id"]: {name: float(value) for name, value in row.items() if name not in ("id", "what")}
    for row in table("cases.csv")
}
RECORD = {
    row["id"]: {name: float(value) for name, value in row.items() if name not in ("id", "program")}
    for row in table("closing.csv")
}


def trap_of(case: dict[str, float]) -> Trap:
    return Trap(
        family="coil" if case["lever"] else "long",
        eye="slot" if case["slot"] else "round",
        face_length=1.7 * case["height"],
        weight_moment=case["weight_moment"] * case["gravity"],
        **{name: case[name] for name in FIELDS},
    )


def close_case(case: dict[str, float], **changed: float) -> Closing:
    """The case as `close` answers it, with arguments changed."""
    given = {name: case[name] for name in LOADS} | {"tilt": case["tilt_across"], "pitch": case["tilt_along"]}
    return close(trap_of(case), **(given | changed), nodes=201)
