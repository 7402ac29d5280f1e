"""What a drawing of a trap is made from: its dimensions, its postures, the instants of its closing; SI, plain values.

World axes: along the hinge line, across it (the dogged jaw on the positive side), and up. A jaw has axes of its own:
along the leg from the hinge, and normal to it towards the gripping face.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from setwright.draw.svg import Point

# The frame is drawn in its usual form, as shares of the jaw spread, where it was not read.
_BASE_WIDTH = 0.13
_CROSS_WIDTH = 0.10
_HINGE_RISE = 0.16
_INSET = 0.09


@dataclass(frozen=True, slots=True)
class TrapShape:
    """Dimensions of a trap as far as a drawing shows them; `None` stands for what was not read.

    Parameters
    ----------
    family : {"coil", "long"}
        Coil-spring or long-spring.
    spread : [m]
        Inside the jaws of the set trap, across the hinge line.
    height : [m]
        Hinge to the inner edge of the gripping bar.
    hinge_half_distance, eye_half_opening, loop_clearance : [m]
        Hinge line to the middle; middle of the eye to the middle of its edge; half the leg thickness plus the radius
        of that edge.
    face_width, leg_thickness : [m]
        Section of the jaw: width of the face, thickness across it.
    bevel, set_angle : [rad]
        Lag of the edge that the eye bears on; angle of the set jaws.
    springs : int
        Coils (2 or 4), or long-springs (1 or 2).
    bar_length : [m] or None
        Length of the gripping bar along the hinge; 0.85 of the spread when None.
    offset_gap : [m]
        Between the faces when the stops of the jaws touch.
    lamination_width, lamination_thickness : [m]
        Section of the strip beside the face; zero without.
    lamination_side : {"inside", "outside"} or None
        On which side of the face the strip lies; drawn outside and dashed when None.
    pad_width, pad_thickness : [m]
        Section of the pad on each face; zero without.
    double : bool
        A second bar on each jaw.
    pan_radius : [m] or None
        Pivot of the pan to where the foot presses; drawn as half the pan.
    dogless : bool
        The pan holds the jaw itself.
    eye : {"round", "slot"}
        Eye at one distance from the pivot of the lever, or a long slot.
    lever_length, lever_reach, pivot_height, pivot_inset : [m] or None
        Pivot to eye; pivot to the tip of the lever; pivot over the hinge line (negative below); jaw end to pivot.
    wire_diameter, coil_diameter : [m] or None
        Wire and mean coil diameter.
    coil_turns : [-]
        Turns of one coil.
    leaf_arm, leaf_bend, leaf_width, leaf_thickness : [m] or None
        Length of one arm of a long-spring, radius of its bend, section.
    leaf_turn : [rad]
        How far the long-springs are swung from the hinge line towards the dog.
    base_length, base_width, hinge_rise : [m] or None
        Base along and across the hinge line; hinge line over the underside of the base.
    swivel_place : {"base", "side", "end"} or None
        Where the chain begins; not drawn when None.
    guard_length : [m] or None
        Hinge to the bar of the guard arm; None without.

    """

    family: Literal["coil", "long"]
    spread: float
    height: float
    hinge_half_distance: float
    face_width: float
    leg_thickness: float
    eye_half_opening: float
    loop_clearance: float
    bevel: float
    set_angle: float = 0.0523598776
    springs: int = 2
    bar_length: float | None = None
    offset_gap: float = 0.0
    lamination_width: float = 0.0
    lamination_thickness: float = 0.0
    lamination_side: Literal["inside", "outside"] | None = None
    pad_width: float = 0.0
    pad_thickness: float = 0.0
    double: bool = False
    pan_radius: float | None = None
    dogless: bool = False
    eye: Literal["round", "slot"] = "round"
    lever_length: float | None = None
    lever_reach: float | None = None
    pivot_height: float | None = None
    pivot_inset: float | None = None
    wire_diameter: float | None = None
    coil_diameter: float | None = None
    coil_turns: float = 7.0
    leaf_arm: float | None = None
    leaf_bend: float | None = None
    leaf_width: float | None = None
    leaf_thickness: float | None = None
    leaf_turn: float = 0.0
    base_length: float | None = None
    base_width: float | None = None
    hinge_rise: float | None = None
    swivel_place: Literal["base", "side", "end"] | None = "base"
    guard_length: float | None = None

    @property
    def edge_radius(self) -> float:
        """Radius of the edge of the eye [m]; half a millimetre where the readings leave nothing."""
        return max(self.loop_clearance - 0.5 * self.leg_thickness, 0.0005)

    @property
    def bar(self) -> float:
        """Length of the gripping bar [m]."""
        return 0.85 * self.spread if self.bar_length is None else self.bar_length

    @property
    def end(self) -> float:
        """Middle of the trap to the middle of a jaw's leg, along the hinge line [m]."""
        return 0.5 * self.bar

    @property
    def outer(self) -> float:
        """Hinge to the outer edge of the bar, an outside strip counted in [m]."""
        strip = 0.0 if self.lamination_side == "inside" else self.lamination_width
        return self.height + self.face_width + strip

    @property
    def pan(self) -> float:
        """Half the pan [m]; a fifth of the spread where it was not read."""
        return 0.2 * self.spread if self.pan_radius is None else self.pan_radius

    @property
    def base_half_width(self) -> float:
        """Half the base across the hinge line [m]."""
        return 0.5 * (_BASE_WIDTH * self.spread if self.base_width is None else self.base_width)

    @property
    def base_half_length(self) -> float:
        """Half the base along the hinge line [m]."""
        usual = self.end + 0.5 * self.face_width + 0.03 * self.spread
        return usual if self.base_length is None else 0.5 * self.base_length

    @property
    def cross_half_width(self) -> float:
        """Half the cross that carries the dog [m]."""
        return 0.5 * _CROSS_WIDTH * self.spread

    @property
    def rise(self) -> float:
        """Hinge line over the underside of the base [m]."""
        deepest = 0.0 if self.pivot_height is None else -self.pivot_height + 2.0 * self.edge_radius
        usual = max(_HINGE_RISE * self.spread, deepest + 0.03 * self.spread)
        return usual if self.hinge_rise is None else self.hinge_rise

    @property
    def pivot(self) -> float:
        """Middle of the trap to the pivot of a lever, along the hinge line [m]."""
        if self.pivot_inset is not None:
            return self.end - self.pivot_inset
        if self.eye == "slot" and self.lever_length is not None:
            return self.end - self.lever_length
        return self.end - max(_INSET * self.spread, 0.5 * ((self.coil_diameter or 0.0) + 2.0 * self.face_width))


