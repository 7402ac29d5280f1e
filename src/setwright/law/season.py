"""Whether the season of the target is open for the set on a day."""

from __future__ import annotations

from setwright.basis.say import Say
from setwright.basis.verdict import Answer
from setwright.law.applies import row_holds
from setwright.law.evaluate_time import on_hour
from setwright.law.outcome import Case, Outcome, told
from setwright.law.pack import SeasonRow, same_species


def season_findings(case: Case, species: str) -> list[tuple[Outcome, str]]:
    """Outcome of the season with its citation; a second one where the first or last day has an hour.

    Parameters
    ----------
    case : Case
        Pack, facts and day.
    species : str
        Target of the set.

    Returns
    -------
    list of tuple of Outcome and str
        A species that the pack does not name cannot be told: nothing says whether it may be taken.

    """
    words = species.replace("_", " ")
    rows = [row for row in case.pack.seasons if same_species(row.species, species, case.pack)]
    if not rows:
        unknown = told(
            Answer.CANNOT_TELL,
            Say("the pack has no season for {species:word}", species=words),
            None,
            Say("when is the season for {species:word} here, if there is one?", species=words),
            open_text=True,
        )
        return [(unknown, "not in the pack")]
    open_rows = [(row, row_holds(row, case)) for row in rows if row.covers(case.on)]
    certain = next((row for row, holds in open_rows if holds is Answer.MEETS), None)
    if certain is not None:
        opened = told(
            Answer.MEETS,
            Say("the season for {species:word} is open: {days:word}", species=words, days=_days(certain)),
        )
        return [(opened, certain.citation), *_hours(certain, case)]
    possible = next((row for row, holds in open_rows if holds is Answer.CANNOT_TELL), None)
    if possible is not None:
        doubtful = told(
            Answer.CANNOT_TELL,
            Say(
                "the season for {species:word} is open for some zones or devices only: {days:word}",
                species=words, days=_days(possible),
            ),
            None,
            Say("is the season of {species:word} open for the zone and the kind of this set?", species=words),
        )  # fmt: skip
        return [(doubtful, possible.citation)]
    shut = told(
        Answer.BREAKS,
        Say(
            "no season for {species:word} is open for this set on {day:word}; {days:word}",
            species=words, day=case.on.isoformat(), days="; ".join(_days(row) for row in rows),
        ),
        Say("set for a species whose season is open, or on another day"),
    )  # fmt: skip
    return [(shut, rows[0].citation)]


def _days(row: SeasonRow) -> str:
    if row.closed:
        return "closed all year"
    return f"{row.opens} to {row.close}" + (f" in {', '.join(row.zone)}" if row.zone else "")


def _hours(row: SeasonRow, case: Case) -> list[tuple[Outcome, str]]:
    found = []
    if row.first_hour is not None and case.on == row.opens:
        found.append((on_hour("made", row.first_hour, case.facts, not_before=True), row.citation))
    if row.last_hour is not None and case.on == row.close:
        found.append((on_hour("pull", row.last_hour, case.facts, not_before=False), row.citation))
    return found
