"""The designer's answer as a document and on the terminal, for an invented track where dogs run."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from setwright.basis.errors import BadInput
from setwright.desk.design import design_site
from setwright.desk.plan import one_set
from setwright.desk.schemas import schema_of
from setwright.sheets.fonts import NOTICE
from setwright.sheets.set_drawings import write_set_drawings

BOOK = Path(__file__).resolve().parents[2] / "docs" / "examples" / "dogs-run.yaml"


@pytest.fixture(scope="module")
def answers() -> dict[str, Any]:
    return {key: design_site(BOOK, key, draws=120) for key in ("track", "hedge")}


def test_where_dogs_run_nothing_is_sold_as_good(answers: dict[str, Any]) -> None:
    track = answers["track"]
    assert not track.members
    assert "Nothing you own meets every gate for sure" in track.say
    assert "no medium domestic dog was seen by one who looked" in track.say
    assert track.unsettled and all(one.open[0].name == "others" for one in track.unsettled)
    assert all(one.pets > 1.0 for one in track.unsettled), "the dogs that it would cost are told"
    assert "how often medium domestic dog comes by" in track.measure_first
    assert any(caution.head == "Domestic dog" for caution in track.cautions)


def test_where_somebody_looked_each_design_has_its_reason(answers: dict[str, Any]) -> None:
    hedge = answers["hedge"]
    assert len(hedge.members) > 1
    for one in hedge.members:
        assert (one.law, one.welfare) == ("meets", "meets") and one.standing != "fails"
        assert one.why.endswith(".") and one.do and one.minutes > 0
        assert one.catch[1] <= one.catch[0] <= one.catch[2]
    assert [one.catch[0] for one in hedge.members] == sorted((one.catch[0] for one in hedge.members), reverse=True)
    whys = [one.why for one in hedge.members]
    assert whys[0].startswith("Most targets") and any(why.startswith("Fewest other") for why in whys)
    cut = sum(part.count for part in hedge.cuts if part.name != "others")
    assert hedge.combined + cut <= hedge.possible


def test_the_document_fits_its_schema(answers: dict[str, Any]) -> None:
    schema = json.loads(schema_of("design"))
    Draft202012Validator.check_schema(schema)
    for found in answers.values():
        text = found.model_dump_json(by_alias=True)
        Draft202012Validator(schema).validate(json.loads(text))
        assert "NaN" not in text and "Infinity" not in text


def test_shares_add_up_to_the_whole_at_most(answers: dict[str, Any]) -> None:
    for found in answers.values():
        for one in found.measures:
            assert 0.0 <= one.rest <= 1.0
            assert all(0.0 < part.share[0] <= 1.1 and part.do for part in one.measures)


def test_a_site_that_is_not_there_names_those_that_are() -> None:
    with pytest.raises(BadInput, match=r"track, hedge"):
        design_site(BOOK, "nowhere")


def test_drawings_of_a_set_as_files_with_their_letters(tmp_path: Path) -> None:
    part = one_set(BOOK, "track", draws=60)
    written = write_set_drawings(part, tmp_path / "drawn")
    names = ["section.svg", "wait.svg", "anchor-and-bed.svg", "pan.svg", "nights.svg"]
    assert [path.name for path in written] == names
    for path in written:
        text = path.read_text(encoding="utf-8")
        ET.fromstring(text)
        assert "data:font/woff2;base64," in text and NOTICE in text
        assert "http://" not in text.replace("http://www.w3.org/", "") and "https://" not in text.replace(
            "https://openfontlicense.org", ""
        )
