"""The forms of a line book: which fields a line, a site, a trap and its tackle have, and what may stand in them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any

from setwright.animal import tables as animal_tables
from setwright.desk.edit_form import Field, Section
from setwright.desk.edit_utm import grid_words
from setwright.ground import tables as ground_tables
from setwright.law import tables as law_tables
from setwright.sets import tables as set_tables
from setwright.sets.naming import cover_name, plain_name
from setwright.tackle import tables as tackle_tables
from setwright.trap import tables as trap_tables

Pairs = tuple[tuple[str, str], ...]
MEDIA = (("land", "on land"), ("water", "in water"))
TRUTH = (("yes", "yes"), ("no", "no"))
LEVELS = (
    ("none", "none: looked, and saw none"), ("old", "old"), ("some", "some"), ("fresh", "fresh"), ("heavy", "heavy"),
)  # fmt: skip
JAWS = tuple(
    (word, word)
    for word in (
        "regular", "offset", "laminated", "laminated inside", "laminated outside", "offset laminated", "padded",
        "double",
    )
)  # fmt: skip
COVERS = (
    "none",
    "dry-dirt",
    "peat-dry",
    "peat-damp",
    "waxed-dirt",
    "loam-moist",
    "loam-wet",
    "sand-dry",
    "sand-moist",
)
ANCHORS = ("stake", "crossed", "plate", "tree", "root", "sapling", "drag", "weight")
NEAR = ("dwelling", "road", "public-trail", "livestock", "dam", "den", "bait-pile", "water")
KINDS = ("traps", "chains", "anchors", "slides")
ONE = {"traps": "trap", "chains": "chain", "anchors": "anchor", "slides": "slide cable"}


def _same(words: Iterable[str]) -> Pairs:
    return tuple((word, word.replace("-", " ")) for word in words)


@cache
def animals() -> Pairs:
    """Animals that the table knows, by name."""
    table = animal_tables.species()
    return tuple(sorted(((key, plain_name(animal_tables.record(key))) for key in table), key=lambda pair: pair[1]))


def set_types(medium: str = "") -> Pairs:
    """Set types of a medium."""
    table = set_tables.set_types()
    return tuple((key, table.text(key, "label")) for key in table if medium in ("", table.text(key, "medium")))


def patterns(data: Mapping[str, Any]) -> Pairs:
    """Kinds of trap: his own first, then those of the table."""
    own = tuple((str(key), str((one or {}).get("label") or key)) for key, one in (data.get("patterns") or {}).items())
    table = trap_tables.patterns()
    return (*own, *((key, table.text(key, "label")) for key in table))


def owned(data: Mapping[str, Any], kind: str) -> Pairs:
    """What the outfit has of one kind."""
    entries = (data.get("outfit") or {}).get(kind) or []
    return tuple((str(one["id"]), str(one["id"])) for one in entries if isinstance(one, Mapping) and "id" in one)


def own_animals(data: Mapping[str, Any]) -> Pairs:
    """Animals of the table, and those that the book has of its own."""
    known = {key for key, _ in animals()}
    return (*animals(), *((str(key), str(key)) for key in (data.get("animals") or {}) if key not in known))


def _position(path: str, label: str, data: Mapping[str, Any], place: tuple[float, float]) -> Field:
    """A field for a position, in the form that the book chooses."""
    grid = (data.get("line") or {}).get("position_form") == "utm"
    latitude, longitude = place
    example = grid_words(latitude, longitude) if grid else f"{latitude:.4f}, {longitude:.4f}"
    return Field(path, label, "grid" if grid else "position", example=example)


def line_form(data: Mapping[str, Any]) -> tuple[Section, ...]:
    """The line as a whole."""
    return (
        Section("The line", (
            Field("line.name", "name", needed=True),
            Field("line.place", "place"),
            Field("line.date", "day on which the sets are made", "day", needed=True, example="2026-11-20"),
            Field("line.set_at", "hour at which they stand", "clock", example="15:00"),
            Field("line.timezone", "time zone", example="America/New_York"),
            Field("line.season_open", "season opens", "day", example="2026-11-15"),
            Field("line.season_close", "season closes", "day", example="2027-01-31"),
            Field("line.invented", "made up, for practice", "truth", TRUTH),
        )),
        Section("The check run", (
            _position("line.base", "where it starts", data, (36.1000, -79.9500)),
            Field("line.start", "leaves at", "clock", example="06:40"),
            Field("line.be_back", "be back by", "clock", example="13:00"),
            Field("line.speeds.truck", "speed by truck", "quantity", example="25 mph"),
            Field("line.speeds.boat", "speed by boat", "quantity", example="4 mph"),
            Field("line.speeds.foot", "speed on foot", "quantity", example="2.5 mph"),
        ), "Without an hour the run leaves at sunrise."),
        Section("You and the law", (
            Field("law.licence", "class of licence"),
            Field("law.traps_out", "traps you have out", "whole", example="18"),
            Field("law.tag_name", "name and address on every trap", "truth", TRUTH),
            Field("law.interval", "check interval of your own", example="P1D or PT24H"),
        ), "Packs of rules are chosen under Settings."),
        Section("The day", (
            Field("conditions.weather.file", "hourly weather record", example="weather.csv"),
            Field("conditions.level.file", "water level record", example="level.csv"),
            Field("conditions.soil_temperature", "ground, two inches down", "quantity", example="39 degF"),
            Field("conditions.water_temperature", "water", "quantity", example="37 degF"),
            Field("conditions.snow", "snow", "quantity", example="2 in"),
        ), "Files lie beside the line book. Without a record, frost stays unknown."),
    )  # fmt: skip


def site_form(data: Mapping[str, Any], medium: str = "") -> tuple[Section, ...]:
    """A site and the set on it."""
    kinds = own_animals(data)
    traps, anchors = traps_owned(data), owned(data, "anchors")
    place = Section("The place", (
        Field("name", "name", needed=True),
        _position("position", "position", data, (36.1062, -79.9421)),
        Field("medium", "the trap lies", "choice", MEDIA, needed=True),
        Field("access", "reached by", "choice", (("truck", "truck"), ("foot", "foot"), ("boat", "boat"))),
        Field("tenure", "whose land", "choice", (("own", "my own"), ("private", "private"), ("public", "public"))),
        Field("permission", "permission given", "truth", TRUTH),
        Field("canopy", "overhead", "choice", (("open", "open sky"), ("trees", "trees"))),
        Field("check_minutes", "minutes for a look", "number", example="6"),
        Field("note", "note", "long"),
    ))  # fmt: skip
    the_set = Section("The set", (
        Field("target", "for", "choice", kinds, needed=True),
        Field("set_type", "set", "choice", set_types(medium)),
        Field("foot", "foot", "choice", (("fore", "front foot"), ("hind", "hind foot"))),
        Field("bait.kind", "bait", "choice", _same(("none", "lure", "meat", "plant"))),
        Field("bait.visible_from_above", "bait seen from above", "truth", TRUTH),
        Field("cover.kind", "cover", "choice", tuple((key, cover_name(key)) for key in COVERS)),
        Field("cover.depth", "cover over the pan", "quantity", example="3/8 in"),
        Field("cover.additive.kind", "mixed into it", "key", example="sodium-chloride"),
        Field("cover.additive.strength", "strength in its water", "quantity", example="10 %"),
    ), "Leave empty what is not known: it is shown as unknown.")  # fmt: skip
    rig = Section("The rig", (
        Field("rig.trap", "trap", "choice", traps),
        Field("rig.gang", "traps beside it", "names", example="T-02, T-03"),
        Field("rig.trip_force", "pan set to", "quantity", example="3 lbf"),
        Field("rig.chain", "chain", "choice", owned(data, "chains")),
        Field("rig.anchor", "anchor", "choice", anchors),
        Field("rig.proof_pull", "pulled without a move", "quantity", example="350 lbf"),
        Field("rig.driven", "driven to", "quantity", example="30 in"),
        Field("rig.slide.slide", "slide cable", "choice", owned(data, "slides")),
        Field("rig.slide.bank_anchor", "bank end", "choice", anchors),
        Field("rig.slide.deep_anchor", "deep end", "choice", anchors),
        Field("rig.slide.deep_out", "deep end out from the bank", "quantity", example="9 ft"),
        Field("rig.slide.stop_back", "stop, back from the deep end", "quantity", example="6 in"),
        Field("rig.slide.bank_height", "bank end above the water", "quantity", example="24 in"),
    ), "Without a trap the plan chooses one from the outfit.")  # fmt: skip
    ground = Section("The ground, from the top down", (
        Field("ground.layers", "layers", "rows", columns=(
            Field("soil", "soil", "choice", (*_same(ground_tables.soils()), ("unknown", "unknown"))),
            Field("thickness", "thick", "quantity", example="6 in"),
            Field("moisture", "moisture", "choice", _same(("dry", "moist", "soaked"))),
            Field("strength", "strength read", "quantity", example="1.6 kPa"),
        )),
        Field("ground.frozen", "frost in it", "quantity", example="2 in"),
    ), "The last layer needs no thickness.")  # fmt: skip
    water = Section("The water, for a set in water", (
        Field("water.soundings", "depths", "rows", columns=(
            Field("out", "out from the bank", "quantity", example="3 ft"),
            Field("depth", "depth", "quantity", example="14 in"),
        )),
        Field("water.pan_depth", "water over the pan", "quantity", example="2 in"),
        Field("water.off_centre", "pan off the line of travel", "quantity", example="3 in"),
        Field("water.level_scale", "share of the gauge's change", "number", example="0.4"),
        Field("water.current", "current", "quantity", example="1 mph"),
        Field("water.wave", "waves", "quantity", example="2 in"),
    ), "Start at the bank and go outwards.")  # fmt: skip
    seen = Section("Sign and what is near", (
        Field("sign", "sign", "pairs", columns=(
            Field("animal", "animal", "choice", kinds),
            Field("level", "sign", "choice", LEVELS),
        )),
        Field("near", "near by", "rows", columns=(
            Field("what", "what", "key", _same(NEAR), example="public-trail"),
            Field("distance", "distance", "quantity", example="220 ft"),
        )),
        Field("record", "visits counted", "keyed", columns=(
            Field("animal", "animal", "choice", kinds),
            Field("visits", "visits", "whole", example="6"),
            Field("contacts", "feet on the pan", "whole", example="3"),
            Field("nights", "in nights", "number", example="14"),
        )),
    ), "No row for an animal says that nobody looked; the word none says that somebody did.")  # fmt: skip
    return (place, the_set, rig, ground, water, seen)


def traps_owned(data: Mapping[str, Any]) -> Pairs:
    """Every tag of the outfit with its kind."""
    from setwright.line.brief import expand

    named = dict(patterns(data))
    found: list[tuple[str, str]] = []
    for one in (data.get("outfit") or {}).get("traps") or []:
        if isinstance(one, Mapping) and "id" in one:
            count = one.get("count", 1)
            tags = expand(str(one["id"]), count if isinstance(count, int) and 1 <= count <= 500 else 1)
            kind = named.get(str(one.get("pattern")), str(one.get("pattern")))
            found += [(tag, f"{tag}, {kind}") for tag in tags]
    return tuple(found)


def piece_form(data: Mapping[str, Any], kind: str) -> tuple[Section, ...]:
    """One piece of the outfit: a trap, a chain, an anchor, a slide cable."""
    count = Field("count", "how many alike", "whole", example="6")
    note = Field("note", "note", "long")
    if kind == "traps":
        return (Section("The trap", (
            Field("pattern", "kind", "choice", patterns(data), needed=True),
            count,
            Field("springs", "springs", "whole", (("1", "1"), ("2", "2"), ("4", "4"))),
            Field("jaws", "jaws", "choice", JAWS),
            Field("trip_force", "pan trips at", "quantity", example="3.5 lbf; 3.0 lbf to 4.0 lbf; three pulls"),
            Field("toothed", "teeth on the jaws", "truth", TRUTH),
            Field("base_swivel", "swivel at the base", "truth", TRUTH),
            Field("tag", "tag", example="yes"),
            Field("state", "state", "choice", _same(("good", "doubtful", "repair"))),
            Field("spread", "jaw spread", "quantity", example="5 1/4 in; ± 1/32 in; measured with calipers"),
            Field("offset_gap", "gap of offset jaws", "quantity", example="3/16 in"),
            Field("mass", "weight", "quantity", example="1.6 lb"),
            note,
        )),)  # fmt: skip
    if kind == "chains":
        return (Section("The chain", (
            Field("length", "length", "quantity", needed=True, example="12 in"),
            Field("parts", "parts from the trap on", "names", example="machine-2, quick-link-3/16, swivel"),
            Field("swivels", "swivels", "whole", example="2"),
            count,
            Field("worn_to", "worn to", "quantity", example="90 %"),
            note,
        ), f"Parts: {', '.join(tackle_tables.tackle())}."),)  # fmt: skip
    if kind == "anchors":
        return (Section("The anchor", (
            Field("kind", "kind", "choice", _same(ANCHORS), needed=True),
            Field("stock", "stock", "choice", _same(ground_tables.stakes())),
            count,
            Field("length", "length", "quantity", example="24 in"),
            Field("diameter", "thick, of a sapling or root", "quantity", example="3 in"),
            Field("mass", "weight", "quantity", example="30 lb"),
            Field("material", "of", "choice", _same(("concrete", "stone", "steel", "sandbag"))),
            note,
        )),)  # fmt: skip
    return (Section("The slide cable", (
        Field("length", "length", "quantity", needed=True, example="14 ft"),
        Field("cable", "cable", "choice", tuple((k, k) for k in tackle_tables.tackle() if k.startswith("cable"))),
        Field("ends", "ends", "choice", tuple((k, k) for k in tackle_tables.tackle() if k.startswith("end"))),
        count,
        Field("kinked", "kinked", "truth", TRUTH),
        note,
    )),)  # fmt: skip


def outfit_form() -> tuple[Section, ...]:
    """What the outfit has besides its pieces."""
    return (
        Section("Covers and boards", (
            Field("outfit.covers", "covers you carry", "names", example="dry-dirt, peat-dry, waxed-dirt"),
            Field("outfit.boards", "boards for soft beds", "whole", example="4"),
            Field("outfit.reserve", "traps held back for high water", "whole", example="2"),
        )),
    )  # fmt: skip


def animal_form() -> tuple[Section, ...]:
    """Figures of one animal that go before the table's."""
    quantity = "quantity"
    return (
        Section("The animal", (
            Field("mass", "weight", quantity, example="42 lb; 30 lb to 55 lb; measured on the scale"),
            Field("fore_width", "front foot, width", quantity, example="2 in"),
            Field("fore_length", "front foot, length", quantity, example="2 1/2 in"),
            Field("hind_width", "hind foot, width", quantity, example="2 in"),
            Field("hind_length", "hind foot, length", quantity, example="2 1/4 in"),
            Field("step", "step", quantity, example="14 in"),
            Field("speed", "speed", quantity, example="3 mph"),
            Field("group", "come together", "number", example="1.5"),
        )),
    )  # fmt: skip


def packs() -> tuple[str, ...]:
    """Names of the packs that come with the program."""
    return tuple(law_tables.shipped_packs())
