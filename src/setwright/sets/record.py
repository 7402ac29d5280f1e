"""The record of a trap design: own findings and published tests, and the gate that they close or open."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from setwright.animal import welfare_tables as tables
from setwright.animal.injury import Findings
from setwright.animal.welfare import (
    AT_MOST,
    INJURY_MEASURES,
    Evidence,
    PublishedTest,
    Reading,
    read_own,
    read_published,
)
from setwright.basis.errors import BadInput
from setwright.basis.say import Say
from setwright.basis.source import Kind, Source
from setwright.basis.verdict import Answer
from setwright.sets.result import Gate

RECORD = "record of the rig"


@dataclass(frozen=True)
class RigRecord:
    """What is recorded of a trap design: findings on own animals that it held alive, and published tests cited."""

    findings: tuple[Findings, ...] = ()
    tests: tuple[PublishedTest, ...] = ()


NOTHING = RigRecord()


def readings(record: RigRecord, *, killing: bool = False) -> tuple[Reading, ...]:
    """Published tests first, then own findings, on the criteria for traps that hold alive or that kill.

    A test of the other kind of trap is left out, and own findings of injury are none of a trap that kills.
    """
    criteria = tables.criteria()
    kinds = ("killing" if killing else "restraining", "any")
    found: list[Reading] = []
    for test in record.tests:
        if test.criterion not in criteria:
            raise BadInput("no such criterion", field="criterion", found=test.criterion, allowed=", ".join(criteria))
        if criteria[test.criterion].device in kinds:
            found.append(read_published(criteria[test.criterion], test))
    if record.findings and not killing:
        of_injury = [entry for entry in criteria.values() if entry.measure in INJURY_MEASURES]
        found += read_own(record.findings, tables.injury_scale(), of_injury)
    return tuple(found)


def record_word(found: Sequence[Reading]) -> Evidence:
    """One word for all readings: what speaks against decides, then a published test, then own data."""
    words = [reading.word for reading in found]
    for word in (Evidence.BREAKS, Evidence.AGAINST, Evidence.MEETS):
        if word in words:
            return word
    shares = [reading.word for reading in found if not reading.cited and reading.criterion.compare != AT_MOST]
    if shares and all(word is Evidence.SUPPORTS for word in shares):
        return Evidence.SUPPORTS
    known = any(word is not Evidence.NO_RECORD for word in words)
    return Evidence.TOO_FEW if known else Evidence.NO_RECORD


def deciding(found: Sequence[Reading]) -> Reading | None:
    """The reading that the one word rests on."""
    word = record_word(found)
    return next((reading for reading in found if reading.word is word), None)


def told(reading: Reading) -> Say:
    """One reading in words: the figure against its limit, the number of animals, and what was not looked at."""
    criterion = reading.criterion
    kind = "share" if criterion.compare != AT_MOST else "number"
    figure = Say("no figure")
    if math.isfinite(reading.least) and reading.most == reading.least:
        figure = Say(f"{{least:{kind}}}", least=reading.least)
    elif math.isfinite(reading.least):
        figure = Say(f"{{least:{kind}}} to {{most:{kind}}}", least=reading.least, most=reading.most)
    elif math.isfinite(reading.most):
        figure = Say("{most:number} or more", most=reading.most)
    line = Say("where no limit is set")
    if criterion.limit is not None:
        words = "at most" if criterion.compare == AT_MOST else "at least"
        line = Say(f"against {words} {{limit:{kind}}}", limit=criterion.limit)
    return Say(
        "{word:word}: {counts:word}, {figure:say} {line:say}; {animals:count} animals{open:word}, {how:word}",
        word=str(reading.word),
        counts=criterion.counts,
        figure=figure,
        line=line,
        animals=reading.animals,
        open=f", {reading.missing} of them not told" if reading.missing else "",
        how="as published" if reading.cited else "seen in the field only" if reading.field_only else "some opened",
    )


def record_gate(record: RigRecord, *, killing: bool = False) -> Gate | None:
    """The gate on the record of the rig, or None while nothing in it binds.

    *breaks* when a published test or own findings speak against the design; *meets* only when a published test of
    this very design is cited; *cannot tell* when the test that is cited lacks a figure. Own findings that support
    it, are too few, or are not there bind nothing: they stand among the facts, so that writing injuries down is
    never worse than not writing them down.
    """
    found = readings(record, killing=killing)
    word, decides = record_word(found), deciding(found)
    answers = {Evidence.BREAKS: Answer.BREAKS, Evidence.AGAINST: Answer.BREAKS, Evidence.MEETS: Answer.MEETS}
    unsettled = next((reading for reading in found if reading.cited and reading.word is Evidence.TOO_FEW), None)
    if word in answers and decides is not None:
        answer = answers[word]
        cure = Say("set another design; look at jaws, size, swivels and the time held before it goes out again")
        return Gate(RECORD, answer, told(decides), record_source(decides), cure if answer is Answer.BREAKS else None)
    if unsettled is not None:
        return Gate(
            RECORD,
            Answer.CANNOT_TELL,
            Say("the test that the book cites does not tell: {said:say}", said=told(unsettled)),
            record_source(unsettled),
            None,
            Say("read in the document: figure, number of animals, and whether the tested trap is of this design"),
        )
    return None


def record_source(reading: Reading) -> Source:
    """Source of the criterion, and the test or the own findings held against it."""
    criterion = reading.criterion
    data = reading.cited or "own findings"
    return Source(
        Kind.TABLE if reading.cited else Kind.MEASURED,
        f"{data}, held against {criterion.scheme} ({criterion.source.text})",
        criterion.source.confidence,
    )
