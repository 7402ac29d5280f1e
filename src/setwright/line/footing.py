"""Ground, anchors, chains and beds as they are written in the line book."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from setwright.basis.errors import BadInput
from setwright.basis.fields import Angle, Force, Length, Level, Mass, Rate, Rise, Share, Strength, wrapped
from setwright.line.part import Id, Part

UNKNOWN = "unknown"
Moisture = Literal["dry", "moist", "soaked"]


class HandTests(Part):
    """What the hand felt in one layer: answers by their keys in the table of hand tests."""

    thumb: Id | None = None
    ribbon: Id | None = None
    boot: Id | None = None
    stake: Id | None = None


class SoilLayer(Part):
    """One layer of the ground from the top down; the last may have no thickness.

    Its soil is named, or felt by hand, or `unknown`; its place is a thickness, or the depths of its top and bottom.
    """

    soil: Id | None = None
    hand: HandTests | None = None
    thickness: Length | None = None
    top: Length | None = None
    bottom: Length | None = None
    strength: Strength | None = None
    moisture: Moisture | None = None

    @model_validator(mode="after")
    def _named_once(self) -> Self:
        with wrapped():
            if (self.soil is None) == (self.hand is None):
                raise BadInput(
                    "a layer is either named or felt by hand",
                    field="soil",
                    found="both" if self.soil is not None else "neither",
                    allowed="soil, or hand with the answers of the hand tests; soil: unknown where nobody felt it",
                )
            if self.thickness is not None and (self.top is not None or self.bottom is not None):
                raise BadInput("a layer has a thickness or two depths, not both", field="thickness")
        return self


class Ground(Part):
    """What lies under the set; `frozen` is the depth of frost, `snags` the mean way between what stops a drag."""

    layers: list[SoilLayer] = Field(min_length=1, max_length=6)
    frozen: Length | None = None
    snags: Length | None = None


class Stay(Part):
    """Seasons that a chain lay in one place, for its rust: a place of the rust table and years in it."""

    place: Id
    years: float = Field(ge=0, le=100)


class ShockSpring(Part):
    """A spring in the chain: its rate, the stretch until it is solid, the pull at which it begins to move."""

    rate: Rate | None = None
    stroke: Length | None = None
    preload: Force | None = None


class ChainEntry(Part):
    """A chain assembly: its length, its parts from the trap to the anchor, and what was gauged and pulled on it.

    `number` is the trade number of its chain, which means nothing without the gauged `wire`. `gauged` is the most
    worn link, `worn_to` the same as a share of the wire. `tested` are loads at which samples failed, `proved` loads
    that parts held without a mark.
    """

    id: Id
    length: Length
    number: Id | None = None
    wire: Length | None = None
    parts: list[Id] = Field(default_factory=list, max_length=20)
    swivels: int | None = Field(default=None, ge=0, le=12)
    count: int = Field(default=99, ge=1)
    shock_spring: bool | ShockSpring = False
    worn_to: Share | None = None
    gauged: Length | None = None
    rusted: list[Stay] = Field(default_factory=list, max_length=40)
    zinc: Length | None = None
    tested: dict[Id, Force | list[Force]] = Field(default_factory=dict)
    proved: dict[Id, Force] = Field(default_factory=dict)
    note: str = ""

    @model_validator(mode="after")
    def _gauged_once(self) -> Self:
        if self.gauged is not None and self.worn_to is not None:
            raise ValueError("gauged and worn_to are the same reading: take one out")
        if self.gauged is not None and self.rusted:
            raise ValueError("a gauged link has its rust in it: take rusted out")
        return self


class AnchorEntry(Part):
    """An anchor kind that he owns: stock from the table, or measured.

    `dead` is a tree, sapling or root without life in it; `prongs` how far those of a drag reach into the ground.
    """

    id: Id
    kind: Literal["stake", "crossed", "plate", "tree", "root", "sapling", "drag", "weight"]
    stock: Id | None = None
    length: Length | None = None
    width: Length | None = None
    perimeter: Length | None = None
    plate_width: Length | None = None
    plate_length: Length | None = None
    pull_height: Length | None = None
    diameter: Length | None = None
    dead: bool = False
    mass: Mass | None = None
    prongs: Length | None = None
    material: Literal["concrete", "stone", "steel", "sandbag"] | None = None
    count: int = Field(default=99, ge=1)
    note: str = ""


class BoardUse(Part):
    """Board or mesh under the trap; `solid` is the share of it that is not open."""

    length: Length
    width: Length
    solid: Share | None = None


class Stone(Part):
    """A place under the frame that bears: along the hinge line and across it from its middle, and its height."""

    along: Level
    across: Level
    height: Level


class BedUse(Part):
    """How the trap lies: springs bent, the stones that it rests on, the four-point test by hand.

    `pan_rise` is how far the set pan stands above the plane of the jaws, below zero where it hangs.
    `base` says whether the floor of the bed is wet: what freezes there holds jaws and springs.
    """

    springs_bent: Angle | None = None
    same_side: bool = False
    stones: list[Stone] = Field(default_factory=list, max_length=24)
    steady: bool | None = None
    base: Literal["dry", "wet"] | None = None
    pan_rise: Rise | None = None

    @model_validator(mode="after")
    def _enough(self) -> Self:
        if self.stones and len(self.stones) < 3:
            raise ValueError("a frame lies on three stones or more; write down every place that bears")
        return self
