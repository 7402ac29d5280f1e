"""Welfare and selectivity as gates with three answers; never weighed against catch, never read from a force."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import Kind, Source
from setwright.basis.verdict import Answer, Standing
from setwright.sets import submerge, tables
from setwright.sets.context import Context, limit
from setwright.sets.model import Rig
from setwright.sets.naming import plain_name
from setwright.sets.record import NOTHING, RECORD, RigRecord, record_gate
from setwright.sets.result import Gate, OutcomeDraws
from setwright.sets.under import takes_under

PRACTICE = Source(Kind.PRACTICE, "trapper education")
# What each gate asks for, by its name.
CRITERIA = {
    "time held": "an animal that is held alive is seen within a day, whatever the law allows",
    "others": "pets, protected animals and those out of season seldom fire it first",
    "swivels": "at least two swivels, one of them at the base or within the chain",
    "jaws on land": "offset, laminated or padded jaws where a pet may be held",
    "submersion": "a set that is meant to hold under does so at every level of the wait",
    "teeth": "no teeth",
    "bench": "no trap goes out that was found wanting on the bench",
    RECORD: "neither a published test nor own findings speak against the design",
}
DAY = 24.0
SOFT_JAWS = ("offset", "laminated", "padded")


def restrains(context: Context, rig: Rig) -> bool:
    """True when the set holds an animal alive until the check."""
    return not submerge.is_intended(context, rig)


def pets_near(context: Context) -> Answer:
    """Whether a dog or cat may come: *meets* means none was seen by somebody who looked."""
    levels = [context.site.sign.get(key) for key, species in context.species.items() if "pet" in species.roles]
    if any(level not in (None, "none") for level in levels):
        return Answer.BREAKS
    return Answer.CANNOT_TELL if not levels or None in levels else Answer.MEETS


def gates(
    context: Context,
    rig: Rig,
    outcome: Mapping[str, OutcomeDraws],
    closed: frozenset[str] = frozenset(),
    record: RigRecord = NOTHING,
) -> tuple[Gate, ...]:
    """All gates of a set in a fixed order.

    `closed` are animals whose season is not open; `record` is what is known of the trap design, whose gate stands
    last, and only while something in it binds.
    """
    under = None if context.site.medium == "land" else _submersion(context, rig)
    found = [_interval(context, rig, under), _selective(context, outcome, closed), _swivels(rig)]
    found.append(_jaws(context, rig) if under is None else under)
    found.append(_teeth(rig))
    found.append(_bench(rig))
    recorded = record_gate(record, killing=not restrains(context, rig))
    if recorded is not None:
        found.append(recorded)
    return tuple(found)


def _interval(context: Context, rig: Rig, under: Gate | None) -> Gate:
    """A day for a set that holds alive, and for one that may hold at the surface."""
    hours = context.check.hours
    if under is not None and not restrains(context, rig):
        if under.answer is Answer.MEETS or hours <= DAY:
            return Gate(
                "time held",
                Answer.MEETS,
                Say("meant to hold the animal under, not alive; the law's interval binds"),
                PRACTICE,
            )
        return Gate(
            "time held",
            under.answer,
            Say("may hold at the surface, alive; seen after {time:time}, at the latest a day", time=hours * 3600.0),
            PRACTICE,
            Say("make the submersion sure, or see it at least once a day"),
            under.question,
        )
    answer = Answer.MEETS if hours <= DAY else Answer.BREAKS
    return Gate(
        "time held",
        answer,
        Say("holds alive; seen after {time:time}, at the latest a day", time=hours * 3600.0),
        PRACTICE,
        None if answer is Answer.MEETS else Say("see every set that holds alive at least once a day"),
    )


def _selective(context: Context, outcome: Mapping[str, OutcomeDraws], closed: frozenset[str]) -> Gate:
    """Pets, protected animals and those out of season that are the first to fire the trap, in 100 waits."""
    risky = [
        key
        for key, species in context.species.items()
        if key != context.target.key and (key in closed or "pet" in species.roles or _protected(species.roles))
    ]
    source = tables.limits()["selective"].source
    if not risky:
        return Gate(
            "others",
            Answer.MEETS,
            Say("no pet, and no animal that is protected or out of season, was named for this place"),
            source,
        )
    first = 100.0 * np.sum([outcome[key].first for key in risky], axis=0)
    bound = limit("selective")
    low, middle, high = np.quantile(first, (0.05, 0.5, 0.95))
    answer = Answer.MEETS if high <= bound else Answer.BREAKS if middle > bound else Answer.CANNOT_TELL
    worst = max(risky, key=lambda key: float(np.median(outcome[key].first)))
    name = plain_name(context.species[worst])
    reason = Say(
        "in 100 waits a pet, a protected animal or one out of season is first {middle:number} times "
        "({low:number} to {high:number}), "
        "most often a {name:word}; at most {bound:number} may be",
        middle=float(middle),
        low=float(low),
        high=float(high),
        name=name,
        bound=bound,
    )
    unlooked = context.site.sign.get(worst) is None
    return Gate(
        "others",
        answer,
        reason,
        source,
        None
        if answer is Answer.MEETS
        else Say("another place, time or attractant: trip force does not keep a {name:word} out", name=name),
        Say("look for {name:word} here and write down what you see, none as well", name=name) if unlooked else None,
    )


def _protected(roles: tuple[str, ...]) -> bool:
    return "protected" in roles and "target" not in roles


def _swivels(rig: Rig) -> Gate:
    source = tables.limits()["swivels"].source
    wanted = int(limit("swivels"))
    inline = rig.chain.swivels if rig.chain is not None else None
    if inline is None or rig.trap.base_swivel is None:
        return Gate(
            "swivels",
            Answer.CANNOT_TELL,
            Say("the swivels of chain and trap were not counted"),
            source,
            Say("at least two swivels, one of them at the base or in the middle of the chain"),
            Say("count the swivels from the base to the anchor"),
        )
    count = inline + int(rig.trap.base_swivel)
    if count >= wanted and not rig.trap.base_swivel and not _within(rig):
        return Gate(
            "swivels",
            Answer.CANNOT_TELL,
            Say("{count:count} swivels, none at the base; where they sit in the chain is not stated", count=count),
            source,
            Say("a swivel at the base, or within the chain"),
            Say("where do the swivels sit: base, middle of the chain, anchor?"),
        )
    answer = Answer.MEETS if count >= wanted else Answer.BREAKS
    return Gate(
        "swivels",
        answer,
        Say("{count:count} swivels; a bound chain twists a limb", count=count),
        source,
        None if answer is Answer.MEETS else Say("put in a swivel: at least {wanted:count}", wanted=wanted),
    )


def _within(rig: Rig) -> bool:
    """Whether a swivel is named among the chain's parts before the last, which is at the anchor."""
    return rig.chain is not None and any("swivel" in part for part in rig.chain.parts[:-1])


