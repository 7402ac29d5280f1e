"""Gates: each reached in each of its answers, none moved by a force, nothing bad improves one."""

from __future__ import annotations

import ast
import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.animal.injury import Findings
from setwright.animal.welfare import PublishedTest
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import DATA
from setwright.basis.verdict import Answer, all_of
from setwright.desk.plan import read_job
from setwright.sets import gates as gates_module
from setwright.sets import record as record_module
from setwright.sets import welfare as welfare_module
from setwright.sets.context import Kept
from setwright.sets.gates import CRITERIA, gates
from setwright.sets.record import NOTHING, RECORD, RigRecord, readings, record_gate, record_word
from setwright.sets.result import OutcomeDraws

MEETS, BREAKS, DOUBT = Answer.MEETS, Answer.BREAKS, Answer.CANNOT_TELL
READ = Source(Kind.MEASURED, "test")
GOOD, BAD, OPEN = Findings(()), Findings(("I25",)), Findings(None)
TEST = PublishedTest(
    document="an invented report", place="table 2", criterion="aihts-restraining", figure=0.92, animals=26,
    same_design=True,
)  # fmt: skip
RANK = {BREAKS: 0, DOUBT: 1, MEETS: 2}


@pytest.fixture(scope="module")
def job():
    return read_job(DATA / "demo" / "line-book.yaml", draws=120)


def first(context, share=0.0):
    """Outcomes in which every animal but the target fires it first in this share of the waits."""
    draws = np.full(context.n, 0.0)
    return {key: OutcomeDraws(draws + share, draws, draws) for key in context.species}


def asked(context, rig, name, *, share=0.0, record=NOTHING, outcome=None):
    found = gates(context, rig, first(context, share) if outcome is None else outcome, record=record)
    return next((gate for gate in found if gate.name == name), None)


def hours(context, later):
    return replace(context, check=replace(context.check, visit=context.check.made + timedelta(hours=later)))


def at_site(context, **site):
    return replace(context, site=replace(context.site, **site), kept=Kept())


def trap(rig, **change):
    return replace(rig, trap=replace(rig.trap, **change))


def chain(rig, **change):
    return replace(rig, chain=replace(rig.chain, **change))


def spread_out(context):
    """Half of the draws above two in a hundred waits, all of the middle below."""
    draws = np.linspace(0.0, 0.03, context.n)
    none = np.zeros(context.n)
    return {key: OutcomeDraws(draws if key == "dog_medium" else none, none, none) for key in context.species}


