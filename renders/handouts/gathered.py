"""A handout's content from sounds and words: steps from how a word is said, letters from how it is spelled."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from articulators.errors import BadInput
from renders.handouts.content import MOST_PAIRS, MOST_WORDS, Handout, MarkedWord, SheetPicture, TaughtSound, WordGroup
from renders.handouts.dialogues import dialogue_for
from renders.wording.languages import Language, language_of
from renders.wording.steps import how_to
from vocaltract.phonetics.inventory import entry_of
from vocaltract.speech import USUAL, Speech, say
from vocaltract.words.practice import examples
from vocaltract.words.text.transcribe import read
from vocaltract.words.utterance import Utterance

_ENDINGS = ("s", "es", "ed", "d", "ing", "er", "ers", "ly", "ies", "ied", "ion", "ions", "y")
_PLACES = ("initial", "medial", "final", "flapped")


def first_place(utterance: Utterance, symbol: str) -> int:
    """Where a sound (a key of the inventory) stands first in an utterance; BadInput where it does not."""
    sounds = utterance.sounds
    of_target = next((i for i, sound in enumerate(sounds) if sound.target == symbol), None)
    found = of_target if of_target is not None else next(
        (i for i, sound in enumerate(sounds) if sound.phoneme == symbol), None
    )
    if found is None:
        raise BadInput(f"'{utterance.text}' {utterance.transcription} has no {symbol}; give a word that has it")
    return found


def word_with_letters(text: str, position: int, utterance: Utterance | None = None) -> MarkedWord:
    """A word or phrase with the letters of one of its sounds marked; none are where they are not known."""
    utterance = read(text) if utterance is None else utterance
    sound = utterance.sounds[position]
    ipa = unicodedata.normalize("NFC", utterance.transcription)
    if sound.spelling is None or " ".join(utterance.words) != text:
        return MarkedWord((text, "", ""), ipa)
    before = sum(len(word) + 1 for word in utterance.words[: sound.word])
    start, stop = (before + place for place in sound.spelling)
    return MarkedWord((text[:start], text[start:stop], text[stop:]), ipa)


def taught_sound(symbol: str, example: str, language: Language, speech: Speech = USUAL) -> TaughtSound:
    """A sound as it is done in an example. BadInput where the example has it not."""
    timeline = say(example, speech)
    at = first_place(timeline.utterance, symbol)
    word, told = word_with_letters(example, at, timeline.utterance), how_to(timeline, at)
    feel = "" if told.feel is None else language.say(told.feel)
    return TaughtSound(
        word.parts[1] or symbol, unicodedata.normalize("NFC", symbol), example,
        tuple(language.say(action) for action in told.actions), feel,
    )  # fmt: skip


def word_groups(symbol: str, letters: str) -> tuple[WordGroup, ...]:
    """Practice words of a sound by its place in them, at most eight of each; those of the front desk come first."""
    found = []
    for place in _PLACES:
        if place == "flapped" and symbol not in ("t", "d", "ɾ"):
            continue
        words: list[MarkedWord] = []
        for row in examples.choose(symbol, place, 3 * MOST_WORDS):
            if len(words) < MOST_WORDS and not any(same_family(row.text, word.text) for word in words):
                words.append(word_with_letters(row.text, row.position))
        if words:
            found.append(WordGroup(letters, place, tuple(words)))
    return tuple(found)


def same_family(word: str, other: str) -> bool:
    """Whether one is the other with an ending: "collects" and "collect" are one word to practise."""
    short, long = sorted((word, other), key=len)
    stem = short[:-1] if short.endswith(("e", "y")) and len(short) > 3 else short
    return long == short or (long.startswith(stem) and long[len(stem) :] in _ENDINGS)


def sheet_pairs(first: str, second: str) -> tuple[tuple[str, str], ...]:
    """At most six minimal pairs of two sounds, no word twice, the first in each pair with the first sound."""
    found: list[tuple[str, str]] = []
    for place in examples.PAIR_PLACES:
        for pair in examples.example_pairs(first, second, place):
            words = pair.first.text, pair.second.text
            if not any(same_family(word, other) for word in words for one in found for other in one):
                found.append(words)
    return tuple(found[:MOST_PAIRS])


def handout_of(
    symbols: Sequence[str],
    language: Language | None = None,
    *,
    pairs: Sequence[tuple[str, str]] = (),
    picture: SheetPicture | None = None,
    film: str = "",
    speech: Speech = USUAL,
) -> Handout:
    """The handout of one to four sounds (keys of the inventory).

    pairs    minimal pairs of the first two; none: they are looked up
    picture  the one that it shows, as PNG       film  where the practice film is
    BadInput for a sound that English has not.
    """
    language = language_of() if language is None else language
    if not pairs and len(symbols) > 1:
        pairs = sheet_pairs(symbols[0], symbols[1])
    shown = pairs[0] if pairs else ()
    words = [shown[i] if i < len(shown) else entry_of(symbol).keyword for i, symbol in enumerate(symbols)]
    sounds = tuple(taught_sound(symbol, word, language, speech) for symbol, word in zip(symbols, words, strict=True))
    groups: list[WordGroup] = []
    for symbol, sound in zip(symbols, sounds, strict=True):
        groups += word_groups(symbol, sound.letters)
    return Handout(
        sounds, language, picture, tuple(pairs[:MOST_PAIRS]), tuple(groups), dialogue_for(symbols), film
    )
