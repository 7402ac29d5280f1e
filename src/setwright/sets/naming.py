"""Names of animals as they stand in a sentence."""

from __future__ import annotations

from setwright.animal.model import Species

# Words that keep their capital inside a sentence.
PROPER = {"American", "Canada", "Virginia"}


def plain_name(species: Species) -> str:
    """Name within a sentence: 'Coyote, western' becomes 'western coyote', brackets fall away."""
    head, _, tail = species.name.split(" (")[0].partition(", ")
    words = f"{tail} {head}" if tail and " " not in tail else f"{head} ({tail})" if tail else head
    return " ".join(word if word in PROPER else word.lower() for word in words.split())


def cover_name(key: str | None) -> str:
    """Name of a cover within a sentence: 'loam-wet' becomes 'wet loam', nothing becomes 'none'."""
    if key is None:
        return "none"
    *rest, last = key.split("-")
    return (
        " ".join([last, *rest])
        if rest and last in ("wet", "moist", "dry", "damp", "saturated")
        else " ".join([*rest, last])
    )
