"""The reason of each design in one line, and what a miss lacks."""

from __future__ import annotations

from collections.abc import Sequence

from setwright.basis.say import Say
from setwright.basis.verdict import Answer, Standing
from setwright.sets.designer_combine import Figures
from setwright.sets.evaluate import SetResult


def why_member(own: Figures, every: Sequence[Figures], resolution: float, minute: float) -> Say:
    """Why a design stands among those that cannot be bettered: what it saves against the one with the most targets.

    `resolution` [animals in 100 nights] and `minute` [min] are the steps in which figures are told apart.
    """
    if len(every) == 1:
        return Say("most targets, fewest other animals and least work at once")
    most = every[0]

    def least(name: str, step: float) -> bool:
        return bool(round(getattr(own, name) / step) == min(round(getattr(one, name) / step) for one in every))

    heads = [Say("most targets")] if own is most else []
    heads += [Say("fewest other animals")] if least("others", resolution) else []
    heads += [Say("least work")] if least("minutes", minute) else []
    head = _joined(heads)
    if own is most:
        return head or Say("most targets")
    saved = []
    if most.others - own.others >= 0.5 * resolution:
        saved.append(Say("{count:number} fewer others", count=most.others - own.others))
    if most.minutes - own.minutes >= 0.5 * minute:
        saved.append(Say("{minutes:time} less work", minutes=60.0 * (most.minutes - own.minutes)))
    gain, cost = _joined(saved), Say("{count:number} fewer targets", count=most.catch - own.catch)
    words = cost if gain is None else Say("{gain:say} for {cost:say}", gain=gain, cost=cost)
    return words if head is None else Say("{head:say}: {words:say}", head=head, words=words)


def _joined(parts: Sequence[Say]) -> Say | None:
    if not parts:
        return None
    found = parts[0]
    for part in parts[1:]:
        found = Say("{one:say} and {other:say}", one=found, other=part)
    return found


def lacks(result: SetResult) -> list[tuple[str, Say]]:
    """What a rig breaks or fails: the name of rule, gate or check, and the reason."""
    found = [
        (finding.rule, finding.reason)
        for finding in result.law
        if finding.answer is Answer.BREAKS and not finding.profile
    ]
    found += [(gate.name, gate.reason) for gate in result.gates if gate.answer is Answer.BREAKS]
    found += [
        (f"{link.link}: {check.name}", check.why)
        for link in result.links[1:]
        for check in link.checks
        if check.standing is Standing.FAILS
    ]
    return found


def open_answers(result: SetResult) -> list[tuple[str, Say]]:
    """Rules and gates that cannot be told, with the question that would settle each."""
    found = [
        (finding.rule, finding.question or finding.reason)
        for finding in result.law
        if finding.answer is Answer.CANNOT_TELL and not finding.profile
    ]
    found += [(gate.name, gate.question or gate.reason) for gate in result.gates if gate.answer is Answer.CANNOT_TELL]
    return found
