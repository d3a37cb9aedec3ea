"""Makes the index of `practice.examples`: where each sound stands in common words, and minimal pairs.

A word is listed for a sound only where the sound is said as itself (no flap, glottal stop or unreleased stop
where a plain one is shown), as found by the allophone rules on its first pronunciation.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from vocaltract.ipa.english import phones
from vocaltract.words.lexicon import dictionary
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.lexicon.word_lists import common_words, front_desk
from vocaltract.words.make.profile import profiled_entries
from vocaltract.words.rules import allophones, segments
from vocaltract.words.rules.segments import Segment

WORDS_KEPT = 150
"""Words kept for one sound in one place."""
PAIRS_KEPT = 40
"""Minimal pairs kept for two sounds in one place."""

_USUAL_FORMS = frozenset(key for key, phone in phones().items() if phone.usual_form)
"""Dark l and voiced h are the normal l and h of their places, so such words show l and h too."""
_ALLOPHONES = _USUAL_FORMS | frozenset(key for key, phone in phones().items() if phone.variant_of and phone.shows)
"""Forms that are taught by themselves; ɱ is none, for it is heard as m."""
_CHANGED = frozenset(
    (
        "unreleased",
        "dental",
        "affricated",
        "nasal_release",
        "lateral_release",
        "long",
        "syllabic",
        "retracted",
    )
)
EXAMPLE_SCHEMA = """
PRAGMA page_size = 1024;
CREATE TABLE word (
    sound TEXT, place TEXT, rank INTEGER, text TEXT, position INTEGER, phonemes TEXT,
    PRIMARY KEY (sound, place, rank, text, position)) WITHOUT ROWID;
CREATE TABLE pair (
    sound TEXT, other TEXT, place TEXT, rank INTEGER, text TEXT, partner TEXT, position INTEGER,
    partner_position INTEGER, PRIMARY KEY (sound, other, place, rank, text, partner)) WITHOUT ROWID;