def _jaws(context: Context, rig: Rig) -> Gate:
    if any(rig.trap.has_jaws(word) for word in SOFT_JAWS):
        return Gate(
            "jaws on land",
            Answer.MEETS,
            Say("{jaws:word} jaws, where a pet may be held and let go", jaws=rig.trap.jaws_said),
            PRACTICE,
        )
    near = pets_near(context)
    if rig.trap.jaws is None and near is not Answer.MEETS:
        return Gate(
            "jaws on land",
            Answer.CANNOT_TELL,
            Say("the kind of jaws of {trap:word} is not stated", trap=rig.trap.trap_id),
            PRACTICE,
            Say("offset, laminated or padded jaws"),
            Say(
                "look at the closed jaws of {trap:word}: regular, offset, laminated or padded?", trap=rig.trap.trap_id
            ),
        )
    answer = {Answer.BREAKS: Answer.BREAKS, Answer.MEETS: Answer.MEETS}.get(near, Answer.CANNOT_TELL)
    reason = {
        Answer.BREAKS: Say("regular jaws where dogs or cats run"),
        Answer.MEETS: Say("regular jaws; no pet was seen by one who looked"),
        Answer.CANNOT_TELL: Say("regular jaws, and nobody has looked for dogs and cats here"),
    }[answer]
    return Gate(
        "jaws on land",
        answer,
        reason,
        PRACTICE,
        None if answer is Answer.MEETS else Say("offset, laminated or padded jaws"),
        Say("look for dogs and cats and write down what you see, none as well")
        if answer is Answer.CANNOT_TELL
        else None,
    )


def _submersion(context: Context, rig: Rig) -> Gate:
    if not submerge.is_intended(context, rig):
        return Gate("submersion", Answer.MEETS, Say("no submersion is meant: this set holds alive"), PRACTICE)
    found = submerge.submersion(context, rig)
    share = float(found.share[0])
    source = tables.limits()["submerge"].source
    if np.isnan(share):
        return Gate(
            "submersion",
            Answer.CANNOT_TELL,
            Say("no soundings, so nobody can tell whether it holds the animal under"),
            source,
            Say("sound the water, or rig it to hold alive"),
            Say("sound the depth where the stop is to lie"),
        )
    answer = takes_under(context, rig)
    unsettled = next((check for check in found.checks if check.standing is Standing.CANNOT_TELL), None)
    if unsettled is not None and answer is Answer.CANNOT_TELL:
        return Gate("submersion", Answer.CANNOT_TELL, unsettled.why, source, unsettled.mend, unsettled.question)
    return Gate(
        "submersion",
        answer,
        Say(
            "holds under in {share:share} of waits; a rig that may hold at the surface is one that holds alive",
            share=share,
        ),
        source,
        None
        if answer is Answer.MEETS
        else Say("deeper water, a deep end that stays, a shorter chain, or a set that holds alive and is seen daily"),
        Say("sound the depth at the stop again, and mark how far the water falls")
        if answer is Answer.CANNOT_TELL
        else None,
    )


def _teeth(rig: Rig) -> Gate:
    if rig.trap.toothed is None:
        ask = Say("have the jaws teeth?")
        return Gate("teeth", Answer.CANNOT_TELL, Say("teeth: not stated"), PRACTICE, None, ask)
    return Gate(
        "teeth",
        Answer.BREAKS if rig.trap.toothed else Answer.MEETS,
        Say("toothed jaws") if rig.trap.toothed else Say("smooth jaws"),
        PRACTICE,
        Say("take a trap without teeth") if rig.trap.toothed else None,
    )


def _bench(rig: Rig) -> Gate:
    """A trap that was found wanting on the bench is not set."""
    state = rig.trap.state
    answer = {"good": Answer.MEETS, "doubtful": Answer.CANNOT_TELL}.get(state, Answer.BREAKS)
    return Gate(
        "bench",
        answer,
        Say("trap {trap:word} stands as {state:word} in the book", trap=rig.trap.trap_id, state=state),
        PRACTICE,
        None if answer is Answer.MEETS else Say("bench it before it goes out"),
        Say("bench {trap:word}: springs, frame, dog and pan", trap=rig.trap.trap_id)
        if answer is Answer.CANNOT_TELL
        else None,
    )
