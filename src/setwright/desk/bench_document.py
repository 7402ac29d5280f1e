"""What is told of one trap: figures with bands, rows in words, what-ifs, slow motion, drawing dimensions."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Standing = Literal["absolute", "comparative", "stated", "cannot tell"]


class Figure(BaseModel):
    """One figure: median and 90 % band in the unit that its key names, and how it may be read."""

    label: str
    median: float | None
    low: float | None
    high: float | None
    unit: str
    standing: Standing
    note: str = ""


class BenchRow(BaseModel):
    """One line of the sheet: median and band in SI where it has one, and in words."""

    what: str
    shown: str
    note: str = ""
    value: float | None = None
    low: float | None = None
    high: float | None = None
    unit: str = "one"


class BenchPart(BaseModel):
    """Lines that belong together."""

    head: str
    rows: list[BenchRow]


class Learned(BaseModel):
    """One unknown of the trap before and after its readings, in field units, and in SI."""

    name: str
    before: str
    after: str
    removed: float
    si_before: tuple[float, float, float]
    si_after: tuple[float, float, float]


class Next(BaseModel):
    """A reading not taken yet, and the share of doubt that it would take away, by figure."""

    reading: str
    how: str
    caution: str
    removes: dict[str, float]


class Calibrated(BaseModel):
    """What the readings said: figures that stand by themselves, what changed, what disagrees, what to read next."""

    readings: int
    standing: dict[str, str]
    learned: list[Learned]
    disagree: list[str]
    missing: list[str]
    next: list[Next]
    remarks: list[str]


class Difference(BaseModel):
    """One figure before and after a change, on the same draws, and their paired difference."""

    key: str
    label: str
    before: str
    after: str
    change: str
    median: float | None
    low: float | None
    high: float | None
    unit: str


class SlowMotion(BaseModel):
    """Still pictures of the closing of the most likely trap; SI."""

    times: list[float]
    dogged_jaw: list[float]
    loose_jaw: list[float]
    loop_height: list[float]
    loop_coordinate: list[float]
    force_dogged: list[float]
    force_loose: list[float]
    apart: list[bool]


class Grips(BaseModel):
    """Clamp interval against limb thickness, medians in SI; before readings too when there are any."""

    limb: list[float]
    closing: list[float | None]
    opening: list[float | None]
    locked: list[float]


class Shape(BaseModel):
    """Dimensions of the most likely trap as a drawing needs them; SI, names as in the trap room."""

    family: Literal["coil", "long"]
    spread: float
    height: float
    hinge_half_distance: float
    face_width: float
    leg_thickness: float
    eye_half_opening: float
    loop_clearance: float
    bevel: float
    set_angle: float
    springs: int
    offset_gap: float
    lamination_width: float
    lamination_thickness: float
    lamination_side: Literal["inside", "outside"] | None
    pad_width: float
    pad_thickness: float
    double: bool
    pan_radius: float | None
    dogless: bool
    eye: Literal["round", "slot"]
    lever_length: float | None
    pivot_height: float | None
    wire_diameter: float | None
    coil_diameter: float | None
    coil_turns: float
    leaf_arm: float | None
    leaf_bend: float | None
    leaf_width: float | None
    leaf_thickness: float | None
    swivel_place: Literal["base", "side", "end"] | None
    guard_length: float | None


class Variant(BaseModel):
    """A trap with something changed on it."""

    words: str
    changes: dict[str, str]
    figures: dict[str, Figure]
    states: dict[str, str]
    differences: list[Difference]
    remarks: list[str] = Field(default_factory=list)
    frames: SlowMotion | None = None
    shape: Shape | None = None


class Curves(BaseModel):
    """Force and leverage of one loop over the way of the jaws, and the way over time; SI, most likely trap."""

    angle: list[float]
    push: list[float]
    leverage: list[float]
    time: list[float]
    time_angle: list[float]
    separation_angle: float | None


class BenchSheet(BaseModel):
    """All that is told of one trap."""

    model_config = ConfigDict(populate_by_name=True)

    schema_: Literal["setwright/bench/1"] = Field(default="setwright/bench/1", alias="schema")
    trap: str
    title: str
    say: str
    limb: float
    figures: dict[str, Figure]
    states: dict[str, str]
    parts: list[BenchPart]
    calibration: Calibrated
    what_if: list[Variant]
    frames: SlowMotion | None
    on_limb: tuple[float, float] | None = None
    grips: Grips | None
    grips_before: Grips | None
    curves: Curves | None
    shape: Shape
    remarks: list[str]
    cautions: list[str]
