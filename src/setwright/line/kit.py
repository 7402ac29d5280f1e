"""The pick list: what the sets of a plan need, with spares, shared tools once, safety and paper."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from setwright.sets.model import Rig, SiteFacts
from setwright.sets.naming import cover_name

STEEL = 7850.0
SAFETY = (
    ("first-aid kit", 1, 0.8, "within reach, not under the traps"),
    ("catch pole, board, coat", 1, 4.0, "for letting a dog or other animal go"),
    ("setters or a pair of long boards", 1, 1.5, "a trapped hand needs both levers pressed"),
    ("gloves, shoulder length", 1, 0.4, "bare hands never on a carcass"),
    ("phone in a bag, line hand-over sheet left at home", 1, 0.2, "someone must know the order and the hour"),
)
WET = (
    ("life vest, worn over waders", 1, 1.0, "cold water takes the use of the hands within ten minutes"),
    ("wading rod, marked in inches", 1, 0.8, "depth at the stop and at the pan; probe before each step"),
    ("dry clothes and a towel", 1, 2.0, ""),
)
TOOLS = (
    ("trowel", 1, 0.4, ""),
    ("sifter", 1, 0.6, ""),
    ("hammer or stake driver", 1, 2.0, ""),
    ("kneeling pad", 1, 0.3, ""),
    ("spring scale and caliper", 1, 0.4, "trip force is read again after every catch"),
    ("pliers, wire, file", 1, 0.8, ""),
)
SPARE_SHARE = 0.1


@dataclass(frozen=True)
class Item:
    """One line of the pick list; mass [kg] of one piece, None when unknown; volume [m³] of what is not counted."""

    compartment: str
    name: str
    count: float
    unit: str
    mass: float | None
    sites: tuple[int, ...]
    note: str = ""
    volume: float | None = None


def spares(count: int) -> int:
    """Spare pieces: one in ten, at least one."""
    return max(1, math.ceil(SPARE_SHARE * count)) if count else 0


def pick_list(sets: Sequence[tuple[SiteFacts, Rig]]) -> list[Item]:
    """Everything to load for these sets."""
    found: list[Item] = []
    by_trap: dict[str, list[tuple[SiteFacts, Rig]]] = {}
    for site, rig in sets:
        by_trap.setdefault(rig.trap.label, []).append((site, rig))
    for label, group in by_trap.items():
        rig = group[0][1]
        found.append(
            Item(
                "traps",
                label,
                len(group),
                "pieces",
                rig.trap.mass.value,
                _numbers(group),
                ", ".join(rig.trap.trap_id for _, rig in group),
            )
        )
    found += _grouped(
        sets, "tackle", lambda rig: None if rig.chain is None else f"chain {rig.chain.key}", "pieces", True
    )
    found += _grouped(sets, "anchors", lambda rig: None if rig.anchor is None else rig.anchor.label, "pieces", True)
    found += _grouped(
        sets, "tackle", lambda rig: None if rig.slide is None else f"slide cable {rig.slide.key}", "pieces", False
    )
    deep = [(site, rig) for site, rig in sets if rig.slide is not None and rig.slide.deep_anchor is not None]
    found += _grouped(
        deep,
        "anchors",
        lambda rig: (
            None if rig.slide is None or rig.slide.deep_anchor is None else f"deep end: {rig.slide.deep_anchor.label}"
        ),
        "pieces",
        False,
    )
    found += _cover(sets)
    found += _grouped(
        sets, "tackle", lambda rig: "board or mesh under the trap" if rig.board else None, "pieces", False
    )
    everywhere = tuple(site.number for site, _ in sets)
    found.append(
        Item("paper", "trap tags", len(sets) + spares(len(sets)), "pieces", 0.005, everywhere, "name on each")
    )
    found.append(
        Item("paper", "set cards and pencil", 1, "set", 0.1, everywhere, "licence and permission slips with them")
    )
    for name, count, mass, note in TOOLS:
        found.append(Item("tools", name, count, "piece", mass, (), note))
    for name, count, mass, note in SAFETY:
        found.append(Item("safety", name, count, "set", mass, (), note))
    wet = tuple(site.number for site, _ in sets if site.medium == "water")
    if wet:
        for name, count, mass, note in WET:
            found.append(Item("safety", name, count, "set", mass, wet, note))
    return found


def _numbers(group: Sequence[tuple[SiteFacts, Rig]]) -> tuple[int, ...]:
    return tuple(site.number for site, _ in group)


def _grouped(
    sets: Sequence[tuple[SiteFacts, Rig]],
    compartment: str,
    name: Callable[[Rig], str | None],
    unit: str,
    with_spares: bool,
) -> list[Item]:
    groups: dict[str, list[tuple[SiteFacts, Rig]]] = {}
    for site, rig in sets:
        key = name(rig)
        if key is not None:
            groups.setdefault(key, []).append((site, rig))
    return [
        Item(
            compartment,
            key,
            len(group) + (spares(len(group)) if with_spares else 0),
            unit,
            _mass(key, group[0][1]),
            _numbers(group),
            f"{spares(len(group))} spare" if with_spares else "",
        )
        for key, group in groups.items()
    ]


def _mass(key: str, rig: Rig) -> float | None:
    if rig.anchor is not None and key == rig.anchor.label:
        return rig.anchor.mass
    if rig.slide is not None and rig.slide.deep_anchor is not None and key.endswith(rig.slide.deep_anchor.label):
        return rig.slide.deep_anchor.mass
    return None


def bed_cover(rig: Rig) -> float:
    """Cover that fills the bed of a trap once, the steel in it left out [m³]."""
    bed = rig.trap.bed_length * rig.trap.bed_width * rig.trap.bed_depth
    return float(bed - (rig.trap.mass.value or 0.0) / STEEL)


def _cover(sets: Sequence[tuple[SiteFacts, Rig]]) -> list[Item]:
    """Dry cover to carry: the bed's volume less the trap, by kind; half as much again for remakes."""
    volumes: dict[str, tuple[float, list[int]]] = {}
    for site, rig in sets:
        if site.medium != "land" or rig.cover in (None, "none"):
            continue
        volume, numbers = volumes.setdefault(str(rig.cover), (0.0, []))
        numbers.append(site.number)
        volumes[str(rig.cover)] = (volume + bed_cover(rig), numbers)
    return [
        Item(
            "cover",
            cover_name(kind),
            round(1.5 * volume * 1000.0, 1),
            "litres",
            1.3,
            tuple(numbers),
            "half of it for remakes",
            1.5 * volume,
        )
        for kind, (volume, numbers) in volumes.items()
    ]
