"""Facts that a line book states for the rules: whatever a pack asks and no other field of the book tells."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from setwright.basis.errors import BadInput
from setwright.basis.fields import read_quantity
from setwright.law.facts import Fact, feature
from setwright.law.pack import Pack
from setwright.law.zones import zone_facts


def read_facts(found: Mapping[str, Any], where: str, zone: ZoneInfo) -> dict[str, Fact]:
    """Read stated facts by the name and the kind of their feature.

    Parameters
    ----------
    found : mapping of str to object
        As the book has them: `course_passed: true`, `height: 1 ft`, `"event:bear-notice": "2026-12-01T12:00"`.
    where : str
        Field of the book, for messages.
    zone : ZoneInfo
        Zone of moments that are written without one.

    Raises
    ------
    BadInput
        For a feature that no rule can ask for, or a value of another kind.

    """
    facts = {}
    for name, value in found.items():
        place = f"{where}.{name}"
        try:
            facts[name] = _read(name, value, zone)
        except BadInput as error:
            raise error.at(field=place) from None
    return facts


def _read(name: str, value: Any, zone: ZoneInfo) -> Fact:
    about = feature(name)
    if value is None:
        return Fact(None)
    if about.kind == "number":
        quantity = read_quantity(value, about.unit)
        return Fact(quantity.number, quantity.low, quantity.high)
    if about.kind == "truth" and isinstance(value, bool):
        return Fact(value)
    if about.kind == "word" and isinstance(value, str):
        return Fact(value)
    if about.kind == "moment" and (value is False or isinstance(value, (str, datetime))):
        return Fact(False) if value is False else Fact(_moment(value, zone))
    words = {"truth": "true or false", "word": "a word", "moment": "a moment such as '2026-12-01T12:00', or false"}
    raise BadInput("a fact of another kind is meant", found=value, allowed=words[about.kind])


def _moment(value: Any, zone: ZoneInfo) -> datetime:
    try:
        moment = value if isinstance(value, datetime) else datetime.fromisoformat(value)
    except ValueError:
        raise BadInput("not a moment", found=value, allowed="such as '2026-12-01T12:00'") from None
    return moment if moment.tzinfo is not None else moment.replace(tzinfo=zone)


def zones_of(packs: Sequence[tuple[str, Pack]], place: tuple[float, float] | None) -> dict[str, Fact]:
    """Whether a place lies in the zones of all packs; BadInput when two packs draw one name differently."""
    drawn: dict[str, tuple[str, object]] = {}
    for name, pack in packs:
        for zone, about in pack.zones.items():
            other = drawn.setdefault(zone, (name, about.geometry))
            if other[1] != about.geometry:
                raise BadInput(
                    "two packs draw a zone of this name differently", field="law.packs", found=zone,
                    allowed=f"another name in {other[0]} or {name}",
                )  # fmt: skip
    if place is None:
        return {}
    found: dict[str, Fact] = {}
    for _, pack in packs:
        found |= zone_facts(pack.zones, *place)
    return found


def settled(stated: Mapping[str, Fact], located: Mapping[str, Fact]) -> dict[str, Fact]:
    """Stated facts with those that the map tells; where the map cannot tell, what is stated counts.

    Raises
    ------
    BadInput
        When the book says of a zone what the map certainly contradicts.

    """
    found = dict(stated)
    for name, fact in located.items():
        said = stated.get(name)
        if fact.value is None and said is not None:
            continue
        if said is not None and said.value is not None and fact.value is not said.value:
            raise BadInput(
                "the place of the site says otherwise", field=name, found=said.value,
                allowed="the other answer, or another position",
            )  # fmt: skip
        found[name] = fact
    return found
