"""Cautions that must be read with a set, by animal and by situation, and what to do before leaving it."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from setwright.basis.verdict import Answer
from setwright.desk import caution_words as words
from setwright.desk import document as doc
from setwright.desk.wording import show
from setwright.sets import submerge
from setwright.sets.context import Context
from setwright.sets.evaluate import SetResult
from setwright.sets.model import Rig
from setwright.sets.treated import additive_name, harm_of

COLD_WATER = 15.0
HARD_COLD, HOT, BANK_ICE = -10.0, 25.0, -2.0
RABIES_VECTORS = ("raccoon", "striped_skunk", "red_fox", "gray_fox", "coyote_west", "coyote_east")
WATER_RODENTS = ("muskrat", "beaver", "nutria")
HARES = ("cottontail", "jackrabbit", "snowshoe_hare")
MANGY = ("red_fox", "gray_fox", "kit_swift_fox", "coyote_west", "coyote_east", "wolf")
FLEA_CARRIERS = (*MANGY, "bobcat", "lynx", "cougar", "badger", "jackrabbit", "cottontail")
# West of this meridian plague is at home in wild rodents (memory); a book without positions is taken to lie there.
WEST = -97.0
# Within this distance [m] somebody who knows nothing of traps may come by (assumed).
PEOPLE = 300.0
PLACES = ("trail", "dwelling", "school", "road", "camp", "park", "landing")


def cautions(context: Context, result: SetResult) -> list[doc.Caution]:
    """Cautions of one set, gravest first, since a card prints the first few.

    The trapper's own hands and water, other animals and their release, then ice, people, handling, weather, disease.
    """
    found = [doc.Caution(head="Your hands", text=words.HANDS)]
    site = context.site
    in_water = _water(context) if site.medium == "water" else []
    found += in_water[:1]
    found += _others(context, result)
    if any(key.startswith("dog") for key in context.species):
        found.append(doc.Caution(head="If a dog is held", text=words.RELEASE))
    found += in_water[1:]
    if any(place in near and away <= PEOPLE for near, away in site.near.items() for place in PLACES):
        found.append(doc.Caution(head="People", text=words.CHILDREN))
    if submerge.is_intended(context, result.rig):
        found.append(doc.Caution(head="Submersion", text=words.SUBMERSION))
    if _may_hold_alive(context, result):
        found.append(doc.Caution(head="Dispatch", text=words.DISPATCH))
    return found + treated_cautions([result.rig]) + _weather(context) + _disease(context)


def treated_cautions(rigs: Sequence[Rig]) -> list[doc.Caution]:
    """What stands beside a cover with salt or glycol in it, once for each of them."""
    mixed = {rig.treated.key: rig.treated for rig in rigs if rig.treated is not None}
    return [
        doc.Caution(
            head=f"{additive_name(treated).capitalize()} in the cover",
            text=f"{words.TREATED} It {harm_of(treated)}.",
        )
        for treated in mixed.values()
    ]


def release_steps() -> tuple[str, ...]:
    """The release of a dog in order, for a card that is carried and for a lesson."""
    return words.DOG_RELEASE


def lesson_cautions() -> list[doc.Caution]:
    """Cautions of a lesson with traps in the room or outside."""
    return [
        doc.Caution(head="Students", text=words.STUDENTS),
        doc.Caution(head="Your hands", text=words.HANDS),
        doc.Caution(head="Test firing", text=words.TEST_FIRING),
        doc.Caution(head="If a dog is held", text=words.RELEASE),
    ]


def _may_hold_alive(context: Context, result: SetResult) -> bool:
    """A set that is meant to hold alive, or whose submersion is not sure."""
    if not submerge.is_intended(context, result.rig):
        return True
    return any(gate.name == "submersion" and gate.answer is not Answer.MEETS for gate in result.gates)


def _water(context: Context) -> list[doc.Caution]:
    known = context.conditions.water_temperature
    night, snow = context.conditions.night, context.conditions.snow
    cold = known is not None and known.value is not None and known.value <= COLD_WATER
    first = (
        f"Water at {show(known.value, 'temperature')}: hands work for about ten minutes. " if cold and known else ""
    )
    found = [doc.Caution(head="You, in the water", text=first + words.WADING)]
    frozen = night is not None and float(np.min(night.air)) < 0.0
    snowed = snow is not None and snow.value is not None and snow.value > 0.0
    if frozen or snowed or context.site.set_type == "pole":
        found.append(doc.Caution(head="Ice", text=words.ICE))
    if cold or known is None or known.value is None:
        found.append(doc.Caution(head="Cold water", text=words.COLD_WATER))
    return found


def _weather(context: Context) -> list[doc.Caution]:
    night = context.conditions.night
    if night is None:
        return []
    found = []
    low = float(np.min(night.air))
    if low <= HARD_COLD:
        found.append(doc.Caution(head="Hard cold", text=words.HARD_COLD.format(low=show(low, "temperature"))))
    if context.site.medium == "water" and float(np.mean(night.air)) < BANK_ICE:
        found.append(doc.Caution(head="Bank ice", text=words.BANK_ICE))
    by_day = night.air[~night.dark]
    if by_day.size and float(np.max(by_day)) > HOT:
        high = show(float(np.max(by_day)), "temperature")
        found.append(doc.Caution(head="Heat", text=words.HEAT.format(high=high)))
    return found


def _disease(context: Context) -> list[doc.Caution]:
    """By every animal that may come, not the target alone."""
    west = context.site.longitude is None or context.site.longitude <= WEST
    told = (
        ("Disease", RABIES_VECTORS, words.RABIES, True),
        ("Disease", WATER_RODENTS, words.TULAREMIA, True),
        ("Hares and rabbits", HARES, words.HARES, True),
        ("Mange", MANGY, words.MANGE, True),
        ("Fleas", FLEA_CARRIERS, words.PLAGUE, west),
    )
    return [
        doc.Caution(head=head, text=text)
        for head, carriers, text, here in told
        if here and any(key in carriers for key in context.species)
    ]


def _others(context: Context, result: SetResult) -> list[doc.Caution]:
    found = []
    for key, species in context.species.items():
        if key == context.site.target or not (species.is_pet or species.is_protected or species.is_limited):
            continue
        first = show(100.0 * float(np.median(result.outcome[key].first)), "number")
        text = f"In 100 waits it is the first to fire this trap about {first} times. "
        said = words.PET if species.is_pet else words.PROTECTED
        found.append(doc.Caution(head=species.name.split(",")[0], text=text + said))
    return found


def steps(context: Context, result: SetResult) -> list[str]:
    """What to do before leaving the set, in order."""
    rig = result.rig
    found = ["four-point press: no wobble", "dog seated, loose jaw flat", "pan level, trip force read three times"]
    if context.site.medium == "water":
        found.append("depth over the pan measured")
        if rig.slide is not None:
            found += ["depth at the stop measured", "lock runs down, does not come back", "bank end above high water"]
    else:
        found += ["cover dry, none under the pan", "attractant out of sight from above"]
    if rig.anchor is not None and rig.anchor.kind in ("stake", "crossed", "plate"):
        found.append("anchor proof-pulled, pull written down")
    if any(key.startswith("dog") for key in context.species):
        found.append("catch-pole, coat and board in reach")
    found.append("tag on the trap")
    return found
