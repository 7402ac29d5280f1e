"""The ground of a site as layers of drawn strength, its moisture and frost, and what to feel where it is unknown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Kind, Quantity, Source
from setwright.ground import tables as ground_tables
from setwright.ground.soil import Layer, spans, thawed
from setwright.sets.context import Context, Floats
from setwright.sets.model import SiteFacts, Soil
from setwright.sets.result import Origin

UNKNOWN = "unknown ground"
STATED = Source(Kind.MEASURED, "line book", "stated")
# What to do with hand and boot, by the test that tells most (hand_tests of the ground tables).
HAND_TESTS = {
    "thumb": "press a thumb into {place:word} and write down what it leaves: a dent, an inch, or nothing",
    "ribbon": "wet a pinch of {place:word}, squeeze it out between thumb and finger, and write down the ribbon",
    "boot": "stand on {place:word} with one boot and write down the print",
    "stake": "drive a stake into {place:word} and write down how it goes in",
    "": "dig down, take a handful of {place:word} and have it named: the hand tests leave it open",
}
PLACES = (
    "the ground",
    "the layer below",
    "the third layer",
    "the fourth layer",
    "the fifth layer",
    "the sixth layer",
)


def label_of(soil: Soil) -> str:
    """Name of a soil for people, with its moisture where it is not the usual one."""
    if not soil.key:
        return UNKNOWN
    name = ground_tables.soils().text(soil.key, "label")
    return name if soil.moisture == "moist" or soil.moisture in name else f"{soil.moisture} {name}"


def ground_word(site: SiteFacts) -> str:
    """The layers in words, from the top down."""
    words = " over ".join(label_of(soil) for soil in site.soils) or "ground"
    return f"{words}, frozen on top" if site.frozen_depth > 0.0 else words


def question_of(site: SiteFacts, deepest: float) -> Say | None:
    """The hand test that settles a soil that an anchor of this depth [m] reaches; None where all are known."""
    top = 0.0
    for number, soil in enumerate(site.soils):
        if not soil.key and top < deepest:
            return Say(HAND_TESTS[soil.settles if soil.settles in HAND_TESTS else ""], place=PLACES[number])
        top += soil.thickness
    return None


def strength_of(context: Context, number: int) -> Quantity | None:
    """Undrained strength of a layer when moist, stated or of its class; None where its model has none."""
    soil = context.site.soils[number]
    if soil.strength is not None:
        return soil.strength.with_spread(0.3)
    return ground_tables.soils().record(soil.key).get("cu") if soil.key else None


def cohesion(context: Context, number: int, moisture: str = "") -> Floats:
    """Draws of the undrained strength of a layer [Pa], shape (n,), as moist as it is, or in another state; or NaN."""
    quantity = strength_of(context, number)
    if quantity is None:
        return np.full(context.n, np.nan)
    found = context.drawn(f"soil.{number}.cu", quantity)
    soil = context.site.soils[number]
    if soil.strength is not None and moisture in ("", soil.moisture):
        # A strength that was read is that of the ground as it was.
        return found
    return found * _wetness(context, moisture or soil.moisture)


def _wetness(context: Context, moisture: str) -> Floats:
    table = ground_tables.moisture()
    return context.kept.get(
        ("moisture", moisture), lambda: context.drawn(f"moisture.{moisture}", table.get(moisture, "strength_factor"))
    )


def _layer(context: Context, number: int, moisture: str = "") -> Layer:
    soil = context.site.soils[number]
    table = ground_tables.soils()
    if not soil.key:
        nothing = np.full(context.n, np.nan)
        return Layer(UNKNOWN, "undrained", soil.thickness, nothing, nothing, nothing, nothing)
    record: Mapping[str, Quantity] = table.record(soil.key)

    def draw(name: str) -> Floats:
        quantity = record.get(name)
        return np.full(context.n, np.nan) if quantity is None else context.drawn(f"soil.{number}.{name}", quantity)

    state = ground_tables.moisture().text(moisture or soil.moisture, "submerged")
    soaked = context.site.medium == "water" or state == "yes"
    weight = "unit_weight_submerged" if soaked and "unit_weight_submerged" in record else "unit_weight"
    return Layer(
        name=label_of(soil),
        model=table.text(soil.key, "model"),
        thickness=soil.thickness,
        phi=draw("phi"),
        cu=cohesion(context, number, moisture),
        unit_weight=draw(weight),
        delta=draw("delta_steel"),
    )


def layers(context: Context) -> tuple[Layer, ...]:
    """Soil layers of the site with drawn strengths; empty when the ground was not stated.

    Ground that is frozen on top is taken as it will be after a thaw, soaked: frost lets go, and the anchor must not.
    """
    numbers = range(len(context.site.soils))
    found = tuple(_layer(context, number) for number in numbers)
    depth = context.site.frozen_depth
    if depth > 0.0:
        parts: list[Layer] = []
        for number, (layer, top, bottom) in zip(numbers, spans(found, 0.0, np.inf), strict=True):
            cut = min(max(depth, top), bottom)
            if cut > top:
                parts.append(replace(_layer(context, number, "soaked"), thickness=cut - top))
            if bottom > cut:
                parts.append(replace(layer, thickness=bottom - cut))
        found = tuple(parts)
    firm = next((number for number in numbers if _layer_thaws(context.site.soils[number])), None)
    if not any(layer.model == "adfreeze" for layer in found) or firm is None:
        return found
    return thawed(found, _layer(context, firm, "soaked"))


def _layer_thaws(soil: Soil) -> bool:
    """Whether a layer is described as what it is without frost."""
    return bool(soil.key) and ground_tables.soils().text(soil.key, "model") != "adfreeze"


def is_frozen(site: SiteFacts) -> bool:
    """Whether the ground is frozen on top."""
    return site.frozen_depth > 0.0 or bool(site.soils and site.soils[0].key == "frozen")


def origins(context: Context) -> tuple[Origin, ...]:
    """Where the strength of each layer came from."""
    found = []
    for number, soil in enumerate(context.site.soils):
        if not soil.key:
            continue
        quantity = strength_of(context, number) or ground_tables.soils().record(soil.key).get("phi")
        if quantity is not None:
            found.append(Origin(f"strength of {label_of(soil)}", quantity.source))
        if soil.moisture != "moist" and soil.strength is None:
            source = ground_tables.moisture().get(soil.moisture, "strength_factor").source
            found.append(Origin(f"{soil.moisture} ground", source))
    return tuple(found)
