"""Sentences of the sheets in another language: what is known is given, what is not stays English and is said so."""

from __future__ import annotations

import re

import pytest

from setwright.basis.errors import BadInput
from setwright.desk import handout_cautions
from setwright.sheets.speech import UNREAD, languages, translator, wants_reader


def test_english_is_itself() -> None:
    say = translator("en")
    assert say("Keep off.") == "Keep off."
    assert not wants_reader("en")


def test_an_unknown_language_is_refused_with_those_that_there_are() -> None:
    with pytest.raises(BadInput) as told:
        translator("xx")
    assert "es" in str(told.value) and "en" in str(told.value)


@pytest.mark.parametrize("language", [name for name in languages() if name != "en"])
def test_every_caution_of_the_sheets_is_in_the_catalogue(language: str) -> None:
    say = translator(language)
    topics = handout_cautions.cautions_on(*handout_cautions.TOPICS)
    for caution in topics:
        assert say(caution.text) != caution.text, f"no {language} for: {caution.text}"
        assert say(caution.head) != caution.head, caution.head
    assert say(UNREAD) != UNREAD
    assert say("A sentence that is in no catalogue.") == "A sentence that is in no catalogue."


@pytest.mark.parametrize("language", [name for name in languages() if name != "en"])
def test_figures_survive_translation_and_a_reader_is_asked_for(language: str) -> None:
    say = translator(language)
    for caution in handout_cautions.cautions_on(*handout_cautions.TOPICS):
        assert re.findall(r"\d+", say(caution.text)) == re.findall(r"\d+", caution.text)
    assert wants_reader(language), "no native speaker has read it yet"
