"""From the line book to the records of the chain: traps, tackle, sites, with what was not stated marked so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from setwright.basis.errors import BadInput, OutOfRange
from setwright.basis.source import Quantity, assumed, unknown
from setwright.line.book import (
    LineBook,
    Measured,
    PatternEntry,
    RigUse,
    SiteEntry,
    SlideUse,
    TrapEntry,
    expand,
)
from setwright.line.gear import anchor_at, anchor_rig, bedding_of, board_of, chain_of, soils_of
from setwright.line.readings import current, pulled
from setwright.sets import tables as set_tables
from setwright.sets.model import (
    AnchorRig,
    Chain,
    Rig,
    SiteFacts,
    SlideRig,
    TrapKnowledge,
    TrapRig,
    Treated,
    WaterAtSite,
)
from setwright.tackle import tables as tackle_tables
from setwright.trap import tables as trap_tables
from setwright.trap.readings import check_family
from setwright.weather import tables as weather_tables

DEFAULT_SET = {"land": "dirt-hole", "water": "pocket"}
# Six inches of cable between stop and deep end, where the book says nothing.
STOP_BACK = 0.15
BANK_HEIGHT = 0.15
NOT_STATED = "not stated"
DEFAULT_CHAIN = Chain(NOT_STATED, Quantity(0.3048, "m", assumed("not stated: a foot of chain"), 0.2, 0.9))


def measured(entry: Measured) -> dict[str, Quantity]:
    """Bench readings of an entry by dimension name."""
    return {name: value for name in Measured.model_fields if isinstance(value := getattr(entry, name), Quantity)}


def pattern_of(patterns: Mapping[str, PatternEntry], key: str) -> tuple[str, dict[str, Quantity], str | None]:
    """Table pattern behind `key`, the readings on top of it, and its own label."""
    seen: list[str] = []
    readings: dict[str, Quantity] = {}
    label: str | None = None
    while key in patterns:
        if key in seen:
            raise BadInput(
                "this pattern is like itself", field=f"patterns.{key}.like", found=" > ".join([*seen, key])
            )
        seen.append(key)
        entry = patterns[key]
        readings = {**measured(entry), **readings}
        label = label or entry.label or key
        key = entry.like
    table = trap_tables.patterns()
    if key not in table:
        table.record(key)
    return key, readings, label


def trap_rig(patterns: Mapping[str, PatternEntry], entry: TrapEntry, trap_id: str) -> TrapRig:
    """One trap of the outfit with its readings on top of its pattern's table figures."""
    try:
        key, readings, label = pattern_of(patterns, entry.pattern)
    except BadInput as error:
        raise error.at(field=f"outfit.traps {entry.id} pattern") from None
    readings = {**readings, **measured(entry)}
    table = trap_tables.patterns()
    springs = entry.springs
    dimensions = trap_tables.dimensions(
        key, overrides=readings, springs=springs, jaws=entry.jaws or "regular", dogless=entry.dogless,
        eye=entry.eye or "round", swivel_place=entry.swivel or ("base" if entry.base_swivel else None),
    )  # fmt: skip
    bench = current(entry.readings)
    for number, one in enumerate(bench):
        try:
            check_family(one, dimensions)
        except OutOfRange as error:
            raise BadInput(
                error.message, field=f"outfit.traps {entry.id} readings.{number}", found=one.kind,
                allowed=error.allowed,
            ) from None  # fmt: skip
    family = table.text(key, "family")
    figure = {
        name: readings.get(name, table.get(key, name)) for name in ("spread", "pan_radius", "mass", "bearing_area")
    }
    return TrapRig(
        trap_id=trap_id,
        pattern=entry.pattern,
        label=label or table.text(key, "label"),
        family=family,
        dimensions=dimensions,
        knowledge=TrapKnowledge(key, dimensions, _stated(readings), bench),
        spread=figure["spread"],
        jaws=entry.jaws,
        springs=int(dimensions.springs),
        trip_force=entry.trip_force or pulled(bench) or unknown("N", "trip force not read"),
        pan_radius=figure["pan_radius"],
        mass=figure["mass"],
        bearing_area=figure["bearing_area"],
        bed_length=table.number(key, "bed_length"),
        bed_width=table.number(key, "bed_width"),
        bed_depth=table.number(key, "bed_depth"),
        set_height=table.number(key, "set_height"),
        base_swivel=entry.base_swivel if entry.swivel is None else entry.swivel == "base",
        tag=entry.tag,
        toothed=entry.toothed,
        dogless=entry.dogless,
        nominal=table.text(key, "nominal"),
        state=entry.state,
        measured=tuple(sorted({*readings, *(one.kind for one in bench)})),
        guard=None if entry.guard is None else entry.guard.guard(),
    )


