"""What every part of a file that people write has in common."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class Part(BaseModel):
    """Base of every part of the book: a field that is not known here is an error."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True, defer_build=True)
