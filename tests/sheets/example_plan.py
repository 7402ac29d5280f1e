"""An invented plan for tests of drawings and sheets: no such place, no such line, made-up figures."""

from __future__ import annotations

import math
from typing import Any

from setwright.desk.document import Plan

NAMES = ("Upper dam, north bank", "Ridge field edge", "Lower pool")
QUESTIONS = {
    "visit": "does one come by?",
    "step": "does a foot land on the pan?",
    "fire": "does that foot trip it?",
    "close": "up high enough, in time?",
    "hold": "kept, without harm?",
    "check": "found in time, lawfully?",
}


def link(
    name: str, standing: str, value: float | None, band: tuple[float | None, float | None], why: str, mend: str = ""
) -> dict[str, Any]:
    share = name != "check"
    return {
        "link": name,
        "question": QUESTIONS[name],
        "standing": standing,
        "value": value,
        "band": band,
        "unit": "one" if share else "h",
        "shown": "not known" if value is None else (f"{value:.2f}" if share else f"{value:.0f} h"),
        "shown_band": "" if band[0] is None else f"{band[0]:.2f}–{band[1]:.2f}" if share else "of 72 h",
        "limit": None if share else 72.0,
        "margin": None if share or value is None else 72.0 - value,
        "governs": "made-up cause",
        "why": why,
        "mend": mend,
        "checks": [
            {
                "name": "anchor",
                "standing": standing,
                "shown": "180 lbf of 140 lbf",
                "value": 800.0,
                "limit": 620.0,
                "margin": 180.0,
                "unit": "N",
                "why": "invented proof pull",
                "mend": "a second stake, crossed",
                "provenance": [{"what": "proof pull", "kind": "measured", "source": "invented bench note"}],
            }
        ]
        if name == "hold"
        else [],
        "provenance": [
            {"what": "sign level", "kind": "assumed", "source": "invented for this example"},
            {"what": "trip force", "kind": "measured", "source": "three pulls on an invented bench"},
        ],
    }


def outcome(species: str, name: str, roles: list[str], first: float, held: float) -> dict[str, Any]:
    return {
        "species": species,
        "name": name,
        "roles": roles,
        "first": (first, first * 0.4, first * 1.8),
        "held": (held, held * 0.4, min(held * 1.8, 1.0)),
        "lost": (max(first - held, 0.0), 0.0, first * 0.5),
    }


def curve(target: str, mine: float) -> dict[str, Any]:
    force = [0.5 * k for k in range(1, 73)]

    def series(name: str, roles: list[str], middle: float) -> dict[str, Any]:
        def chance(shift: float) -> list[float]:
            return [1.0 / (1.0 + math.exp((x - middle * shift) / (0.12 * middle))) for x in force]

        return {
            "species": name,
            "name": name,
            "roles": roles,
            "median": chance(1.0),
            "low": chance(0.85),
            "high": chance(1.15),
        }

    def nights(name: str, roles: list[str], most: float, middle: float) -> dict[str, Any]:
        line = series(name, roles, middle)
        return {**line, **{key: [most * share for share in line[key]] for key in ("median", "low", "high")}}

    return {
        "force": force,
        "series": [
            series(target, ["target"], 30.0),
            series("raccoon", ["furbearer"], 16.0),
            series("dog, 48 lb", ["pet"], 38.0),
            series("muskrat", ["furbearer"], 4.0),
        ],
        "yours": (mine, mine * 0.85, mine * 1.15),
        "catch": nights(target, ["target"], 8.0, 30.0),
        "others": [nights("raccoon", ["furbearer"], 3.0, 16.0), nights("dog, 48 lb", ["pet"], 0.6, 38.0)],
        "advised": (9.0, 14.0),
        "ends": [
            {"force": 9.0, "catch": (7.9, 2.0, 20.0), "nuisance": (2.1, 0.4, 6.0)},
            {"force": 14.0, "catch": (7.6, 1.9, 19.0), "nuisance": (1.1, 0.2, 3.0)},
        ],
        "own": {"force": mine, "catch": (7.8, 2.0, 20.0), "nuisance": (1.6, 0.3, 5.0)},
        "rule": "An invented rule for the span.",
        "say": "Look for 2 to 3.25 lbf, an invented span.",
        "words": ["Trip force does not keep out a dog: an invented sentence."],
        "not_kept_out": ["dog"],
        "no_figure": [{"species": "otter", "name": "otter", "reason": "an invented reason"}],
    }