"""


@dataclass(frozen=True, slots=True)
class SoundInWord:
    """A sound in a word or phrase: `position` counts its sounds from 0, `origin` its phonemes."""

    sound: str
    place: str
    text: str
    position: int
    origin: int
    rank: int
    phones: tuple[str, ...]
    phonemes: str


def example_places(line: Sequence[Segment]) -> Iterator[tuple[str, str, int]]:
    """(sound, place, position) of every sound that stands there as itself, every stop held before a stop
    (held) and every tapped t or d (flapped)."""
    for i, here in enumerate(line):
        if "unreleased" in here.features and here.phoneme == here.target and i + 1 < len(line):
            yield here.phoneme, "held", i
        if here.target == "ɾ" and here.phoneme in ("t", "d"):
            yield here.phoneme, "flapped", i
        allophone = here.target in _ALLOPHONES
        if here.target != here.phoneme and not allophone:
            continue
        if _CHANGED & here.features and not (allophone and here.features & {"syllabic"}):
            continue
        place = _vowel_place(line, i) if here.is_vowel else _consonant_place(line, i)
        if place:
            yield here.target, place, i
            if here.target in _USUAL_FORMS and "syllabic" not in here.features:
                yield here.phoneme, place, i


def _vowel_place(line: Sequence[Segment], i: int) -> str | None:
    here = line[i]
    if here.target not in ("ə", "ɚ") and here.stress != 1:
        return None
    if i == 0:
        return "initial"
    return "final" if i == len(line) - 1 else "medial"


def _consonant_place(line: Sequence[Segment], i: int) -> str | None:
    here = line[i]
    before = line[i - 1] if i else None
    following = line[i + 1] if i + 1 < len(line) else None
    if "syllabic" in here.features:
        return "final" if following is None else None
    if before is None and following is not None and following.is_vowel:
        return "initial" if following.stress == 1 else None
    if following is None:
        return "final" if before is not None and before.is_vowel else "cluster" if before is not None else None
    if before is None or not (before.is_vowel or following.is_vowel):
        return "cluster" if before is None else None
    if before.is_vowel and following.is_vowel:
        return None if "partly_devoiced" in here.features else "medial"
    neighbour = following if before.is_vowel else before
    return "cluster" if neighbour.syllable == here.syllable and not neighbour.is_vowel else None


def _line(words: Sequence[Pronunciation]) -> tuple[Segment, ...]:
    return allophones.apply(segments.from_words([(word, 0) for word in words]))


def _penalty(line: Sequence[Segment], sound: str, position: int, variants: int) -> int:
    """Points against an example of a sound: other forms of the sound, repeats, doubtful reading."""
    others = [s for i, s in enumerate(line) if i != position and sound in (s.phoneme, s.target)]
    here = line[position]
    points = len(others) + sum(s.target != sound for s in others) + (variants > 1)
    if "unreleased" in here.features and position + 1 < len(line):
        points += 2 * (line[position + 1].phone.place == here.phone.place)
        points += 2 * (line[position + 1].syllable == here.syllable)
        points += position == 0 or not line[position - 1].is_vowel
    return points + ("nasalised" in here.features and here.is_vowel)


def _flaps(line: Sequence[Segment], sound: str) -> bool:
    return any(s.target == "ɾ" and s.phoneme == sound for s in line)


def occurrences() -> list[SoundInWord]:
    """All places of all sounds in the front-desk list and the common words, best examples first."""
    listed = front_desk()
    order = {text: i for i, text in reversed(list(enumerate(listed)))}
    entries = profiled_entries()
    common = common_words()
    found: list[SoundInWord] = []
    for text in dict.fromkeys([*listed, *common]):
        prons = [_first(part, entries) for word in text.split() for part in _parts(word)]
        line = _line(prons)
        single = len(prons) == 1
        variants = len(entries.get(text, ())) if single and text not in order else 1
        base = order[text] * 10 if text in order else 20_000 + common[text] * 1000 + 25 * len(line)
        phonemes = f" {' '.join(dict.fromkeys(s.phoneme for s in line))} "
        phones = prons[0].phones if single else ()
        for sound, place, position in example_places(line):
            if place not in ("held", "flapped") and (not single or _flaps(line, sound)):
                continue
            rank = base + _penalty(line, sound, position, variants) * (2000 if text in order else 4000)
            origin = line[position].origin
            found.append(SoundInWord(sound, place, text, position, origin, rank, phones, phonemes))
    return sorted(found, key=lambda o: (o.sound, o.place, o.rank, o.text, o.position))


def _parts(word: str) -> list[str]:
    return [word] if dictionary.find(word) else word.split("-")


def _first(word: str, entries: dict[str, tuple[str, ...]]) -> Pronunciation:
    return dictionary.preferred(word, "|".join(entries.get(word, ())))[0]


def _pair_rows(found: Iterable[SoundInWord]) -> list[tuple[object, ...]]:
    """Rows of minimal pairs: words that differ in one sound, both said as themselves in the same place."""
    holes: dict[tuple[str, int, tuple[str, ...]], dict[str, list[SoundInWord]]] = defaultdict(lambda: defaultdict(list))
    for o in found:
        if o.place in ("held", "flapped") or o.sound in _ALLOPHONES or not o.phones:
            continue
        hole = o.phones[o.origin][-1] if o.phones[o.origin][-1].isdigit() else "C"
        rest = (*o.phones[: o.origin], hole, *o.phones[o.origin + 1 :])
        holes[o.place, o.origin, rest][o.sound].append(o)
    best: dict[tuple[str, str, str], list[tuple[int, SoundInWord, SoundInWord]]] = defaultdict(list)
    for (place, _, _), sounds in holes.items():
        for a, b in combinations(sorted(sounds), 2):
            for left in sounds[a]:
                for right in sounds[b]:
                    gap = abs(left.rank - right.rank) if max(left.rank, right.rank) < 20_000 else 0
                    best[a, b, place].append((left.rank + right.rank + gap, left, right))
    table: list[tuple[object, ...]] = []
    for (a, b, place), listed in sorted(best.items()):
        listed.sort(key=lambda item: (item[0], item[1].text, item[2].text))
        for rank, (_, left, right) in enumerate(listed[:PAIRS_KEPT]):
            table.append((a, b, place, rank, left.text, right.text, left.position, right.position))
    return table


def example_tables() -> dict[str, list[tuple[object, ...]]]:
    """Rows of the tables of EXAMPLE_SCHEMA."""
    found = occurrences()
    kept: dict[tuple[str, str], dict[str, SoundInWord]] = defaultdict(dict)
    for o in found:
        if len(kept[o.sound, o.place]) < WORDS_KEPT:
            kept[o.sound, o.place].setdefault(o.text, o)
    words: list[tuple[object, ...]] = [
        (o.sound, o.place, rank, o.text, o.position, o.phonemes)
        for listed in kept.values()
        for rank, o in enumerate(listed.values())
    ]
    return {"word": words, "pair": _pair_rows(found)}
