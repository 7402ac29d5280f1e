"""From the line book to anchors, chains, ground and beds in SI; what cannot be is refused by its field."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from setwright.basis.errors import BadInput, OutOfRange
from setwright.basis.source import Kind, Quantity, Source
from setwright.ground import tables as ground_tables
from setwright.ground.anchor_kinds import Anchor, check
from setwright.ground.handtest import by_hand
from setwright.ground.soil import Layer, profile
from setwright.line.book import RigUse
from setwright.line.footing import UNKNOWN, AnchorEntry, ChainEntry, Ground, HandTests, ShockSpring, SoilLayer
from setwright.sets import tables as set_tables
from setwright.sets.model import AnchorRig, Bedding, Board, Chain, Shock, Soil
from setwright.tackle import tables as tackle_tables

STATED = Source(Kind.MEASURED, "line book", "stated")
NAMES = {"tree": "tree", "root": "root", "sapling": "sapling", "weight": "deep weight", "drag": "drag"}
# A reading of a worn link may lie above the new wire by plating and the gauge, not by more.
GAUGED_ABOVE = 1.06


def chain_of(entry: ChainEntry) -> Chain:
    """A chain assembly; its parts must stand in the tackle table, and a trade number needs the gauged wire."""
    where = f"outfit.chains {entry.id}"
    table = tackle_tables.tackle()
    parts = list(entry.parts)
    if entry.number is not None:
        try:
            found = tackle_tables.chain_of(entry.number, None if entry.wire is None else entry.wire.number)
        except BadInput as error:
            raise BadInput(
                error.message, field=f"{where} {error.field}", found=error.found, allowed=error.allowed
            ) from None
        parts.insert(0, found.key)
    for part in parts:
        table.need(part, f"{where} parts")
    for name, readings in (("tested", entry.tested), ("proved", entry.proved)):
        stray = sorted(set(readings) - set(parts))
        if stray:
            raise BadInput(
                f"a {name} part must be one of the parts", field=f"{where} {name}", found=stray[0],
                allowed=", ".join(parts),
            )  # fmt: skip
    for stay in entry.rusted:
        tackle_tables.rust().need(stay.place, f"{where} rusted")
    return Chain(
        key=entry.id,
        length=entry.length,
        parts=tuple(parts),
        swivels=entry.swivels,
        shock_spring=_shock(entry.shock_spring),
        worn=_worn(entry, parts, where),
        rusted=tuple((stay.place, stay.years) for stay in entry.rusted),
        zinc=0.0 if entry.zinc is None else entry.zinc.number,
        tested=tuple(sorted((part, _loads(found)) for part, found in entry.tested.items())),
        proved=tuple(sorted((part, load.number) for part, load in entry.proved.items())),
    )


def _loads(found: Quantity | list[Quantity]) -> tuple[float, ...]:
    """Loads at which samples of a part failed [N]."""
    return tuple(one.number for one in (found if isinstance(found, list) else [found]))


def _shock(found: bool | ShockSpring) -> Shock | bool:
    if isinstance(found, bool):
        return found
    usual = set_tables.figures()
    return Shock(
        found.rate or usual["shock_rate"], found.stroke or usual["shock_stroke"],
        0.0 if found.preload is None else found.preload.number,
    )  # fmt: skip


def _worn(entry: ChainEntry, parts: Sequence[str], where: str) -> float | None:
    """Share of the wire's diameter that the most worn link has left; None where nobody gauged it."""
    if entry.worn_to is not None:
        return float(entry.worn_to.number)
    if entry.gauged is None:
        return None
    table = tackle_tables.tackle()
    chain = next((part for part in parts if table.text(part, "kind") == "chain"), None)
    if chain is None or not table.has(chain, "wire_diameter"):
        raise BadInput(
            "a gauged link tells nothing without the wire that the chain had when new", field=f"{where} gauged",
            allowed="name the chain among its parts, or state number and wire",
        )  # fmt: skip
    new = table.number(chain, "wire_diameter")
    share = float(entry.gauged.number) / new
    if not 0.0 < share <= GAUGED_ABOVE:
        raise BadInput(
            "the worn link is thicker than the chain was when new: another chain, or gauged over the weld",
            field=f"{where} gauged", found=f"{1e3 * entry.gauged.number:.2f} mm",
            allowed=f"up to {1e3 * new:.2f} mm, the wire of {table.text(chain, 'label')}",
        )  # fmt: skip
    return min(share, 1.0)


