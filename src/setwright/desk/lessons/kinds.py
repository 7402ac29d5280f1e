"""Every kind of question by name."""

from __future__ import annotations

from collections.abc import Mapping

from setwright.desk.lessons import kinds_land, kinds_log, kinds_parts, kinds_trap, kinds_water
from setwright.desk.lessons.question import QuestionKind

KINDS: Mapping[str, QuestionKind] = {
    **kinds_parts.KINDS,
    **kinds_trap.KINDS,
    **kinds_land.KINDS,
    **kinds_water.KINDS,
    **kinds_log.KINDS,
}
