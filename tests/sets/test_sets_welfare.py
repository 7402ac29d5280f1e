"""Facts that bear on a held animal, and the cautions: each reached, with its source, and never added up."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.animal import tables as animal_tables
from setwright.animal.injury import Findings
from setwright.animal.welfare import PublishedTest
from setwright.animal.welfare_tables import bearing_facts
from setwright.basis.source import Kind, Quantity, Source
from setwright.basis.tables import DATA
from setwright.desk import caution_words
from setwright.desk.cautions import cautions, lesson_cautions, release_steps, steps
from setwright.desk.plan import read_job
from setwright.desk.wording import render
from setwright.sets.context import Kept
from setwright.sets.evaluate import evaluate
from setwright.sets.record import RECORD, RigRecord
from setwright.sets.welfare import Bearing, RiskFact, holds_alive, risk_facts

READ = Source(Kind.MEASURED, "test")
GOOD, BAD, OPEN = Findings(()), Findings(("I25",)), Findings(None)
TEST = PublishedTest(
    document="an invented report", place="table 2", criterion="bmp-trauma", figure=0.9, animals=31, same_design=True
)
FOR, AGAINST, UNKNOWN = Bearing.FAVOURABLE, Bearing.UNFAVOURABLE, Bearing.NOT_KNOWN


@pytest.fixture(scope="module")
def job():
    return read_job(DATA / "demo" / "line-book.yaml", draws=120)


def keys(found):
    return [fact.key for fact in found]


def of(found, name):
    return [fact for fact in found if fact.name == name]


def at_site(context, **site):
    return replace(context, site=replace(context.site, **site), kept=Kept())


def hours(context, later):
    return replace(context, check=replace(context.check, visit=context.check.made + timedelta(hours=later)))


def with_night(context, **change):
    """The wait with other weather: one figure for all hours, or an array of them."""
    night = context.conditions.night
    full = {
        name: np.broadcast_to(np.asarray(value, dtype=float), night.air.shape).copy()
        for name, value in {"air": 8.0, "rain": 0.0, **change}.items()
    }
    dry = {"before_rain": np.zeros_like(night.before_rain)}
    return replace(context, conditions=replace(context.conditions, night=replace(night, **full, **dry)), kept=Kept())


def trap(rig, **change):
    return replace(rig, trap=replace(rig.trap, **change))


def chain(rig, length, **change):
    return replace(rig, chain=replace(rig.chain, length=Quantity(length, "m", READ), **change))


def raccoon_about(context):
    species = dict(context.species) | {"raccoon": animal_tables.record("raccoon")}
    return replace(
        context,
        species=species,
        site=replace(context.site, sign={**context.site.sign, "raccoon": "fresh"}),
        kept=Kept(),
    )


def cases(job):
    land, rig = job.contexts["ridge"], job.stated["ridge"]
    coon, small = job.contexts["bench"], job.stated["bench"]
    water, slide = job.contexts["point"], job.stated["point"]
    pond, pole = job.contexts["cattail"], job.stated["cattail"]
    wide, narrow = Quantity(0.18, "m", READ), Quantity(0.09, "m", READ)
    plate = replace(rig, anchor=replace(rig.anchor, kind="plate"))
    padded4 = trap(rig, jaws="padded", springs=4)
    rain = np.where(np.arange(land.conditions.night.air.size) == 2, 3.0, 0.0)
    falling = np.where(np.arange(rain.size) < 4, 3.0, -3.0)
    lone = at_site(land, target="badger", sign={})
    lone = replace(lone, species={"badger": animal_tables.record("badger")})
    otter = at_site(water, target="river_otter")
    muskrat = replace(
        at_site(water, target="muskrat"), species={**water.species, "muskrat": animal_tables.record("muskrat")}
    )
    return [
        ("padded", land, trap(rig, jaws="padded"), FOR),
        ("offset", land, rig, FOR),
        ("laminated", land, trap(rig, jaws="laminated"), FOR),
        ("plain_jaws", land, trap(rig, jaws="regular"), AGAINST),
        ("jaws_unknown", land, trap(rig, jaws=None), UNKNOWN),
        ("four_springs_small", coon, trap(small, jaws="padded", springs=4), AGAINST),
        ("four_springs_coyote", land, padded4, UNKNOWN),
        ("swivel_at_base", land, rig, FOR),
        ("no_swivel_at_base", land, trap(rig, base_swivel=False), AGAINST),
        ("swivels_unknown", land, trap(rig, base_swivel=None), UNKNOWN),
        ("short_chain", land, chain(rig, 0.457), FOR),
        ("middling_chain", land, chain(rig, 0.6), UNKNOWN),
        ("long_chain", land, chain(plate, 1.0), AGAINST),
        ("long_chain_stake", land, chain(rig, 1.0), UNKNOWN),
        ("chain_unknown", land, replace(rig, chain=None), UNKNOWN),
        ("shock_spring", land, chain(rig, 0.4, shock_spring=True), FOR),
        ("pad_hold", land, rig, FOR),
        ("toe_hold", land, trap(rig, spread=narrow), AGAINST),
        ("wide_for_foot", land, trap(rig, spread=wide), AGAINST),
        ("foot_unknown", land, trap(rig, spread=Quantity(None, "m", READ)), UNKNOWN),
        ("raccoon_chews", coon, small, AGAINST),
        ("wide_jaws_chew", coon, trap(small, spread=wide), AGAINST),
        ("wide_jaws_chew", raccoon_about(land), trap(rig, spread=wide), AGAINST),
        ("early_check", hours(land, 11.0), rig, FOR),
        ("day_check", hours(land, 20.0), rig, UNKNOWN),
        ("long_wait", hours(land, 30.0), rig, AGAINST),
        ("hard_cold", with_night(land, air=-12.0), rig, AGAINST),
        ("frost", with_night(land, air=-3.0), rig, AGAINST),
        ("heat", with_night(land, air=30.0), rig, AGAINST),
        ("heat", with_night(at_site(land, canopy="trees"), air=30.0), rig, UNKNOWN),
        ("rain_on_frost", with_night(land, air=falling, rain=rain), rig, AGAINST),
        ("wet_wind", with_night(land, air=3.0, rain=rain), rig, UNKNOWN),
        ("mild", with_night(land), rig, UNKNOWN),
        ("weather_unknown", replace(land, conditions=replace(land.conditions, night=None)), rig, UNKNOWN),
        ("wet_held", with_night(pond, air=3.0), pole, AGAINST),
        ("under_long", water, slide, AGAINST),
        ("under_short", muskrat, slide, UNKNOWN),
        ("under_unknown", replace(otter, species={**water.species}), slide, UNKNOWN),
        ("pad_hold", lone, rig, FOR),
    ]


def test_every_fact_of_the_table_is_reached_with_its_bearing(job):
    reached = set()
    for key, context, rig, bearing in cases(job):
        found = risk_facts(context, rig)
        assert key in keys(found), f"{key}: {keys(found)}"
        fact = next(one for one in found if one.key == key)
        assert fact.bearing is bearing, key
        reached.add(key)
    land, rig = job.contexts["ridge"], job.stated["ridge"]
    rain = np.full(land.conditions.night.air.size, 1.0)
    windy = risk_facts(with_night(land, air=3.0, rain=rain), rig, wind=9.0)
    assert next(fact for fact in windy if fact.key == "wet_wind").bearing is AGAINST
    calm = risk_facts(with_night(land, air=3.0, rain=rain), rig, wind=1.0)
    assert "wet_wind" not in keys(calm)
    assert set(bearing_facts()) <= reached, f"never told: {sorted(set(bearing_facts()) - reached)}"


def test_every_fact_has_words_a_source_and_a_way_on(job):
    for _, context, rig, _ in cases(job):
        for fact in risk_facts(context, rig):
            assert fact.source.text and fact.size and render(fact.why), fact.key
            if fact.bearing is AGAINST and fact.key != "record":
                assert fact.mend is not None, f"{fact.key}: nothing would mend it"
            if fact.key.endswith("_unknown") and not fact.key.startswith("under"):
                assert fact.question is not None, f"{fact.key}: nothing is asked"


def test_facts_are_listed_and_carry_no_number():
    names = {field.name: field.type for field in fields(RiskFact)}
    assert not {name for name, kind in names.items() if "float" in str(kind) or "int" in str(kind)}


def test_no_fact_of_the_weather_is_favourable(job):
    land, rig = job.contexts["ridge"], job.stated["ridge"]
    for air in (-20.0, -3.0, 4.0, 8.0, 20.0, 30.0):
        for rain in (0.0, 2.0):
            found = of(risk_facts(with_night(land, air=air, rain=rain), rig), "weather")
            assert found and all(fact.bearing is not FOR for fact in found), (air, rain)


@settings(max_examples=25, deadline=None)
@given(air=st.floats(-30.0, 10.0), colder=st.floats(0.0, 20.0), rain=st.sampled_from([0.0, 2.0]))
def test_a_colder_night_never_has_fewer_prompts(job, air, colder, rain):
    land, rig = job.contexts["ridge"], job.stated["ridge"]

    def prompts(degrees):
        found = of(risk_facts(with_night(land, air=degrees, rain=rain), rig, wind=9.0), "weather")
        return sum(fact.bearing is AGAINST for fact in found)

    assert prompts(air - colder) >= prompts(air)


def test_gaps_in_the_weather_are_not_fair_weather(job):
    land, rig = job.contexts["ridge"], job.stated["ridge"]
    gap = np.where(np.arange(land.conditions.night.air.size) == 5, np.nan, 8.0)
    found = risk_facts(with_night(land, air=gap), rig)
    assert "weather_unknown" in keys(found) and "mild" not in keys(found)
    assert keys(of(risk_facts(with_night(land, air=np.nan), rig), "weather")) == ["weather_unknown"]


def test_rain_before_the_setting_wets_the_coat_too(job):
    land, rig = job.contexts["ridge"], job.stated["ridge"]
    cold = with_night(land, air=-2.0)
    assert "rain_on_frost" not in keys(risk_facts(cold, rig))
    night = cold.conditions.night
    wet = replace(night, before_rain=np.full_like(night.before_rain, 1.0))
    assert "rain_on_frost" in keys(risk_facts(replace(cold, conditions=replace(cold.conditions, night=wet)), rig))
    # The other way round, frost that was over before the rain came, is no prompt.
    thaw = np.where(np.arange(night.air.size) < 4, -2.0, 9.0)
    late = np.where(np.arange(night.air.size) == 8, 2.0, 0.0)
    assert "rain_on_frost" not in keys(risk_facts(with_night(land, air=thaw, rain=late), rig))


def test_a_sure_submersion_set_has_no_facts_of_holding(job):
    sure, unsure = (risk_facts(job.contexts[key], job.stated[key]) for key in ("dam", "point"))
    assert holds_alive(job.contexts["point"], job.stated["point"])
    assert not holds_alive(job.contexts["dam"], job.stated["dam"])
    assert {fact.name for fact in sure} == {"under water", RECORD}
    assert {"jaws", "chain", "wait", "under water"} <= {fact.name for fact in unsure}


@pytest.mark.parametrize(
    ("record", "bearing", "says"),
    [
        (RigRecord(), UNKNOWN, "no record"),
        (RigRecord((GOOD,) * 5), UNKNOWN, "too few"),
        (RigRecord((OPEN,) * 30), UNKNOWN, "too few"),
        (RigRecord((GOOD,) * 20), FOR, "supports"),
        (RigRecord((BAD,) * 6), AGAINST, "against"),
        (RigRecord(tests=(TEST,)), FOR, "meets"),
        (RigRecord(tests=(replace(TEST, figure=0.5),)), AGAINST, "breaks"),
        (RigRecord((BAD,) * 6, (TEST,)), AGAINST, "against"),
    ],
)
def test_the_record_among_the_facts(job, record, bearing, says):
    fact = risk_facts(job.contexts["ridge"], job.stated["ridge"], record)[-1]
    assert (fact.name, fact.bearing) == (RECORD, bearing)
    assert render(fact.why).startswith(says)
    if record.findings:
        assert "seen in the field" in render(fact.why)


# --- cautions ------------------------------------------------------------------------------------------------------


def heads(job, key, context=None):
    context = job.contexts[key] if context is None else context
    return {one.head: one.text for one in cautions(context, evaluate(context, job.stated[key], job.person))}


def test_cautions_go_by_situation(job):
    land, water, held = (heads(job, key) for key in ("ridge", "dam", "cattail"))
    assert {"Your hands", "If a dog is held", "People", "Dispatch", "Disease", "Mange"} <= set(land)
    assert {"You, in the water", "Ice", "Cold water", "Submersion", "Bank ice"} <= set(water)
    assert "Dispatch" not in water and "Dispatch" in held and "Submersion" not in held
    assert "Ice" not in land and "Heat" not in land
    hot = with_night(job.contexts["ridge"], air=30.0)
    assert "Heat" in heads(job, "ridge", hot) and "Hard cold" not in heads(job, "ridge", hot)
    assert "Dispatch" in heads(job, "point"), "a submersion that is not sure may hold alive"


def test_cautions_go_by_every_animal_that_may_come(job):
    context = job.contexts["cattail"]
    assert "rabies" not in " ".join(heads(job, "cattail").values())
    skunk = replace(
        context, species={**context.species, "striped_skunk": animal_tables.record("striped_skunk")}, kept=Kept()
    )
    result = evaluate(skunk, job.stated["cattail"], job.person)
    assert any("rabies" in one.text for one in cautions(skunk, result))
    hare = replace(
        context, species={**context.species, "cottontail": animal_tables.record("cottontail")}, kept=Kept()
    )
    assert "Hares and rabbits" in heads(job, "cattail", hare)


@pytest.mark.parametrize(("longitude", "expected"), [(-110.0, True), (None, True), (-79.9, False)])
def test_plague_is_named_where_it_is_at_home(job, longitude, expected):
    there = at_site(job.contexts["ridge"], longitude=longitude)
    assert ("Fleas" in heads(job, "ridge", there)) is expected


def test_the_gravest_come_first_on_a_card(job):
    for key in job.stated:
        found = list(heads(job, key))
        assert found[0] == "Your hands"
        if job.contexts[key].site.medium == "water":
            assert found[1] == "You, in the water"
        elif any(name.startswith("dog") for name in job.contexts[key].species):
            assert found[1] == "Domestic dog"


TEXTS = {name: text for name, text in vars(caution_words).items() if name.isupper() and isinstance(text, str)}


@pytest.mark.parametrize("name", TEXTS)
def test_the_first_sentence_fits_a_card(name):
    text = TEXTS[name].format(low="−12 °F", high="86 °F")
    first = text.split(". ")[0]
    assert len(first) <= 130, f"{len(first)} characters are cut on a card"
    assert len(text) <= 420


def test_words_that_must_be_there_and_words_that_must_not():
    said = " ".join(TEXTS.values()) + " ".join(release_steps())
    low = said.lower()
    for word in (
        "loose jaw", "catch-pole", "coat over the head", "both levers", "owner told", "backstop", "muzzle",
        "local law and your training", "doctor at once", "head whole", "tularemia", "leptospirosis", "mange",
        "plague", "no claim is made that it is painless",
    ):  # fmt: skip
        assert word in low, word
    for word in ("humane", "painless death", "harmless", "safe to walk", "ice is safe", "safe ice"):
        assert word not in low, word
    assert "No ice is called safe" in caution_words.ICE


def test_dispatch_names_its_order():
    places = [caution_words.DISPATCH.index(word) for word in ("local law", "animal is sure", "backstop", "muzzle")]
    assert places == sorted(places)


def test_the_release_drill_keeps_its_order():
    drill = " | ".join(release_steps())
    order = ("safety first", "catch-pole", "Coat", "Both levers", "on the leash", "owner told", "Report")
    places = [drill.index(word) for word in order]
    assert places == sorted(places)
    assert len(release_steps()) <= 8 and all(len(step) <= 110 for step in release_steps())


def test_a_lesson_and_a_set_with_dogs_are_prepared(job):
    assert {"Students", "Your hands", "If a dog is held"} <= {one.head for one in lesson_cautions()}
    context, rig = job.contexts["ridge"], job.stated["ridge"]
    assert "catch-pole, coat and board in reach" in steps(context, evaluate(context, rig, job.person))
