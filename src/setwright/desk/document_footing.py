"""The part of the plan document on anchor, tackle and bed. Lengths are m, forces N, volumes m³, masses kg."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

Triple = tuple[float | None, float | None, float | None]
Family = Literal["coil", "long"]
AnchorKind = Literal["stake", "crossed", "plate", "tree", "root", "sapling", "drag", "weight", "none"]


class Shape(BaseModel):
    """Base of all parts: unknown fields are an error."""

    model_config = ConfigDict(extra="forbid", defer_build=True)


class TacklePart(Shape):
    """One part between trap and anchor: its slow strength, and in which share of failures it is the one that goes.

    `reading` says what to measure where nobody rates it.
    """

    name: str
    strength: float | None
    share: float | None
    note: str = ""
    reading: str = ""


class HoldMend(Shape):
    """A mend of anchor or tackle: what is then lost, minutes of work, weight to carry."""

    words: str
    loss: float
    minutes: float
    mass: float


class ChainLength(Shape):
    """Chance of loss on a chain of another length."""

    length: float
    loss: float


class FrozenTerm(Shape):
    """One thing that ice asks of the trap, over what the trap has in the set position."""

    name: str
    load: float
    mend: str
    governs: bool = False


class FrozenCure(Shape):
    """A change weighed against the ice: `offered` only where it works on the ice and is enough."""

    name: str
    offered: bool
    why: str


class FrozenBed(Shape):
    """What holds the trap at the worst hour of the night."""

    say: str
    when: str
    terms: list[FrozenTerm]
    cures: list[FrozenCure]


class Layer(Shape):
    """One layer of the ground from the top down; no thickness: it goes down without end."""

    label: str
    thickness: float | None


class Stone(Shape):
    """A place that bears, from the middle of the frame: along the hinge line, across it, height."""

    along: float
    across: float
    height: float


class FootingFigure(Shape):
    """Geometry of the drawing: bed and trap seen from above, anchor and chain in section, one scale for both.

    `angle` is the pull above the ground [rad], `lean` the head of a stake from the vertical [rad] or of each of a
    crossed pair; `keyed` the depth of a plate after it has turned; `sunk` how far the step pushes the trap in.
    """

    kind: AnchorKind
    layers: list[Layer] = Field(default_factory=list)
    frozen: float = 0.0
    chain: float
    angle: float
    bed_length: float
    bed_width: float
    bed_depth: float
    cover: float
    spread: float
    family: Family
    springs: int
    springs_bent: float = 0.0
    same_side: bool = False
    driven: float | None = None
    lean: float = 0.0
    keyed: float | None = None
    plate_length: float | None = None
    plate_width: float | None = None
    thickness: float | None = None
    refused: float | None = None
    board: tuple[float, float] | None = None
    sunk: float = 0.0
    stones: list[Stone] = Field(default_factory=list)
    words: dict[str, str] = Field(default_factory=dict)


class Footing(Shape):
    """Anchor, tackle and bed of one set: facts in words, chance of loss, mends, frost, drawing.

    `loss` is the chance that a full fight parts the animal from its anchor: it ranks, it does not forecast; `least`
    that it may be more, as a part is not rated. `minutes` are those of digging, median and band.
    """

    say: str
    facts: list[tuple[str, str]]
    loss: Triple
    least: bool
    parts: list[TacklePart]
    mends: list[HoldMend]
    lengths: list[ChainLength]
    wants: str
    aim: str
    volume: float
    cover: float
    minutes: Triple
    frozen: FrozenBed | None = None
    figure: FootingFigure
