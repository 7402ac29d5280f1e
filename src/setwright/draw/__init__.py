"""Drawings: a part of the plan document in, an SVG drawing out; nothing is computed but layout."""