def rigs(chosen: str) -> list[dict[str, Any]]:
    return [
        {
            "rank": 1, "traps": [chosen], "label": "No. 4 double long-spring", "detail": f"{chosen}, pan 2.5 lbf",
            "held": (0.16, 0.05, 0.31), "standing": "thin", "weakest": "hold", "law": "meets", "welfare": "meets",
            "why": "Widest pan circle of the outfit.", "behind": None, "chosen": True,
        },
        {
            "rank": 2, "traps": ["T-18", "T-19"], "label": "No. 3 double long-spring", "detail": "pan 2.5 lbf",
            "held": (0.14, 0.04, 0.29), "standing": "thin", "weakest": "hold", "law": "meets", "welfare": "meets",
            "why": "Pan circle ½ in smaller.", "behind": 0.71, "chosen": False,
        },
        {
            "rank": None, "traps": ["T-44"], "label": "No. 5 coil-spring", "detail": "T-44",
            "held": (None, None, None), "standing": "fails", "weakest": "law", "law": "breaks",
            "welfare": "cannot tell", "why": "Spread 8 in against 7¼ in.", "behind": None, "chosen": False,
        },
    ]  # fmt: skip


def one_set(
    number: int,
    name: str,
    figure: dict[str, Any],
    standings: list[str],
    place: tuple[float, float],
    **more: Any,
) -> dict[str, Any]:
    water = figure["kind"] == "water"
    values: list[float | None] = [0.31, 0.36, 0.99, 0.97, 0.88, 47.0]
    links = []
    for key, standing, value in zip(QUESTIONS, standings, values, strict=True):
        known = None if standing == "cannot tell" else value
        band = (None, None) if known is None else (known * 0.7, min(known * 1.1, 1.0) if known <= 1 else known)
        mend = "Move the stop 12 in farther out: hold 0.93, sound." if standing in ("thin", "fails") else ""
        links.append(link(key, standing, known, band, f"An invented reason for {key}.", mend))
    target = "beaver" if water else "coyote"
    worst = next((s for s in ("fails", "cannot tell", "thin") if s in standings), "sound")
    held = 0.0 if worst == "fails" else 0.16
    return {
        "site": {
            "id": f"S{number}", "number": number, "name": name, "latitude": place[0], "longitude": place[1],
            "medium": figure["kind"], "set_type": "slide set" if water else "dirt-hole set", "target": target,
            "target_name": target, "ground": "muck over clay" if water else "firm loam", "cover": "none",
            "access": "on foot from the lane", "near": ["footpath, 60 ft"], "sign": ["castor mound, fresh"],
        },
        "rig": {
            "trap": f"T-{30 + number}", "pattern": "four-long", "label": "No. 4 double long-spring", "family": "long",
            "jaws": "plain", "springs": "two long springs", "spread": 0.165, "offset_gap": 0.0048,
            "trip_force": (11.1, 9.5, 12.8), "chain": "No. 2 straight link", "chain_length": 0.3, "swivels": 3,
            "anchor": "two 24 in stakes, crossed", "submersion": "slide cable" if water else None,
            "cover": "dry dirt, ⅜ in",
            "facts": [
                ["trap", f"T-{30 + number}, No. 4 double long-spring"], ["spread", "6½ in, offset 3⁄16 in"],
                ["trip force", "2.5 lbf (2.1–2.9)"], ["pan centre", "1½ in right of the line"],
                ["chain", "12 in, three swivels"], ["proof pull", "180 lbf, straight up"],
                ["cover fires to", "16 °F while dry"], ["re-test pan by", "Wed 2 Dec"],
            ],
        },
        "standing": worst,
        "law_answer": "cannot tell" if number == 1 else "meets",
        "welfare_answer": "meets",
        "restraining": not water,
        "say": f"Of 100 such waits, {100 * held:.0f} end with a {target} held (5 to 31); hold is the weakest link.",
        "must": "Holds under water. Rod the stop first." if water else "Holds alive. See it every calendar day.",
        "links": links,
        "outcome": [
            outcome(target, target, ["target"], 0.19, held),
            outcome("misfire", "misfire: ice, drift, level", [], 0.03, 0.0),
            outcome("otter", "otter", ["protected"], 0.006, 0.005),
            outcome("dog", "dog", ["pet"], 0.002, 0.002),
            outcome("nothing", "nothing; still armed", [], 0.5, 0.0),
        ],
        "trip_curve": curve(target, 11.1),
        "rigs": rigs(f"T-{30 + number}"),
        "law": [
            {
                "rule": "Jaw spread", "pack": "Example County, invented", "answer": "meets",
                "reason": "6½ in against 7¼ in, gripping faces", "citation": "clause 4 b", "cure": "", "question": "",
            },
            {
                "rule": "Tag on trap", "pack": "Example County, invented", "answer": "cannot tell",
                "reason": "no tag number in the book", "citation": "clause 3", "cure": "Write it on the bench sheet.",
                "question": f"What does the tag of T-{30 + number} say?",
            },
        ],
        "welfare": [
            {
                "gate": "time held alive", "answer": "meets", "reason": "seen within 24 h",
                "source": "invented example", "cure": "", "criterion": "Seen within a day.",
            }
        ],
        "hours_held": (7.5, 14.0),
        "bearing": [
            {
                "about": "jaws", "bearing": "favourable", "why": "Invented jaws.", "size": "Size unknown",
                "source": "invented study", "mend": "", "question": "",
            },
            {
                "about": "weather", "bearing": "not known", "why": "No invented record.", "size": "Size unknown",
                "source": "invented", "mend": "", "question": "What will the night be?",
            },
        ],
        "record": {"word": "too few", "say": "Too few: three invented animals.", "source": "own findings, invented"},
        "advice": [
            {
                "change": "Move the stop 12 in farther out" if water else "Add a second stake, crossed",
                "effort": "10 minutes at the set", "before": (held, 0.05, 0.31), "after": (0.18, 0.07, 0.33),
                "gain": (0.02, 0.01, 0.04), "standing_before": "thin", "standing_after": "sound", "mends": ["hold"],
                "why": "Seven inches to spare in place of four.",
            }
        ],
        "cautions": [
            {"head": "Dogs", "text": "A dog presses as hard as a coyote. Trip force will not keep one out."},
            {"head": "You", "text": "Vest over waders, a rod for depth; go with a partner."},
            {"head": "If a dog is held", "text": "Coat over the head, both levers in one press."},
        ],
        "release": ["Your own safety first.", "Coat over the head.", "Owner told."],
        "steps": [
            "four-point press, no wobble", "dog seated, loose jaw flat", "pan level, three pulls written",
            "both stakes below the bed", "bait covered from above", "board and catch pole in the truck",
        ],
        "figure": figure,
        "questions": ["Is the stop rodded at low water?"],
        **more,
    }  # fmt: skip


