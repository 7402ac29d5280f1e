"""Parts of the line book about animals: their figures, what was seen at a site and on pans, records of designs."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from setwright.animal import tables as animal_tables
from setwright.animal.injury import Findings
from setwright.animal.model import QUANTITIES
from setwright.animal.welfare import PublishedTest
from setwright.basis.errors import BadInput
from setwright.basis.fields import Acceleration, Force, Length, Mass, Number, Share, Speed, Time, wrapped
from setwright.basis.source import Quantity
from setwright.line.part import Part
from setwright.sets.record import RigRecord

Key = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{0,39}$")]
Words = Annotated[str, Field(min_length=1, max_length=200)]
Role = Literal["target", "nontarget", "protected", "pet", "stock", "game", "limited"]


class AnimalEntry(Part):
    """Figures of one animal that replace the table's, or an animal of his own: `name`, `like`, `roles`, `mass`."""

    name: Words | None = None
    like: Key | None = None
    roles: list[Role] | None = Field(default=None, min_length=1, max_length=7)
    ages: dict[Key, Annotated[float, Field(ge=0, le=1e6)]] = Field(default_factory=dict, max_length=9)
    mass: Mass | None = None
    mass_cv: Share | None = None
    mass_low: Mass | None = None
    mass_high: Mass | None = None
    fore_width: Length | None = None
    fore_length: Length | None = None
    hind_width: Length | None = None
    hind_length: Length | None = None
    step: Length | None = None
    reach_fore: Length | None = None
    reach_hind: Length | None = None
    jaw_low: Length | None = None
    jaw_high: Length | None = None
    pan_low: Force | None = None
    pan_high: Force | None = None
    share: Number | None = None
    share_sd: Number | None = None
    dive_max: Time | None = None
    loss_time: Time | None = None
    speed: Speed | None = None
    acceleration: Acceleration | None = None
    grip_thickness_fore: Length | None = None
    grip_thickness_hind: Length | None = None
    grip_height: Length | None = None
    night: Share | None = None
    twilight: Share | None = None
    day: Share | None = None
    group: Number | None = None

    @property
    def figures(self) -> dict[str, Quantity]:
        """Figures that are stated, by field of `Species`."""
        return {name: value for name in QUANTITIES if (value := getattr(self, name)) is not None}

    @model_validator(mode="after")
    def _possible(self) -> AnimalEntry:
        with wrapped():
            for name, value in self.figures.items():
                field = animal_tables.FIGURES[name]
                for number in (value.value, value.low, value.high):
                    if number is not None and not field.low <= number <= field.high:
                        raise BadInput(
                            f"{name} is outside what is possible for any animal", field=name, found=number,
                            allowed=f"{field.low:g} to {field.high:g} {field.unit}",
                        )  # fmt: skip
        for low, high in (
            ("mass_low", "mass"),
            ("mass", "mass_high"),
            ("jaw_low", "jaw_high"),
            ("pan_low", "pan_high"),
        ):
            lower, upper = getattr(self, low), getattr(self, high)
            if lower is not None and upper is not None and lower.number > upper.number:
                raise ValueError(f"{low} is above {high}")
        for one in ("fore", "hind"):
            if (getattr(self, f"{one}_width") is None) != (getattr(self, f"{one}_length") is None) and self.like:
                raise ValueError(f"a {one} foot has a width and a length: state both")
        return self


class SeenEntry(Part):
    """What was seen of one animal at a site: visits in so many nights, and those with a foot on the pan."""

    visits: int = Field(ge=0, le=100_000)
    contacts: int | None = Field(default=None, ge=0)
    nights: float | None = Field(default=None, gt=0, le=20_000)

    @model_validator(mode="after")
    def _within(self) -> SeenEntry:
        if self.contacts is not None and self.contacts > self.visits:
            raise ValueError("contacts are visits with a foot on the pan: there cannot be more of them than visits")
        return self


class PanNote(Part):
    """Feet of one animal on pans of one trip force: `of` times stepped on, `fired` times among them."""

    species: Key
    trip_force: Force
    fired: int = Field(ge=0)
    of: int = Field(ge=1, le=100_000)
    kind: Literal["worked", "trail"] = "worked"

    @model_validator(mode="after")
    def _within(self) -> PanNote:
        if self.fired > self.of:
            raise ValueError("fired counts among `of`: a pan cannot fire more often than it was stepped on")
        if not self.trip_force.number > 0:
            raise ValueError("a note on a pan needs a trip force above zero")
        return self


class FindingEntry(Part):
    """One animal that a design held alive: `injuries` empty when looked at and none seen, left out when not noted."""

    injuries: list[Annotated[str, Field(max_length=20)]] | None = Field(default=None, max_length=40)
    whole: bool = True
    seen_by: Literal["field", "necropsy"] = "field"


class TestEntry(Part):
    """A published test of a design that he cites, with document and place in it."""

    document: Words
    place: Words
    criterion: Annotated[str, Field(max_length=60)]
    figure: float | None = Field(default=None, ge=0)
    animals: int | None = Field(default=None, ge=1)
    same_design: bool | None = None


class RigRecordEntry(Part):
    """What is recorded of one trap design, named by its pattern."""

    pattern: Annotated[str, Field(max_length=40)]
    findings: list[FindingEntry] = Field(default_factory=list, max_length=5000)
    tests: list[TestEntry] = Field(default_factory=list, max_length=100)

    def record(self) -> RigRecord:
        """The record as the gates read it."""
        return RigRecord(
            tuple(
                Findings(None if one.injuries is None else tuple(one.injuries), one.whole, one.seen_by)
                for one in self.findings
            ),
            tuple(
                PublishedTest(
                    document=one.document,
                    place=one.place,
                    criterion=one.criterion,
                    figure=one.figure,
                    animals=one.animals,
                    same_design=one.same_design,
                )
                for one in self.tests
            ),
        )
