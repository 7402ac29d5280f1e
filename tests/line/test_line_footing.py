"""Ground, anchors, chains and beds of the line book: what is read, and what is refused by its field."""

from __future__ import annotations

import json
import math
from typing import Any

import pytest

from setwright.basis.errors import BadInput
from setwright.cli.main import main
from setwright.desk.plan import read_job

BOOK: dict[str, Any] = {
    "schema": "setwright/line-book/1",
    "line": {"name": "Invented line", "date": "2026-12-20", "invented": True},
    "outfit": {
        "traps": [{"id": "T-1", "pattern": "coil-1.5", "springs": 2, "trip_force": "2 lbf"}],
        "chains": [{"id": "foot", "length": "12 in", "parts": ["machine-2", "quick-link-3/16"]}],
        "anchors": [
            {"id": "rod", "kind": "stake", "stock": "rod-24"},
            {"id": "plate", "kind": "plate", "stock": "plate-cable"},
        ],
    },
    "sites": [
        {
            "id": "a", "name": "A", "medium": "land", "target": "coyote_west",
            "ground": {"layers": [{"soil": "loam"}]},
            "rig": {"trap": "T-1", "chain": "foot", "anchor": "rod"},
        }
    ],
}  # fmt: skip


def book(**changed: Any) -> str:
    made = json.loads(json.dumps(BOOK))
    for path, value in changed.items():
        node: Any = made
        *steps, last = (int(step) if step.isdigit() else step for step in path.split("__"))
        for step in steps:
            node = node.setdefault(step, {}) if isinstance(node, dict) else node[step]
        node[last] = value
    return json.dumps(made)


def job(tmp_path, **changed):
    path = tmp_path / "book.yaml"
    path.write_text(book(**changed), encoding="utf-8")
    return read_job(path, draws=50)


def rig_of(tmp_path, **changed):
    return job(tmp_path, **changed).stated["a"]


GROUND, RIG = "sites__0__ground", "sites__0__rig"
ANCHOR, CHAIN = "outfit__anchors__0", "outfit__chains__0"
FOUND: list[tuple[dict[str, Any], str, str, str]] = [
    ({f"{RIG}__refused": "14 in"}, "sites.0.rig.driven", "deeper than the ground let it", "0.3556 m"),
    ({f"{RIG}__driven": "30 in"}, "sites.0.rig.driven", "deeper than it is long", "0 to 0.61 m"),
    ({f"{RIG}__driven": "20 in", f"{RIG}__refused": "14 in"}, "sites.0.rig.driven", "that was reached", "m"),
    ({"outfit__anchors__1__plate_width": "4 in"}, "anchors plate plate_width", "wider than long", "length"),
    ({f"{ANCHOR}__stock": "plate-wide"}, "outfit.anchors rod stock", "this stock is no stake", "tbar-24"),
    ({ANCHOR: {"id": "rod", "kind": "sapling"}}, "outfit.anchors rod diameter", "judged by its thickness", "2 in"),
    ({f"{CHAIN}__number": "2"}, "outfit.chains foot wire", "gauge the wire", "double-loop"),
    ({f"{CHAIN}__number": "2", f"{CHAIN}__wire": "9 mm"}, "chains foot wire", "none of the chains", "machine"),
    ({f"{CHAIN}__number": "77", f"{CHAIN}__wire": "3 mm"}, "chains foot number", "no chain of this number", "2/0"),
    ({f"{CHAIN}__gauged": "6 mm"}, "chains foot gauged", "thicker than the chain was", "up to 3.76 mm"),
    (
        {f"{CHAIN}__gauged": "3 mm", f"{CHAIN}__parts": ["swivel"]},
        "outfit.chains foot gauged", "tells nothing without the wire", "number and wire",
    ),
    ({f"{CHAIN}__rusted": [{"place": "splsh", "years": 1}]}, "outfit.chains foot rusted", "", "splash"),
    ({f"{CHAIN}__tested": {"d-ring": "900 N"}}, "outfit.chains foot tested", "must be one of the parts", "machine-2"),
    (
        {f"{GROUND}__layers": [{"soil": "muck", "top": "0 in", "bottom": "6 in"}, {"soil": "loam", "top": "9 in"}]},
        "sites.0.ground.layers.1", "a gap above a layer", "0.1524 m",
    ),
    (
        {f"{GROUND}__layers": [{"soil": "muck", "top": "0 in", "bottom": "6 in"}, {"soil": "loam", "top": "3 in"}]},
        "sites.0.ground.layers.1", "two layers overlap", "0.1524 m",
    ),
    (
        {f"{GROUND}__layers": [{"soil": "muck", "top": "0 in", "bottom": "6 in"}, {"soil": "loam"}]},
        "sites.0.ground.layers.1", "each needs them", "may have no bottom",
    ),
    (
        {f"{GROUND}__layers": [{"soil": "muck"}, {"soil": "loam"}]},
        "sites.0.ground.layers.0.thickness", "only the lowest layer", "6 in",
    ),
    ({f"{GROUND}__layers": [{"thickness": "6 in"}]}, "sites.0.ground.layers.0", "either named or felt", "unknown"),
    (
        {f"{GROUND}__layers": [{"hand": {"thumb": "soft"}}]},
        "sites.0.ground.layers.0.hand.thumb", "no such answer", "thumb-inch",
    ),
    ({f"{RIG}__proof_angle": "20 deg"}, "sites.0.rig.proof_pull", "its force is not", ""),
    (
        {f"{RIG}__bed": {"stones": [{"along": "1 in", "across": "0 in", "height": "0 in"}]}},
        "sites.0.rig.bed", "three stones or more", "",
    ),
]  # fmt: skip


