"""What to do in the field about an unknown: the reading, look or count that would settle an input of the chain."""

from __future__ import annotations

from dataclasses import dataclass

from setwright.basis.say import Say
from setwright.sets.context import Context
from setwright.sets.model import Rig
from setwright.sets.naming import plain_name
from setwright.tackle import tables as tackle_tables


@dataclass(frozen=True)
class Measure:
    """What an input is, and what to do about it; `settles` is False where no reading in the field tells it."""

    what: Say
    act: Say
    settles: bool = True


# Inputs by their full name.
_WHOLE: dict[str, tuple[str, str]] = {
    "trip force": (
        "trip force of the pan",
        "pull the pan three times with a spring scale, and again after wet weather",
    ),
    "pan depth": ("water over the pan", "measure the water over the pan with a rule when it is set"),
    "placements": (
        "how often a foot comes down at the set",
        "at each visit count the prints about the pan, and write the number down",
    ),
    "patch": ("ground over which the feet scatter", "measure the ground over which the prints lie, length and width"),
    "lane": ("width over which feet scatter on the trail", "measure the trodden width at the trap, or set guides"),
    "misfire": ("firings by no animal", "log every trap found sprung and empty, with what you think did it"),
    "chain": ("length of the chain", "measure the chain from the base to the anchor"),
    "reach": ("held foot to nose", "measure the next one you take from the held foot to the nose, stretched"),
    "nose": ("height of the nose over the bottom", "measure the next one standing, from the ground to the nose"),
    "level.fall": ("fall of the water", "mark a stake at the water line and read it for some days, or read a gauge"),
    "level.rise": ("rise of the water", "mark a stake at the water line and read it for some days, or read a gauge"),
    "colder": ("how cold it is at the trap itself", "lay a thermometer on the ground beside the set overnight"),
    "wetter": (
        "water in the cover",
        "weigh a tin of the cover, dry it in an oven, weigh it again; keep the cover dry",
    ),
    "frost_strength": ("how hard the frozen cover is", "press a frozen sample of your own cover with a spring scale"),
    "late": ("how punctual the run is", "write down when you reach this set on each run"),
    "cyclic": (
        "how far an animal works the anchor loose",
        "pull the anchor again after a catch, and write both pulls",
    ),
    "rate_fine": ("how the ground bears a jerk", "proof-pull the anchor, slowly and then in jerks"),
    "foot_height": (
        "height at which the held foot pulls",
        "look how the chain lies after a catch: flat over the ground, or up from the anchor",
    ),
    "anchor_model": (
        "what this ground gives such an anchor",
        "proof-pull the anchor slowly with a lever and a scale, and write pull and angle down",
    ),
    "proof reading": ("reading of the proof pull", "pull it once more with another scale"),
    "wood": ("strength of the wood", "tie lower, or to a thicker one"),
    "shock_rate": ("stiffness of the shock spring", "hang two weights on it and measure the stretch"),
    "shock_stroke": ("stroke of the shock spring", "draw it out until it is solid and measure the stretch"),
    "shock rate": ("stiffness of the shock spring", "hang two weights on it and measure the stretch"),
    "shock stroke": ("stroke of the shock spring", "draw it out until it is solid and measure the stretch"),
    "small pit": ("how fast the bed is dug", "time the digging of the next bed"),
    "pick": ("how fast frozen ground is dug", "time the digging of the next frozen bed"),
    "shock_factor": ("how the tackle bears a jerk", "load three samples to failure, or take a heavier part"),
    "seat_limit": (
        "how far the trap may sink and still close",
        "bed it in that ground, tread it down and fire it with a stick, hands and feet well away",
    ),
    "clear": ("water wanted over the nose", "choose more water: this is a margin, no reading"),
    "unknown.anchor": ("strength of the anchor", "name the anchor and the ground, and proof-pull it"),
    "unknown.tackle": ("strength of the tackle", "name the parts of the chain and gauge their wire"),
    "unknown.grip": ("grip on this limb", "measure the limb of the animal where the jaws take it"),
    "unknown.submersion": ("depth at the stop", "sound the depth where the stop is to lie"),
}
# Inputs that come once for every animal or trap, by what stands before the dot.
_EACH: dict[str, tuple[str, str]] = {
    "visit": (
        "how often {name:word} comes by",
        "log fresh sign of {name:word} on each visit for two weeks, and write visits and nights into the book",
    ),
    "step": (
        "how often {name:word} steps on the pan",
        "log visits of {name:word} by its tracks, with and without a foot on the pan",
    ),
    "mass": ("weight of {name:word}", "weigh the next ones you take, and write the weights down"),
    "limb": (
        "limb of {name:word} between the jaws",
        "measure the limb of the next {name:word} with calipers where the jaws took it",
    ),
    "kick": (
        "whether a floating {name:word} fires the pan",
        "log every visit of {name:word} that did not fire the pan",
    ),
    "stride": ("stride of {name:word}", "measure its stride on the trail, from print to print of the same foot"),
    "works": (
        "how many visitors of the {name:word} come right up to the set",
        "read the tracks after each night: how many passed by, and how many came up",
    ),
    "spread": ("jaw spread of {name:word}", "measure the jaws of {name:word} when set, inside, at the pan"),
    "bearing": (
        "bearing area of the trap in soft ground",
        "press the trap into the bed and measure the steel that bears on it",
    ),
    "soil": (
        "strength of the ground",
        "press a thumb and push a rod into the ground at the set, and proof-pull the anchor",
    ),
    "tackle": (
        "strength of the {name:word}",
        "pull three samples of it to failure on the bench, behind a cover and with the eyes covered",
    ),
    "moisture": (
        "how {name:word} ground is for its kind",
        "feel it at the set, and proof-pull the anchor",
    ),
    "trap": ("{name:word} of the trap", "read it on the bench and write it into the trap's readings"),
}
_TRAP = {
    "friction": ("friction in levers and hinges", "oil it, close it on a dowel, and read the opening force"),
    "time_factor": ("what the reckoned closing time leaves out", "film one closing at 240 frames a second or more"),
    "spring_health": ("what is left of the springs", "read the lever force at two angles with a scale"),
    "set_stress_share": ("tension of the coils when set", "read the lever force at two angles with a scale"),
}
_NOT_TAKEN = Say("not to be measured in a trap: choose the rig so that it does not come to that, and keep the log")
_NO_READING = Say("no reading in the field tells it: choose the rig so that it does not matter, and keep the log")


