"""Cautions in words, read wherever work can hurt somebody.

A card prints as many whole sentences as fit, so the first sentence of each text is the one that must be read.
"""

from __future__ import annotations

PET = (
    "Trip force does not keep a dog out: it presses harder than a coyote. Know the release drill; owner and vet "
    "are told."
)
PROTECTED = "Ask the local office before you set where its sign is fresh."
SUBMERSION = (
    "Lawful only in some places and for some animals: ask first. Veterinary panels do not accept drowning as "
    "euthanasia, others hold that such animals faint early; a beaver may live about nine minutes under water "
    "(figure from memory, disputed). No claim is made that it is painless. A rig that may hold an animal at the "
    "surface is a set that holds alive."
)
WADING = (
    "Vest over the waders, a rod before every step, a partner or a plan left at home. Ice is not judged here: "
    "measure it every few steps, and stay off what you cannot measure."
)
COLD_WATER = (
    "The first minute takes your breath: hold on and do not swim off. Hands may work for some ten minutes; use them "
    "to get out. Wet in wind at 40 to 50 °F is enough to die of: dry clothes lie in the truck."
)
ICE = (
    "No ice is called safe here. Thickness is measured at every few steps, snow and moving water make it worse, and "
    "a line, a partner and picks go along; nobody goes out alone."
)
HANDS = "Set from outside and below the loose jaw, setters within reach; know how to free yourself one-handed."
RABIES = (
    "Skunks, raccoons, foxes, coyotes, bats and unknown dogs may carry rabies: no bare hands. Bitten, or spittle in "
    "a cut: wash it at once, then a doctor at once, before any sign. Keep the head whole and cool where a test is "
    "wanted: no shot to the head."
)
MANGE = "Bare or crusted skin may be mange: gloves, no clothes against it, and dogs kept away. Bag the carcass."
TULAREMIA = (
    "Tularemia and leptospirosis: gloves for every carcass, wash after, eyes and cuts kept clear. Fever after "
    "skinning: tell the doctor what you handled. Do not drink the water of the place."
)
HARES = "Tularemia: gloves for every hare, rabbit and rodent, also one found dead in the set. Fever: tell the doctor."
PLAGUE = (
    "In dry western country fleas may carry plague: gloves, no carcass on the seat, repellent on the cuffs. Fever "
    "or a swollen gland within a week: a doctor the same day."
)
DISPATCH = (
    "Only as local law and your training allow, with plan and tool fixed before you set. In order: the animal is "
    "sure, the backstop is sure, the muzzle is clear of steel. Eyes and ears covered, nobody beyond."
)
HARD_COLD = "Air down to {low}. See sets that hold alive at first light; a held foot may freeze."
HEAT = (
    "Air up to {high}. A held animal in the sun suffers first: shade, a check at first light, or leave it unset. "
    "Water for you and the dog; snakes and wasps use the same holes."
)
BANK_ICE = "Skim ice may hold the trap, or the lock at the water line. Break it at every check."
CHILDREN = (
    "People walk here: a child or a loose dog may find this set. Off the path and out of sight of it; who lives here "
    "is told where the traps lie and how one is opened."
)
TREATED = (
    "Ask the rules on chemicals first, and leave none where stock or dogs can lick it. Rain thins it: count on less "
    "after every shower, and read the trip force again at each check."
)
STUDENTS = (
    "One working trap for each teacher's eyes, fingers never between jaws, setters in reach. Each student first "
    "learns to free a hand: both levers or springs pressed at once. A child works with a size that it can press."
)
TEST_FIRING = "Fire it with a stick from arm's length when you test it: nobody near, eyes covered."

DOG_RELEASE = (
    "Your own safety first: no bare hand near the head of a dog that is held.",
    "Stand still, talk low, come from the side where the chain stops it.",
    "Leash, or noose of the catch-pole, and the head drawn away from the trap.",
    "Coat over the head; board between its teeth and your legs.",
    "Both levers, or both springs, in one press with feet or setters: the jaws fall open.",
    "Let the foot go behind the board, the dog still on the leash; it never runs home hurt.",
    "Look at foot and teeth; owner told and a vet sees it the same day, also when it walks well.",
    "Report as the local rule asks, and write it down: place, time, how long held, what was seen.",
)
"""The release of a dog, step by step."""

RELEASE = (
    "Leash or catch-pole, coat over the head, board between, both levers in one press. Never let it run home hurt: "
    "owner told, vet the same day, report as the rule asks."
)
