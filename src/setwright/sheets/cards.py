"""Set cards: one A5 sheet per set, black on white, to be punched and carried.

Every word of the user goes to the typesetter as a string value, never as markup, so that no name can be read as a
command. A card that holds more than its sheet sheds in a fixed order (log rows, drawing height, then the tails of the
lists, with a line that says so); the type never gets smaller than 11 pt.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from setwright.draw import marks, svg
from setwright.draw.section import section, section_keys
from setwright.sheets import words
from setwright.sheets.typeset import typeset

if TYPE_CHECKING:
    from setwright.desk.document import Link, Plan, SetPlan, Stop

# Width of the writing on an A5 sheet with 11 mm left for punching, and the drawing's pixels across it. Thirteen and
# a half pixels of the smallest drawing text then print above 11 pt.
_DRAWN = 440.0
_ORDER = ("fails", "cannot tell", "thin", "sound")
_DOG = "If a dog is held"
_ANSWERS = ("breaks", "cannot tell", "meets")


def set_cards(plan: Plan) -> bytes:
    """Write the set cards as a PDF.

    Parameters
    ----------
    plan : Plan
        The plan document.

    Returns
    -------
    bytes
        A PDF of exactly one A5 page for each set (one page that says so when there is no set).
    """
    stops = {stop.site: stop for stop in plan.run.stops}
    data = {
        "line": plan.line.name,
        "place": plan.line.place,
        "printed": words.clock(plan.made),
        "pack": plan.line.law_pack,
        "marks": {name: marks.alone(name) for name in marks.SHAPES},
        "cards": [_card(part, stops.get(part.site.id)) for part in plan.sets],
    }
    return typeset("card.typ", data)


def _card(part: SetPlan, stop: Stop | None) -> dict[str, Any]:
    """The words and drawings of one card, as plain values."""
    site = part.site
    way = ""
    if stop is not None and stop.distance is not None and stop.bearing_deg is not None:
        way = f"; {words.miles(stop.distance)} from the stop before, {stop.bearing_deg:.0f}°"
    return {
        "number": str(site.number),
        "name": cut(site.name, 60),
        "what": cut(f"{site.target_name}, {site.set_type}{way}", 90),
        "must": cut(part.must, 110),
        "by": f"Check by {words.clock(stop.limit)}" if stop and stop.limit else "",
        "drawings": [
            svg.standalone(section(part.figure, _DRAWN, tallest, letters=True)) for tallest in (240.0, 200.0, 160.0)
        ],
        "keys": [[letter, cut(said, 50)] for letter, said in section_keys(part.figure)],
        "pan": _pan(part),
        "release": _release(part),
        "facts": [[cut(name, 24), cut(fact, 44)] for name, fact in part.rig.facts],
        "links": _links(part.links),
        "law": _gates(part),
        "steps": [cut(step, 70) for step in part.steps],
        "cautions": [f"{entry.head}. {_whole(entry.text, 130)}" for entry in part.cautions if entry.head != _DOG],
    }


def _pan(part: SetPlan) -> list[str]:
    """Trip force in a line or two: what is advised, what it does not do, and for whom there is no figure."""
    pan = part.trip_curve
    if pan is None:
        return []
    found = [_whole(pan.say, 150)]
    if pan.not_kept_out:
        found.append(cut(f"Trip force does not keep out: {', '.join(pan.not_kept_out)}.", 110))
    if pan.no_figure and pan.catch is not None:
        found.append(cut(f"No figure from weight: {', '.join(entry.name for entry in pan.no_figure)}.", 90))
    return found


def _release(part: SetPlan) -> str:
    """The release of a dog in short, whole: it is never shed from a card."""
    return next((entry.text for entry in part.cautions if entry.head == _DOG), "") if part.release else ""


def cut(text: str, most: int) -> str:
    """Shorten a text at a word so that it fits its line; a cut text ends in an ellipsis."""
    text = " ".join(text.split())
    if len(text) <= most:
        return text
    kept = text[: most - 1]
    space = kept.rfind(" ")
    return f"{kept[:space] if space > most // 2 else kept}…"


def _links(links: list[Link]) -> list[list[str]]:
    """Mark, word and links; links that are sound share one line."""
    rows = []
    for word in _ORDER:
        here = [link for link in links if link.standing == word]
        if word == "sound" and here:
            rows.append([marks.STANDING[word], word, ", ".join(link.link for link in here)])
        elif here:
            rows += [[marks.STANDING[word], word, cut(f"{link.link}: {link.governs}", 48)] for link in here]
    return rows


def _gates(part: SetPlan) -> list[list[str]]:
    """Mark, word and rule of law and welfare; what is met shares one line."""
    asked = [(found.answer, found.rule, found.question or found.reason) for found in part.law]
    asked += [(found.answer, found.gate, found.reason) for found in part.welfare]
    rows = []
    for word in _ANSWERS:
        here = [(rule, said) for answer, rule, said in asked if answer == word]
        if word == "meets" and here:
            rows.append([marks.ANSWER[word], word, cut(", ".join(rule for rule, _ in here), 80)])
        else:
            rows += [[marks.ANSWER[word], word, cut(f"{rule}: {said}", 60)] for rule, said in here]
    return rows or [[marks.ANSWER[part.law_answer], part.law_answer, "no rule was answered"]]


def _whole(text: str, most: int) -> str:
    """As many whole sentences as fit; a first sentence that is too long by itself is cut at a word."""
    kept, *rest = text.replace(". ", ".\n").split("\n")
    for sentence in rest:
        if len(kept) + len(sentence) + 1 > most:
            break
        kept = f"{kept} {sentence}"
    return cut(kept, most)