def _stated(readings: Mapping[str, Quantity]) -> tuple[tuple[str, Quantity], ...]:
    """Stated figures that tell of the mechanics, in one order."""
    return tuple(sorted((name, q) for name, q in readings.items() if name in trap_tables.DIMENSION_FIELDS))


def traps_of(book: LineBook) -> dict[str, TrapRig]:
    """Every trap of the outfit by its id, alike ones written out."""
    found: dict[str, TrapRig] = {}
    for entry in book.outfit.traps:
        first: TrapRig | None = None
        for trap_id in expand(entry.id, entry.count):
            if trap_id in found:
                raise BadInput("two traps have this id", field=f"outfit.traps {entry.id}", found=trap_id)
            first = trap_rig(book.patterns, entry, trap_id) if first is None else replace(first, trap_id=trap_id)
            found[trap_id] = first
    return found


def anchors_of(book: LineBook) -> dict[str, AnchorRig]:
    """Anchors of the outfit by id."""
    return {entry.id: anchor_rig(entry) for entry in book.outfit.anchors}


def chains_of(book: LineBook) -> dict[str, Chain]:
    """Chain assemblies of the outfit by id."""
    return {entry.id: chain_of(entry) for entry in book.outfit.chains}


def slides_of(book: LineBook) -> tuple[SlideRig, ...]:
    """Slide cables of the outfit, laid nowhere yet."""
    return tuple(
        SlideRig(
            entry.id,
            entry.length.number,
            entry.length.number,
            STOP_BACK,
            entry.cable,
            entry.ends,
            kinked=entry.kinked,
        )
        for entry in book.outfit.slides
    )


def slide_rig(book: LineBook, use: SlideUse, anchors: Mapping[str, AnchorRig], where: str) -> SlideRig:
    """A slide cable as it lies at a site."""
    entry = next((entry for entry in book.outfit.slides if entry.id == use.slide), None)
    if entry is None:
        raise BadInput(
            "no such slide cable in the outfit",
            field=f"{where}.slide",
            found=use.slide,
            allowed=", ".join(entry.id for entry in book.outfit.slides) or "none are listed",
        )
    for key in (entry.cable, entry.ends):
        if key is not None:
            tackle_tables.tackle().need(key, f"outfit.slides {entry.id}")
    return SlideRig(
        key=entry.id,
        length=entry.length.number,
        deep_out=use.deep_out.number,
        stop_back=use.stop_back.number if use.stop_back is not None else STOP_BACK,
        cable=entry.cable,
        ends=entry.ends,
        bank_height=BANK_HEIGHT if use.bank_height is None else use.bank_height.number,
        bank_anchor=_named(anchors, use.bank_anchor, f"{where}.bank_anchor", "anchor"),
        deep_anchor=_named(anchors, use.deep_anchor, f"{where}.deep_anchor", "anchor"),
        kinked=entry.kinked,
    )


def _named(known: Mapping[str, AnchorRig], key: str | None, where: str, what: str) -> AnchorRig | None:
    if key is None:
        return None
    if key not in known:
        raise BadInput(
            f"no such {what} in the outfit", field=where, found=key, allowed=", ".join(known) or "none are listed"
        )
    return known[key]


def need_cover(kind: str, where: str) -> None:
    """Refuse a cover that no table knows; `none` is a bare trap."""
    if kind != "none":
        weather_tables.thermal().need(kind, where)


def treated_of(entry: SiteEntry, where: str) -> Treated | None:
    """What is mixed into the cover of a site, refused where it may not be or no more is known of it."""
    if entry.cover is None or entry.cover.additive is None:
        return None
    told, field = entry.cover.additive, f"{where}.cover.additive"
    weather_tables.checked_additive(told.kind, f"{field}.kind")
    if entry.medium == "water" or entry.cover.kind == "none":
        raise BadInput("there is no cover to mix it into", field=field, found=told.kind)
    shares, _ = weather_tables.freezing_curve(weather_tables.additives().text(told.kind, "solute"))
    if not 0.0 < told.strength.number <= float(shares[-1]):
        raise BadInput(
            "more of it does not freeze later, or is not known to", field=f"{field}.strength",
            found=f"{100.0 * told.strength.number:g} %",
            allowed=f"over 0 to {100.0 * float(shares[-1]):g} % by mass of the solution",
        )  # fmt: skip
    return Treated(told.kind, told.strength)


def covers_of(book: LineBook) -> tuple[str, ...]:
    """Covers that he carries."""
    for number, kind in enumerate(book.outfit.covers):
        need_cover(kind, f"outfit.covers.{number}")
    return tuple(book.outfit.covers)