@pytest.mark.parametrize(("changed", "field", "message", "allowed"), FOUND)
def test_what_cannot_be_is_refused_by_its_field(tmp_path, changed, field, message, allowed):
    with pytest.raises(BadInput) as caught:
        job(tmp_path, **changed)
    said = str(caught.value)
    assert str(tmp_path) in said and field in said, said
    assert message in said and allowed in said, said


def test_the_command_says_it_in_one_line(tmp_path, capsys, monkeypatch):
    path = tmp_path / "book.yaml"
    path.write_text(book(**{f"{RIG}__refused": "14 in"}), encoding="utf-8")
    monkeypatch.setattr("sys.argv", ["setwright", "set", str(path), "a"])
    with pytest.raises(SystemExit) as caught:
        main()
    said = capsys.readouterr()
    assert caught.value.code == 2 and said.out == ""
    assert said.err.count("\n") == 1 and "deeper than the ground let it" in said.err


def test_layers_may_be_told_by_their_depths(tmp_path):
    layers = [
        {"soil": "muck", "top": "0 in", "bottom": "6 in"},
        {"soil": "loam", "top": "6 in", "moisture": "soaked"},
    ]
    first, second = job(tmp_path, **{f"{GROUND}__layers": layers}).sites[0].soils
    assert first.thickness == pytest.approx(0.1524) and math.isinf(second.thickness)
    assert (first.key, first.moisture, second.key, second.moisture) == ("muck", "moist", "loam", "soaked")


def test_hand_tests_name_the_soil_or_the_test_that_is_missing(tmp_path):
    def felt(**hand):
        return job(tmp_path, **{f"{GROUND}__layers": [{"hand": hand}]}).sites[0].soils[0]

    clear = felt(thumb="thumb-nail", ribbon="ribbon-long", boot="boot-firm")
    assert clear.key == "stiff-clay" and clear.settles == ""
    unclear = felt(boot="boot-print")
    assert unclear.key == "" and unclear.settles in ("thumb", "ribbon", "stake")


def test_a_number_with_its_wire_is_a_chain(tmp_path):
    for wire, key in (("3.76 mm", "machine-2"), ("2.31 mm", "double-loop-2")):
        rig = rig_of(tmp_path, **{f"{CHAIN}__number": 2, f"{CHAIN}__wire": wire, f"{CHAIN}__parts": ["j-hook"]})
        assert rig.chain.parts == (key, "j-hook")


def test_what_is_read_of_chain_anchor_and_bed(tmp_path):
    changed = {
        f"{CHAIN}__gauged": "3.3 mm", f"{CHAIN}__tested": {"quick-link-3/16": ["9 kN", "10 kN"]},
        f"{CHAIN}__proved": {"machine-2": "3 kN"}, f"{CHAIN}__shock_spring": {"rate": "5 N/mm", "stroke": "3 in"},
        f"{RIG}__driven": "20 in", f"{RIG}__refused": "20 in", f"{RIG}__lean": "10 deg",
        f"{RIG}__proof_pull": "800 N", f"{RIG}__proof_angle": "90 deg",
        f"{RIG}__board": {"length": "12 in", "width": "10 in", "solid": 0.2},
        f"{RIG}__bed": {"springs_bent": "45 deg", "steady": True, "base": "wet"}, f"{GROUND}__frozen": "2 in",
        f"{GROUND}__snags": "30 yd",
    }  # fmt: skip
    made = job(tmp_path, **changed)
    rig, site = made.stated["a"], made.sites[0]
    assert rig.chain.worn == pytest.approx(3.3 / 3.76) and dict(rig.chain.tested)["quick-link-3/16"] == (9e3, 10e3)
    assert rig.chain.proved == (("machine-2", 3e3),) and rig.chain.shock_spring.rate.number == pytest.approx(5e3)
    assert rig.anchor.driven == rig.anchor.refused == pytest.approx(0.508)
    assert rig.anchor.lean == pytest.approx(math.radians(10.0))
    assert rig.anchor.proof_angle.number == pytest.approx(math.pi / 2.0)
    assert rig.board.solid == 0.2 and rig.bedding.steady is True and rig.bedding.base == "wet"
    assert site.frozen_depth == pytest.approx(0.0508) and site.snags.number == pytest.approx(27.432)