def anchor_rig(entry: AnchorEntry) -> AnchorRig:
    """An anchor of the outfit: stock figures from the table, replaced by what was measured."""
    where = f"outfit.anchors {entry.id}"
    stock: Mapping[str, Quantity] = {}
    label = entry.id
    source: Source | None = None
    if entry.stock is not None:
        table = ground_tables.stakes()
        table.need(entry.stock, f"{where} stock")
        stock = table.record(entry.stock)
        label = table.text(entry.stock, "label") or entry.id
        source = next((quantity.source for quantity in stock.values() if quantity.value is not None), None)
        wanted = "plate" if entry.kind == "plate" else "stake"
        if entry.kind in ("stake", "crossed", "plate") and table.text(entry.stock, "kind") != wanted:
            raise BadInput(
                f"this stock is no {wanted}", field=f"{where} stock", found=entry.stock,
                allowed=", ".join(key for key in table if table.text(key, "kind") == wanted),
            )  # fmt: skip
    elif entry.kind in ("stake", "crossed", "plate"):
        raise BadInput(
            "an anchor of this kind needs its stock", field=f"{where} stock",
            allowed=", ".join(ground_tables.stakes().keys()),
        )  # fmt: skip
    if entry.kind in ("sapling", "root") and entry.diameter is None:
        raise BadInput(
            f"a {entry.kind} is judged by its thickness where it is tied", field=f"{where} diameter",
            found="not stated", allowed="a length such as 2 in",
        )  # fmt: skip

    def number(name: str, measured: Quantity | None = None) -> float | None:
        found = stock.get(name) if measured is None else measured
        return None if found is None else found.value

    if entry.kind == "crossed" and "crossed" not in label:
        label = f"two crossed stakes ({label})"
    if entry.kind in NAMES and entry.stock is None:
        label = entry.note or NAMES[entry.kind]
    found = AnchorRig(
        key=entry.id,
        kind=entry.kind,
        label=label,
        length=number("length", entry.length),
        width=number("width", entry.width),
        perimeter=number("perimeter", entry.perimeter),
        yield_moment=number("yield_moment"),
        plate_width=number("plate_width", entry.plate_width),
        plate_length=number("plate_length", entry.plate_length),
        diameter=number("diameter", entry.diameter),
        mass=number("mass", entry.mass),
        material=entry.material,
        pull_height=None if entry.pull_height is None else entry.pull_height.number,
        dead=entry.dead,
        prongs=0.0 if entry.prongs is None else entry.prongs.number,
        source=source or STATED,
    )
    _possible(found, (), where)
    return found


def anchor_at(anchor: AnchorRig, use: RigUse, soils: Sequence[Soil], where: str) -> AnchorRig:
    """The anchor as it was driven and pulled at a site."""
    found = replace(
        anchor,
        proof=use.proof_pull or anchor.proof,
        proof_angle=use.proof_angle,
        moved=use.proof_moved,
        driven=None if use.driven is None else use.driven.number,
        refused=None if use.refused is None else use.refused.number,
        lean=None if use.lean is None else use.lean.number,
    )
    if use.proof_pull is None and (use.proof_moved or use.proof_angle is not None):
        raise BadInput(
            "a proof pull is told of, and its force is not", field=f"{where}.proof_pull", found="not stated"
        )
    long = None if anchor.kind == "plate" else anchor.length
    if use.driven is not None and long is not None and use.driven.number > long:
        raise BadInput(
            "driven deeper than it is long", field=f"{where}.driven", found=f"{use.driven.number:.2f} m",
            allowed=f"0 to {long:.2f} m",
        )  # fmt: skip
    _possible(found, soils, where)
    return found


def _possible(anchor: AnchorRig, soils: Sequence[Soil], where: str) -> None:
    """Refuse what the ground room refuses, under the names that the book has for it."""
    if anchor.kind not in ("stake", "crossed", "plate"):
        return
    deep = anchor.driven if anchor.driven is not None else anchor.length
    given = {
        "plate_width": anchor.plate_width, "plate_length": anchor.plate_length, "length": deep, "depth": deep,
        "refusal": anchor.refused,
    }  # fmt: skip
    sizes: dict[str, Any] = {name: value for name, value in given.items() if value is not None}
    layers = [Layer(soil.key, "undrained", soil.thickness, math.nan, 1.0, 1.0, math.nan) for soil in soils]
    try:
        check(Anchor(anchor.kind, **sizes), layers)
    except OutOfRange as error:
        name = "driven" if error.field in ("length", "depth") else error.field
        apart = "." if where.startswith("sites") else " "
        raise BadInput(
            error.message, field=f"{where}{apart}{name}", found=error.found, allowed=error.allowed
        ) from None


