"""Cautions of the handouts, by topic: short words for students, and the same ground as the cautions of a set."""

from __future__ import annotations

from setwright.desk import caution_words as words
from setwright.desk.document import Caution

LAW = "These sheets are no law. Local law and licensed practice come first; ask before you set."
HANDS = (
    "Keep hands, feet and face out of the jaws. Reach from outside and below, under the loose jaw. Keep setters "
    "in reach, and know how to free your own hand: press both levers or springs at once."
)
STUDENTS = (
    "One working trap for each teacher's eyes. Stop when told to stop. A child works with a trap that the child "
    "can press."
)
TEST_FIRING = "Fire a trap with a stick, at arm's length. Nobody near, eyes covered."
DOGS = "No pan keeps a dog out: a dog presses harder than a coyote. Set away from paths, and know the release drill."
BITE = "A held animal bites. No bare hand near its head. Bitten: wash it at once and see a doctor the same day."
FIREARM = (
    "Treat every gun as loaded. Muzzle clear of people, dogs and steel; a bullet glances off a trap. Sure of the "
    "animal and of what is behind it. Eyes and ears covered."
)
DISEASE = (
    "Wear gloves for every carcass, and wash. Skunks, raccoons, foxes and bats may carry rabies; muskrats, "
    "beavers and hares may carry tularemia. Sick after handling one: tell the doctor."
)
WATER = "Cold water kills. Wear a vest, feel ahead with a rod, go with a partner, and leave your plan at home."
ICE = "No ice is called safe here. Measure it every few steps; go with a partner, rope and picks, or stay off."
DRIVING = "Ask about buried lines before you drive a rod. Cover your eyes. Nobody stands in the line of a pull."
WAX = (
    "Hot wax burns and catches fire. Work outdoors, on a heat that you can turn off, with a lid and a fire "
    "extinguisher at hand. Wax that smokes is too hot. No water near the pot: one drop throws the wax out. Long "
    "sleeves, gloves, eyes covered."
)
NEVER_WAX = "Never wax body-gripping traps: they slip in the hand and fire."
LIFTING = "Hot traps are heavy. Lift with a long hook, set no trap, and keep children and dogs away from the pot."
CHILDREN = words.CHILDREN
SUBMERSION = (
    "A set that holds under water is lawful only in some places. Where the water is too shallow it holds alive: "
    "ask first."
)
PEOPLE = "Not sure? Do not touch the trap. Call the number on the tag, or the local office."

TOPICS: dict[str, tuple[tuple[str, str], ...]] = {
    "hands": (("Your hands", HANDS), ("Test firing", TEST_FIRING)),
    "students": (("Students", STUDENTS), ("Your hands", HANDS)),
    "dogs": (("Dogs", DOGS),),
    "bite": (("Bites", BITE), ("Disease", DISEASE)),
    "firearm": (("Firearms", FIREARM), ("Disease", DISEASE)),
    "water": (("Cold water", WATER), ("Ice", ICE)),
    "ice": (("Ice", ICE),),
    "driving": (("Driving an anchor", DRIVING),),
    "wax": (("Fire and burns", WAX), ("Never", NEVER_WAX), ("Lifting", LIFTING)),
    "submersion": (("Under water", SUBMERSION), ("Cold water", WATER)),
    "people": (("People", PEOPLE),),
    "children": (("People", CHILDREN),),
}


def cautions_on(*topics: str) -> list[Caution]:
    """Cautions of some topics, each once, the law always last.

    Parameters
    ----------
    *topics : str
        Keys of `TOPICS`, gravest first.

    """
    found = {text: head for topic in topics for head, text in TOPICS[topic]}
    return [*(Caution(head=head, text=text) for text, head in found.items()), Caution(head="The law", text=LAW)]
