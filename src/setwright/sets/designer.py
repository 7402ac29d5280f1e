"""Search of the owned outfit at one site: what cannot be bettered in catch, other animals and work, under gates."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import astuple, dataclass, replace

import numpy as np

from setwright.basis.say import Say
from setwright.basis.verdict import Standing
from setwright.sets.context import Context, Floats
from setwright.sets.designer_combine import (
    HUNDRED,
    Combined,
    Figures,
    Links,
    chain_screens,
    combine,
    figures_of,
    firings_of,
)
from setwright.sets.designer_gates import (
    BREAKS,
    CANNOT_TELL,
    CODE,
    MEETS,
    Codes,
    Screen,
    law_screens,
    welfare_screens,
)
from setwright.sets.designer_mend import Mended, mend, shortfall
from setwright.sets.designer_options import Menu, Pick, menu_of
from setwright.sets.designer_words import why_member
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.model import Rig
from setwright.sets.rank import Options

# Steps in which figures are told apart: an animal in 500 nights, five minutes.
RESOLUTION, MINUTE = 0.2, 5.0
# How often the front is looked for anew when a full evaluation moves a member, and how many near misses are tried.
ROUNDS, NEAR = 4, 40


@dataclass(frozen=True)
class Member:
    """One design: the rig and where it lies, its figures in 100 nights and what is done to get there.

    `catch` and `others` are draws, shape (n,); `figures` their medians.
    """

    trap_ids: tuple[str, ...]
    context: Context
    result: SetResult
    figures: Figures
    catch: Floats
    others: Floats
    words: tuple[Say, ...]
    why: Say | None = None


@dataclass(frozen=True)
class Cut:
    """How many combinations one gate cut, each counted at the first gate in the order of the design."""

    kind: str
    name: str
    count: int


@dataclass(frozen=True)
class Design:
    """The answer for one site.

    `members` meet law and welfare; `unsettled` break nothing, but some answer cannot be told, and are kept apart.
    Where there is neither, `nearest` is the closest miss. `mended` is what would mend it, or, where nothing meets for
    sure, what would settle the first that is unsettled. `possible` counts all combinations, `combined` those whose
    figures were computed, `evaluated` those that went through the whole chain.
    """

    members: tuple[Member, ...]
    unsettled: tuple[Member, ...]
    cuts: tuple[Cut, ...]
    nearest: Member | None
    mended: tuple[Mended, ...]
    possible: int
    combined: int
    evaluated: int


def design(context: Context, options: Options, standing: Rig | None, person: Person) -> Design:
    """Search the outfit for one site.

    Parameters
    ----------
    context : Context
        The site as the book has it.
    options : Options
        What is owned and free.
    standing : Rig or None
        The rig that the book states there; its chain, anchor and slide cable are options too.
    person : Person
        Packs that bind, and what the book says about the trapper.

    Returns
    -------
    Design
        Sets of designs none of which betters another in all of: targets held, firings by others, minutes.

    Notes
    -----
    Law and welfare are gates: what breaks one of them is cut before any figure is looked at, and no catch buys it
    back. All designs rest on the same draws. Figures are combined from links that are computed once; the members
    are then evaluated in full, and the figures told are those.
    """
    menu = menu_of(context, options, standing, person)
    links = Links(menu, person)
    screens = _screens(menu, links, person) if menu.tuned else []
    codes = _whole(menu, [screen for _, screen in screens])
    found = list(combine(links, codes)) if menu.tuned else []
    cuts = _cuts(menu, screens, found)
    tried: dict[Pick, Member] = {}
    members = _front(links, found, MEETS, tried)
    unsettled = _explained(_front(links, found, CANNOT_TELL, tried))
    nearest: Member | None = None
    mended: tuple[Mended, ...] = ()
    if not members and not unsettled and menu.tuned:
        nearest = _nearest(links, [screen for _, screen in screens], found, tried)
    closest = nearest if nearest is not None else unsettled[0] if unsettled and not members else None
    if closest is not None:
        mended = tuple(mend(closest.context, closest.result, options, person))
    return Design(
        _explained(members),
        unsettled,
        tuple(cuts),
        nearest,
        mended,
        _possible(menu),
        len(found),
        len(tried),
    )


def _screens(menu: Menu, links: Links, person: Person) -> list[tuple[str, Screen]]:
    screens = [("law", screen) for screen in law_screens(menu, person)]
    screens += [("welfare", screen) for screen in welfare_screens(menu, person.closed)]
    codes = _whole(menu, [screen for _, screen in screens])
    return screens + [("chain", screen) for screen in chain_screens(links, codes > BREAKS)]


def _whole(menu: Menu, screens: Iterable[Screen]) -> Codes:
    codes = np.full(menu.sizes, MEETS, dtype=np.int8)
    for screen in screens:
        codes = np.minimum(codes, screen.codes)
    for tuned, one in enumerate(menu.tuned):
        codes[tuned, len(one.forces) :] = BREAKS
    return codes


def _possible(menu: Menu) -> int:
    """All combinations, the tackle that was put aside as no better included."""
    pans = sum(len(one.forces) for one in menu.tuned)
    return pans * len(menu.placements) * len(menu.beds) * menu.tackle_seen


def _cuts(menu: Menu, screens: Sequence[tuple[str, Screen]], found: Sequence[Combined]) -> list[Cut]:
    left = np.ones(menu.sizes, dtype=bool)
    for tuned, one in enumerate(menu.tuned):
        left[tuned, len(one.forces) :] = False
    cuts: dict[tuple[str, str], int] = {}
    for kind, screen in screens:
        out = left & (screen.codes == BREAKS)
        if out.any():
            cuts[kind, screen.name] = cuts.get((kind, screen.name), 0) + int(out.sum())
            left &= ~out
    others = sum(one.others_code == BREAKS for one in found)
    if others:
        cuts["welfare", "others"] = others
    return [Cut(kind, name, count) for (kind, name), count in cuts.items()]


def _key(figures: Figures) -> tuple[int, int, int]:
    """Catch, others and minutes in the steps in which they are told apart; greater is better."""
    return (
        round(figures.catch / RESOLUTION),
        -round(figures.others / RESOLUTION),
        -round(figures.minutes / MINUTE),
    )


def undominated(keys: Sequence[tuple[int, int, int]]) -> list[int]:
    """Places of the keys that no other one matches everywhere and betters somewhere; of alike ones the first."""
    order = sorted(range(len(keys)), key=lambda place: (tuple(-part for part in keys[place]), place))
    kept: list[int] = []
    for place in order:
        key = keys[place]
        if not any(all(a >= b for a, b in zip(keys[other], key, strict=True)) for other in kept):
            kept.append(place)
    return kept


def _front(links: Links, found: Sequence[Combined], code: int, tried: dict[Pick, Member]) -> list[Member]:
    """The best of one answer, evaluated in full; what a full evaluation takes out makes room for the next."""
    pool = sorted((one for one in found if one.code == code), key=lambda one: -one.figures.catch)
    refused: set[Pick] = set()
    for _ in range(ROUNDS):
        left = [one for one in pool if one.pick not in refused]
        chosen = [left[place].pick for place in undominated([_key(one.figures) for one in left])]
        members = {pick: _evaluated(links, pick, tried) for pick in chosen}
        out = {pick for pick, member in members.items() if _code(member.result) != code}
        if not out:
            break
        refused |= out
    good = sorted(
        (member for member in members.values() if _code(member.result) == code),
        key=lambda member: -member.figures.catch,
    )
    return [good[place] for place in undominated([_key(member.figures) for member in good])]


def _evaluated(links: Links, pick: Pick, tried: dict[Pick, Member]) -> Member:
    if pick not in tried:
        menu, context = links.menu, links.context(pick.placement)
        result = evaluate(context, menu.rig(pick), links.person)
        tried[pick] = _member(
            menu.tuned[pick.tuned].trap_ids, context, result, menu.minutes(pick), menu.words(pick), links.person
        )
    return tried[pick]


def _member(
    trap_ids: tuple[str, ...],
    context: Context,
    result: SetResult,
    minutes: float,
    words: tuple[Say, ...],
    person: Person,
) -> Member:
    per_night = HUNDRED / context.check.nights
    firsts = {key: found.first for key, found in result.outcome.items()}
    return Member(
        trap_ids,
        context,
        result,
        figures_of(context, result, minutes, person.closed),
        per_night * result.held,
        per_night * firings_of(context, firsts, person.closed)[0],
        words,
    )


def _code(result: SetResult) -> int:
    if result.standing is Standing.FAILS:
        return BREAKS
    return min(CODE[result.lawful], CODE[result.welfare])


def _explained(members: Sequence[Member]) -> tuple[Member, ...]:
    """Members for reading: most catch first, each with what it gives for what it costs."""
    ranked = sorted(members, key=lambda member: tuple(-part for part in _key(member.figures)))
    every = [member.figures for member in ranked]
    return tuple(replace(member, why=why_member(member.figures, every, RESOLUTION, MINUTE)) for member in ranked)


def _nearest(links: Links, screens: Sequence[Screen], found: Sequence[Combined], tried: dict[Pick, Member]) -> Member:
    """The closest miss: fewest broken gates, rules and failing links, then fewest open answers, then by margin."""
    menu = links.menu
    broken = np.zeros(menu.sizes, dtype=int)
    unsure = np.zeros(menu.sizes, dtype=int)
    for screen in screens:
        broken += screen.codes == BREAKS
        unsure += screen.codes == CANNOT_TELL
    for tuned, one in enumerate(menu.tuned):
        broken[tuned, len(one.forces) :] += len(screens) + 1
    if found and all(combined.others_code == BREAKS for combined in found):
        # Where other animals bar all that was combined, they bar the rest too.
        broken += 1
    else:
        for combined in found:
            broken[astuple(combined.pick)] += int(combined.others_code == BREAKS)
    least = np.argwhere(broken == broken.min())
    picks = [Pick(*(int(place) for place in row)) for row in least]
    guess = {combined.pick: combined.figures for combined in found}

    def order(pick: Pick) -> tuple[float, ...]:
        told = guess.get(pick)
        risk = float("inf") if told is None else round(told.pets + told.guarded)
        return (float(unsure[astuple(pick)]), risk, 0.0 if told is None else -told.catch, menu.minutes(pick))

    # One of each trap and placement, so that not forty of the same are tried.
    seen: set[tuple[int, int]] = set()
    chosen = []
    for pick in sorted(picks, key=order):
        if (pick.tuned, pick.placement) not in seen:
            seen.add((pick.tuned, pick.placement))
            chosen.append(pick)
    members = [_evaluated(links, pick, tried) for pick in chosen[:NEAR]]
    closed = links.person.closed
    return min(members, key=lambda member: shortfall(member.context, member.result, closed))