def soils_of(ground: Ground, where: str) -> tuple[Soil, ...]:
    """Layers from the top down; depths with a gap or an overlap are refused, and soils that no table knows."""
    table = ground_tables.soils()
    thickness = _thickness(ground.layers, where)
    found = []
    for number, layer in enumerate(ground.layers):
        place = f"{where}.layers.{number}"
        key, settles = layer.soil or "", ""
        if layer.hand is not None:
            key, settles = _felt(layer.hand, f"{place}.hand")
        elif key == UNKNOWN:
            key, settles = _felt(HandTests(), place)
        else:
            table.need(key, f"{place}.soil")
        found.append(Soil(key, thickness[number], layer.strength, layer.moisture or "moist", settles))
    return tuple(found)


def _thickness(layers: Sequence[SoilLayer], where: str) -> list[float]:
    if all(layer.top is None and layer.bottom is None for layer in layers):
        for number, layer in enumerate(layers[:-1]):
            if layer.thickness is None:
                raise BadInput(
                    "only the lowest layer may go down without end", field=f"{where}.layers.{number}.thickness",
                    found="not stated", allowed="a length such as 6 in",
                )  # fmt: skip
        for number, layer in enumerate(layers):
            if layer.thickness is not None and not layer.thickness.number > 0.0:
                raise BadInput(
                    "a layer without thickness", field=f"{where}.layers.{number}.thickness",
                    found=layer.thickness.number, allowed="above 0",
                )  # fmt: skip
        return [math.inf if layer.thickness is None else layer.thickness.number for layer in layers]
    cuts = []
    for number, layer in enumerate(layers):
        last = number == len(layers) - 1
        if layer.top is None or (layer.bottom is None and not last):
            raise BadInput(
                "where one layer has its depths, each needs them", field=f"{where}.layers.{number}",
                found="top or bottom not stated",
                allowed="top and bottom of every layer; the lowest may have no bottom",
            )  # fmt: skip
        cuts.append((layer.top.number, math.inf if layer.bottom is None else layer.bottom.number))
    blank = Layer("", "undrained", 0.0, math.nan, math.nan, math.nan, math.nan)
    try:
        found = profile(cuts, [blank] * len(cuts))
    except OutOfRange as error:
        place = (error.field or "").partition("[")[2].rstrip("]") or "0"
        raise BadInput(
            error.message, field=f"{where}.layers.{place}", found=error.found, allowed=error.allowed
        ) from None
    return [layer.thickness for layer in found]


def _felt(hand: HandTests, where: str) -> tuple[str, str]:
    """Class that the hand tests name, or none and the test that would settle it."""
    tests, answers = [], []
    for name in ground_tables.TESTS:
        keys, shares = ground_tables.hand_test_shares(name)
        said = getattr(hand, name)
        if said is not None and said not in keys:
            raise BadInput(
                "no such answer of this hand test", field=f"{where}.{name}", found=said, allowed=", ".join(keys)
            )
        tests.append(shares)
        answers.append(None if said is None else keys.index(said))
    classes = ground_tables.classes()
    found = by_hand([1.0] * len(classes), tests, answers)
    if bool(found.share[0] != found.share[0]):
        given = ", ".join(f"{name} {getattr(hand, name)}" for name in ground_tables.TESTS if getattr(hand, name))
        raise BadInput("these answers go with no soil: feel it again", field=where, found=given)
    if found.best >= 0:
        return classes[found.best], ""
    return "", ground_tables.TESTS[found.settles] if found.settles >= 0 else ground_tables.TESTS[0]


def board_of(use: RigUse) -> Board | bool:
    """Board or mesh under the trap."""
    if isinstance(use.board, bool):
        return use.board
    solid = 1.0 if use.board.solid is None else use.board.solid.number
    return Board(use.board.length.number, use.board.width.number, solid, stated=True)


def bedding_of(use: RigUse) -> Bedding:
    """How the trap lies in its bed."""
    bed = use.bed
    return Bedding(
        springs_bent=0.0 if bed.springs_bent is None else bed.springs_bent.number,
        same_side=bed.same_side,
        stones=tuple((one.along.number, one.across.number, one.height.number) for one in bed.stones),
        steady=bed.steady,
        base=bed.base or "",
        pan_rise=None if bed.pan_rise is None else bed.pan_rise.number,
    )
