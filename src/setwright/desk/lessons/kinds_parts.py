"""Questions on parts and order: what comes next when it fires or is set, and what a part is called."""

from __future__ import annotations

import random

from setwright.desk.lessons.question import Question, QuestionKind, chosen

FIRING = (
    "a foot presses the pan",
    "the notch drops away from the dog",
    "the dog flies up and frees its jaw",
    "the levers ride up the jaws",
    "the jaws meet",
)
# Order of the hands when a coil-spring is set.
SETTING = (
    "both levers go down together",
    "the jaws are laid flat",
    "the dog is folded over the nearer jaw",
    "the pan is lifted from outside and below until the dog seats",
    "the levers are eased one at a time",
    "one looks whether the loose jaw lies flat",
)
PARTS = {
    "dog": "the strip over one jaw that ends in the notch of the pan",
    "pan": "the plate that the foot presses",
    "notch": "the step of the pan in which the dog sits",
    "loose jaw": "the jaw that the dog does not cross",
    "lever": "the arm of a coil-spring trap that rides up the jaws",
    "eye": "the ring at the end of a long-spring that rides up the jaws",
    "jaw face": "the width of a jaw that bears on the foot",
    "cross": "the bar of the body that carries the pan",
    "ears": "the uprights in which the jaws turn",
    "swivel": "the part that lets the chain turn",
    "offset": "the gap that is left between the closed jaws",
    "creep": "the slipping of the dog without a load on the pan",
}
SOURCE = "trapper-education guides, common practice"


def _next(rng: random.Random, kind: str, order: tuple[str, ...], about: str) -> Question:
    place = rng.randrange(len(order) - 1)
    wrong = [step for at, step in enumerate(order) if at not in (place, place + 1)]
    choices, right = chosen(rng, order[place + 1], rng.sample(wrong, 3))
    return Question(
        kind,
        f"{about} This happens: {order[place]}. What comes right after it?",
        f"In order: {'; '.join(order)}.",
        SOURCE,
        choices=choices, right=right, given={"place": place},
    )  # fmt: skip


def firing_order(rng: random.Random) -> Question:
    """What comes next when it fires."""
    return _next(rng, "firing-order", FIRING, "A coil-spring trap fires.")


def setting_order(rng: random.Random) -> Question:
    """What comes next when it is set."""
    return _next(rng, "setting-order", SETTING, "You set a coil-spring trap.")


def part_name(rng: random.Random) -> Question:
    """What a part is called."""
    name = rng.choice(sorted(PARTS))
    choices, right = chosen(rng, name, rng.sample([one for one in sorted(PARTS) if one != name], 3))
    return Question(
        "part-name", f"What is the name for {PARTS[name]}?", f"{name.capitalize()}: {PARTS[name]}.", SOURCE,
        choices=choices, right=right, given={"name": name},
    )  # fmt: skip


KINDS = {
    "firing-order": QuestionKind("the firing order", firing_order),
    "setting-order": QuestionKind("the order of the hands", setting_order),
    "part-name": QuestionKind("names of parts", part_name),
}
