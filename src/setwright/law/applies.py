"""Whether a rule applies to a set: certainly, certainly not, or not known."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, date, datetime, time, timedelta

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, all_of, any_of
from setwright.law.evaluate import outcome_of, truth_of
from setwright.law.evaluate_number import compare
from setwright.law.facts import Facts, feature
from setwright.law.outcome import Case
from setwright.law.pack import ActiveWhen, Applies, Pack, SeasonRow, same_species


def _among(word: str | None, words: Sequence[str]) -> Answer:
    return truth_of(None if word is None else word in words)


def _zone(words: Sequence[str], facts: Facts) -> Answer:
    found = []
    for word in words:
        stated = facts[f"zone:{word}"].truth
        found.append(truth_of(stated) if stated is not None else _among(facts["zone"].word, [word]))
    return any_of(found)


def medium_is(wanted: str, case: Case) -> Answer:
    """Whether the set counts as a land, ground or water set, by the pack's own definitions where it has them."""
    ground = case.pack.definitions.ground_set
    if wanted == "ground" and ground is not None:
        low = compare(case.facts["height"].span, "<=", ground.height_at_most.number)
        return all_of((medium_is("land", case), low))
    definition = case.pack.definitions.water_set
    if definition is None:
        return _among(case.facts["medium"].word, ["water" if wanted == "water" else "land"])
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
    if not part.model_fields_set:
        return Answer.MEETS
    found = Answer.MEETS
    for named, answer in _conditions(part, case, species).values():
        told = answer() if named is not None else Answer.MEETS
        if told is Answer.BREAKS:
            return told
        if told is Answer.CANNOT_TELL:
            found = told
    return found


def unsure_of(part: Applies, case: Case, species: str) -> Say | None:
    """What would settle whether a rule applies: the question of the first condition that is not known."""
    for name, (named, answer) in _conditions(part, case, species).items():
        if named is not None and answer() is Answer.CANNOT_TELL:
            return _question(name, part, case)
    return None


def _question(name: str, part: Applies, case: Case) -> Say:
    if name == "zone":
        doubtful = next(word for word in part.zone or () if _zone([word], case.facts) is Answer.CANNOT_TELL)
        return Say("{text:word}", text=feature(f"zone:{doubtful}").question)
    if name == "season_open":
        return Say("is the season of {species:word} open?", species=", ".join(part.season_open or ()))
    if name == "active_when" and part.active_when is not None:
        return Say("{text:word}", text=feature(f"event:{part.active_when.event}").question)
    if name == "when" and part.when is not None:
        return outcome_of(part.when, case).question or Say("does the condition of the rule hold?")
    known = {"medium": "medium", "jaw_type": "offset", "lethal": "submersion"}
    return Say("{text:word}", text=feature(known.get(name, name)).question)


def _conditions(part: Applies, case: Case, species: str) -> dict[str, tuple[object, Callable[[], Answer]]]:
    facts = case.facts
    return {
        "species": (
            part.species,
            lambda: truth_of(any(same_species(name, species, case.pack) for name in part.species or ())),
        ),
        "zone": (part.zone, lambda: _zone(part.zone or (), facts)),
        "device": (part.device, lambda: _among(facts["device"].word, part.device or ())),
        "medium": (part.medium, lambda: medium_is(part.medium or "", case)),
        "set_type": (part.set_type, lambda: _among(facts["set_type"].word, part.set_type or ())),
        "submersion": (part.submersion, lambda: _as(part.submersion, submerges(case))),
        "lethal": (part.lethal, lambda: _as(part.lethal, kills(case))),
        "jaw_type": (part.jaw_type, lambda: any_of(_jaw(kind, facts) for kind in part.jaw_type or ())),
        "days": (part.days, lambda: truth_of(part.days is None or part.days.holds(case.on))),
        "land_tenure": (part.land_tenure, lambda: _among(facts["land_tenure"].word, part.land_tenure or ())),
        "licence_class": (part.licence_class, lambda: _among(facts["licence_class"].word, part.licence_class or ())),
        "purpose": (part.purpose, lambda: _among(facts["purpose"].word, part.purpose or ())),
        "season_open": (part.season_open, lambda: season_is_open(part.season_open or (), case)),
        "active_when": (
            part.active_when,
            lambda: Answer.MEETS if part.active_when is None else _active(part.active_when, case),
        ),
        "when": (part.when, lambda: Answer.MEETS if part.when is None else outcome_of(part.when, case).answer),
    }


def _as(wanted: bool | None, found: Answer) -> Answer:
    return found if wanted else found.negated()


def submerges(case: Case) -> Answer:
    """Whether the set counts as a submersion set, by the pack's own definition where it has one."""
    own = case.pack.definitions.submersion_set
    return truth_of(case.facts["submersion"].truth) if own is None else outcome_of(own, case).answer


def kills(case: Case) -> Answer:
    """Whether the set counts as a lethal set, by the pack's own definition where it has one."""
    own = case.pack.definitions.lethal_set
    return submerges(case) if own is None else outcome_of(own, case).answer


_JAW = {
    "offset": "offset",
    "laminated": "laminated",
    "padded": "padded",
    "double": "double_jawed",
    "toothed": "toothed",
}


def _jaw(kind: str, facts: Facts) -> Answer:
    if kind == "regular":
        return any_of(truth_of(facts[name].truth) for name in _JAW.values()).negated()
    return truth_of(facts[_JAW[kind]].truth)


def outside(pack: Pack, facts: Facts) -> Answer:
    """Whether a site lies outside the area of a pack: *meets* when it does."""
    if pack.area is None:
        return Answer.BREAKS
    return truth_of(facts[f"zone:{pack.area}"].truth).negated()


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