WATER: dict[str, Any] = {
    "kind": "water",
    "bed": [
        (-0.6, 0.9), (0.0, 0.55), (0.5, 0.05), (0.9, -0.06), (1.4, -0.08), (2.0, -0.5),
        (3.0, -0.95), (4.0, -1.2), (5.0, -1.3), (6.0, -1.32),
    ],
    "levels": {"high": 0.12, "low": -0.2},
    "points": {
        "stake": (0.1, 0.75), "stake_tip": (0.1, 0.05), "trap": (1.1, -0.07), "lock": (1.45, 0.0),
        "stop": (4.1, -0.97), "anchor": (5.0, -1.25), "anchor_tip": (5.0, -1.75),
    },
    "lengths": {
        "reach": 0.545, "chain": 0.3, "pan_depth": 0.064, "required_clear": 0.1, "spare": 0.125,
    },
    "layers": [
        {"soil": "muck", "label": "muck", "thickness": 0.23},
        {"soil": "clay", "label": "firm clay", "thickness": None},
    ],
    "words": {"trap": "No. 4 double long-spring", "anchor": "deep stake, 24 in", "ground": "muck"},
    "sum": [
        {"label": "depth at the stop, now", "value": 0.97}, {"label": "the creek may fall", "value": -0.2},
        {"label": "chain, trap and limb", "value": -0.545}, {"label": "clear of air, required", "value": -0.1},
        {"label": "to spare", "value": 0.125},
    ],
}  # fmt: skip

SHALLOW: dict[str, Any] = {
    **WATER,
    "bed": [(-0.5, 0.5), (0.3, 0.02), (0.8, -0.1), (1.6, -0.35), (3.5, -0.5), (5.0, -0.55)],
    "levels": {"high": 0.05, "low": -0.06},
    "points": {
        "stake": (0.0, 0.5), "stake_tip": (0.0, -0.1), "trap": (0.7, -0.09), "lock": (0.95, 0.1),
        "stop": (3.0, -0.38), "anchor": (4.0, -0.5), "anchor_tip": (4.0, -0.95),
    },
    "lengths": {"reach": 0.545, "chain": 0.3, "required_clear": 0.1, "spare": -0.325},
    "layers": [],
}  # fmt: skip

LAND: dict[str, Any] = {
    "kind": "land",
    "bed": [],
    "levels": {},
    "points": {},
    "lengths": {
        "bed_length": 0.24, "bed_depth": 0.06, "cover": 0.0095, "stake_length": 0.61, "stake_angle": 0.35,
        "hole_distance": 0.23, "hole_depth": 0.15, "crust": 0.004, "chain": 0.3,
    },
    "layers": [],
    "words": {
        "trap": "No. 1¾ coil-spring", "anchor": "two stakes, 24 in, crossed", "cover": "dry dirt",
        "ground": "firm loam", "set_type": "dirt-hole set",
    },
    "sum": [],
}  # fmt: skip


