"""One task of a study: the book with some fields written, and every change of the rig tried on it."""

from __future__ import annotations

import math
import tempfile
from collections.abc import Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from ruamel.yaml.comments import CommentedMap

from setwright.basis.errors import BadInput
from setwright.basis.verdict import Answer, all_of
from setwright.basis.yamlfile import validate
from setwright.desk.set_whatif import apply
from setwright.desk.study_file import Study, cases, changes, patched
from setwright.desk.wording import render
from setwright.line.assemble import Job, prepare
from setwright.line.book import LineBook
from setwright.sets.evaluate import SetResult, evaluate
from setwright.sets.outcome import NOTHING

Row = dict[str, Any]


def seeds(study: Study) -> list[int]:
    """One seed for each repeat, spawned from the seed of the study, whoever does the work and in what order.

    All cases of a repeat share its seed, so that they are compared on the same draws.
    """
    spawned = np.random.SeedSequence(study.file.seed).spawn(study.file.repeats)
    return [int(one.generate_state(1)[0] % 2**31) for one in spawned]


def run_task(study: Study, number: int) -> list[Row]:
    """All rows of one task, in order.

    Parameters
    ----------
    study : Study
        As read; it holds every file that is needed.
    number : int
        Place of the task, 0 first.

    Raises
    ------
    BadInput
        With the levels of the case, when its book cannot be used.
    """
    repeat, chosen, fields = cases(study)[number]
    told = ", ".join(f"{name} {level}" for name, level in chosen.items()) or "the book as it is"
    try:
        job = _ready(study, fields, seeds(study)[repeat])
        context, rig = job.contexts.get(study.file.site), job.stated.get(study.file.site)
        if context is None or rig is None:
            raise BadInput(
                "the book has no such site with a rig of its own", field="site", found=study.file.site,
                allowed=", ".join(job.stated) or "none has one",
            )  # fmt: skip
        rows = []
        for changed in changes(study):
            tried = apply(job, context, rig, changed)
            found = evaluate(tried.context, tried.rig, job.person)
            rows.append(
                {
                    **chosen,
                    **changed,
                    "repeat": repeat + 1,
                    **measures(found, tried.context.species, study.file.meets),
                }
            )
        return rows
    except BadInput as error:
        raise BadInput(
            error.message, file=f"case with {told}", line=error.line, field=error.field, found=error.found,
            allowed=error.allowed,
        ) from None  # fmt: skip


def _ready(study: Study, fields: dict[str, Any], seed: int) -> Job:
    book = validate(LineBook, CommentedMap(patched(study.book, fields)), file="the book of this case")
    return prepare(book, _folder(study), draws=study.file.draws, seed=seed)


_kept: dict[str, tempfile.TemporaryDirectory[str]] = {}


def _folder(study: Study) -> Path:
    """A folder of this process with the files that the book names."""
    return _laid(study.digest, tuple(sorted(study.files.items())))


@lru_cache(maxsize=2)
def _laid(digest: str, files: tuple[tuple[str, bytes], ...]) -> Path:
    kept = _kept[digest] = tempfile.TemporaryDirectory(prefix="setwright-study-")
    folder = Path(kept.name)
    for name, content in files:
        place = folder / name
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(content)
    return folder


def measures(found: SetResult, species: Mapping[str, Any], asked: Sequence[str]) -> Row:
    """What is written down of one set: standings, answers, and figures in 100 waits with their bands."""
    row: Row = {"standing": found.standing.value, "weakest": found.weakest.link}
    row |= {f"{link.link} stands": link.standing.value for link in found.links}
    row["law"] = found.lawful.value if found.law else Answer.CANNOT_TELL.value
    profile = [one for one in found.law if one.profile]
    row["practice"] = all_of(one.answer for one in profile).value if profile else Answer.CANNOT_TELL.value
    row["welfare"] = found.welfare.value
    row |= {f"gate {gate.name}": gate.answer.value for gate in found.gates}
    spent = found.outcome
    others = [one.first for key, one in spent.items() if key not in (found.target, NOTHING)]
    pets = [one.first for key, one in spent.items() if key in species and "pet" in species[key].roles]
    for name, draws in (
        ("held", found.held),
        ("others", np.sum(others, axis=0) if others else np.zeros_like(found.held)),
        ("pets", np.sum(pets, axis=0) if pets else np.zeros_like(found.held)),
    ):
        low, middle, high = np.quantile(100.0 * np.asarray(draws), (0.05, 0.5, 0.95))
        row |= {f"{name} low": _kept_as(low), name: _kept_as(middle), f"{name} high": _kept_as(high)}
    row["why"] = _why(found, asked)
    return row


def _kept_as(value: float) -> float | None:
    """Four decimals, the same on every machine; None when nothing can be told."""
    return None if math.isnan(value) else round(float(value), 4)


def _why(found: SetResult, asked: Sequence[str]) -> str:
    """What stands in the way of the answers asked for: what breaks one, else what leaves it open."""
    gates = found.gates if "welfare" in asked else ()
    rules = [one for one in found.law if ("practice" if one.profile else "law") in asked]
    for answer in (Answer.BREAKS, Answer.CANNOT_TELL):
        for gate in gates:
            if gate.answer is answer:
                return f"{gate.name}: {render(gate.reason)}"
        for one in rules:
            if one.answer is answer:
                return f"{one.rule}: {render(one.reason)}"
    return ""
