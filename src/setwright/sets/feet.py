"""Feet of an animal at a set."""

from __future__ import annotations

from setwright.animal.model import Species


def foot_size(species: Species, foot: str) -> tuple[float, float]:
    """Width and length [m] of the foot that matters; the other foot's where this one is not known."""
    fore = (species.fore_width, species.fore_length)
    hind = (species.hind_width, species.hind_length)
    first, second = (hind, fore) if foot == "hind" else (fore, hind)
    width, length = first if first[0].value is not None and first[1].value is not None else second
    return width.number, length.number