@dataclass(frozen=True, slots=True)
class Posture:
    """One state of the trap seen along its hinges.

    Parameters
    ----------
    name : str
        Caption: `set`, `half way`, `closed, empty`.
    angles : [rad]
        Loose jaw and dogged jaw above the hinge line.
    loop_height : [m]
        Middle of the edge of the eye over the hinge line.
    limb : [m] or None
        Thickness of what is held, drawn between the faces.
    note : str
        A second line under the caption, such as the grip.
    held : bool
        The dog still holds: pan up, dog over the dogged jaw.

    """

    name: str
    angles: tuple[float, float]
    loop_height: float
    limb: float | None = None
    note: str = ""
    held: bool = False


@dataclass(frozen=True, slots=True)
class Frames:
    """Instants of the closing, as close together as they were worked out; every field one entry an instant.

    Parameters
    ----------
    times : [s]
        From the release, rising; the last is the end of the closing.
    angles : [rad]
        Loose jaw and dogged jaw.
    loop_height : [m]
        Middle of the edge of the eye over the hinge line.
    lever_angle : [rad] or None
        Of the levers; None for a long-spring.
    contact_force : [N] or None
        Of the eye on a leg.
    separated : bool
        The jaws run ahead of the eye; where it is empty, they do so when the contact force is spent.

    """

    times: tuple[float, ...]
    angles: tuple[tuple[float, float], ...]
    loop_height: tuple[float, ...]
    lever_angle: tuple[float, ...] | None = None
    contact_force: tuple[float, ...] | None = None
    separated: tuple[bool, ...] = ()

    @property
    def ahead(self) -> tuple[bool, ...]:
        """Whether the jaws run ahead of the eye, one entry an instant; False where nothing tells."""
        if self.separated:
            return self.separated
        if self.contact_force is not None:
            return tuple(force <= 0.0 for force in self.contact_force)
        return (False,) * len(self.times)


