"""What all parts of a document have in common."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict

Triple = tuple[float | None, float | None, float | None]


class Shape(BaseModel):
    """Base of all parts: unknown fields are an error."""

    model_config = ConfigDict(extra="forbid", defer_build=True)
