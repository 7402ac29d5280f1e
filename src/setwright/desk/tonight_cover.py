"""Cover to lay in, per set and for the line, and what an additive would take."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from setwright.desk import tonight_document as doc
from setwright.desk.wording import show
from setwright.ground.cover import cover_volume, solute_mass
from setwright.sets.frozen import DEFAULT_COVER
from setwright.sets.model import Rig
from setwright.sets.naming import cover_name
from setwright.sets.order import COLDER, WETTER
from setwright.weather import tables as weather_tables

if TYPE_CHECKING:
    from setwright.desk.tonight_set import SetFound

# Share of the space around a set trap that loose cover fills (assumed).
AROUND = 0.5
GALLON, LITRE = 0.003785411784, 0.001
# Covers that are dug up at the set are not laid in.
DUG = ("loam", "clay", "sand", "silt", "sandy")


def _volume(rig: Rig) -> float:
    depth = rig.cover_depth
    over = DEFAULT_COVER if depth is None or not depth.known else depth.number
    # Loose cover lies around the trap as well as over it; steel and the hollow under the pan take half of that space.
    return float(cover_volume(rig.trap.bed_length, rig.trap.bed_width, over + AROUND * rig.trap.set_height))


def cover_of(found: SetFound) -> doc.CoverPart | None:
    """Cover of one bed: of the one that would keep it in order, else of its own where that is carried to the set."""
    if found.context.site.medium == "water":
        return None
    kind = found.rig.cover
    if found.cover is not None and found.frost is not None:
        better = float(np.median(found.cover.lost)) < float(np.median(found.frost.lost))
        kind = found.cover.key if better else kind
    if kind is None or kind == "none" or kind.split("-")[0] in DUG:
        return None
    volume = _volume(found.rig)
    return doc.CoverPart(kind=kind, name=cover_name(kind), volume=volume, shown=shown(volume))


def shown(volume: float) -> str:
    """A volume in gallons and litres."""
    return f"{volume / GALLON:.2f} gal ({volume / LITRE:.1f} L)"


def cover_totals(sets: Sequence[doc.EveningSet]) -> list[doc.CoverTotal]:
    """Cover for one remake of every bed that takes it, by kind."""
    kinds: dict[str, list[doc.CoverPart]] = {}
    for one in sets:
        if one.needs is not None:
            kinds.setdefault(one.needs.kind, []).append(one.needs)
    found = []
    for kind, parts in sorted(kinds.items()):
        volume = sum(part.volume for part in parts)
        found.append(
            doc.CoverTotal(
                kind=kind, name=parts[0].name, sets=len(parts), volume=volume, litres=round(volume / LITRE, 2),
                gallons=round(volume / GALLON, 2), shown=shown(volume),
            )
        )  # fmt: skip
    return found


def additive_of(key: str, found: Sequence[SetFound], sets: Sequence[doc.EveningSet]) -> doc.Additive:
    """How much of an additive keeps the water of each failing bed liquid tonight, with what it does besides.

    Raises
    ------
    BadInput
        When the additive is not known or is refused; the reason is in the message.
    """
    harm = weather_tables.checked_additive(key)
    table = weather_tables.additives()
    shares, points = weather_tables.freezing_curve(table.text(key, "solute"))
    failing = {one.number for one in sets if one.fires in ("doubtful", "will not fire")}
    parts = []
    for one in found:
        site, night = one.context.site, one.context.conditions.night
        if site.number not in failing or site.medium == "water" or night is None or one.rig.cover is None:
            continue
        # Nothing in the ground gets colder than what acts on it: on the careful side.
        coldest = float(np.min(night.equivalent)) + float(COLDER[0])
        wet = float(WETTER[-1]) * weather_tables.thermal().number(one.rig.cover, "water_volume")
        share = None if coldest < points[-1] else float(np.interp(-coldest, -points, shares))
        mass = None if share is None else float(solute_mass(_volume(one.rig), wet, share))
        cold = show(coldest, "temperature")
        if share is None or mass is None:
            say = f"No share of it keeps the water liquid at {cold}, the coldest that may act on this cover."
        else:
            say = (
                f"{mass * 1000:.0f} g ({show(mass, 'mass')}) for its water at {cold}, the coldest that may act on it."
            )
        parts.append(doc.AdditiveSet(number=site.number, name=site.name, share=share, mass=mass, say=say))
    total = sum(part.mass for part in parts if part.mass is not None)
    return doc.Additive(key=key, name=table.text(key, "name"), harm=harm, sets=parts, mass=total)
