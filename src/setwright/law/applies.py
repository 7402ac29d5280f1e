"""Whether a rule applies to a set: certainly, certainly not, or not known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime, time, timedelta

from setwright.basis.verdict import Answer, all_of, any_of
from setwright.law.evaluate import outcome_of, truth_of
from setwright.law.evaluate_number import compare
from setwright.law.facts import Facts
from setwright.law.outcome import Case
from setwright.law.pack import ActiveWhen, Applies, Pack, SeasonRow


def same_species(named: str, species: str, pack: Pack) -> bool:
    """True when a species of a pack is the one of the set.

    A name also covers its varieties, which add a word: `coyote` covers `coyote_east`. Other names stand in the
    pack's own `definitions.species`.
    """
    names = (named, *pack.definitions.species.get(named, ()))
    return any(species == name or species.startswith(f"{name}_") for name in names)


def _among(word: str | None, words: Sequence[str]) -> Answer:
    return truth_of(None if word is None else word in words)


def _zone(words: Sequence[str], facts: Facts) -> Answer:
    found = []
    for word in words:
        stated = facts[f"zone:{word}"].truth
        found.append(truth_of(stated) if stated is not None else _among(facts["zone"].word, [word]))
    return any_of(found)


def medium_is(wanted: str, case: Case) -> Answer:
    """Whether the set counts as a land or a water set, by the pack's own definition where it has one."""
    definition = case.pack.definitions.water_set
    if definition is None:
        return _among(case.facts["medium"].word, [wanted])
    water = compare(case.facts["submerged_share"].span, ">=", definition.submerged_share_at_least.number)
    if water is Answer.CANNOT_TELL and case.facts["medium"].word == "land":
        water = Answer.BREAKS
    return water if wanted == "water" else water.negated()


def row_holds(row: SeasonRow, case: Case) -> Answer:
    """Whether a row of the seasons is meant for this set (zone, device, its own condition)."""
    found = [Answer.MEETS]
    if row.zone is not None:
        found.append(_zone(row.zone, case.facts))
    if row.device is not None:
        found.append(_among(case.facts["device"].word, row.device))
    if row.when is not None:
        found.append(outcome_of(row.when, case).answer)
    return all_of(found)


def season_is_open(species: Iterable[str], case: Case) -> Answer:
    """Whether the season of any of the species is open on the day; not known when the pack has no row of them."""
    found = []
    for name in species:
        rows = [row for row in case.pack.seasons if same_species(row.species, name, case.pack)]
        covering = [row for row in rows if row.covers(case.on)]
        found.append(any_of(row_holds(row, case) for row in covering) if rows else Answer.CANNOT_TELL)
    return any_of(found)


def _active(part: ActiveWhen, case: Case) -> Answer:
    fact = case.facts[f"event:{part.event}"]
    if fact.value is False:
        return Answer.BREAKS
    if fact.moment is None:
        return Answer.CANNOT_TELL
    start = fact.moment.astimezone(UTC) + timedelta(hours=part.after_hours)
    planned = case.facts["next_visit"].moment
    if planned is not None:
        return truth_of(start <= planned.astimezone(UTC))
    begin = datetime.combine(case.on, time(0), fact.moment.tzinfo)
    if start <= begin:
        return Answer.MEETS
    return Answer.CANNOT_TELL if start < begin + timedelta(days=1) else Answer.BREAKS


def applies_to(part: Applies, case: Case, species: str) -> Answer:
    """Whether everything that a rule names holds for the set."""
    facts = case.facts
    asked: list[tuple[object, Callable[[], Answer]]] = [
        (part.species, lambda: truth_of(any(same_species(name, species, case.pack) for name in part.species or ()))),
        (part.zone, lambda: _zone(part.zone or (), facts)),
        (part.device, lambda: _among(facts["device"].word, part.device or ())),
        (part.medium, lambda: medium_is(part.medium or "", case)),
        (part.set_type, lambda: _among(facts["set_type"].word, part.set_type or ())),
        (part.submersion, lambda: _is(facts["submersion"].truth, part.submersion)),
        (part.land_tenure, lambda: _among(facts["land_tenure"].word, part.land_tenure or ())),
        (part.licence_class, lambda: _among(facts["licence_class"].word, part.licence_class or ())),
        (part.purpose, lambda: _among(facts["purpose"].word, part.purpose or ())),
        (part.season_open, lambda: season_is_open(part.season_open or (), case)),
        (part.active_when, lambda: Answer.MEETS if part.active_when is None else _active(part.active_when, case)),
        (part.when, lambda: Answer.MEETS if part.when is None else outcome_of(part.when, case).answer),
    ]
    return all_of(answer() for named, answer in asked if named is not None)


def _is(truth: bool | None, wanted: bool | None) -> Answer:
    return truth_of(None if truth is None else truth is wanted)


def stale(pack: Pack, on: date) -> str | None:
    """Why a pack of law cannot be relied on for a day, in words; None when it can.

    A profile of good practice does not go stale.
    """
    if pack.kind == "profile":
        return None
    if not pack.effective.holds(on):
        return f"the pack is not in force on {on.isoformat()}"
    if pack.checked_on is None:
        return "nobody has noted when the pack was checked against the law"
    if not pack.checked_by.strip():
        return "nobody has put a name to the check of the pack"
    start = pack.effective.start
    if (start is not None and pack.checked_on < start) or (on - pack.checked_on).days > 366:
        return f"the pack was last checked on {pack.checked_on.isoformat()}, not for this season"
    return None
