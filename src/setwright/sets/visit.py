"""visit: how often does each kind of animal come by?"""

from __future__ import annotations

from functools import partial

import numpy as np

from setwright.animal.contacts import ContactBelief
from setwright.basis.say import Say
from setwright.basis.source import Kind, Source
from setwright.basis.verdict import Standing
from setwright.sets import tables
from setwright.sets.context import Context, Floats, limit
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, LinkResult, Origin, check_margin, check_unknown


def visit_link(context: Context) -> LinkResult:
    """Visits a night of every species that may come, from the level of its sign.

    The figure is a prior: log-normal draws about the median of the sign level. A species without a
    stated level takes the wide prior of *nobody has looked*, and the question is asked. Visits that the book has
    in so many nights make a gamma law of it, whose mean and variance before them are those of the prior.
    """
    rates: dict[str, Floats] = {}
    for key in context.species:
        level = context.site.sign.get(key, "unstated")
        rates[key] = context.kept.get(
            ("visit", key),
            partial(_rate, context, key, level),
        )
    target = context.target
    stated = context.site.sign.get(target.key)
    name = plain_name(target)
    origin = Origin("visits a night", tables.sign().get(stated or "unstated", "visits").source)
    record = context.records.get(target.key)
    found: CheckResult
    if record is not None and record.nights:
        found = check_margin(
            "sign",
            rates[target.key],
            limit("visit"),
            "number",
            Say(
                "{visits:count} visits of {animal:word} in {nights:number} nights here",
                visits=record.visits, animal=name, nights=record.nights,
            ),
            mend=Say("move to fresher sign"),
            origins=(origin, Origin("visits seen", Source(Kind.MEASURED, record.origin, "stated"))),
        )  # fmt: skip
    elif stated is None:
        found = check_unknown(
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


def _rate(context: Context, key: str, level: str) -> Floats:
    prior = context.drawn(f"visit.{key}", tables.sign().get(level, "visits"))
    record = context.records.get(key)
    if record is None or not record.nights:
        return prior
    mean, variance = float(np.mean(prior)), float(np.var(prior))
    belief = ContactBelief(mean**2 / variance + record.visits, mean / variance + record.nights)
    # The law of a rate, by way of the chance of at least one visit in a night.
    return np.asarray(-np.log1p(-belief.draws(context.draws.uniform(f"visit.{key}"))))


def is_told(found: LinkResult) -> bool:
    """True when the rate of visits rests on sign that somebody looked for."""
    return found.standing is not Standing.CANNOT_TELL
