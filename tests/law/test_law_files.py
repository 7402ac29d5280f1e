"""Pack files: the shipped ones, and broken or hostile ones that give one clear message."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from law.law_case import HEAD
from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import load, plain
from setwright.desk.schemas import schema_of
from setwright.law import condition, tables
from setwright.law.condition import CHECK_KINDS
from setwright.law.facts import FEATURES, Fact, Facts, feature
from setwright.law.pack import (
    Applies,
    Definitions,
    LiftedWhen,
    Pack,
    RelativeDay,
    SeasonRow,
    SetsAside,
    checks_within,
)

CHECK_PARTS = {
    "limit": condition.Limit, "interval": condition.IntervalCheck, "clock_window": condition.ClockWindow,
    "distance": condition.Distance, "tag": condition.Tag, "bait": condition.Bait, "count": condition.Count,
    "list_membership": condition.ListMembership, "boolean": condition.Boolean, "one_of": condition.OneOf,
    "deadline": condition.Deadline,
}  # fmt: skip

RULE = "rules:\n  - {id: R, kind: limit, topic: other, text: t, citation: c, confidence: seen, check: %s}\n"
TEMPLATE = HEAD + RULE


def test_shipped_packs_are_read_and_invented():
    assert tables.shipped_packs() == ("best-practice", "orrin", "orrin-farm", "orrin-permit", "sable")
    for name in tables.shipped_packs():
        pack = tables.shipped_pack(name)
        if pack.kind == "profile":
            continue
        assert pack.invented and "invented" in pack.jurisdiction, name
        assert all("invented" in rule.citation for rule in pack.rules), name
        text = (tables.FOLDER / f"{name}.yaml").read_text(encoding="utf-8")
        assert text.startswith("# INVENTED."), f"{name} is marked in its head"
    practice = tables.shipped_pack("best-practice")
    assert practice.kind == "profile"
    assert all(rule.confidence == "common practice" for rule in practice.rules)


def used_in(pack):
    """Everything that a pack uses of what a pack may say, as words."""
    found = {f"pack {pack.kind}"} | {f"rule {rule.kind}" for rule in pack.rules}
    wholes = [pack.definitions.submersion_set, pack.definitions.lethal_set]
    for rule in pack.rules:
        wholes += [rule.check, rule.applies.when, *(e.when for e in rule.unless), *(e.instead for e in rule.unless)]
        found |= {f"applies {name}" for name in rule.applies.model_fields_set}
        found |= {f"unless {name}" for one in rule.unless for name in one.model_fields_set}
        found |= {f"rule {name}" for name in ("priority", "effective") if name in rule.model_fields_set}
    wholes += [row.when for row in pack.seasons] + [one.when for one in pack.sets_aside]
    for part in (part for whole in wholes for part in checks_within(whole)):
        found.add(f"check {part.kind}")
        if part.bait is not None and part.bait.visible_from == "defined":
            found |= {f"bait {name}" for name in pack.definitions.exposed_bait.model_fields_set}
        if part.kind not in ("all_of", "any_of", "not"):
            found |= {f"{part.kind} {name}" for name in part.part.model_fields_set}
        if part.limit is not None and part.limit.value in ("none", "unknown"):
            found.add(f"limit {part.limit.value}")
        if part.count is not None:
            found.add(f"count {part.count.scope}")
        if part.distance is not None:
            found.add(f"distance {part.distance.reference}")
        if part.interval is not None:
            found.add("interval days" if part.interval.interval.days else "interval clock hours")
    found |= {f"season {name}" for row in pack.seasons for name in row.model_fields_set}
    found |= {"season moveable" for row in pack.seasons if isinstance(row.open, RelativeDay)}
    found |= {f"definition {name}" for name in pack.definitions.model_fields_set}
    found |= {f"zone {name}" for zone in pack.zones.values() for name in zone.model_fields_set}
    found |= {f"aside {name}" for one in pack.sets_aside for name in one.model_fields_set}
    return found | {f"topic {topic.state}" for topic in pack.topics.values()}


def test_the_packs_between_them_use_every_kind_of_rule():
    used = set().union(*(used_in(tables.shipped_pack(name)) for name in tables.shipped_packs()))
    every = {f"check {kind}" for kind in CHECK_KINDS}
    every |= {f"rule {kind}" for kind in ("limit", "require", "forbid", "permit", "duty", "priority", "effective")}
    every |= {f"pack {kind}" for kind in ("law", "permit", "landowner", "profile")}
    every |= {f"applies {name}" for name in Applies.model_fields} | {
        f"season {name}" for name in SeasonRow.model_fields
    }
    every |= {f"unless {name}" for name in LiftedWhen.model_fields}
    every |= {f"definition {name}" for name in Definitions.model_fields}
    every |= {f"aside {name}" for name in SetsAside.model_fields}
    for kind, part in CHECK_PARTS.items():
        every |= {f"{kind} {name}" for name in part.model_fields}
    every |= {"limit none", "limit unknown", "count person", "count site", "count set", "season moveable"}
    every |= {"distance edge", "distance point", "distance None", "interval days", "interval clock hours"}
    every |= {"topic stated", "topic none", "topic unknown", "zone geometry", "zone border"}
    assert not every - used, f"no pack shows: {sorted(every - used)}"


@pytest.mark.parametrize("name", tables.shipped_packs())
def test_an_independent_validator_agrees_on_the_schema(name):
    schema = json.loads(schema_of("law-pack"))
    Draft202012Validator.check_schema(schema)
    data = plain(load((tables.FOLDER / f"{name}.yaml").read_text(encoding="utf-8"), file=name))
    data = json.loads(json.dumps(data, default=str))
    Draft202012Validator(schema).validate(data)
    data["rules"][0]["kind"] = "wish"
    assert list(Draft202012Validator(schema).iter_errors(data)), "a kind of rule that does not exist must not pass"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "named fields"),
        ("just words", "named fields"),
        ("- a\n- b", "named fields"),
        ("a: [1, 2", "YAML"),
        ("a: 1\na: 2", "YAML"),
        ("a: &x 1\nb: *x", "anchors"),
        ("a: !!python/object/apply:os.system ['true']", "tags"),
        ("[" * 200 + "]" * 200, ""),
        (HEAD.replace("pack/1", "pack/9"), "not known"),
        (HEAD.replace("title: pack of a test\n", ""), "missing"),
        (HEAD + "price: 3\n", "not known here"),
        (HEAD.replace("2027-06-30", "2026-06-30"), "comes after"),
        (HEAD + "topics: {tag: none}\n", "citation"),
        (HEAD + "topics: {tag: stated}\n", "no rule of the pack"),
        (HEAD + "topics: {weather: unknown}\n", "no topic"),
        (HEAD + "seasons:\n  - {species: fox, open: 2026-11-01, close: 2026-10-01, citation: c}\n", "closes before"),
        (HEAD + "seasons:\n  - {species: fox, citation: c}\n", "needs `open`"),
        (HEAD + "seasons:\n  - {species: fox, open: soon, close: 2026-10-01, citation: c}\n", "not a date"),
        (TEMPLATE % "{}", "a check is one of"),
        (TEMPLATE % "{boolean: {feature: offset, is: true}, count: {scope: set, at_most: 1}}", "a check is one of"),
        (TEMPLATE % "{boolean: {feature: wings, is: true}}", "no feature is called"),
        (TEMPLATE % "{boolean: {feature: jaw_spread, is: true}}", "here a truth is meant"),
        (TEMPLATE % "{limit: {feature: jaw_spread, op: '<=', value: 5.75}}", "unit is missing"),
        (TEMPLATE % "{limit: {feature: jaw_spread, op: '<=', value: 5 lbf}}", "does not fit"),
        (TEMPLATE % "{limit: {feature: jaw_spread, op: '<=', value: five in}}", "not a number"),
        (TEMPLATE % "{limit: {feature: jaw_spread, method: by-eye, op: '<=', value: 5 in}}", "way of measuring"),
        (TEMPLATE % "{limit: {feature: jaw_spread, op: '=<', value: 5 in}}", "not known"),
        (TEMPLATE % "{interval: {every: daily}}", "check interval"),
        (TEMPLATE % "{interval: {every: P1D, visit_window: {from: dawn, to: sunset}}}", "not an hour"),
        (TEMPLATE % "{clock_window: {activity: tend}}", "`open` or `closed`"),
        (TEMPLATE % "{distance: {to: road, at_least: -5 ft}}", "possible"),
        (TEMPLATE % "{count: {scope: person, at_most: -1}}", "greater than"),
        (TEMPLATE % "{list_membership: {list: absent}}", "does not hold"),
        (TEMPLATE % "{all_of: []}", "at least 1"),
        ((TEMPLATE % "{boolean: {feature: offset, is: true}}").replace("kind: limit", "kind: duty"), "deadline"),
    ],
)  # fmt: skip
def test_a_broken_file_gives_one_clear_message(text, words):
    with pytest.raises(BadInput) as caught:
        tables.read_pack(text, file="mine.yaml")
    message = str(caught.value)
    assert message.startswith("mine.yaml"), message
    assert words in message, message
    assert "\n" not in message
    assert "Traceback" not in message


def test_the_line_of_the_fault_is_named():
    text = HEAD + "rules:\n" + "\n".join((RULE % "{boolean: {feature: wings, is: true}}").splitlines()[1:]) + "\n"
    with pytest.raises(BadInput) as caught:
        tables.read_pack(text, file="mine.yaml")
    assert caught.value.line == len(HEAD.splitlines()) + 2


def test_deep_nesting_is_refused():
    check = "{boolean: {feature: offset, is: true}}"
    for _ in range(60):
        check = f"{{not: {check}}}"
    with pytest.raises(BadInput):
        tables.read_pack(TEMPLATE % check, file="mine.yaml")


def test_two_rules_of_one_name():
    rule = (RULE % "{boolean: {feature: offset, is: true}}").split("\n", 1)[1]
    with pytest.raises(BadInput, match="two rules"):
        tables.read_pack(HEAD + "rules:\n" + rule + rule, file="x")


@settings(max_examples=40, deadline=None)
@given(st.data())
def test_a_damaged_file_never_gives_anything_but_a_pack_or_a_message(data):
    text = (Path(tables.FOLDER) / "orrin.yaml").read_text(encoding="utf-8")
    start = data.draw(st.integers(0, len(text) - 1))
    length = data.draw(st.integers(0, 40))
    junk = data.draw(st.text(max_size=12))
    with contextlib.suppress(BadInput):
        found = tables.read_pack(text[:start] + junk + text[start + length :], file="x")
        assert isinstance(found, Pack)


def test_unknown_pack_names_the_shipped_ones():
    with pytest.raises(BadInput, match="comes with the program"):
        tables.shipped_pack("../orrin")


@pytest.mark.parametrize(
    ("name", "fact"),
    [
        ("wings", Fact(True)), ("distance:", Fact(1.0)), ("jaw_spread", Fact("wide")), ("jaw_spread", Fact(True)),
        ("offset", Fact(1.0)), ("medium", Fact(False)), ("jaw_spread", Fact(0.1, 0.2, 0.3)), ("made", Fact("today")),
    ],
)  # fmt: skip
def test_facts_of_the_wrong_name_or_kind_are_refused(name, fact):
    with pytest.raises(BadInput):
        Facts({name: fact})


def test_every_feature_has_a_label_and_a_question():
    for name, about in FEATURES.items():
        assert about.label and about.question.endswith("?"), name
        assert bool(about.unit) == (about.kind == "number"), name
    assert feature("distance:public-trail").label == "distance to the nearest public trail"
    assert not Fact(float("nan")).known


def test_the_frame_of_the_page_is_a_pack_and_the_page_names_every_feature():
    page = (Path(__file__).parents[2] / "docs" / "how" / "law-packs.md").read_text(encoding="utf-8")
    frame = page.split("```yaml\n")[1].split("```")[0]
    assert tables.read_pack(frame, file="frame").invented
    missing = [name for name in (*FEATURES, *CHECK_KINDS) if f"{name}" not in page]
    assert not missing, f"the page on packs lacks {missing}"