def cam_length(shape: TrapShape, heights: Sequence[float]) -> float:
    """How far along the leg the edge for the eye goes, to bear it at the highest of `heights` [m]."""
    top = max((height for height in heights if math.isfinite(height)), default=0.0)
    clear = shape.eye_half_opening - shape.hinge_half_distance
    reach = math.sqrt(max(clear**2 + top**2 - shape.loop_clearance**2, 0.0)) * 1.04 + shape.edge_radius
    return min(max(reach, 0.3 * shape.height), 0.92 * shape.height)


def to_world(shape: TrapShape, angle: float, side: float, path: Sequence[Point]) -> list[Point]:
    """Points of a jaw (along the leg, towards the face) as points across and up; side 1 is the dogged jaw."""
    cosine, sine = math.cos(angle), math.sin(angle)
    a = shape.hinge_half_distance
    return [(side * (a + s * cosine - n * sine), s * sine + n * cosine) for s, n in path]


def jaw_section(shape: TrapShape, cam: float) -> list[Point]:
    """Outline of a jaw cut across the hinges, with the edge that the eye bears on."""
    half = 0.5 * shape.leg_thickness
    back = 0.5 * shape.offset_gap
    end = shape.height + shape.face_width
    jog = max(shape.height - max(back, 0.25 * shape.face_width), 0.5 * shape.height)
    cosine, sine = math.cos(shape.bevel), math.sin(shape.bevel)
    tip = (cam * cosine - half * sine, -cam * sine - half * cosine)
    face = [(jog, half), (shape.height, half - back)] if back else []
    under = [(shape.height, -half - back), (jog, -half)] if back else []
    # The end at the pin is round, as the eye's edge begins there.
    heel = [(-half * math.sin(k), half * math.cos(k)) for k in (0.0, 0.6, 1.2, 1.8, 2.4, math.pi - 0.2)]
    heel = [point for point in heel if point[1] > -half * cosine] + [(-half * sine, -half * cosine)]
    up = [(min(tip[0] + 0.5 * max(-half - tip[1], 0.0), jog), -half)]
    return [*heel, tip, *up, *reversed(under), (end, -half - back), (end, half - back), *reversed(face)]


def strips(shape: TrapShape) -> list[tuple[str, list[Point]]]:
    """Lamination and pad of a jaw cut across the hinges, by name."""
    found = []
    top = 0.5 * shape.leg_thickness - 0.5 * shape.offset_gap
    if shape.lamination_width > 0.0:
        inner = (
            shape.height - shape.lamination_width
            if shape.lamination_side == "inside"
            else shape.height + shape.face_width
        )
        depth = top - (shape.lamination_thickness or shape.leg_thickness)
        found.append(("lamination", _box(inner, depth, inner + shape.lamination_width, top)))
    if shape.pad_width > 0.0 and shape.pad_thickness > 0.0:
        middle = shape.height + 0.5 * shape.face_width
        half = 0.5 * shape.pad_width
        found.append(("pad", _box(middle - half, top, middle + half, top + shape.pad_thickness)))
    return found


def _box(left: float, low: float, right: float, high: float) -> list[Point]:
    return [(left, low), (right, low), (right, high), (left, high)]
