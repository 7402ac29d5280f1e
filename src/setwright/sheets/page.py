"""The plan as one page that needs nothing else: style, typefaces and drawings are inside it."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from setwright.draw import marks, svg
from setwright.draw.curve import curve, curve_keys, nights
from setwright.draw.footing import footing, footing_keys
from setwright.draw.frost_strip import frost_strip
from setwright.draw.level_strip import level_strip
from setwright.draw.ruler import day_ruler, ruler, top_of
from setwright.draw.section import section, section_keys
from setwright.draw.traverse import traverse
from setwright.sheets import fonts, speech, words

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

    from setwright.desk.document import Line, Outcome, Plan, Provenance, SetPlan, Triple

DESK, PHONE, HALF = 900.0, 350.0, 430.0


def templates() -> Environment:
    """Templates of the sheets in the language that is spoken, with the filters of words."""
    from setwright.sheets.template_words import in_language

    return in_language(english(), speech.spoken())


@cache
def english() -> Environment:
    """Templates of the sheets as they are written."""
    import jinja2

    loader = jinja2.PackageLoader("setwright.sheets", "templates")
    made = jinja2.Environment(
        loader=loader, autoescape=True, trim_blocks=True, lstrip_blocks=True, undefined=jinja2.StrictUndefined
    )
    for name in (
        "share",
        "band",
        "gain",
        "signed",
        "day",
        "clock",
        "hour",
        "hours",
        "miles",
        "count",
        "mass",
        "depth",
        "tally",
        "force",
        "leg",
    ):
        made.filters[name] = getattr(words, name)
    made.globals["unread"] = speech.unread
    return made


def role_words(roles: list[str]) -> str:
    """The roles that change how a line is read, in words."""
    said = {"target": "the target", "protected": "protected here", "pet": "pet", "stock": "stock", "person": "person"}
    found = [said[role] for role in roles if role in said]
    return f", {' and '.join(found)}" if found else ""


def held_of(part: SetPlan) -> Triple:
    """The chance that the target is held over one check interval, with its band."""
    for outcome in part.outcome:
        if outcome.species == part.site.target:
            return outcome.held
    return (None, None, None)


def weakest_why(part: SetPlan) -> str:
    """One line that says what holds the set back, or what it is sound by."""
    order = {"fails": 0, "cannot tell": 1, "thin": 2, "sound": 3}
    worst = min(part.links, key=lambda link: order[link.standing], default=None)
    if worst is None:
        return part.say
    return f"{worst.link}: {worst.why}"


def sources(part: SetPlan) -> list[tuple[str, Provenance]]:
    """Every input of the set once, with the link or check that uses it."""
    found: dict[tuple[str, str, str], tuple[str, Provenance]] = {}
    for link in part.links:
        for entry in link.provenance:
            found.setdefault((entry.what, entry.kind, entry.source), (link.link, entry))
        for check in link.checks:
            for entry in check.provenance:
                found.setdefault((entry.what, entry.kind, entry.source), (f"{link.link}, {check.name}", entry))
    return list(found.values())


def _highest(parts: list[Triple]) -> float:
    known = [value for triple in parts for value in (triple[0], triple[2]) if value is not None]
    return top_of(max(known, default=1.0))


def safe(made: str) -> Markup:
    """Drawings and marks, which escape their own words; nothing else is passed as markup."""
    from markupsafe import Markup

    return Markup(made)


def wait_strip(part: SetPlan, width: float) -> str:
    """Level strip of a set in water, frost strip of one on land."""
    if part.level is not None:
        return level_strip(part.level, width)
    return "" if part.frost is None else frost_strip(part.frost, width, part.rig.cover)


def _outcome_top(part: SetPlan) -> float:
    return _highest([o.first for o in part.outcome if o.species != "nothing"])


def _roles_of(outcome: Outcome, part: SetPlan) -> str:
    # An animal that may be a target elsewhere is none here.
    return role_words([role for role in outcome.roles if role != "target" or outcome.species == part.site.target])


def set_helpers(line: Line) -> dict[str, Any]:
    """What the template of a set needs beside the set: marks, drawings, and words of the line."""
    return {
        "law_head": f"{line.law_pack}: {line.law_checked}",
        "held_of": held_of,
        "outcome_top": _outcome_top,
        "rig_top": lambda part: _highest([rig.held for rig in part.rigs]),
        "weakest_why": weakest_why,
        "sources": sources,
        "role_words": _roles_of,
        "standing": lambda word, said=None: safe(marks.standing(word, speech.say(said or word))),
        "answer": lambda word, said=None: safe(marks.answer(word, speech.say(said or word))),
        "mark": lambda word: safe(marks.use(marks.STANDING[word], "biglink mk")),
        "small_mark": lambda word: safe(marks.use(marks.STANDING[word])),
        "ruler": lambda median, low, high, upper: safe(ruler(median, (low, high), upper)),
        "section": lambda figure, wide: safe(section(figure, DESK if wide else PHONE, 470.0 if wide else 380.0)),
        "section_keys": section_keys,
        "wait_strip": lambda part, wide: safe(wait_strip(part, DESK if wide else PHONE)),
        "footing": lambda figure, wide: safe(footing(figure, DESK if wide else PHONE, 560.0 if wide else 460.0)),
        "footing_keys": footing_keys,
        "curve": lambda part, wide: safe(curve(part, HALF if wide else PHONE, letters=not wide)),
        "nights": lambda part, wide: safe(nights(part, HALF if wide else PHONE, letters=not wide)),
        "curve_keys": curve_keys,
        "symbols": safe(marks.symbols()),
        "patterns": safe(svg.PATTERNS),
    }


def positions_say(positions: str) -> str:
    """What is said of a plan whose positions are not exact; nothing of one that has them."""
    if positions == "exact":
        return ""
    if positions == "left out":
        return "Positions are left out here: neither map nor legs are shown. "
    return f"Positions are blurred: each set lies somewhere in a square of {positions}. "


def line_helpers(plan: Plan) -> dict[str, Any]:
    """What a page of the whole line needs beside the plan: the check run drawn, and the scale of its rulers."""
    return {
        "held_top": _highest([held_of(part) for part in plan.sets]),
        "site_of": {part.site.id: part for part in plan.sets},
        "day_ruler": lambda stop: safe(day_ruler(stop, plan.run)),
        "positions_say": positions_say(plan.line.positions),
        "traverse": lambda wide: safe(traverse(plan, DESK if wide else PHONE)),
    }


def plan_page(plan: Plan) -> str:
    """Write the plan as a self-contained page.

    Parameters
    ----------
    plan : Plan
        The plan document.

    Returns
    -------
    str
        HTML without script and without any outside address; all user text is escaped.
    """
    template = templates().get_template("plan.html")
    return template.render(
        plan=plan,
        style=safe(templates().get_template("sheet.css").render()),
        faces=[(family, fonts.page_face(family)) for family in fonts.FACES],
        notice=safe(fonts.NOTICE),
        set_at=lambda part: f"#set-{part.site.number}",
        **line_helpers(plan),
        **set_helpers(plan.line),
    )