def cases(job):
    """Name, context, rig, record, share of first fires, expected answer: every gate in each of its answers."""
    land, rig = job.contexts["ridge"], job.stated["ridge"]
    water, slide = job.contexts["dam"], job.stated["dam"]
    shallow, short = job.contexts["point"], job.stated["point"]
    muck, unsure = job.contexts["muck"], job.stated["muck"]
    seen = {**dict(land.site.sign), "dog_medium": "fresh"}
    unlooked = {key: level for key, level in land.site.sign.items() if key != "dog_medium"}
    plain = trap(rig, jaws="regular")
    swivel = "swivel"
    return [
        ("time held", hours(land, 24.0), rig, None, MEETS),
        ("time held", hours(land, 24.5), rig, None, BREAKS),
        ("time held", hours(water, 60.0), slide, None, MEETS),
        ("time held", hours(shallow, 20.0), short, None, MEETS),
        ("time held", hours(shallow, 30.0), short, None, BREAKS),
        ("time held", hours(muck, 30.0), unsure, None, DOUBT),
        ("swivels", land, rig, None, MEETS),
        ("swivels", land, chain(trap(rig, base_swivel=False), swivels=1), None, BREAKS),
        ("swivels", land, chain(rig, swivels=None), None, DOUBT),
        ("swivels", land, trap(rig, base_swivel=None), None, DOUBT),
        ("swivels", land, replace(rig, chain=None), None, DOUBT),
        ("swivels", land, trap(rig, base_swivel=False), None, DOUBT),
        ("swivels", land, chain(trap(rig, base_swivel=False), parts=("machine-2", swivel, "machine-2")), None, MEETS),
        ("jaws on land", land, rig, None, MEETS),
        ("jaws on land", at_site(land, sign=seen), plain, None, BREAKS),
        ("jaws on land", at_site(land, sign=unlooked), plain, None, DOUBT),
        ("jaws on land", at_site(land, sign=seen), trap(rig, jaws=None), None, DOUBT),
        ("submersion", water, slide, None, MEETS),
        ("submersion", shallow, short, None, BREAKS),
        ("submersion", muck, unsure, None, DOUBT),
        ("submersion", at_site(water, water=None), slide, None, DOUBT),
        ("submersion", water, replace(slide, slide=None), None, MEETS),
        ("teeth", land, rig, None, MEETS),
        ("teeth", land, trap(rig, toothed=True), None, BREAKS),
        ("teeth", land, trap(rig, toothed=None), None, DOUBT),
        ("bench", land, rig, None, MEETS),
        ("bench", land, trap(rig, state="bad"), None, BREAKS),
        ("bench", land, trap(rig, state="doubtful"), None, DOUBT),
        (RECORD, land, rig, RigRecord(tests=(TEST,)), MEETS),
        (RECORD, land, rig, RigRecord(tests=(replace(TEST, figure=0.7),)), BREAKS),
        (RECORD, land, rig, RigRecord(findings=(BAD,) * 6), BREAKS),
        (RECORD, land, rig, RigRecord(findings=(BAD,) * 6, tests=(TEST,)), BREAKS),
        (RECORD, land, rig, RigRecord(tests=(replace(TEST, same_design=None),)), DOUBT),
        (RECORD, land, rig, RigRecord(), None),
        (RECORD, land, rig, RigRecord(tests=(replace(TEST, same_design=False),)), None),
        (RECORD, land, rig, RigRecord(findings=(GOOD,) * 40), None),
        (RECORD, water, slide, RigRecord(findings=(BAD,) * 6), None),
    ]  # fmt: skip


def test_every_gate_is_reached_in_each_of_its_answers(job):
    reached = {}
    for name, context, rig, record, expected in cases(job):
        gate = asked(context, rig, name, record=RigRecord() if record is None else record)
        answer = None if gate is None else gate.answer
        assert answer is expected, f"{name}: {gate}"
        reached.setdefault(name, set()).add(answer)
        if gate is not None and answer is not MEETS:
            assert gate.cure is not None or gate.question is not None, f"{name}: no way out"
        if answer is DOUBT:
            assert gate.question is not None, f"{name}: cannot tell, and nothing is asked"
    land = job.contexts["gate"]
    for share, expected in ((0.0, MEETS), (0.5, BREAKS)):
        reached.setdefault("others", set()).add(asked(land, job.stated["gate"], "others", share=share).answer)
        assert asked(land, job.stated["gate"], "others", share=share).answer is expected
    reached["others"].add(asked(land, job.stated["gate"], "others", outcome=spread_out(land)).answer)
    assert {name: answers - {None} for name, answers in reached.items()} == {
        name: {MEETS, BREAKS, DOUBT} for name in CRITERIA
    }


def test_every_gate_names_its_criterion_and_its_source(job):
    for key, rig in job.stated.items():
        context = job.contexts[key]
        for gate in gates(context, rig, first(context), record=RigRecord(tests=(TEST,))):
            assert gate.name in CRITERIA, f"{gate.name}: what it asks for is not written down"
            assert gate.source.text, gate.name


def test_the_record_binds_only_by_what_is_cited_or_speaks_against(job):
    context, rig = job.contexts["ridge"], job.stated["ridge"]
    bare = gates(context, rig, first(context))
    assert RECORD not in {gate.name for gate in bare}
    for record in (RigRecord((GOOD,)), RigRecord((GOOD,) * 40), RigRecord((OPEN,) * 40)):
        assert gates(context, rig, first(context), record=record) == bare, "writing it down made it worse"
    cited = asked(context, rig, RECORD, record=RigRecord(tests=(TEST,)))
    assert "an invented report, table 2" in cited.source.text


