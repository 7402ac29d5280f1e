"""Facts of one planned set that rules may ask for, each a value with its spread or unknown."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cache
from types import MappingProxyType

from setwright.basis.errors import BadInput

Value = float | bool | str | datetime | None


@dataclass(frozen=True, slots=True)
class Feature:
    """What a feature is: its kind, its unit, its name in a sentence and the question that settles it.

    Parameters
    ----------
    kind : str
        `number`, `truth`, `word` or `moment`.
    label : str
        Its name in a sentence.
    question : str
        What the user is asked when it is unknown.
    unit : str
        SI unit of a number; empty for the other kinds.
    shown : str
        Kind of the number in a sentence (`basis.say.KINDS`); empty for the other kinds.

    """

    kind: str
    label: str
    question: str
    unit: str = ""
    shown: str = ""


def _length(label: str, question: str) -> Feature:
    return Feature("number", label, question, "m", "length")


def _count(label: str, question: str) -> Feature:
    return Feature("number", label, question, "one", "count")


def _truth(label: str, question: str) -> Feature:
    return Feature("truth", label, question)


def _word(label: str, question: str) -> Feature:
    return Feature("word", label, question)


def _moment(label: str, question: str) -> Feature:
    return Feature("moment", label, question)


FEATURES: Mapping[str, Feature] = MappingProxyType(
    {
        "device": _word("device", "what kind of device is it (foothold, cable, body-gripping, box)?"),
        "device_id": _word("device on the list", "which entry of the list of allowed devices is this trap?"),
        "family": _word("kind of spring", "which family of trap is it (coil, long)?"),
        "nominal_size": _word("trap number", "which trap number does it carry?"),
        "jaw_spread": _length("jaw spread", "how wide are the jaws of the set trap, and how was that measured?"),
        "jaw_gap_closed": _length("gap between the closed jaws", "how wide is the gap between the closed jaws?"),
        "jaw_face_width": _length("gripping face of a jaw", "how wide is the gripping face of a jaw?"),
        "lamination_width": _length("lamination", "how wide is the strip added to each jaw?"),
        "lamination_side": _word("side of the lamination", "is the strip on the inside or the outside of the jaw?"),
        "double_jaw_width": _length("second jaw", "how wide is the second jaw bar?"),
        "offset": _truth("offset jaws", "are the jaws offset?"),
        "laminated": _truth("laminated jaws", "are the jaws laminated?"),
        "padded": _truth("padded jaws", "are the jaws padded?"),
        "double_jawed": _truth("double jaws", "has each jaw a second bar?"),
        "toothed": _truth("teeth on the jaws", "have the jaws teeth?"),
        "spring_count": _count("springs", "how many springs has the trap?"),
        "pan_trip_force": Feature("number", "pan trip force", "at what force does the pan trip?", "N", "force"),
        "swivel_count": _count("swivels", "how many swivels are there from trap to anchor, base swivel included?"),
        "base_swivel": _truth("a swivel at the base", "has the trap a swivel at its base?"),
        "chain_length": _length("chain length", "how long is the chain?"),
        "anchor_kind": _word("kind of anchor", "how is the trap anchored?"),
        "drag": _truth("a drag", "is the trap on a drag?"),
        "medium": _word("medium of the set", "does the set stand on land or in water?"),
        "set_type": _word("type of set", "which type of set is it?"),
        "submersion": _truth("submersion set", "is it rigged to hold the animal under?"),
        "under_ice": _truth("set under ice", "does the set lie under ice?"),
        "suspends": _truth("hanging catch", "can a caught animal hang from this set?"),
        "depth_over_pan": _length("water over the pan", "how deep is the water over the pan?"),
        "submerged_share": Feature(
            "number", "share of the trap under water", "how much of the trap is under water?", "one", "share"
        ),
        "height": _length("height above ground", "how high above the ground does the trap lie?"),
        "covered": _truth("covered trap", "is the trap covered?"),
        "bait_present": _truth("bait", "is there bait at the set?"),
        "bait_visible": _truth("visible bait", "can the bait be seen, and from where (from the air, from any side)?"),
        "bait_volume": Feature(
            "number", "size of the bait", "how large is the largest piece of bait?", "m**3", "volume"
        ),
        "bait_distance": _length("distance from trap to bait", "how far from the trap does the bait lie?"),
        "tag_name": _truth("name on the tag", "does the trap carry a tag with the name?"),
        "tag_address": _truth("address on the tag", "does the tag carry the address?"),
        "tag_number": _truth("agency number on the tag", "does the tag carry the number given by the agency?"),
        "tag_durable": _truth("durable tag", "is the tag of metal or another durable material?"),
        "tag_visible": _truth("tag in sight", "can the tag be seen above water, ice and snow?"),
        "land_tenure": _word("whose land it is", "whose land is it (own, private, public)?"),
        "permission": _truth("permission for the land", "is there permission for this land, written where required?"),
        "licence_class": _word("class of licence", "which class of licence is held?"),
        "course_passed": _truth("trapper course", "is the trapper course passed?"),
        "purpose": _word("purpose", "is it for fur, for damage control or for research?"),
        "occupant_informed": _truth("occupant informed", "was the occupant of the dwelling informed?"),
        "agent_checks": _truth("an agent checks", "does somebody else check the set at times?"),
        "agent_permission": _truth("written permission of the agent", "has the agent a written permission?"),
        "agent_checks_in_a_row": _count(
            "checks in a row by the agent", "how many checks in a row does the agent make?"
        ),
        "traps_out": _count("traps out", "how many traps does this person have out?"),
        "traps_at_site": _count("traps at the site", "how many traps stand at this site?"),
        "traps_in_set": _count("traps in the set", "how many traps are in this set?"),
        "target": _word("target", "which animal is the set for?"),
        "zone": _word("zone", "in which zone or district does the set lie?"),
        "check_interval": Feature("number", "time between visits", "when is the next visit planned?", "s", "time"),
        "made": _moment("moment of setting", "when was or will the set be made?"),
        "last_visit": _moment("last visit", "when was the set last seen?"),
        "next_visit": _moment("next visit", "when is the next visit planned?"),
        "pull": _moment("moment of pulling", "when will the set be pulled?"),
        "sunrise": _moment("sunrise", "when does the sun rise on that day?"),
        "sunset": _moment("sunset", "when does the sun set on that day?"),
    }
)
# Families of features: the part after the colon is a name of the pack's or the line book's own.
_FAMILIES: Mapping[str, Feature] = MappingProxyType(
    {
        "distance": Feature(
            "number", "distance to the nearest {}", "how far is it from the set to the nearest {}?", "m", "distance"
        ),
        "width": _length("width of the {}", "how wide is the {}?"),
        "zone": _truth("zone {}", "does the set lie in {}?"),
        "event": _moment("{}", "has this happened, and when: {}?"),
        "act": _moment("{}", "was this done, and when: {}?"),
        "own": _truth("{}", "{}: yes or no?"),
    }
)


@cache
def feature(name: str) -> Feature:
    """Describe a feature by name; BadInput when there is none of that name."""
    found = FEATURES.get(name)
    if found is not None:
        return found
    family, colon, rest = name.partition(":")
    if colon and rest and family in _FAMILIES:
        base, words = _FAMILIES[family], rest.replace("-", " ").replace("_", " ")
        return replace(base, label=base.label.format(words), question=base.question.format(words))
    raise BadInput("no feature of this name", found=name, allowed=_near(name))


def _near(name: str) -> str:
    import difflib

    families = [f"{family}:…" for family in _FAMILIES]
    return ", ".join(
        difflib.get_close_matches(name, list(FEATURES), 4, 0.5) or ["jaw_spread", "submersion", *families]
    )


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact: a value with its span, or unknown.

    Parameters
    ----------
    value : float, bool, str, datetime or None
        SI value, truth, word or aware moment; None when unknown (`low` and `high` may still bound it).
    low, high : float, optional
        Span in which a number lies for certain; a missing side is the value itself.
    method : str, optional
        How it was measured: a way of `law.measure` for a jaw spread, `edge` or `centreline` for a distance,
        `air` or `any` for the viewpoint of visible bait.

    """

    value: Value
    low: float | None = None
    high: float | None = None
    method: str | None = None

    @property
    def known(self) -> bool:
        """True when there is a value that is a number, a truth, a word or a moment."""
        return self.value is not None and not (isinstance(self.value, float) and math.isnan(self.value))

    @property
    def span(self) -> tuple[float, float]:
        """Lowest and highest value that a number may have; infinite where nothing bounds it."""
        value = float(self.value) if self.known and isinstance(self.value, (int, float)) else None
        low = self.low if self.low is not None and not math.isnan(self.low) else value
        high = self.high if self.high is not None and not math.isnan(self.high) else value
        return (-math.inf if low is None else low, math.inf if high is None else high)

    @property
    def truth(self) -> bool | None:
        """The truth, or None when it is unknown."""
        return self.value if isinstance(self.value, bool) else None

    @property
    def word(self) -> str | None:
        """The word, or None when it is unknown."""
        return self.value if isinstance(self.value, str) else None

    @property
    def moment(self) -> datetime | None:
        """The moment, or None when it is unknown."""
        return self.value if isinstance(self.value, datetime) else None


