"""How hard a text is to read: the Flesch-Kincaid grade (Kincaid and others 1975), by two counts of syllables.

One count is by rule and rather too high; the other is that of an independent program with its hyphenation patterns.
Its dictionary of spoken words is not used, since it would have to be fetched.
"""

from __future__ import annotations

import re
from unittest.mock import patch

_SILENT = re.compile(r"(?:[^laeiouy]es|[^aeioutd]ed|[^laeiouy]e)$")
_KNOWN = {"coyote": 3, "coyotes": 3, "people": 2, "something": 2, "science": 2}
_HEARD = ("ses", "zes", "ches", "shes", "xes", "ges", "ces")


def syllables(word: str) -> int:
    """Syllables of an English word by rule: groups of vowels, less a silent end."""
    plain = re.sub(r"[^a-z]", "", word.lower())
    if not plain or plain in _KNOWN:
        return _KNOWN.get(plain, 1)
    groups = len(re.findall(r"[aeiouy]+", plain))
    if len(plain) > 3 and _SILENT.search(plain) and not plain.endswith(_HEARD):
        groups -= 1
    groups += len(re.findall(r"(?<![aeioucgst])i[ao]|(?<!p)eo(?!u)|ea$", plain))
    return max(groups, 1)


def sentences(text: str) -> list[str]:
    """Sentences; a line that ends without a stop is one."""
    return [part for part in re.split(r"(?<=[.!?])[”\")]*\s+|\n+", text) if re.search(r"[A-Za-z]", part)]


def own_grade(text: str) -> float:
    """Grade by the published formula with the count by rule."""
    parts = sentences(text)
    words = [word for part in parts for word in part.split() if re.search(r"[A-Za-z0-9]", word)]
    return 0.39 * len(words) / len(parts) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def other_grade(text: str) -> float:
    """Grade by the independent program."""
    import textstat

    ended = "\n".join(part if part[-1:] in ".!?" else f"{part.rstrip(':;')}." for part in sentences(text))
    with patch("textstat.backend.counts._count_syllables.get_cmudict", lambda _: None):
        return float(textstat.flesch_kincaid_grade(ended))


def grade(text: str) -> float:
    """The higher of both grades."""
    return max(own_grade(text), other_grade(text))
