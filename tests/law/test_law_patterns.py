"""Published patterns of trapping rules, said by the schema: published pattern, not current law.

Each case names the document in which the pattern was printed. The values are those printed there and then; none
of them may be taken for what the law of a place is today.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest

from law.law_case import BREAKS, DOUBT, FOOT, INCH, LBF, MEETS, answer, at, facts, pack_of
from setwright.law.facts import Fact

DOG = "inside_dog_across_pan"


def spread(inches, method=DOG):
    return Fact(inches * INCH, method=method)


def visits(hours, start=9.0):
    made = at(8, start)
    return {"made": made, "last_visit": made, "next_visit": made + timedelta(hours=hours)}


JAW_LIMIT = "limit: {{feature: jaw_spread, method: {method}, op: '<=', value: {value}}}"

KILLS = {"device": "body-gripping"}
AGENT = {"agent_checks": True, "agent_permission": True}

# id, document, rule, more of the pack, cases (facts, species, expected; None: does not apply)
PATTERNS = [
    (
        "R01 jaw spread by district, lifted when under water at all times", "Maine rules 09-137 ch. 17 s. 17.08",
        """
        kind: limit
        applies: {zone: [district-1, district-2]}
        check: {limit: {feature: jaw_spread, method: inside_dog_across_pan, op: "<=", value: 5 3/8 in}}
        unless:
          - when: {limit: {feature: submerged_share, op: ">", value: 0}}
            text: partly or wholly under water at all times
        """, "",
        [
            ({"zone": "district-1", "jaw_spread": spread(5.375), "submerged_share": 0.0}, "coyote", MEETS),
            ({"zone": "district-1", "jaw_spread": spread(5.5), "submerged_share": 0.0}, "coyote", BREAKS),
            ({"zone": "district-1", "jaw_spread": spread(7.0), "submerged_share": 1.0}, "coyote", MEETS),
            ({"zone": "district-1", "jaw_spread": spread(7.0)}, "coyote", DOUBT),
            ({"zone": "district-9", "jaw_spread": spread(7.0), "submerged_share": 0.0}, "coyote", None),
            ({"jaw_spread": spread(7.0), "submerged_share": 0.0}, "coyote", DOUBT),
        ],
    ),
    (
        "R02 measured at the dog: an outside reading bounds it", "Maine rules 09-137 ch. 17 s. 17.08(1)(A)",
        """
        kind: limit
        check: {limit: {feature: jaw_spread, method: inside_dog_across_pan, op: "<=", value: 5 3/8 in}}
        """, "",
        [
            (
                {"jaw_spread": spread(6.0, "outside_across_pan"), "jaw_face_width": 0.375 * INCH, "laminated": False,
                 "double_jawed": False}, "coyote", MEETS,
            ),
            (
                {"jaw_spread": spread(6.2, "outside_across_pan"), "jaw_face_width": 0.375 * INCH, "laminated": False,
                 "double_jawed": False}, "coyote", BREAKS,
            ),
            ({"jaw_spread": spread(6.2, "outside_across_pan")}, "coyote", DOUBT),
            ({"jaw_spread": spread(5.2, None)}, "coyote", DOUBT),
        ],
    ),
    (
        "R03 measured between inside laminations", "New York furbearer guide, trap measuring page",
        """
        kind: limit
        check: {limit: {feature: jaw_spread, method: inside_gripping_faces, op: "<=", value: 5 3/4 in}}
        """, "",
        [
            (
                {"jaw_spread": spread(6.0, "inside_bare_jaws"), "laminated": True, "lamination_width": 3 / 16 * INCH,
                 "lamination_side": "inside"}, "coyote", MEETS,
            ),
            (
                {"jaw_spread": spread(6.0, "inside_bare_jaws"), "laminated": True, "lamination_width": 3 / 16 * INCH,
                 "lamination_side": "outside"}, "coyote", BREAKS,
            ),
            ({"jaw_spread": spread(6.0, "inside_bare_jaws"), "laminated": True}, "coyote", DOUBT),
        ],
    ),
    (
        "R04 larger under water while beaver or otter season is open", "6 NYCRR 6.3(a)(1)",
        """
        kind: limit
        check: {limit: {feature: jaw_spread, method: inside_gripping_faces, op: "<=", value: 5 3/4 in}}
        unless:
          - when: {limit: {feature: submerged_share, op: ">=", value: 1}}
            season_open: [beaver, river_otter]
            instead: {limit: {feature: jaw_spread, method: inside_gripping_faces, op: "<=", value: 7 1/4 in}}
        """,
        """
        seasons:
          - {species: beaver, open: 2026-12-01, close: 2027-01-31, citation: test}
          - {species: river_otter, closed: true, citation: test}
        """,
        [
            ({"jaw_spread": spread(7.0, "inside_gripping_faces"), "submerged_share": 1.0}, "beaver", MEETS),
            ({"jaw_spread": spread(7.5, "inside_gripping_faces"), "submerged_share": 1.0}, "beaver", BREAKS),
            ({"jaw_spread": spread(7.0, "inside_gripping_faces"), "submerged_share": 0.5}, "beaver", BREAKS),
        ],
    ),
    (
        "R05 open jaw spread, way of measuring unstated", "Arizona rule as quoted on a public page",
        """
        kind: limit
        applies: {medium: land}
        check: {limit: {feature: jaw_spread, op: "<=", value: 6 1/2 in}}
        """, "",
        [
            ({"medium": "land", "jaw_spread": spread(6.0)}, "coyote", DOUBT),
            ({"medium": "land", "jaw_spread": spread(7.0, "inside_bare_jaws"), "laminated": False,
              "double_jawed": False}, "coyote", BREAKS),
            ({"medium": "water", "jaw_spread": spread(7.0)}, "coyote", None),
        ],
    ),
    (
        "R06 jaw spread in all sets", "Pennsylvania digest, traps and trapping page",
        "kind: limit\ncheck: {limit: {feature: jaw_spread, method: inside_widest, op: '<=', value: 6 1/2 in}}", "",
        [
            ({"jaw_spread": spread(6.5, "inside_widest")}, "coyote", MEETS),
            ({"jaw_spread": Fact(6.5 * INCH, 6.45 * INCH, 6.55 * INCH, "inside_widest")}, "coyote", DOUBT),
            ({"jaw_spread": spread(6.6, "inside_widest")}, "coyote", BREAKS),
        ],
    ),
    (
        "R07 larger jaws only with three swivels and a wide face", "unattributed guideline page on trap features",
        """
        kind: require
        check:
          any_of:
            - all_of:
                - {limit: {feature: jaw_spread, method: inside_dog_across_pan, op: "<=", value: 5 3/8 in}}
                - {limit: {feature: swivel_count, op: ">=", value: 2}}
            - all_of:
                - {limit: {feature: jaw_spread, method: inside_dog_across_pan, op: "<=", value: 6 in}}
                - {limit: {feature: swivel_count, op: ">=", value: 3}}
                - {limit: {feature: jaw_face_width, op: ">", value: 5/16 in}}
        """, "",
        [
            ({"jaw_spread": spread(5.25), "swivel_count": 2.0}, "coyote", MEETS),
            ({"jaw_spread": spread(5.75), "swivel_count": 2.0, "jaw_face_width": 0.4 * INCH}, "coyote", BREAKS),
            ({"jaw_spread": spread(5.75), "swivel_count": 3.0, "jaw_face_width": 0.375 * INCH}, "coyote", MEETS),
            ({"jaw_spread": spread(5.75), "swivel_count": 3.0, "jaw_face_width": 0.3125 * INCH}, "coyote", BREAKS),
            ({"jaw_spread": spread(5.75), "swivel_count": 3.0}, "coyote", DOUBT),
        ],
    ),
    (
        "R08 gap of closed jaws with three exceptions", "Utah R657-11-9(1)",
        """
        kind: limit
        check: {limit: {feature: jaw_gap_closed, op: ">=", value: 3/16 in}}
        unless:
          - when:
              any_of:
                - {boolean: {feature: padded, is: true}}
                - {limit: {feature: jaw_spread, method: inside_dog_across_pan, op: "<", value: 4.25 in}}
                - {limit: {feature: submerged_share, op: ">=", value: 1}}
        """, "",
        [
            ({"jaw_gap_closed": 0.1875 * INCH}, "coyote", MEETS),
            ({"jaw_gap_closed": 0.0, "padded": True}, "coyote", MEETS),
            ({"jaw_gap_closed": 0.0, "padded": False, "jaw_spread": spread(4.0)}, "coyote", MEETS),
            (
                {"jaw_gap_closed": 0.0, "padded": False, "jaw_spread": spread(4.25), "submerged_share": 0.0},
                "coyote", BREAKS,
            ),
            ({"jaw_gap_closed": 0.0, "padded": False, "jaw_spread": spread(5.0)}, "coyote", DOUBT),
        ],
    ),
    (
        "R09 private land: padded or permanent offset", "Arizona, published state-by-state summary 2004",
        """
        kind: require
        applies: {land_tenure: [private]}
        check:
          any_of:
            - {boolean: {feature: padded, is: true}}
            - {limit: {feature: jaw_gap_closed, op: ">=", value: 3/16 in}}
        """, "",
        [
            ({"land_tenure": "private", "padded": True}, "coyote", MEETS),
            ({"land_tenure": "private", "padded": False, "jaw_gap_closed": 0.1 * INCH}, "coyote", BREAKS),
            ({"land_tenure": "public", "padded": False, "jaw_gap_closed": 0.0}, "coyote", None),
        ],
    ),
    (
        "R10 lamination and offset as the rule defines them",
        "New Mexico 19.32.2.7 NMAC",
        """
        kind: require
        check:
          any_of:
            - {limit: {feature: jaw_gap_closed, op: ">=", value: 3/16 in}}
            - all_of:
                - {boolean: {feature: laminated, is: true}}
                - {limit: {feature: lamination_width, op: ">", value: 0 in}}
        """,
        """
        definitions:
          jaw_gap_method: least_space
          terms:
            lamination: a strip fastened to the jaw that widens the contact
            offset: the least space between the closed jaws
        """,
        [
            ({"jaw_gap_closed": Fact(0.1875 * INCH, method="least_space"), "laminated": False}, "fox", MEETS),
            ({"jaw_gap_closed": Fact(0.1 * INCH, method="least_space"), "laminated": False}, "fox", BREAKS),
            ({"jaw_gap_closed": 0.1875 * INCH, "laminated": False}, "fox", DOUBT),
            ({"jaw_gap_closed": 0.0, "laminated": True, "lamination_width": 0.004}, "fox", MEETS),
        ],
    ),
    (
        "R11 least pan trip force for one target in one zone", "Montana commission proposal 2012 (public notices)",
        """
        kind: limit
        applies: {species: [wolf], zone: [west]}
        check: {limit: {feature: pan_trip_force, op: ">=", value: 8 lbf}}
        """, "",
        [
            ({"zone": "west", "pan_trip_force": 8.0 * LBF}, "wolf", MEETS),
            ({"zone": "west", "pan_trip_force": 7.6 * LBF}, "wolf", BREAKS),
            ({"zone": "west", "pan_trip_force": Fact(8.2 * LBF, 7.6 * LBF, 8.8 * LBF)}, "wolf", DOUBT),
            ({"zone": "west", "pan_trip_force": 4.0 * LBF}, "coyote", None),
        ],
    ),
    (
        "R12 swivel at the centre and one in the chain", "Montana notice 2019",
        """
        kind: require
        applies: {medium: land, submersion: false}
        check:
          all_of:
            - {boolean: {feature: base_swivel, is: true}}
            - {limit: {feature: swivel_count, op: ">=", value: 2}}
        """, "",
        [
            ({"medium": "land", "submersion": False, "base_swivel": True, "swivel_count": 2.0}, "coyote", MEETS),
            ({"medium": "land", "submersion": False, "base_swivel": False, "swivel_count": 3.0}, "coyote", BREAKS),
            ({"medium": "land", "submersion": False, "swivel_count": 1.0}, "coyote", BREAKS),
        ],
    ),
    (
        "R13 switched on 48 hours after an event", "Montana commission 2024, as reported in a newspaper",
        """
        kind: limit
        applies: {active_when: {event: grizzly-notice, after_hours: 48}}
        check: {limit: {feature: jaw_spread, method: inside_dog_across_pan, op: "<=", value: 5 1/2 in}}
        """, "",
        [
            ({"event__grizzly_notice": False, "jaw_spread": spread(6.0)}, "wolf", None),
            ({"event__grizzly_notice": at(1, 12), "jaw_spread": spread(6.0)}, "wolf", BREAKS),
            ({"event__grizzly_notice": at(7, 12), "jaw_spread": spread(6.0)}, "wolf", None),
            ({"event__grizzly_notice": at(6, 12), "jaw_spread": spread(6.0)}, "wolf", DOUBT),
            ({"jaw_spread": spread(6.0)}, "wolf", DOUBT),
            ({"jaw_spread": spread(5.0)}, "wolf", MEETS),
        ],
    ),
    (
        "R14 every calendar day", "Maine 12 MRSA 12255",
        "kind: require\napplies: {device: [foothold]}\ncheck: {interval: {every: P1D}}", "",
        [
            ({"device": "foothold", **visits(36)}, "coyote", MEETS),
            ({"device": "foothold", **visits(40)}, "coyote", BREAKS),
            ({"device": "body-gripping", **visits(40)}, "coyote", None),
        ],
    ),
    (
        "R14b killing devices in 3 days, 5 in unorganised places, none under ice", "Maine 12 MRSA 12255",
        """
        kind: require
        applies: {lethal: true}
        check: {interval: {every: P3D}}
        unless:
          - when: {boolean: {feature: under_ice, is: true}}
            text: submersion sets under ice
          - when: {boolean: {feature: "zone:unorganised", is: true}}
            instead: {interval: {every: P5D}}
        """, "definitions: {lethal_set: {one_of: {feature: device, words: [body-gripping]}}}\n",
        [
            ({**KILLS, "under_ice": False, **visits(80)}, "fox", MEETS),
            ({**KILLS, "under_ice": False, "zone__unorganised": True, **visits(100)}, "fox", MEETS),
            ({**KILLS, "under_ice": False, "zone__unorganised": True, **visits(140)}, "fox", BREAKS),
            ({**KILLS, "under_ice": False, "zone__unorganised": False, **visits(100)}, "fox", BREAKS),
            ({**KILLS, "under_ice": False, **visits(100)}, "fox", DOUBT),
            ({**KILLS, "under_ice": True, **visits(200)}, "fox", MEETS),
            ({"device": "foothold", **visits(100)}, "fox", None),
        ],
    ),
    (
        "R15 24 hours; 48 in listed units, for water sets in season, for body-gripping devices on land",
        "6 NYCRR 6.3(a)(3)",
        """
        kind: require
        check: {interval: {every: PT24H}}
        unless:
          - when:
              any_of:
                - {one_of: {feature: zone, words: [unit-north]}}
                - {one_of: {feature: medium, words: [water]}}
                - {one_of: {feature: device, words: [body-gripping]}}
            instead: {interval: {every: PT48H}}
        """, "",
        [
            ({"zone": "unit-north", "device": "foothold", "medium": "land", **visits(47)}, "mink", MEETS),
            ({"zone": "unit-south", "device": "foothold", "medium": "land", **visits(47)}, "mink", BREAKS),
            ({"zone": "unit-south", "device": "body-gripping", "medium": "land", **visits(47)}, "mink", MEETS),
            ({"medium": "land", **visits(24)}, "mink", MEETS),
            ({"medium": "land", "zone": "unit-south", "device": "foothold", **visits(25)}, "mink", BREAKS),
            ({"medium": "water", **visits(47)}, "mink", MEETS),
            ({"medium": "water", **visits(49)}, "mink", BREAKS),
            (visits(30), "mink", DOUBT),
        ],
    ),
    (
        "R16 every 36 hours", "34 Pa.C.S. 2361",
        "kind: require\ncheck: {interval: {every: PT36H}}", "",
        [(visits(36), "fox", MEETS), (visits(37), "fox", BREAKS), ({"check_interval": 35 * 3600.0}, "fox", MEETS)],
    ),
    (
        "R17 once in four days, days or hours not told apart", "news report on Nevada, 2014",
        """
        kind: require
        check: {all_of: [{interval: {every: P4D}}, {interval: {every: PT96H}}]}
        """, "",
        [(visits(95), "fox", MEETS), (visits(97), "fox", BREAKS)],
    ),
    (
        "R18 daily visit inside a window of the sun", "South Carolina Code 50-11-2440",
        """
        kind: require
        check: {interval: {every: P1D, visit_window: {from: sunrise - 2 h, to: sunset + 2 h}}}
        """, "",
        [
            ({**visits(24), "sunrise": at(9, 7.25), "sunset": at(9, 17.25)}, "fox", MEETS),
            ({**visits(35.5), "sunrise": at(9, 7.25), "sunset": at(9, 17.25)}, "fox", BREAKS),
            (visits(24), "fox", DOUBT),
        ],
    ),
    (
        "R19 interval by class of licence", "Alberta and British Columbia in Proulx & Rodtka (2019), appendix A",
        """
        kind: require
        check: {interval: {every: PT24H}}
        unless:
          - when: {one_of: {feature: licence_class, words: [trapline]}}
            instead: {interval: {every: PT48H}}
        """, "",
        [
            ({"licence_class": "resident", **visits(30)}, "fox", BREAKS),
            ({"licence_class": "trapline", **visits(30)}, "fox", MEETS),
        ],
    ),
    (
        "R19b 72 hours holding, 24 hours enclosed foothold, 14 days killing",
        "British Columbia in Proulx & Rodtka (2019), appendix A",
        """
        kind: require
        check: {interval: {every: PT72H}}
        unless:
          - when: {one_of: {feature: device, words: [enclosed-foothold]}}
            instead: {interval: {every: PT24H}}
          - when: {one_of: {feature: device, words: [body-gripping]}}
            instead: {interval: {every: P14D}}
        """, "",
        [
            ({"device": "foothold", **visits(71)}, "fox", MEETS),
            ({"device": "foothold", **visits(73)}, "fox", BREAKS),
            ({"device": "body-gripping", **visits(300)}, "fox", MEETS),
        ],
    ),
    (
        "R21b the same as terms of the interval itself", "New Mexico 19.31.10.15(G)",
        "kind: require\ncheck: {interval: {every: P1D, agent: {in_a_row: 1, written: true}}}", "",
        [
            ({"agent_checks": False, **visits(24)}, "fox", MEETS),
            ({**AGENT, "agent_checks_in_a_row": 1.0, **visits(24)}, "fox", MEETS),
            ({**AGENT, "agent_checks_in_a_row": 2.0, **visits(24)}, "fox", BREAKS),
            ({**AGENT, "agent_permission": False, **visits(24)}, "fox", BREAKS),
            ({**AGENT, **visits(24)}, "fox", DOUBT),
            (visits(24), "fox", DOUBT),
        ],
    ),
    (
        "R21 an agent at alternate checks with written leave", "New Mexico 19.31.10.15(G)",
        """
        kind: require
        check:
          any_of:
            - {boolean: {feature: agent_checks, is: false}}
            - all_of:
                - {boolean: {feature: agent_permission, is: true}}
                - {limit: {feature: agent_checks_in_a_row, op: "<=", value: 1}}
        """, "",
        [
            ({"agent_checks": False}, "fox", MEETS),
            ({"agent_checks": True, "agent_permission": True, "agent_checks_in_a_row": 1.0}, "fox", MEETS),
            ({"agent_checks": True, "agent_permission": True, "agent_checks_in_a_row": 2.0}, "fox", BREAKS),
        ],
    ),
    (
        "R22 no tending at night", "Minnesota Stat. 97B.931 (2009)",
        "kind: require\ncheck: {clock_window: {activity: tend, closed: {from: '22:00', to: '05:00'}}}", "",
        [
            (visits(22), "fox", MEETS),
            (visits(19), "fox", BREAKS),
            (visits(14), "fox", BREAKS),
            ({"made": at(8, 9)}, "fox", DOUBT),
        ],
    ),
    (
        "R26 trail and trailhead on public land", "Oregon 635-050-0047",
        """
        kind: limit
        applies: {medium: land, land_tenure: [public]}
        check:
          all_of:
            - {distance: {to: public-trail, at_least: 50 ft}}
            - {distance: {to: trailhead, at_least: 300 ft}}
        """, "",
        [
            (
                {"medium": "land", "land_tenure": "public", "distance__public_trail": 50 * FOOT,
                 "distance__trailhead": 300 * FOOT}, "coyote", MEETS,
            ),
            ({"medium": "land", "land_tenure": "public", "distance__public_trail": 47 * FOOT}, "coyote", BREAKS),
            ({"medium": "land", "land_tenure": "public", "distance__public_trail": 99 * FOOT}, "coyote", DOUBT),
            ({"medium": "land", "land_tenure": "private", "distance__public_trail": 5 * FOOT}, "coyote", None),
        ],
    ),
    (
        "R27 setback by target", "Montana notices 2012 and 2024",
        """
        kind: limit
        applies: {species: [wolf]}
        check:
          all_of:
            - {distance: {to: road, at_least: 150 ft}}
            - {distance: {to: trailhead, at_least: 1000 ft}}
        """, "",
        [
            ({"distance__road": 150 * FOOT, "distance__trailhead": 1000 * FOOT}, "wolf", MEETS),
            ({"distance__road": 100 * FOOT}, "wolf", BREAKS), ({"distance__road": 100 * FOOT}, "bobcat", None),
            ({"distance__road": 150 * FOOT, "distance__trailhead": 950 * FOOT}, "wolf", BREAKS),
        ],
    ),
    (
        "R28 from the edge, not from the centre line", "Idaho rulemaking page",
        "kind: limit\ncheck: {distance: {to: trail, reference: edge, at_least: 10 ft}}", "",
        [
            ({"distance__trail": Fact(12 * FOOT, method="edge")}, "fox", MEETS),
            ({"distance__trail": Fact(9 * FOOT, method="centreline")}, "fox", BREAKS),
            ({"distance__trail": Fact(12 * FOOT, method="centreline")}, "fox", DOUBT),
            ({"distance__trail": Fact(12 * FOOT, method="centreline"), "width__trail": 3 * FOOT}, "fox", MEETS),
            ({"distance__trail": Fact(12 * FOOT, method="centreline"), "width__trail": 6 * FOOT}, "fox", BREAKS),
        ],
    ),
    (
        "R29 dwelling, with a nominal size", "British Columbia synopsis 2020-22",
        """
        kind: limit
        check: {distance: {to: dwelling, at_least: 200 m}}
        unless:
          - when:
              all_of:
                - {one_of: {feature: medium, words: [water]}}
                - {limit: {feature: nominal_size, op: "<=", value: "2"}}
        """, "",
        [
            ({"distance__dwelling": 150.0, "medium": "land"}, "mink", BREAKS),
            ({"distance__dwelling": 150.0, "medium": "water", "nominal_size": "No. 1"}, "mink", DOUBT),
            ({"distance__dwelling": 210.0}, "mink", MEETS),
        ],
    ),
    (
        "R30 distance or notice", "unattributed guideline page on trap features",
        """
        kind: require
        check:
          any_of:
            - {distance: {to: dwelling, at_least: 150 ft}}
            - {boolean: {feature: occupant_informed, is: true}}
        """, "",
        [
            ({"distance__dwelling": 100 * FOOT, "occupant_informed": True}, "fox", MEETS),
            ({"distance__dwelling": 100 * FOOT, "occupant_informed": False}, "fox", BREAKS),
        ],
    ),
    (
        "R31 built-up area but for submersion sets", "Maine 12 MRSA (2003 text)",
        """
        kind: limit
        check: {distance: {to: built-up-area, at_least: 0.5 mi}}
        unless:
          - when: {boolean: {feature: submersion, is: true}}
        """, "",
        [
            ({"distance__built_up_area": 700.0, "submersion": False}, "mink", BREAKS),
            ({"distance__built_up_area": 700.0, "submersion": True}, "mink", MEETS),
            ({"distance__built_up_area": 805.0}, "mink", MEETS),
        ],
    ),
    (
        "R32b five feet from a den or hole but under water", "34 Pa.C.S. 2361",
        """
        kind: limit
        check: {distance: {to: den, at_least: 5 ft}}
        unless: [{when: {limit: {feature: submerged_share, op: ">=", value: 1}}}]
        """, "",
        [
            ({"distance__den": 4 * FOOT, "submerged_share": 0.0}, "fox", BREAKS),
            ({"distance__den": 4 * FOOT, "submerged_share": 1.0}, "fox", MEETS),
            ({"distance__den": 4 * FOOT}, "fox", DOUBT),
        ],
    ),
    (
        "R32 beaver dam or lodge", "58 Pa. Code 141.62",
        """
        kind: limit
        applies: {species: [beaver]}
        check:
          all_of:
            - {distance: {to: dam, at_least: 15 ft}}
            - {distance: {to: lodge, at_least: 15 ft}}
        """, "",
        [
            ({"distance__dam": 15 * FOOT, "distance__lodge": 40 * FOOT}, "beaver", MEETS),
            ({"distance__dam": 14 * FOOT}, "beaver", BREAKS),
        ],
    ),
    (
        "R33a bait seen from the air", "Pennsylvania digest",
        "kind: require\ncheck: {bait: {visible_from: air}}", "",
        [
            ({"bait_present": True, "bait_visible": True}, "fox", BREAKS),
            ({"bait_present": False}, "fox", MEETS),
            ({"bait_present": True, "bait_visible": Fact(True, method="any")}, "fox", DOUBT),
        ],
    ),
    (
        "R33b exposed from any side, pieces over a cubic inch, within 25 ft",
        "Utah R657-11-2; model state rule 45.11-4",
        "kind: require\ncheck: {bait: {visible_from: any, larger_than: 1.6387e-5 m**3, nearer_than: 25 ft}}", "",
        [
            (
                {"bait_present": True, "bait_visible": True, "bait_volume": 3e-5, "bait_distance": 7.2},
                "fox", BREAKS,
            ),
            ({"bait_present": True, "bait_visible": True, "bait_volume": 1e-5, "bait_distance": 0.0}, "fox", MEETS),
            ({"bait_present": True, "bait_visible": True, "bait_volume": 3e-5, "bait_distance": 7.7}, "fox", MEETS),
            ({"bait_present": True, "bait_visible": False, "bait_volume": 3e-5, "bait_distance": 0.0}, "fox", DOUBT),
        ],
    ),
    (
        "R34 name and address or number, durable, above water", "Kansas, New York, Maine and Pennsylvania pages",
        "kind: require\ncheck: {tag: {any_of: [name_and_address, number], durable: true, visible: true}}", "",
        [
            ({"tag_number": True, "tag_durable": True, "tag_visible": True}, "beaver", MEETS),
            (
                {"tag_number": False, "tag_name": True, "tag_address": False, "tag_durable": True,
                 "tag_visible": True}, "beaver", BREAKS,
            ),
            ({"tag_number": True, "tag_durable": True, "tag_visible": False}, "beaver", BREAKS),
            ({"tag_number": True, "tag_durable": True}, "beaver", DOUBT),
        ],
    ),
    (
        "R35 teeth only when wholly under water", "Maine rules 09-137 ch. 17 s. 17.08",
        """
        kind: forbid
        check: {boolean: {feature: toothed, is: true}}
        unless:
          - when: {limit: {feature: submerged_share, op: ">=", value: 1}}
        """, "",
        [
            ({"toothed": True, "submerged_share": 0.4}, "beaver", BREAKS),
            ({"toothed": True, "submerged_share": 1.0}, "beaver", MEETS),
            ({"toothed": False}, "beaver", MEETS),
        ],
    ),
    (
        "R36 no hanging catch", "6 NYCRR 6.3; Quebec trap use page",
        "kind: forbid\ncheck: {boolean: {feature: suspends, is: true}}", "",
        [({"suspends": True}, "fox", BREAKS), ({"suspends": False}, "fox", MEETS), ({}, "fox", DOUBT)],
    ),
    (
        "R37 seventy-five traps", "model state rule 45.11-4",
        "kind: limit\ncheck: {count: {scope: person, at_most: 75}}", "",
        [({"traps_out": 75.0}, "fox", MEETS), ({"traps_out": 76.0}, "fox", BREAKS)],
    ),
    (
        "R38 nominal size with a map of the authority", "model state rule 45.11-4",
        "kind: limit\ncheck: {limit: {feature: nominal_size, op: '<=', value: '4'}}",
        "definitions: {nominal_size_map: {'No. 3': 3, 'No. 5': 5}}\n",
        [
            ({"nominal_size": "No. 3"}, "fox", MEETS),
            ({"nominal_size": "No. 5"}, "fox", BREAKS),
            ({"nominal_size": "No. 1 1/2"}, "fox", DOUBT),
        ],
    ),
    (
        "R39 water set: a third of the trap under water", "Idaho rulemaking page",
        "kind: forbid\napplies: {medium: water}",
        "definitions: {water_set: {submerged_share_at_least: '0.3333'}}\n",
        [
            ({"medium": "water", "submerged_share": 0.3}, "mink", None),
            ({"medium": "land", "submerged_share": 0.4}, "mink", BREAKS),
            ({"medium": "water"}, "mink", DOUBT),
        ],
    ),
    (
        "R40 no submersion sets on a reach", "Utah R657-11-9(3)",
        """
        kind: require
        applies: {zone: [listed-river]}
        check:
          all_of:
            - {boolean: {feature: submersion, is: false}}
            - any_of:
                - {limit: {feature: jaw_spread, method: inside_dog_across_pan, op: "<", value: 5 1/8 in}}
                - {boolean: {feature: padded, is: true}}
        """, "",
        [
            ({"zone__listed_river": True, "submersion": True}, "beaver", BREAKS),
            ({"zone__listed_river": True, "submersion": False, "jaw_spread": spread(5.0)}, "beaver", MEETS),
            ({"zone__listed_river": False, "submersion": True}, "beaver", None),
        ],
    ),
    (
        "R41 list of certified traps", "Ontario Reg. 667/98, schedule 2",
        "kind: require\napplies: {species: [beaver]}\ncheck: {list_membership: {list: certified}}",
        "lists: {certified: {effective: {from: 2026-01-01, to: 2026-12-31}, members: [type-a], citation: test}}\n",
        [
            ({"device_id": "type-a"}, "beaver", MEETS),
            ({"device_id": "type-b"}, "beaver", BREAKS),
            ({}, "beaver", DOUBT),
        ],
    ),
    (
        "R42 covered on land", "unattributed guideline page on trap features",
        "kind: require\napplies: {medium: land}\ncheck: {boolean: {feature: covered, is: true}}", "",
        [({"medium": "land", "covered": False}, "fox", BREAKS), ({"medium": "water", "covered": False}, "fox", None)],
    ),
    (
        "R43 report within 24 hours of the catch", "Iowa study guide",
        "kind: duty\ncheck: {deadline: {event: bobcat-caught, within: PT24H, act: report it}}", "",
        [
            ({}, "bobcat", MEETS),
            ({"event__bobcat_caught": at(5, 9)}, "bobcat", BREAKS),
            ({"event__bobcat_caught": at(5, 9), "act__bobcat_caught": at(6, 8)}, "bobcat", MEETS),
            ({"event__bobcat_caught": at(5, 9), "act__bobcat_caught": at(6, 10)}, "bobcat", BREAKS),
            ({"event__bobcat_caught": None}, "bobcat", DOUBT),
        ],
    ),
    (
        "R43b registered within 30 days after the close", "West Virginia notice",
        "kind: duty\ncheck: {deadline: {event: season-closes, within: P30D, act: register}}",
        "seasons: [{species: fox, open: 2026-11-01, close: 2026-11-05, citation: test}]\n",
        [
            ({"act__season_closes": at(2, 9)}, "fox", MEETS),
            ({}, "fox", BREAKS),
            ({}, "mink", MEETS),
        ],
    ),
    (
        "R44b a chain no longer than stated", "rules for lynx zones (memory)",
        "kind: limit\ncheck: {limit: {feature: chain_length, op: '<=', value: 12 in}}", "",
        [({"chain_length": 12 * INCH}, "fox", MEETS), ({"chain_length": 13 * INCH}, "fox", BREAKS)],
    ),
    (
        "R44 no drags", "Utah rules on cable devices",
        "kind: forbid\ncheck: {boolean: {feature: drag, is: true}}", "",
        [({"drag": True}, "fox", BREAKS), ({"drag": False}, "fox", MEETS)],
    ),
    (
        "R45 a device forbidden by purpose", "California in a published summary of 2004",
        "kind: forbid\napplies: {device: [foothold], purpose: [recreation, fur]}", "",
        [
            ({"device": "foothold", "purpose": "fur"}, "fox", BREAKS),
            ({"device": "foothold", "purpose": "damage-control"}, "fox", None),
            ({"device": "foothold"}, "fox", DOUBT),
        ],
    ),
    (
        "R46 course and written permission", "New Mexico, Wisconsin and Maine pages",
        """
        kind: require
        check:
          all_of: [{boolean: {feature: course_passed, is: true}}, {boolean: {feature: permission, is: true}}]
        """, "",
        [
            ({"course_passed": True, "permission": True}, "fox", MEETS),
            ({"course_passed": True, "permission": False}, "fox", BREAKS),
        ],
    ),
]  # fmt: skip

CASES = [
    pytest.param(rule, more, *case, id=f"{name} [{document}] {number}")
    for name, document, rule, more, cases in PATTERNS
    for number, case in enumerate(cases)
]


@pytest.mark.parametrize(("rule", "more", "known", "species", "expected"), CASES)
def test_published_pattern(rule, more, known, species, expected):
    assert answer(pack_of(rules=rule, more=more), facts(**known), species=species) is expected


# Patterns that a single rule cannot say: seasons and a silent text, each with a test of its own below.
BY_THEMSELVES = {"R20", "R23", "R24", "R25"}


def test_every_pattern_is_said():
    found = {name.split()[0].rstrip("ab") for name, *_ in PATTERNS} | BY_THEMSELVES
    assert found == {f"R{number:02d}" for number in range(1, 47)}


def test_each_pattern_meets_and_breaks():
    for name, _, _, _, cases in PATTERNS:
        answers = {case[2] for case in cases}
        assert answers & {BREAKS, None}, f"{name}: nothing that it forbids"
        assert len(answers) > 1, f"{name}: one answer only"


def test_r20_no_interval_in_the_text_keeps_the_daily_visit():
    """Two states in a published state-by-state summary of 2004 stated no interval."""
    from setwright.law.answer import judge

    pack = pack_of(more="topics: {check-interval: {state: none, citation: summary of 2004}}\n")
    for hours, expected in ((30, MEETS), (60, BREAKS)):
        found = judge(pack, facts(submersion=False, **visits(hours)), on=date(2026, 12, 8), species="fox")
        welfare = next(item for item in found if item.rule == "welfare:check-interval")
        assert welfare.answer is expected
        assert welfare.citation == "common practice"


def season(text, known, on, species="beaver"):
    from setwright.law.answer import judge

    pack = pack_of(more=f"topics: {{seasons: stated}}\nseasons:\n  - {{{text}, citation: test}}\n")
    return [
        f.answer
        for f in judge(pack, facts(**known), on=on, species=species)
        if f.topic == "seasons" and f.rule.startswith("season")
    ]


def test_r23_opening_hour_and_closing_day():
    """58 Pa. Code 141.61: no setting before 07:00 on the first day, out by sunset of the last."""
    text = "species: beaver, open: 2026-12-08, close: 2027-01-10, first_hour: '07:00', last_hour: sunset"
    assert season(text, {"made": at(8, 6.5)}, date(2026, 12, 8)) == [MEETS, BREAKS]
    assert season(text, {"made": at(8, 7)}, date(2026, 12, 8)) == [MEETS, MEETS]
    last = datetime(2027, 1, 10, 18, tzinfo=UTC)
    sun = {"sunset": datetime(2027, 1, 10, 16, 50, tzinfo=UTC)}
    assert season(text, {"pull": last, **sun}, date(2027, 1, 10)) == [MEETS, BREAKS]
    assert season(text, {"pull": last.replace(hour=16), **sun}, date(2027, 1, 10)) == [MEETS, MEETS]
    assert season(text, {}, date(2026, 12, 20)) == [MEETS]


def test_r24_restraining_devices_only_part_of_the_season():
    """6 NYCRR 6.2, proposal of 2010: open 25 Oct-15 Feb, restraining devices only after 10 Dec."""
    text = (
        "species: fisher, open: 2026-10-25, close: 2026-12-10, zone: [unit-1], "
        "when: {boolean: {feature: submersion, is: true}}"
    )
    assert season(text, {"zone": "unit-1", "submersion": False}, date(2026, 11, 2), "fisher") == [BREAKS]
    assert season(text, {"zone": "unit-1", "submersion": True}, date(2026, 11, 2), "fisher") == [MEETS]
    assert season(text, {"submersion": True}, date(2026, 11, 2), "fisher") == [DOUBT]


def test_r25_moveable_opening():
    """Maine ch. 4.01(G): the early season begins the Sunday two weeks before the regular opening."""
    text = "species: fox, open: {weekday: sunday, weeks_before: 2, opening_of: 2026-11-01}, close: 2026-10-31"
    assert date(2026, 11, 1).strftime("%A") == "Sunday"
    assert season(text, {}, date(2026, 10, 17), "fox") == [BREAKS]
    assert season(text, {}, date(2026, 10, 18), "fox") == [MEETS]
