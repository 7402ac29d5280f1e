"""The permission round: whose land each site is, what is given, what is still to be asked."""

from __future__ import annotations

from pathlib import Path

from pydantic import Field

from setwright.desk.handout_document import Blanks
from setwright.desk.handout_slips import permission
from setwright.desk.handout_source import Asked
from setwright.desk.shape import Shape
from setwright.sets.naming import plain_name

SCHEMA = "setwright/permissions/1"
# Asked for by the slip and filled in by hand: names, signatures and whatever no book has.
ORDER = {"to ask": 0, "refused": 1, "cannot tell": 2, "given": 3, "not needed": 4}
NOTES = (
    "Given is what the book says; the slip with the owner's name on it is the proof. Some places ask for it in "
    "writing, and some for public land too: see Law.",
    "Ask whoever owns the land, and whoever uses it. Boundaries are walked together, not guessed from a map.",
)


class SitePermission(Shape):
    """One site: whose land, how it stands, and what the slip still leaves open."""

    site: str
    number: int
    name: str
    tenure: str
    state: str
    animals: str
    open: list[str]
    mend: str


class Permissions(Shape):
    """The whole round, what is to be asked first."""

    schema_: str = Field(SCHEMA, alias="schema")
    say: str
    sites: list[SitePermission]
    notes: list[str]


def permissions(book: Path) -> Permissions:
    """Every site with what its slip leaves open.

    Raises
    ------
    BadInput
        When the book cannot be used.
    """
    asked = Asked(book=book)
    job = asked.job
    assert job is not None
    sites = []
    for site in job.sites:
        slip = permission(Asked(book=book, site=site.key, read=job))
        blanks = [
            blank for block in slip.blocks if isinstance(block, Blanks) and not block.head for blank in block.blanks
        ]
        state, mend = _state(site.tenure, site.permission)
        sites.append(
            SitePermission(
                site=site.key, number=site.number, name=site.name, tenure=site.tenure or "not stated", state=state,
                animals=plain_name(job.contexts[site.key].target),
                open=[blank.label for blank in blanks if not blank.value], mend=mend,
            )
        )  # fmt: skip
    sites.sort(key=lambda one: (ORDER[one.state], one.number))
    waiting = [one for one in sites if one.state in ("to ask", "refused", "cannot tell")]
    say = "Every site has its permission, or needs none, by the book."
    if waiting:
        numbers = ", ".join(str(one.number) for one in waiting)
        say = f"Not settled at {len(waiting)} of {len(sites)} sites: {numbers}. No trap there before it is."
    return Permissions(schema=SCHEMA, say=say, sites=sites, notes=list(NOTES))


def _state(tenure: str | None, given: bool | None) -> tuple[str, str]:
    if given is False:
        return "refused", "Pull what stands there; another site, or another talk."
    if given:
        return "given", ""
    if tenure == "own":
        return "not needed", ""
    if tenure is None:
        return "cannot tell", "Write whose land it is."
    if tenure == "public":
        return "cannot tell", "Ask the office of that land whether a permit is needed, and write the answer."
    return "to ask", "Take the slip along, and write the answer into the site."