UNKNOWN = Fact(None)


@dataclass(frozen=True)
class Facts:
    """All that is known of a set, by feature name; what is not named is unknown.

    Parameters
    ----------
    values : mapping of str to Fact
        Facts by feature name: a name of `FEATURES`, or `distance:<what>` [m], `width:<what>` [m], `zone:<name>`
        (truth), `event:<name>` and `act:<name>` (moment, or False when it has not happened), `own:<name>` (truth).

    """

    values: Mapping[str, Fact]

    def __post_init__(self) -> None:
        for name, fact in self.values.items():
            _check(name, fact)
        object.__setattr__(self, "values", MappingProxyType(dict(self.values)))

    def __getitem__(self, name: str) -> Fact:
        return self.values.get(name, UNKNOWN)

    def __contains__(self, name: object) -> bool:
        return name in self.values

    def __iter__(self) -> Iterator[str]:
        return iter(self.values)

    def with_facts(self, **changed: Fact) -> Facts:
        """Copy with some facts replaced; for a name with a colon pass `**{"distance:road": …}`."""
        return Facts({**self.values, **changed})


def _check(name: str, fact: Fact) -> None:
    about = feature(name)
    value = fact.value
    fits = {
        "number": isinstance(value, (int, float)) and not isinstance(value, bool),
        "truth": isinstance(value, bool),
        "word": isinstance(value, str),
        "moment": isinstance(value, datetime) or value is False,
    }[about.kind]
    if value is not None and not fits:
        raise BadInput(f"a fact of the wrong kind, {about.kind} is meant", field=name, found=value)
    if isinstance(value, datetime) and value.tzinfo is None:
        raise BadInput("a moment needs its time zone", field=name, found=value.isoformat())
    low, high = fact.span if about.kind == "number" else (0.0, 0.0)
    middle = float(value) if about.kind == "number" and isinstance(value, (int, float)) else low
    if low > high or (math.isfinite(middle) and not low <= middle <= high):
        raise BadInput("low, value and high are not in order", field=name, found=f"{low:g}, {middle:g}, {high:g}")
