"""From the animals of a line book to those of the chain: figures, ages, what was seen, the load model, records."""

from __future__ import annotations

from collections.abc import Mapping

from setwright.animal import tables as animal_tables
from setwright.animal import welfare_tables
from setwright.animal.ages import MassMix, mix_classes
from setwright.animal.model import Species
from setwright.animal.near import near_names
from setwright.animal.notes import field_notes
from setwright.animal.probit import LoadPosterior, update
from setwright.basis.errors import BadInput
from setwright.line.book import LineBook
from setwright.line.seen import AnimalEntry
from setwright.sets import tables as set_tables
from setwright.sets.context import SiteRecord
from setwright.sets.model import SiteFacts
from setwright.sets.record import RigRecord

# Kinds that are asked after at every set of a medium, whether or not the book names them.
ASKED = {"land": ("dog_medium",), "water": ("river_otter",)}
# An adult outside this span of the table's is another animal, or another unit.
LIGHTEST, HEAVIEST = 0.2, 5.0


def animals_of(book: LineBook) -> dict[str, Species]:
    """Every animal of which the book states something, with its figures in place of the table's.

    Raises
    ------
    BadInput
        For a name that is near to no table entry, an impossible mass, hours that do not sum to one, or an animal of
        his own without mass or foot.
    """
    return {key: _animal(key, entry) for key, entry in book.animals.items()}


def _animal(key: str, entry: AnimalEntry) -> Species:
    where, figures = f"animals.{key}", entry.figures
    if entry.like is None:
        animal_tables.need(key, where)
        for name in ("name", "roles"):
            if getattr(entry, name) is not None:
                raise BadInput(
                    "name and roles are for an animal of your own; this one stands in the table",
                    field=f"{where}.{name}", found=key, allowed="its figures, or a new key with `like`",
                )  # fmt: skip
        usual = animal_tables.record(key).mass.number
        if "mass" in figures and not LIGHTEST * usual <= figures["mass"].number <= HEAVIEST * usual:
            raise BadInput(
                "no adult of this animal has such a mass", field=f"{where}.mass",
                found=f"{figures['mass'].number:g} kg",
                allowed=f"{LIGHTEST * usual:.3g} to {HEAVIEST * usual:.3g} kg",
            )  # fmt: skip
        species = animal_tables.record(key, figures)
    else:
        if "fore_width" not in figures:
            raise BadInput(
                "an animal of your own needs a fore foot", field=f"{where}.fore_width",
                allowed="fore_width and fore_length with unit",
            )  # fmt: skip
        species = animal_tables.added(
            key, entry.name or key.replace("_", " "), entry.like, figures, tuple(entry.roles or ("nontarget",))
        )
    parts = [part.value for part in (species.night, species.twilight, species.day)]
    if None not in parts and abs(sum(part or 0.0 for part in parts) - 1.0) > 1e-3:
        raise BadInput(
            "night, twilight and day are shares of what passes in a day", field=f"{where}.night",
            found=f"sum {sum(part or 0.0 for part in parts):.3g}", allowed="shares that sum to one: state all three",
        )  # fmt: skip
    return species


def species_of(site: SiteFacts, animals: Mapping[str, Species], seen: Mapping[str, SiteRecord]) -> dict[str, Species]:
    """The target, every animal with a sign level or a record, and the kinds that are always asked after."""
    wanted = [site.target, *site.sign, *seen]
    dogs = [key for key in site.sign if key.startswith("dog_")]
    for key in ASKED[site.medium]:
        if key not in wanted and not (key.startswith("dog_") and dogs):
            wanted.append(key)
    found: dict[str, Species] = {}
    for key in dict.fromkeys(wanted):
        if key not in animals:
            part = "target" if key == site.target else f"sign.{key}" if key in site.sign else f"record.{key}"
            animal_tables.need(key, f"sites.{site.number - 1}.{part}")
        found[key] = animals[key] if key in animals else animal_tables.record(key)
    return found


def mixes_of(book: LineBook, animals: Mapping[str, Species]) -> dict[str, MassMix]:
    """Old and young of the animals whose shares the book states."""
    found: dict[str, MassMix] = {}
    for key, entry in book.animals.items():
        if not entry.ages:
            continue
        classes = animal_tables.age_classes(key) if key in animal_tables.species() else ()
        if not classes:
            raise BadInput(
                "no classes of age are known of this animal", field=f"animals.{key}.ages", allowed="leave `ages` out"
            )
        mass, spread = animals[key].mass.number, animals[key].mass_cv
        try:
            found[key] = mix_classes(classes, entry.ages, mass, spread.number if spread.known else 0.25)
        except BadInput as error:
            raise BadInput(
                error.message, field=f"animals.{key}.ages", found=error.found, allowed=error.allowed
            ) from None
    return found


def posterior_of(book: LineBook, animals: Mapping[str, Species]) -> LoadPosterior | None:
    """The load model of the whole line as the notes on pans leave it; None without notes."""
    if not book.notes_on_pans:
        return None
    kinds = []
    for number, note in enumerate(book.notes_on_pans):
        if note.species not in animals:
            animal_tables.need(note.species, f"notes_on_pans.{number}.species")
        kinds.append(animals[note.species] if note.species in animals else animal_tables.record(note.species))
    return update(
        field_notes(
            [kind.mass.number for kind in kinds],
            [kind.mass_cv.number if kind.mass_cv.known else 0.25 for kind in kinds],
            [kind.share.number for kind in kinds],
            [kind.share_sd.number for kind in kinds],
            [note.trip_force.number for note in book.notes_on_pans],
            [note.fired for note in book.notes_on_pans],
            [note.of for note in book.notes_on_pans],
            scatter=float(set_tables.figures()["trip_scatter"].number),
            gait=[animal_tables.tread(note.kind).gait.number for note in book.notes_on_pans],
        )
    )


def seen_of(book: LineBook, site: SiteFacts) -> dict[str, SiteRecord]:
    """What was seen at one site, by animal."""
    return {
        key: SiteRecord(entry.visits, entry.contacts, entry.nights)
        for key, entry in book.sites[site.number - 1].record.items()
    }


def rig_records_of(book: LineBook) -> dict[str, RigRecord]:
    """Records of trap designs by pattern, each entry held against the scale and the criteria."""
    patterns = {trap.pattern for trap in book.outfit.traps} | set(book.patterns)
    injuries, criteria = set(welfare_tables.injury_scale()), set(welfare_tables.criteria())
    found: dict[str, RigRecord] = {}
    for number, entry in enumerate(book.rig_records):
        where = f"rig_records.{number}"
        _known(entry.pattern, patterns, f"{where}.pattern", "no trap of this book has that pattern")
        if entry.pattern in found:
            raise BadInput("the record of this pattern stands twice", field=f"{where}.pattern", found=entry.pattern)
        for place, one in enumerate(entry.findings):
            for injury in one.injuries or ():
                _known(
                    injury, injuries, f"{where}.findings.{place}.injuries", "no such entry on the scale of injuries"
                )
        for place, test in enumerate(entry.tests):
            _known(test.criterion, criteria, f"{where}.tests.{place}.criterion", "no such criterion")
        found[entry.pattern] = entry.record()
    return found


def _known(found: str, known: set[str], where: str, words: str) -> None:
    if found not in known:
        near = near_names(found, {key: key for key in known}) or sorted(known)
        raise BadInput(words, field=where, found=found, allowed=", ".join(near))