def measure_of(name: str, context: Context, rig: Rig) -> Measure:
    """What an input is and what to do about it, by the name of its draws."""
    if name in _WHOLE:
        what, act = _WHOLE[name]
        return Measure(Say(what), Say(act), settles=name != "clear")
    head, _, tail = name.partition(".")
    if head == "trap" and tail in _TRAP:
        what, act = _TRAP[tail]
        return Measure(Say(what), Say(act))
    if head in ("mass", "limb") and tail in context.species and tail != context.site.target:
        # What is not to be taken is not to be measured in a trap.
        called = plain_name(context.species[tail])
        return Measure(Say(_EACH[head][0], name=called), _NOT_TAKEN, settles=False)
    if head in _EACH and tail:
        what, act = _EACH[head]
        called = _called(head, tail, context, rig)
        return Measure(Say(what, name=called), Say(act, name=called))
    return Measure(Say("{name:word}", name=_MODEL.get(name, name.replace("_", " "))), _NO_READING, settles=False)


def _called(head: str, tail: str, context: Context, rig: Rig) -> str:
    if tail in context.species:
        return plain_name(context.species[tail])
    if head == "works":
        return _CLASSES.get(tail, tail)
    if head == "tackle":
        table = tackle_tables.tackle()
        return table.text(tail, "label") if tail in table else tail
    return tail.replace("_", " ") if head in ("trap", "moisture") else rig.trap.trap_id


_CLASSES = {
    "canid": "dog kind",
    "felid": "cat kind",
    "procyonid": "raccoon kind",
    "mustelid": "weasel kind",
    "mephitid": "skunk kind",
    "didelphid": "opossum kind",
    "rodent": "rodent kind",
    "lagomorph": "hare kind",
    "bird": "bird kind",
    "ungulate": "hoofed kind",
}
# What stands for the model itself, in words.
_MODEL = {
    "coupling_mean": "share of a foot's force that reaches the pan",
    "coupling_sd": "how that share differs from step to step",
    "gait": "how hard a foot comes down",
    "lunges": "number of hard pulls until the visit",
    "lunge_sigma": "how one lunge differs from the next",
    "lunge_share": "how hard a typical lunge is",
    "body_factor": "how stiff the held animal is",
    "grip_steel": "grip that holds on steel jaws",
    "grip_padded": "grip that holds on padded jaws",
    "grip_slope": "how sharply a hold turns into a slip",
    "wring_out": "share that wrings out",
    "reaction": "how soon a foot starts to leave",
    "lift": "how fast a foot leaves",
    "coupling elsewhere": "share of a foot's force that reaches the pan at this kind of set",
    "entrained": "water that moves with a swimming animal",
    "deep.friction": "friction of the deep weight on the bottom",
    "swim": "pull of a swimming animal",
    "animal_density": "weight of the animal in water",
}