def site_facts(entry: SiteEntry, number: int) -> SiteFacts:
    """A site of the book in SI; set type and foot fall back to the usual and are marked as not stated."""
    where = f"sites.{number - 1}"
    types = set_tables.set_types()
    kind = entry.set_type or DEFAULT_SET[entry.medium]
    types.need(kind, f"{where}.set_type")
    if entry.cover is not None:
        need_cover(entry.cover.kind, f"{where}.cover.kind")
    if types.text(kind, "medium") != entry.medium:
        raise BadInput(
            f"a {types.text(kind, 'label')} is made {'in' if entry.medium == 'land' else 'on'} the other medium",
            field=f"{where}.set_type",
            found=kind,
            allowed=", ".join(key for key in types if types.text(key, "medium") == entry.medium),
        )
    water = None
    if entry.water is not None:
        water = WaterAtSite(
            out=tuple(s.out.number for s in entry.water.soundings),
            depth=tuple(s.depth.number for s in entry.water.soundings),
            pan_depth=entry.water.pan_depth,
            off_centre=entry.water.off_centre,
            wave=entry.water.wave.number if entry.water.wave is not None else 0.0,
            current=entry.water.current.number if entry.water.current is not None else 0.0,
            level_scale=entry.water.level_scale.number if entry.water.level_scale is not None else 1.0,
            level_scale_stated=entry.water.level_scale is not None,
        )
    return SiteFacts(
        key=entry.id,
        number=number,
        name=entry.name,
        medium=entry.medium,
        set_type=kind,
        set_type_stated=entry.set_type is not None,
        target=entry.target,
        foot=entry.foot or types.text(kind, "foot"),
        latitude=None if entry.position is None else entry.position.latitude,
        longitude=None if entry.position is None else entry.position.longitude,
        access=entry.access,
        soils=() if entry.ground is None else soils_of(entry.ground, f"{where}.ground"),
        frozen_depth=0.0 if entry.ground is None or entry.ground.frozen is None else entry.ground.frozen.number,
        snags=None if entry.ground is None else entry.ground.snags,
        water=water,
        cover=entry.cover.kind if entry.cover is not None else None,
        cover_depth=entry.cover.depth if entry.cover is not None else None,
        treated=treated_of(entry, where),
        canopy=entry.canopy or "open",
        near={near.what: near.distance.number for near in entry.near},
        sign=dict(entry.sign),
        tenure=entry.tenure,
        permission=entry.permission,
        bait=entry.bait.kind if entry.bait is not None else None,
        bait_visible=entry.bait.visible_from_above if entry.bait is not None else None,
        minutes=None if entry.check_minutes is None else entry.check_minutes.number,
    )


def stated_rig(
    book: LineBook,
    site: SiteFacts,
    use: RigUse,
    traps: Mapping[str, TrapRig],
    chains: Mapping[str, Chain],
    anchors: Mapping[str, AnchorRig],
) -> Rig | None:
    """The rig that the book states for a site, or None when it names no trap."""
    where = f"sites.{site.number - 1}.rig"
    if use.trap is None:
        return None
    if use.trap not in traps:
        raise BadInput("no such trap in the outfit", field=f"{where}.trap", found=use.trap, allowed=_some(traps))
    trap = traps[use.trap]
    if use.trip_force is not None:
        trap = replace(trap, trip_force=use.trip_force)
    if use.chain is not None and use.chain not in chains:
        raise BadInput("no such chain in the outfit", field=f"{where}.chain", found=use.chain, allowed=_some(chains))
    anchor = _named(anchors, use.anchor, f"{where}.anchor", "anchor")
    if anchor is not None:
        anchor = anchor_at(anchor, use, site.soils, where)
    return Rig(
        trap=trap,
        chain=chains[use.chain] if use.chain is not None else DEFAULT_CHAIN,
        anchor=anchor,
        slide=None if use.slide is None else slide_rig(book, use.slide, anchors, f"{where}.slide"),
        cover=site.cover,
        cover_depth=site.cover_depth,
        board=board_of(use),
        stated=True,
        bedding=bedding_of(use),
        gang=_gang(use, traps, where),
        treated=site.treated,
    )


def _gang(use: RigUse, traps: Mapping[str, TrapRig], where: str) -> tuple[TrapRig, ...]:
    """Traps beside the first one."""
    names = [use.trap, *use.gang]
    for number, key in enumerate(use.gang):
        if key not in traps:
            raise BadInput(
                "no such trap in the outfit", field=f"{where}.gang.{number}", found=key, allowed=_some(traps)
            )
        if names.index(key) <= number:
            raise BadInput("one trap stands twice in a gang", field=f"{where}.gang.{number}", found=key)
    return tuple(traps[key] for key in use.gang)


def _some(known: Mapping[str, object]) -> str:
    names = list(known)
    return ", ".join(names[:10]) + (" …" if len(names) > 10 else "") if names else "none are listed"
