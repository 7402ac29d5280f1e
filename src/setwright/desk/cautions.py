"""Cautions that must be read with a set, and what to do before leaving it."""

from __future__ import annotations

import numpy as np

from setwright.desk import document as doc
from setwright.desk.caution_words import HANDS, PET, PROTECTED, RABIES, SUBMERSION, TULAREMIA, WADING
from setwright.desk.wording import show
from setwright.sets import submerge
from setwright.sets.context import Context
from setwright.sets.evaluate import SetResult

COLD_WATER = 15.0
RABIES_VECTORS = ("raccoon", "striped_skunk", "red_fox", "gray_fox", "coyote_west", "coyote_east")
WATER_RODENTS = ("muskrat", "beaver", "nutria")


def cautions(context: Context, result: SetResult) -> list[doc.Caution]:
    """Cautions of one set: the trapper's own hands and water first, other animals next."""
    found = [doc.Caution(head="Your hands", text=HANDS)]
    site = context.site
    night = context.conditions.night
    if site.medium == "water":
        cold = context.conditions.water_temperature
        words = ""
        if cold is not None and cold.value is not None and cold.value <= COLD_WATER:
            words = f"Water at {show(cold.value, 'temperature')}: hands work for about ten minutes. "
        found.append(doc.Caution(head="You, in the water", text=words + WADING))
    found += _others(context, result)
    if submerge.is_intended(context, result.rig):
        found.append(doc.Caution(head="Submersion", text=SUBMERSION))
    if night is not None and float(np.min(night.air)) <= -10.0:
        low = show(float(np.min(night.air)), "temperature")
        text = f"Air down to {low}. See sets that hold alive at first light; a held foot may freeze."
        found.append(doc.Caution(head="Hard cold", text=text))
    if night is not None and site.medium == "water" and float(np.mean(night.air)) < -2.0:
        text = "Skim ice may hold the trap, or the lock at the water line. Break it at every check."
        found.append(doc.Caution(head="Bank ice", text=text))
    if site.target in RABIES_VECTORS:
        found.append(doc.Caution(head="Disease", text=RABIES))
    elif site.target in WATER_RODENTS:
        found.append(doc.Caution(head="Disease", text=TULAREMIA))
    return found


def _others(context: Context, result: SetResult) -> list[doc.Caution]:
    found = []
    for key, species in context.species.items():
        if key == context.site.target or not (species.is_pet or species.is_protected or species.is_limited):
            continue
        first = show(100.0 * float(np.median(result.outcome[key].first)), "number")
        text = f"In 100 waits it is the first to fire this trap about {first} times. "
        found.append(doc.Caution(head=species.name.split(",")[0], text=text + (PET if species.is_pet else PROTECTED)))
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
    found.append("tag on the trap")
    return found
