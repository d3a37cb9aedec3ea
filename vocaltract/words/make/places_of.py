"""Where a sound stands in a word and how it is said there, read from the sounds as the allophone rules made them."""

from __future__ import annotations

from collections.abc import Sequence

from vocaltract.words.practice.places import BY_FEATURE
from vocaltract.words.rules.segments import Segment

_CHANGES = frozenset(
    "unreleased flap glottal affricated nasal_release lateral_release dental syllabic devoiced long".split()
)
"""What keeps a consonant from being said as itself; a puff, a dark l or a voice that fades at the end does not."""


def places_of(line: Sequence[Segment], i: int) -> frozenset[str]:
    """All places of `practice.places.WORD_PLACES` that hold for sound i of one word."""
    here = line[i]
    before = line[i - 1] if i else None
    following = line[i + 1] if i + 1 < len(line) else None
    found = {BY_FEATURE[feature] for feature in here.features if feature in BY_FEATURE}
    found.add("initial" if before is None else "final" if following is None else "medial")
    if i == 0 and following is None:
        found.add("final")
    stress = max((s.stress or 0 for s in line if s.syllable == here.syllable), default=0)
    found.add("stressed" if stress or len({s.syllable for s in line}) == 1 else "unstressed")
    if here.is_vowel:
        if any(rule.name == "shorter vowel" for rule in here.rules):
            found.add("short")
        if "nasalised" not in found:
            found.add("plain")
        return frozenset(found)
    beside = [s for s in (before, following) if s is not None and s.syllable == here.syllable]
    if any(not s.is_vowel and "syllabic" not in s.features for s in beside) and "syllabic" not in here.features:
        found.add("cluster")
    if before is not None and following is not None and before.is_vowel and following.is_vowel:
        found.add("between-vowels")
    if here.target == "l" and "syllabic" not in found:
        found.add("clear")
    if not _CHANGES & here.features:
        found.add("plain")
        if here.target in ("p", "t", "k") and "aspirated" not in found:
            found.add("unaspirated")
    return frozenset(found)
