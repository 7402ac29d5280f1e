"""Cautions in words, read wherever work can hurt somebody."""

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
HANDS = "Set from outside and below the loose jaw, setters within reach; know how to free yourself one-handed."
RABIES = (
    "May carry rabies and mange: no bare hands; a doctor at once after a bite; the head is kept whole where a test "
    "is wanted. Dispatch only as local law and your training allow, backstop first, muzzle clear of steel."
)
TULAREMIA = (
    "Tularemia and leptospirosis: gloves for every carcass, wash after. Dispatch only as local law and your "
    "training allow."
)
TEST_FIRING = "Fire it with a stick from arm's length when you test it: nobody near, eyes covered."
