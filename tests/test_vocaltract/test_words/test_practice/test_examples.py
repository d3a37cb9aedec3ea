"""Practice words: what is listed is true of the word, as the dictionary file and the rules tell it."""

from __future__ import annotations

import random

import pytest

from articulators.errors import BadInput
from vocaltract.ipa.english import phones
from vocaltract.words.lexicon.databases import PRACTICE, opened
from vocaltract.words.lexicon.dictionary import lookup
from vocaltract.words.lexicon.word_lists import common_words, front_desk
from vocaltract.words.make.gather import listing_exceptions
from vocaltract.words.make.raw import raw_entries
from vocaltract.words.practice import examples
from vocaltract.words.practice.examples import EXAMPLE_PLACES, choose, example_pairs, lesson_words
from vocaltract.words.text.transcribe import read

STOPS = ("p", "b", "t", "d", "k", "ɡ")


def holds(word: examples.PracticeWord) -> bool:
    """Whether the sound stands in the word as claimed, judged from the transcription."""
    sounds = read(word.text).sounds
    here = sounds[word.position]
    before = sounds[word.position - 1] if word.position else None
    following = sounds[word.position + 1] if word.position + 1 < len(sounds) else None
    if word.place == "flapped":
        return here.target == "ɾ" and here.phoneme == word.sound
    if word.sound not in (here.phoneme, here.target):
        return False
    if word.place == "held":
        return "unreleased" in here.features and (
            phones()[following.target].manner in ("plosive", "affricate") or following.target in ("m", "f", "w", "ð")
        )
    if word.sound in STOPS and (here.target != word.sound or "unreleased" in here.features):
        return False
    if phones()[word.sound].is_vowel or "syllabic" in here.features:
        return {"initial": before is None, "final": following is None}.get(word.place, True)
    if word.place == "initial":
        return before is None and following.is_vowel and following.stress == 1
    if word.place == "final":
        return following is None and before.is_vowel
    if word.place == "medial":
        return before.is_vowel and following.is_vowel
    return not (before is not None and before.is_vowel and following is not None and following.is_vowel)


def listed() -> list[examples.PracticeWord]:
    with opened(PRACTICE) as connection:
        found = connection.execute("SELECT text, sound, place, position FROM word ORDER BY sound, place, rank")
        return [examples.PracticeWord(*row) for row in found]


def test_what_is_listed_is_true() -> None:
    everything = listed()
    best = [word for sound in phones() for place in EXAMPLE_PLACES for word in choose(sound, place, 6)]
    for word in best + random.Random(7).sample(everything, 1500):
        assert holds(word), word
    wrong = examples.PracticeWord("water", "t", "medial", 2)
    assert not holds(wrong)  # the check can fail: the t of water is a flap


def test_words_to_show_t_and_d_hold_no_flap() -> None:
    for word in listed():
        if word.sound in ("t", "d") and word.place in ("initial", "medial", "final", "cluster"):
            sounds = read(word.text).sounds
            assert not any(s.target == "ɾ" and s.phoneme == word.sound for s in sounds), word
    assert not {"city", "water", "party", "ladder", "lady"} & {w.text for w in choose("t", "medial", 150)}


def test_words_are_common_and_not_blocked() -> None:
    blocked = {word for word, action in listing_exceptions().items() if action == "block"}
    ours = set(front_desk())
    common = common_words()
    for word in listed():
        assert word.text in common or word.text in ours
        assert word.text not in blocked


def test_front_desk_words_come_first() -> None:
    ours = set(front_desk())
    for sound, place in (("t", "initial"), ("k", "final"), ("p", "held"), ("ʃ", "medial"), ("l", "initial")):
        assert choose(sound, place)[0].text in ours


@pytest.mark.parametrize(
    ("a", "b", "place"),
    [
        ("t", "d", "initial"),
        ("t", "d", "final"),
        ("p", "b", "initial"),
        ("ɪ", "i", "medial"),
        ("l", "ɹ", "final"),
    ],
)
def test_pairs_are_minimal(a: str, b: str, place: str) -> None:
    found = example_pairs(a, b, place)
    assert len(found) >= 5
    for pair in found:
        first, second = lookup(pair.first.text)[0].phones, lookup(pair.second.text)[0].phones
        assert len(first) == len(second)
        assert sum(x != y for x, y in zip(first, second, strict=True)) == 1
        assert (pair.first.sound, pair.second.sound) == (a, b)
        assert holds(pair.first)
        assert holds(pair.second)


def test_known_pairs_are_found() -> None:
    # Minimal pairs of English teaching handbooks, from memory.
    texts = {(p.first.text, p.second.text) for p in example_pairs("t", "d", "initial")}
    assert {("two", "do"), ("town", "down")} <= texts
    assert ("bat", "bad") in {(p.first.text, p.second.text) for p in example_pairs("t", "d", "final")}
    assert ("ship", "sheep") in {(p.first.text, p.second.text) for p in example_pairs("ɪ", "i", "medial")}
    assert ("light", "right") in {(p.first.text, p.second.text) for p in example_pairs("l", "r", "initial")}
    # American flapping merges writer and rider (Kahn 1976): no medial pair shows t against d.
    assert example_pairs("t", "d", "medial") == ()
    assert example_pairs("d", "t", "initial")[0].first.text == example_pairs("t", "d", "initial")[0].second.text


def test_lesson_for_t_and_d() -> None:
    words = lesson_words("t", "d")
    assert [(w.sound, w.place) for w in words] == [
        ("t", "initial"),
        ("d", "initial"),
        ("t", "final"),
        ("d", "final"),
        ("t", "held"),
        ("d", "held"),
    ]
    assert words[0].partner == words[1].text
    assert words[2].partner == words[3].text
    assert all(holds(word) for word in words)


@pytest.mark.parametrize("a", list(phones()))
def test_every_sound_has_a_lesson(a: str) -> None:
    b = "s" if a != "s" else "m"
    words = lesson_words(a, b, 6)
    assert len(words) == 6
    assert len({word.text for word in words}) == 6
    assert all(holds(word) for word in words)


@pytest.mark.parametrize("total", [1, 2, 3, 7, 12, 40])
def test_totals_are_kept(total: int) -> None:
    assert len(lesson_words("p", "b", total)) == total


def test_english_has_no_such_place() -> None:
    # ŋ begins no English word, h ends none (phonotactics; L&J, from memory).
    assert choose("ŋ", "initial") == ()
    assert choose("h", "final") == ()


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: choose("qq", "initial"), "unknown sound 'qq'"),
        (
            lambda: choose("t", "end"),
            "unknown place 'end'; allowed: initial, medial, final, held, cluster, flapped",
        ),
        (lambda: choose("t", "initial", 0), "count is 0; at least 1"),
        (lambda: choose("t", "initial", against=""), "unknown sound ''"),
        (lambda: example_pairs("t", "t", "initial"), "are the same sound"),
        (lambda: example_pairs("t", "d", "held"), "unknown place 'held'"),
        (lambda: lesson_words("r", "ɹ"), "are the same sound"),
        (lambda: lesson_words("t", "d", 0), "total is 0; at least 1"),
    ],
)
def test_bad_input(call, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        call()


def test_pairs_of_the_file_itself() -> None:
    # The dictionary file is the outside reference: two/do and bat/bad differ in one phoneme there too.
    entries = raw_entries()
    assert (entries["two"][0], entries["do"][0]) == ("T UW1", "D UW1")
    assert (entries["bat"][0], entries["bad"][0]) == ("B AE1 T", "B AE1 D")
