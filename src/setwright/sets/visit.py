"""visit: how often does each kind of animal come by?"""

from __future__ import annotations

from functools import partial

from setwright.basis.say import Say
from setwright.basis.verdict import Standing
from setwright.sets import tables
from setwright.sets.context import Context, Floats, limit
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, LinkResult, Origin, check_margin, check_unknown


def visit_link(context: Context) -> LinkResult:
    """Visits a night of every species that may come, from the level of its sign.

    The figure is a prior: log-normal draws about the median of the sign level. A species without a
    stated level takes the wide prior of *nobody has looked*, and the question is asked.
    """
    rates: dict[str, Floats] = {}
    for key in context.species:
        level = context.site.sign.get(key, "unstated")
        rates[key] = context.kept.get(
            ("visit", key),
            partial(context.drawn, f"visit.{key}", tables.sign().get(level, "visits")),
        )
    target = context.target
    stated = context.site.sign.get(target.key)
    name = plain_name(target)
    origin = Origin("visits a night", tables.sign().get(stated or "unstated", "visits").source)
    if stated is None:
        found: CheckResult = check_unknown(
            "sign",
            "number",
            Say("no sign of {animal:word} is written down for this site", animal=name),
            Say("look for sign of {animal:word} and write its level into the book", animal=name),
            origins=(origin,),
            limit=limit("visit"),
        )
    else:
        words = tables.sign().text(stated, "label")
        found = check_margin(
            "sign",
            rates[target.key],
            limit("visit"),
            "number",
            Say("{words:word} of {animal:word}; a guess until two weeks are logged", words=words, animal=name),
            mend=Say("move to fresher sign, or log two weeks before judging this place"),
            origins=(origin,),
        )
    return LinkResult("visit", rates[target.key], "number", limit("visit"), (found,), rates)


def is_told(found: LinkResult) -> bool:
    """True when the rate of visits rests on sign that somebody looked for."""
    return found.standing is not Standing.CANNOT_TELL
