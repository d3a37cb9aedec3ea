"""The name of a sound as a line: the trade's terms one by one, so that each language puts them in its own order."""

from __future__ import annotations

import re
from functools import lru_cache

from renders.wording.languages import language_of
from renders.wording.line import Line, Series, line

_WHOLE = {
    "voiced alveolar tap (flap)": "flap",
    "velarized alveolar lateral approximant": "dark_l",
    "voiced apical postalveolar approximant (tip-up r)": "tip_up_r",
}
_GLIDE = re.compile(r"diphthong: from (?P<start>.+) toward (?P<end>.+)")
_KINDS = ("voice", "mark", "place", "manner", "release", "vowel")


@lru_cache(maxsize=512)
def sound_name(name: str) -> Line | str:
    """The name of an entry of the inventory; one with a term that no language knows stays as it is."""
    if name in _WHOLE:
        return line(f"name.{_WHOLE[name]}")
    if glide := _GLIDE.fullmatch(name):
        start, end = (_terms(glide[part]) for part in ("start", "end"))
        return name if not start or not end else line("name.diphthong", start=_words(start), end=_words(end))
    vowel = name.endswith(" vowel")
    terms = _terms(name.removesuffix(" vowel"), vowel)
    if not terms:
        return name
    *before, _ = [term.key for term in terms if term.key.startswith("name_place.")] or [""]
    terms = [Line(term.key.replace("name_place", "name_mark")) if term.key in before else term for term in terms]
    of = {kind: [term for term in terms if term.key.startswith(f"name_{kind}.")] for kind in _KINDS}
    if vowel:
        round_ = [term for term in of["vowel"] if term.key.endswith("rounded")]
        place = [term for term in of["vowel"] if term not in round_]
        return line("name.vowel", marks=_words(of["mark"]), voice=_words(of["voice"]), place=_words(place),
                    round=_words(round_))  # fmt: skip
    return line("name.consonant", voice=_words(of["voice"]), marks=_words(of["mark"]), place=_words(of["place"]),
                manner=_words(of["manner"]), release=_words(of["release"]))  # fmt: skip


def vowel_place(name: str) -> Line | str:
    """What the name of a vowel says of its place: without the word for a vowel, from and toward of a diphthong."""
    found = sound_name(name)
    if isinstance(found, str) or found.key not in ("name.vowel", "name.diphthong"):
        return found
    return Line("name.vowel_place" if found.key == "name.vowel" else "name.diphthong_place", found.blanks)


def place_and_manner(place: str, manner: str) -> Line | str:
    """Where and how a consonant is made, as a line."""
    return sound_name(f"{place} {manner}")


def _words(terms: list[Line]) -> Series:
    return Series(tuple(terms), "word")


def _terms(name: str, vowel: bool = True) -> list[Line]:
    """The terms of a name in their order, the longest that fits first; none where one is unknown."""
    words, found = name.split(), []
    while words:
        for count in range(min(4, len(words)), 0, -1):
            term = " ".join(words[:count])
            kind = next((kind for kind in _order(vowel) if term in language_of().rows(f"name_{kind}")), None)
            if kind is not None:
                found.append(line(f"name_{kind}.{term}"))
                words = words[count:]
                break
        else:
            return []
    return found


def _order(vowel: bool) -> tuple[str, ...]:
    """Where a term is looked for: "dental" is a place of consonants, and a mark only beside another place."""
    return ("vowel", "voice", "mark") if vowel else ("voice", "place", "manner", "release", "mark")
