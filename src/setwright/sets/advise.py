"""What would mend a set: a search over single changes and pairs, on the same draws."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from setwright.basis.verdict import Answer, Standing
from setwright.sets.changes import Change, changes
from setwright.sets.context import Context, Floats
from setwright.sets.evaluate import Person, SetResult, evaluate
from setwright.sets.rank import ANSWERS, STANDINGS, Options, Score, score

# A gain of less than one wait in 200, or one that is a loss in more than one of five paired draws, is not offered.
SURE, WORTH = 0.8, 0.005
SINGLES, PAIRS, MOST = 4, 2, 4
# Changes that keep a submersion set one.
UNDER = ("stop", "chain")


@dataclass(frozen=True)
class Advised:
    """A change or a pair of them with what it brings, on paired draws."""

    changes: tuple[Change, ...]
    before: SetResult
    after: SetResult
    score: Score

    @property
    def gain(self) -> Floats:
        """Share held with the change less without it, shape (n,)."""
        return np.asarray(self.after.held - self.before.held)

    @property
    def mends(self) -> tuple[str, ...]:
        """Names of checks, gates and rules that were bad before and are good after."""
        bad = (Standing.FAILS, Standing.CANNOT_TELL, Standing.THIN)
        found = []
        for link, now in zip(self.before.links, self.after.links, strict=True):
            after = {check.name: check.standing for check in now.checks}
            found += [
                check.name
                for check in link.checks
                if check.standing in bad
                and STANDINGS[after.get(check.name, Standing.SOUND)] > STANDINGS[check.standing]
            ]
        gates = {gate.name: gate.answer for gate in self.after.gates}
        found += [
            gate.name
            for gate in self.before.gates
            if gate.name in gates and ANSWERS[gates[gate.name]] > ANSWERS[gate.answer]
        ]
        rules = {(finding.pack, finding.rule): finding.answer for finding in self.after.law}
        found += [
            finding.rule
            for finding in self.before.law
            if ANSWERS[rules.get((finding.pack, finding.rule), Answer.MEETS)] > ANSWERS[finding.answer]
        ]
        return tuple(dict.fromkeys(found))


def advise(context: Context, result: SetResult, options: Options, person: Person) -> list[Advised]:
    """Ranked changes to a rig, singles first, then pairs that bring more than either alone.

    Every change is run through the whole chain. The best of each kind is kept; the best of the kinds are
    tried in pairs. Nothing is offered that worsens an answer of law or welfare.
    """
    base = score(result)
    best: dict[str, Advised] = {}
    for change in changes(context, result, options, person):
        tried = _try(context, result, (change,), person)
        if not _better(tried, base) or _forces_ice(tried):
            continue
        if change.kind not in best or _adds(tried, best[change.kind]):
            best[change.kind] = tried
    if any(kind in best and best[kind].score[:3] >= best["alive"].score[:3] for kind in UNDER if "alive" in best):
        # A rig that can be made to hold under need not be given up.
        del best["alive"]
    singles = sorted(best.values(), key=lambda advised: advised.score, reverse=True)
    pairs: list[Advised] = []
    if not singles or not _is_whole(singles[0]):
        for one, two in combinations(singles[:5], 2):
            tried = _try(context, result, (*one.changes, *two.changes), person)
            if _better(tried, base) and _adds(tried, one) and _adds(tried, two):
                pairs.append(tried)
    pairs.sort(key=lambda advised: advised.score, reverse=True)
    more = _extend(context, result, singles, pairs, person)
    return [*singles[:SINGLES], *pairs[:PAIRS], *more]


def _extend(
    context: Context, result: SetResult, singles: list[Advised], pairs: list[Advised], person: Person
) -> list[Advised]:
    """One longer list of changes where no pair makes the set whole: what still adds is added, best first."""
    if not pairs or _is_whole(pairs[0]):
        return []
    best = pairs[0]
    for single in singles[:6]:
        kinds = {change.kind for change in best.changes}
        if len(best.changes) < MOST and single.changes[0].kind not in kinds:
            tried = _try(context, result, (*best.changes, *single.changes), person)
            if _adds(tried, best):
                best = tried
    return [] if best is pairs[0] else [best]


def _try(context: Context, result: SetResult, made: tuple[Change, ...], person: Person) -> Advised:
    place, rig = context, result.rig
    for change in made:
        place, rig = change.move(place, rig)
    after = evaluate(place, rig, person)
    return Advised(made, result, after, score(after))


def _forces_ice(tried: Advised) -> bool:
    """Whether more springs alone would free the trap of ice: never offered, as the cover goes on freezing."""
    if {change.kind for change in tried.changes} != {"springs"}:
        return False
    shares = [
        [check.draws for check in found.links[2].checks if check.name == "frost" and check.draws is not None]
        for found in (tried.before, tried.after)
    ]
    return all(shares) and float(np.mean(shares[1][0]) - np.mean(shares[0][0])) > WORTH


def _is_whole(advised: Advised) -> bool:
    return advised.score[:3] == (ANSWERS[Answer.MEETS], ANSWERS[Answer.MEETS], STANDINGS[Standing.SOUND])


def _better(tried: Advised, base: Score) -> bool:
    if tried.score[0] < base[0] or tried.score[1] < base[1]:
        return False
    if tried.score[:4] > base[:4]:
        return True
    return tried.score[:4] == base[:4] and _gains(tried.gain)


def _gains(gain: Floats) -> bool:
    """Whether a paired gain is worth offering: enough on the average, and seldom a loss."""
    return float(np.mean(gain)) >= WORTH and float(np.mean(gain < 0)) <= 1.0 - SURE


def _adds(pair: Advised, single: Advised) -> bool:
    if pair.score[:4] != single.score[:4]:
        return pair.score[:4] > single.score[:4]
    return _gains(np.asarray(pair.after.held - single.after.held))
