"""What a lesson on two sounds holds, in teaching order; no pixels and no files here."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

from articulators.errors import BadInput
from renders.course.lesson_table import lesson_table
from renders.files.names import unique_slugs
from renders.wording.line import Line, Lines
from vocaltract.ipa.english import phones
from vocaltract.naming.named import named
from vocaltract.phonetics.inventory import SoundEntry, entry_of
from vocaltract.words.practice import examples
from vocaltract.words.practice.examples import PracticeWord
from vocaltract.words.text.transcribe import read
from vocaltract.words.utterance import Sound, Utterance

WORDS_CHOSEN = 6


@dataclass(frozen=True, slots=True)
class ShownSound:
    """One of the two sounds where it stands in a word.

    key       the sound of the lesson, an inventory key
    position  which sound of the utterance it is, from 0
    place     initial, medial, final, held (a stop before another stop), cluster, flapped, or, for vowels,
              initial, inside, final
    why       reasons of the rules that made it what it is there
    """

    key: str
    position: int
    place: str
    why: Lines


@dataclass(frozen=True, slots=True)
class LessonWord:
    """A word or phrase: how it is said, what it shows, the other word of a minimal pair, its file name."""

    text: str
    utterance: Utterance
    shown: tuple[ShownSound, ...]
    partner: str | None
    slug: str


@dataclass(frozen=True, slots=True)
class LessonSound:
    """A sound said by itself, and its file name."""

    entry: SoundEntry
    slug: str


@dataclass(frozen=True, slots=True)
class LessonPlan:
    """The two sounds, then the words in teaching order. Slugs are unique over all; ``slug`` names the pair."""

    sounds: tuple[LessonSound, LessonSound]
    words: tuple[LessonWord, ...]
    slug: str
    notes: tuple[str, ...] = ()


def plan_lesson(a: str, b: str, words: Sequence[str] = ()) -> LessonPlan:
    """The plan of a lesson on two sounds.

    a, b   names of sounds, such as "l", "long e" or "[ʈ]"
    words  words or phrases to use, in this order; none: six are chosen from the practice words, where English has one
           of the sounds
    Raises BadInput for an unknown sound, twice the same, a word that cannot be read, and a word that holds
    neither sound as itself (t and d between vowels are flaps: such a word does not show t or d).
    """
    first, second = named(a), named(b)
    if first.symbol == second.symbol:
        raise BadInput(f"'{a}' and '{b}' are the same sound; name two different ones")
    keys = first.symbol, second.symbol
    notes: list[str] = []
    found: list[tuple[str, Utterance, tuple[ShownSound, ...]]] = []
    for text, position in _texts(keys, words, notes):
        utterance = read(text)
        notes.extend(utterance.notes)
        found.append((text, utterance, _shown(text, utterance, keys, position)))
    slugs = unique_slugs(
        [f"sound {keys[0]}", f"sound {keys[1]}", f"{keys[0]} and {keys[1]}", *(text for text, *_ in found)]
    )
    made = tuple(
        LessonWord(text, utterance, shown, _partner(text, utterance, found, keys), slug)
        for (text, utterance, shown), slug in zip(found, slugs[3:], strict=True)
    )
    sounds = LessonSound(first, slugs[0]), LessonSound(second, slugs[1])
    return LessonPlan(sounds, made, slugs[2], tuple(notes))


def _texts(keys: tuple[str, str], words: Sequence[str], notes: list[str]) -> list[tuple[str, int | None]]:
    """Texts with the position that each is to show, where that is known."""
    if not words:
        chosen_words = _examples(keys, WORDS_CHOSEN)
        if not chosen_words:
            notes.append(f"English has neither {keys[0]} nor {keys[1]}; no word is shown")
        return [(word.text, word.position) for word in chosen_words]
    chosen: dict[str, str] = {}
    for word in words:
        text = " ".join(unicodedata.normalize("NFC", word).split())
        if text.casefold() in chosen:
            notes.append(f"'{text}' was given twice; it is shown once")
        chosen.setdefault(text.casefold(), text)
    return [(text, None) for text in chosen.values()]


def _examples(keys: tuple[str, str], total: int) -> tuple[PracticeWord, ...]:
    """Practice words of two sounds; of one where English has not the other, none where it has neither."""
    english = [key for key in keys if key in phones()]
    if len(english) == 2:
        return examples.lesson_words(*keys, total=total)
    return examples.words_of_sound(english[0], total) if english else ()


def _key_of(said: Sound, keys: tuple[str, str]) -> str | None:
    """Which of the two sounds this is, said as itself; dark l and voiced h are the usual l and h there."""
    if said.target in keys:
        return said.target
    if said.target in lesson_table().order.targets and said.phoneme in keys:
        return said.phoneme
    return None


def _shown(text: str, utterance: Utterance, keys: tuple[str, str], position: int | None) -> tuple[ShownSound, ...]:
    found: dict[str, ShownSound] = {}
    order = {place: i for i, place in enumerate(lesson_table().order.places)}
    for i, said in enumerate(utterance.sounds):
        key = _key_of(said, keys)
        if key is None:
            continue
        here = ShownSound(key, i, _place(utterance, i), _why(utterance, i))
        there = found.get(key)
        if i == position or (there is None or (there.position != position and order[here.place] < order[there.place])):
            found[key] = here
    if not found:
        raise _refused(text, utterance, keys)
    return tuple(sorted(found.values(), key=lambda s: (s.position != position, s.position)))


def _refused(text: str, utterance: Utterance, keys: tuple[str, str]) -> BadInput:
    example = next(iter(_examples(keys, 1)), None)
    such = f", such as '{example.text}'" if example else ""
    for said in utterance.sounds:
        if said.phoneme in keys:
            other = entry_of(said.target)
            called = "a flap, one quick tap" if other.manner == "tap" else f"a {other.name}"
            return BadInput(
                f"word '{text}': its {said.phoneme} is {called} [{said.symbol}], not {said.phoneme} itself; "
                f"give a word where {keys[0]} or {keys[1]} is said as itself{such}"
            )
    return BadInput(
        f"word '{text}' {utterance.transcription} has neither {keys[0]} nor {keys[1]}; "
        f"give a word that has one of them{such}"
    )


def _place(utterance: Utterance, i: int) -> str:
    sounds = utterance.sounds
    here = sounds[i]
    before = sounds[i - 1] if i and sounds[i - 1].word == here.word else None
    after = sounds[i + 1] if i + 1 < len(sounds) and sounds[i + 1].word == here.word else None
    if here.target == "ɾ":
        return "flapped"
    if "unreleased" in here.features and i + 1 < len(sounds):
        return "held"
    if before is None:
        return "initial" if after is None or after.is_vowel or here.is_vowel else "cluster"
    if after is None:
        return "final" if before.is_vowel or here.is_vowel else "cluster"
    if here.is_vowel:
        return "inside"
    return "medial" if before.is_vowel and after.is_vowel else "cluster"


def _why(utterance: Utterance, i: int) -> Lines:
    """The rules that fired on the sound, and those on its neighbours that it is the reason for."""
    order, sounds = lesson_table().order, utterance.sounds
    names = [rule.name for rule in sounds[i].rules]
    for at, neighbours in ((i - 1, order.before), (i + 1, order.after)):
        if 0 <= at < len(sounds):
            names += [rule.name for rule in sounds[at].rules if rule.name in neighbours]
    return tuple(Line(f"rule.{name}") for name in dict.fromkeys(names)) or (Line("lesson_why.as_alone"),)


def _partner(
    text: str,
    utterance: Utterance,
    found: Sequence[tuple[str, Utterance, tuple[ShownSound, ...]]],
    keys: tuple[str, str],
) -> str | None:
    """Another text of the lesson that differs in one sound only, the two of the lesson."""
    mine = [said.phoneme for said in utterance.sounds]
    for other, said, _ in found:
        theirs = [s.phoneme for s in said.sounds]
        if other == text or len(mine) != len(theirs):
            continue
        differing = [{x, y} for x, y in zip(mine, theirs, strict=True) if x != y]
        if differing == [set(keys)]:
            return other
    return None


def words_by_rule(texts: Sequence[tuple[str, Utterance]], sounds: Sequence[str] = ()) -> tuple[LessonWord, ...]:
    """Words and phrases that are explained by the rules that fired in them: with each sound that has a rule, those of
    the phonemes ``sounds`` alone where any are named; the first sound where no rule fired.
    """
    slugs = unique_slugs([*(f"sound {key}" for key in sounds), *(text for text, _ in texts)])[len(sounds) :]
    found = []
    for (text, utterance), slug in zip(texts, slugs, strict=True):
        wanted = [i for i, said in enumerate(utterance.sounds) if not sounds or {said.phoneme, said.target} & {*sounds}]
        at = [i for i in wanted if utterance.sounds[i].rules] or wanted[:1] or [0]
        shown = tuple(ShownSound(utterance.sounds[i].target, i, _place(utterance, i), _why(utterance, i)) for i in at)
        found.append(LessonWord(text, utterance, shown, None, slug))
    return tuple(found)


def lesson_sounds(names: Sequence[str]) -> tuple[LessonSound, ...]:
    """Sounds by themselves, as people name them."""
    entries = [named(name) for name in names]
    slugs = unique_slugs([f"sound {entry.symbol}" for entry in entries])
    return tuple(LessonSound(entry, slug) for entry, slug in zip(entries, slugs, strict=True))
