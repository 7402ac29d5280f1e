"""Words of the app for another language: those of its templates, and fixed ones that are computed."""

from __future__ import annotations

from setwright.sheets.catalogue import Message, templates_of
from setwright.sheets.speech import SAID
from setwright.web import pages


def app_messages() -> list[Message]:
    """Messages of the app alone, in order; one may come again."""
    found = [one for one in templates_of(pages.english(), "web") if one.where.removeprefix("web/") in _own()]
    fixed = (*(name for _, name in pages.PLACES), *pages.SHAPE)
    return found + [Message("words", words, SAID) for words in fixed]


def _own() -> set[str]:
    """Names of the app's own templates."""
    import jinja2

    return set(jinja2.PackageLoader("setwright.web", "templates").list_templates())
