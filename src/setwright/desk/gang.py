"""A gang set in words: what the traps of one site hold together."""

from __future__ import annotations

from setwright.desk import document as doc
from setwright.desk.describe import triple
from setwright.desk.wording import show
from setwright.sets.context import Context
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.gang_set import gang_set
from setwright.sets.naming import plain_name

FIGURES = ("any_held", "alone", "held", "several", "others")
NUMBERS = {2: "Two", 3: "Three", 4: "Four"}
NOTE = (
    "The traps share the visitors of one: each animal passes all of them, in even order, until it fires one; a "
    "family comes one after the other. That an animal held neither draws nor scares the next is assumed. Every other "
    "figure here is of the first trap alone."
)


def gang_of(context: Context, result: SetResult, person: Person) -> doc.GangPlan | None:
    """The gang set that stands at this site; None where one trap stands alone."""
    rig = result.rig
    if not rig.gang:
        return None
    found = gang_set(context, [evaluate(context, one, person) for one in rig.singles])
    figures = {name: triple(getattr(found, name)) for name in FIGURES}
    count = NUMBERS[found.traps]

    def told(name: str) -> str:
        middle = figures[name][0]
        return "an unknown number" if middle is None else show(100.0 * middle, "number")

    target = plain_name(context.target)
    return doc.GangPlan(
        traps=list(rig.trap_ids),
        say=(
            f"{count} traps here: {told('any_held')} of 100 waits end with a {target} held, against {told('alone')} "
            f"with one; {told('held')} held in all, {told('several')} waits with two animals or more to deal with, "
            f"{told('others')} firings by others."
        ),
        note=NOTE,
        **figures,
    )
