"""The seven marks: four for the standing of a link, three for an answer of law or welfare.

A link is whole, worn at the waist, parted, or only traced in dots; a measure laid against a bar stops short of it,
goes through it, or runs out before it. Each reads in pure black at 16 px, and always stands beside its word.
"""

from __future__ import annotations

from html import escape

_LINK = {
    "sound": '<rect x="2.6" y="2.6" width="18.8" height="10.8" rx="5.4" stroke-width="3.2"/>',
    "thin": (
        '<path stroke-width="3.2" d="M7.6 2.9A5.2 5.2 0 0 0 7.6 13.1M16.4 2.9A5.2 5.2 0 0 1 16.4 13.1"/>'
        '<path stroke-width="1.2" d="M7 2.1Q12 9.8 17 2.1M7 13.9Q12 6.2 17 13.9"/>'
    ),
    "fails": (
        '<path stroke-width="3.2" d="M8.6 1.9H7A4.9 4.9 0 0 0 7 11.7H8.6"/>'
        '<path stroke-width="3.2" d="M15.2 4.3H17A4.9 4.9 0 0 1 17 14.1H15.2"/>'
    ),
    "unknown": (
        '<rect x="2" y="2" width="20" height="12" rx="6" stroke-width="2.3" stroke-linecap="round" '
        'stroke-dasharray=".1 4.05"/>'
    ),
}
_BAR = {
    "meets": (
        '<path stroke-width="3.2" d="M20.4 1V15"/><path stroke-width="1.8" d="M2 4V12M2 8H14"/>'
        '<path fill="currentColor" stroke="none" d="M17 8L10.6 4.6V11.4Z"/>'
    ),
    "breaks": (
        '<path stroke-width="3.2" d="M10.2 0L12.6 5.4M12.6 10.6L10.2 16"/>'
        '<path stroke-width="1.8" d="M2 4V12M2 8H19"/>'
        '<path fill="currentColor" stroke="none" d="M24 8L16.8 4.2V11.8Z"/>'
    ),
    "untold": (
        '<path stroke-width="1.3" d="M18.9 1.2H21.9V14.8H18.9Z"/><path stroke-width="1.8" d="M2 4V12"/>'
        '<path stroke-width="2.4" stroke-linecap="round" stroke-dasharray=".1 4.2" d="M5.5 8H15"/>'
    ),
}
SHAPES = {**_LINK, **_BAR}
STANDING = {"sound": "sound", "thin": "thin", "fails": "fails", "cannot tell": "unknown"}
ANSWER = {"meets": "meets", "breaks": "breaks", "cannot tell": "untold"}


def symbols() -> str:
    """All marks as symbols that a page defines once and uses by name."""
    body = "".join(
        f'<symbol id="{name}" viewBox="0 0 24 16"><g fill="none" stroke="currentColor">{shape}</g></symbol>'
        for name, shape in SHAPES.items()
    )
    return f'<svg width="0" height="0" style="position:absolute" aria-hidden="true">{body}</svg>'


def use(name: str, classes: str = "mk") -> str:
    """One mark by its name, hidden from a screen reader because its word stands beside it."""
    if name not in SHAPES:
        raise KeyError(name)
    return f'<svg class="{classes}" viewBox="0 0 24 16" aria-hidden="true"><use href="#{name}"/></svg>'


def standing(word: str, said: str | None = None) -> str:
    """The mark of a standing with its word, or with other words that say more."""
    return f'<span class="ans">{use(STANDING[word])}<span>{escape(said or word)}</span></span>'


def answer(word: str, said: str | None = None) -> str:
    """The mark of a law or welfare answer with its word."""
    return f'<span class="ans">{use(ANSWER[word])}<span>{escape(said or word)}</span></span>'


def alone(name: str) -> str:
    """One mark as a drawing of its own in black, for paper."""
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 24 16" width="24" height="16">'
        f'<g fill="none" stroke="#000">{SHAPES[name].replace("currentColor", "#000")}</g></svg>'
    )
