"""Accents of phrases: Cruttenden, Gimson's Pronunciation of English, and Wells, English Intonation, from memory."""

from __future__ import annotations

import unicodedata

import pytest

from articulators.errors import BadInput
from vocaltract.words.rules.allophones import Options
from vocaltract.words.text.accents import accented, emphasised_places, paired
from vocaltract.words.text.orthography import words_of
from vocaltract.words.text.reading import said_words
from vocaltract.words.text.transcribe import read
from vocaltract.words.text.weak import weakened
from vocaltract.words.utterance import Utterance


def main_accents(said: Utterance) -> list[str]:
    return [said.words[s.word] for s in said.sounds if s.accent == "main" and s.stress is not None]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        # compounds of nouns on the first part, phrases on the last word
        ("the room key", ["room"]),
        ("a credit card", ["credit"]),
        ("the front desk", ["desk"]),
        ("the second floor", ["floor"]),
        ("the breakfast buffet", ["buffet"]),
        ("late check-out", ["check-out"]),
        ("check out late", ["late"]),
        ("you can check out", ["out"]),
        # a stranded preposition is strong but bears no accent, a particle does
        ("What are you looking for?", ["looking"]),
        ("Please hold on.", ["on"]),
        # words of time at the end
        ("You can check in today.", ["in"]),
        # an auxiliary that stands for a verb phrase
        ("Yes, we do.", ["Yes", "do"]),
        # a list
        ("Towels, soap, or shampoo?", ["Towels", "soap", "shampoo"]),
    ],
)
def test_main_accent(text: str, words: list[str]) -> None:
    assert main_accents(read(text)) == words


@pytest.mark.parametrize(
    ("text", "narrow"),
    [
        # the last digit bears the stress; teens and tens differ in it (Celce-Murcia and others, from memory)
        ("room 204", "ˈɹũm ˈtʰu ˈoʊ ˈfɔɹ"),
        ("room two-oh-four", "ˈɹũm ˌtʰuˌoʊˈfɔɹ"),
        ("room 110", "ˈɹũm ˈwʌ̃n ˈtʰɛ̃n"),
        ("thirteen", "ˌθɝˈtʰĩn"),
        ("thirty", "ˈθɝɾi"),
        ("forty-five", "ˌfɔɹɾiˈfaɪv̥"),
        ("555-0142", "ˈfaɪv̥ ˈfaɪv̥ ˈfaɪv̥ | ˈoʊ ˈwʌ̃ɱ ˈfɔɹ ˈtʰu"),
    ],
)
def test_numbers(text: str, narrow: str) -> None:
    assert read(text).transcription == unicodedata.normalize("NFD", f"[{narrow}]")


def test_emphasis_moves_the_main_accent_and_takes_the_pitch_of_what_follows() -> None:
    said = read("the second floor", Options(emphasis=("second",)))
    assert main_accents(said) == ["second"]
    assert said.transcription.endswith("ˌflɔɹ]")
    assert main_accents(read("the SECOND floor")) == ["second".upper()]


def test_emphasis_on_an_absent_word_is_told() -> None:
    with pytest.raises(
        BadInput, match=r"emphasis 'dsk' is no word of the text; its words: front, desk \(nearest: desk\)"
    ):
        read("front desk", Options(emphasis=("dsk",)))
    assert emphasised_places(("Front", "desk"), ("front",)) == (0,)


def test_contrast_moves_the_accent_off_the_first_part() -> None:
    said = read("The room key or the room number?")
    assert [said.words[s.word] for s in said.sounds if s.accent and s.stress is not None] == ["key", "number"]


def test_a_teen_is_stressed_in_front_before_a_stress() -> None:
    """thirteen, but thirteen rooms (Cruttenden, from memory)."""
    one, rooms = accented(weakened(said_words(words_of("thirteen rooms"), None)))
    assert one.pronunciation.phones == ("TH", "ER1", "T", "IY2", "N")
    assert rooms.accent == "main"
    assert read("thirteen").sounds[-2].stress == 1


def test_pairs_of_words() -> None:
    """A compound of nouns is stressed on its first part, adjective and noun are none (Cruttenden, from memory)."""
    key = paired("room", "key")
    assert key is not None and key.stressed == "first"
    assert paired("car", "keys") == key
    assert paired("lost", "key") is None


def test_marks_that_end_thought_groups_are_kept() -> None:
    assert read("Coffee, tea, or juice?!").endings == (",", ",", "?!")
    assert read("a towel").endings == ("",)
    assert len(read("two; two").endings) == len(read("two; two").pauses_after)