def stop(order: int, number: int, name: str, hour: int, limit: str | None, alive: bool) -> dict[str, Any]:
    return {
        "order": order, "site": f"S{number}", "number": number, "name": name,
        "arrive": f"2026-11-18T{hour:02d}:10:00-06:00", "leave": f"2026-11-18T{hour:02d}:25:00-06:00",
        "limit": limit, "left_hours": None if limit is None else 5.5, "distance": 640.0 * order,
        "bearing_deg": 60.0 * order, "mode": "on foot", "restraining": alive,
        "why": "holds alive" if alive else "near",
        "late": False,
    }  # fmt: skip


def document(
    names: tuple[str, str, str] = ("Upper dam, north bank", "Ridge field edge", "Lower pool"),
) -> dict[str, Any]:
    """The plan as plain data, ready to be altered by a test."""
    return {
        "schema": "setwright/plan/1", "program": "setwright 0", "made": "2026-11-17T18:00:00-06:00", "seed": 7,
        "draws": 1000,
        "line": {
            "name": "Example line", "place": "Example County, invented", "invented": True, "date": "2026-11-18",
            "timezone": "America/Chicago", "base": (44.0, -92.0), "season": "invented season, 1 Nov to 31 Jan",
            "check": "every 72 hours; sets that hold alive every calendar day",
            "weather": "27 °F before dawn, wind 9 mph", "law_pack": "Example County pack 2026, invented",
            "law_checked": "checked by nobody: it is invented",
            "records": [
                {
                    "what": "stream gauge, 41 nights", "label": "gauge record", "origin": "made up for the example",
                    "licence": "none", "stand_in": True, "say": "stand-in record: levels of an invented creek",
                },
                {
                    "what": "night forecast", "label": "forecast", "origin": "made up", "licence": "none",
                    "stand_in": False, "say": "hourly figures for one night",
                },
            ],
        },
        "say": "Two of three sets stand; set 3 fails: the stop is 12½ in too shallow. Start at 06:40.",
        "counts": {"sound": 0, "thin": 1, "fails": 1, "cannot tell": 1},
        "sets": [
            one_set(1, names[0], WATER, ["cannot tell", *["sound"] * 3, "thin", "sound"], (44.006, -91.995)),
            one_set(2, names[1], LAND, ["sound", "sound", "thin", "sound", "sound", "sound"], (44.002, -91.985)),
            one_set(3, names[2], SHALLOW, ["sound", "sound", "sound", "sound", "fails", "sound"], (43.996, -91.99)),
        ],
        "run": {
            "start": "2026-11-18T06:40:00-06:00", "finish": "2026-11-18T10:40:00-06:00",
            "light": {
                "dawn": "2026-11-18T06:38:00-06:00", "sunrise": "2026-11-18T07:09:00-06:00",
                "sunset": "2026-11-18T16:40:00-06:00", "dusk": "2026-11-18T17:11:00-06:00",
            },
            "total_distance": 4100.0,
            "stops": [
                stop(1, 2, names[1], 7, "2026-11-18T12:40:00-06:00", True),
                stop(2, 1, names[0], 8, "2026-11-20T15:20:00-06:00", False),
                stop(3, 3, names[2], 9, None, False),
            ],
            "say": "Start 06:40; the set that holds alive comes first.",
            "warnings": ["Two legs are walked in the dark of dawn."],
        },
        "kit": [
            {
                "compartment": "pack", "item": "T-31, No. 4 double long-spring", "count": 1.0, "unit": "each",
                "mass": 1.3, "sites": "1", "note": "",
            },
            {
                "compartment": "boat", "item": "24 in stakes", "count": 4.0, "unit": "each", "mass": 0.9,
                "sites": "1, 2", "note": "two crossed",
            },
            {
                "compartment": "pack", "item": "dry dirt", "count": 1.5, "unit": "gal", "mass": None,
                "sites": "2", "note": "",
            },
        ],
        "questions": [
            {"site": "S1", "text": "What does the tag of T-31 say?", "why": "The law check cannot be told."},
            {"site": None, "text": "Who checks the line if you are ill?", "why": "A missed day breaks the rule."},
        ],
        "cautions": [{"head": "Cold water", "text": "Vest over waders; tell someone when you will be back."}],
        "notes": ["Mechanics figures are comparative until calibrated by bench readings."],
    }  # fmt: skip


def example(names: tuple[str, str, str] = NAMES) -> Plan:
    """The invented plan."""
    return Plan.model_validate(document(names))