def test_own_data_never_give_the_word_of_a_published_test():
    for number in (1, 14, 20, 400):
        gate = record_gate(RigRecord((GOOD,) * number))
        assert gate is None
    assert record_word(readings(RigRecord((GOOD,) * 40))).value == "supports"
    # Ten clean animals lie above one line and not above the other: the word is that of the stricter.
    assert {one.word.value for one in readings(RigRecord((GOOD,) * 10))} == {"supports", "too few"}
    assert record_word(readings(RigRecord((GOOD,) * 10))).value == "too few"


FINDINGS = st.lists(st.sampled_from([GOOD, BAD, OPEN, Findings(("I10",)), Findings(("I09",))]), max_size=30)


@settings(max_examples=40, deadline=None)
@given(findings=FINDINGS, cited=st.booleans())
def test_one_more_bad_finding_never_improves_the_record(findings, cited):
    tests = (TEST,) if cited else ()

    def rank(seen):
        gate = record_gate(RigRecord(tuple(seen), tests))
        # Without a gate the record binds nothing, which is no better than a published test that meets.
        return 1.5 if gate is None else RANK[gate.answer]

    order = ["against", "too few", "supports"]
    assert rank([*findings, BAD]) <= rank(findings)
    if findings and not cited:
        before, after = (record_word(readings(RigRecord(tuple(seen)))) for seen in (findings, [*findings, BAD]))
        assert order.index(after.value) <= order.index(before.value)
        opened = record_word(readings(RigRecord((*findings, OPEN))))
        if opened.value == "supports":
            assert before.value == "supports", "an animal that nobody looked at made the record better"


def stronger(dimensions):
    """The same trap with every figure of its springs tripled."""
    rates = {
        name: 3.0 * np.asarray(getattr(dimensions, name))
        for name in ("wire_diameter", "leaf_thickness", "leaf_width", "face_width", "ring_mass")
        if getattr(dimensions, name, None) is not None
    }
    assert rates, "nothing was made stronger"
    return replace(dimensions, **rates)


@pytest.mark.parametrize("key", ["ridge", "gate", "bench", "dam", "point", "muck", "cattail"])
def test_no_gate_moves_with_a_force(job, key):
    context, rig = job.contexts[key], job.stated[key]
    strong = trap(
        rig,
        springs=4,
        mass=Quantity(9.0, "kg", READ),
        dimensions=stronger(rig.trap.dimensions),
        family="long" if rig.trap.family == "coil" else "coil",
    )
    strong = chain(strong, tested=(("swivel", 50.0),), worn=0.1)
    for record in (RigRecord(), RigRecord((BAD,) * 3, (TEST,))):
        before = gates(context, rig, first(context), record=record)
        after = gates(context, strong, first(context), record=record)
        assert [(gate.name, gate.answer) for gate in after] == [(gate.name, gate.answer) for gate in before]


def test_the_rooms_of_force_are_not_asked():
    for module in (gates_module, record_module, welfare_module):
        tree = ast.parse(Path(module.__file__).read_text(encoding="utf-8"))
        names = {node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
        asked_ = {name for name in names if re.match(r"setwright\.(trap|tackle|ground)\b", name)}
        asked_ |= names & {f"setwright.sets.{name}" for name in ("hold", "close", "mechanics", "strength", "fire")}
        assert not asked_, f"{module.__name__} asks {asked_}"
        used = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        forces = used & {"trip_force", "dimensions", "knowledge", "closing_force", "clamp"}
        assert not forces, f"{module.__name__} reads {forces}"


@settings(max_examples=25, deadline=None)
@given(early=st.floats(1.0, 80.0), later=st.floats(0.0, 40.0), key=st.sampled_from(["ridge", "point", "muck", "dam"]))
def test_a_longer_wait_never_improves_the_time_held(job, early, later, key):
    context, rig = job.contexts[key], job.stated[key]
    answers = [RANK[asked(hours(context, wait), rig, "time held").answer] for wait in (early, early + later)]
    assert answers[1] <= answers[0]


def test_all_gates_together_are_the_worst_of_them(job):
    context, rig = job.contexts["point"], job.stated["point"]
    assert all_of(gate.answer for gate in gates(context, rig, first(context))) is BREAKS
