"""All handouts by name, blank or filled from a line book: the figures of the desk, before anything is drawn."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from types import MappingProxyType

import setwright
from setwright.basis.errors import BadInput
from setwright.basis.units import convert, parse
from setwright.desk import handout_choose as choose
from setwright.desk import handout_course as course
from setwright.desk import handout_document as doc
from setwright.desk import handout_people as people
from setwright.desk import handout_slips as slips
from setwright.desk import handout_teach as teach
from setwright.desk import handout_work as work
from setwright.desk.handout_source import Asked

Maker = Callable[[Asked], doc.Handout]
_SETS = {
    "dirt-hole": "Dirt-hole set",
    "flat": "Flat set",
    "blind": "Blind set on a trail",
    "pocket": "Pocket set",
    "castor-mound": "Castor mound set",
    "slide": "Slide set",
    "crossover": "Crossover set",
    "feed-bed": "Feed bed set",
}

HANDOUTS: Mapping[str, Maker] = MappingProxyType(
    {
        "parts-coil": lambda asked: teach.parts(asked, "coil"),
        "parts-long": lambda asked: teach.parts(asked, "long"),
        "parts-quiz": teach.quiz,
        "firing": teach.firing,
        "hands": teach.hands,
        "setting-coil": lambda asked: teach.setting(asked, "coil"),
        "setting-long": lambda asked: teach.setting(asked, "long"),
        "pan": teach.pan,
        "bed": teach.bed,
        "jaws": choose.jaws,
        "trip-force": choose.trip_force,
        "anchors": choose.anchors,
        "tackle": choose.tackle,
        "slide-sum": choose.slide_sum,
        "frost": work.frost,
        "sign": choose.sign,
        **{f"set-{name}": partial(course.set_type, name=name, title=title) for name, title in _SETS.items()},
        "release": people.release,
        "dispatch": people.dispatch,
        "dog-owner": people.dog_owner,
        "rules": slips.rules,
        "landowner": slips.landowner,
        "permission": slips.permission,
        "hand-over": slips.hand_over,
        "first-five": people.first_five,
        "skills": course.skills,
        "course": course.course,
        **{f"station-{name}": partial(course.station, name=name) for name in course.STATIONS},
        "remake": work.remake,
        "sprung": work.sprung,
        "treatment": work.treatment,
    }
)
MOST_STUDENTS = 200


def pot_of(text: str) -> float:
    """Room of a pot from words such as '20 gal' [m³].

    Raises
    ------
    BadInput
        When the words are no volume.
    """
    try:
        return parse(text, "m**3")
    except BadInput as error:
        raise BadInput(error.message, field="--pot", found=error.found, allowed=error.allowed) from None


def handouts(
    book: Path | None = None,
    *,
    only: Sequence[str] = (),
    site: str | None = None,
    students: int = 12,
    pot: float = 0.0757,
) -> doc.Handouts:
    """Make the handouts.

    Parameters
    ----------
    book : Path, optional
        Line book to fill them from; blank to fill without.
    only : sequence of str
        Names of those that are wanted; all when empty.
    site : str, optional
        Id or number of the site that sheets on one set are filled from.
    students : int
        Number of students of a course.
    pot : float [m³]
        Room of the pot of the yearly treatment.

    Raises
    ------
    BadInput
        For a name, site or number that cannot be used, with what is allowed.
    """
    for name in only:
        if name not in HANDOUTS:
            raise BadInput("no such handout", field="--only", found=name, allowed=", ".join(HANDOUTS))
    if not 1 <= students <= MOST_STUDENTS:
        raise BadInput(
            "no number of students", field="--students", found=str(students), allowed=f"1 to {MOST_STUDENTS}"
        )
    if not 0.004 <= pot <= 1.0:
        raise BadInput(
            "no pot of that size",
            field="--pot",
            found=f"{convert(pot, 'm**3', 'gal'):.1f} gal",
            allowed="1 to 264 gal",
        )
    asked = Asked(book=book, site=site, students=students, pot=pot)
    asked.chosen()
    rule, rule_date = slips.rule_of(asked)
    made = [HANDOUTS[name](asked) for name in (only or HANDOUTS)]
    made = [one.model_copy(update={"rule": rule, "rule_date": rule_date}) for one in made]
    head = None if asked.job is None else asked.job.book.line
    return doc.Handouts(
        schema=doc.SCHEMA,
        program=setwright.__version__,
        line="" if head is None else head.name,
        invented=head is not None and head.invented,
        handouts=made,
    )
