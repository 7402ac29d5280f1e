"""What every part of a file that people write has in common."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

NAME = r"^[A-Za-z0-9][A-Za-z0-9 ._/+-]{0,39}$"
Id = Annotated[str, BeforeValidator(lambda v: str(v) if isinstance(v, (int, float)) else v), Field(pattern=NAME)]


class Part(BaseModel):
    """Base of every part of the book: a field that is not known here is an error."""

    model_config = ConfigDict(extra="forbid", arbitrary_types_allowed=True, defer_build=True)
