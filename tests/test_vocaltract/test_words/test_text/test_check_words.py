"""All check words (tests/reference/check_words.tsv), and the speaking styles and optional rules by example."""

from __future__ import annotations

import csv
import unicodedata

import pytest

from tests.reference.published import HERE
from vocaltract.words.rules.allophones import Options
from vocaltract.words.text.transcribe import read


def _check_words() -> list[dict[str, str]]:
    """Rows of tests/reference/check_words.tsv, which names their source."""
    file = HERE / "check_words.tsv"
    lines = [line for line in file.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines, delimiter="\t"))


@pytest.mark.parametrize("row", _check_words(), ids=lambda row: row["text"].replace(" ", "_"))
def test_check_words(row: dict[str, str]) -> None:
    assert (row["expected"] == "-") is (row["because"] == "-")
    expected = row["notes"] if row["expected"] == "-" else row["expected"]
    assert read(row["text"]).transcription == unicodedata.normalize("NFD", f"[{expected}]")


# The same words with the options, and the optional rules by name.
@pytest.mark.parametrize(
    ("text", "options", "narrow"),
    [
        ("cat", Options(final_unreleased=True), "[kʰæt̚]"),
        ("stop", Options(final_unreleased=True), "[stɑp̚]"),
        ("big", Options(final_unreleased=True), "[bɪɡ̥̚]"),
        ("most people", Options(optional=frozenset({"dropped t d"})), "[ˈmoʊs ˈpʰipɫ̩]"),
        ("something", Options(optional=frozenset({"slipped-in stop"})), "[ˈsʌ̃mpθɪ̃ŋ]"),
        ("football", Options(optional=frozenset({"reinforced stop"})), "[ˈfʊʔˌbɔɫ]"),
        ("tell him", Options(careful=True), "[ˈtʰɛɫ hɪ̃m]"),
        ("potato", Options(optional=frozenset({"breathed weak vowel"})), "[pʰə̥ˈtʰeɪɾoʊ]"),
        ("see it", Options(optional=frozenset({"glide between vowels"})), "[ˈsi ʲɪt]"),
    ],
)
def test_options_of_the_notes(text: str, options: Options, narrow: str) -> None:
    assert rings(read(text, options).transcription) == rings(narrow)
    assert read(text).transcription != read(text, options).transcription


# What a hotel's signs say, read as a guest would hear it at the desk (common practice, no source).
@pytest.mark.parametrize(
    ("written", "words"),
    [
        ("room #5", "room number five"),
        ("room 305", "room three oh five"),
        ("Room 110", "Room one ten"),
        ("room 1004", "room ten oh four"),
        ("305 towels", "three hundred five towels"),
        ("room 1204", "room twelve oh four"),
        ("the 2nd floor", "the second floor"),
        ("24-hour desk", "twenty-four hour desk"),
        ("10% off", "ten percent off"),
        ("$12.50", "twelve dollars fifty cents"),
        ("Mr. Smith", "mister Smith"),
        ("tea & coffee", "tea and coffee"),
        ("call 555-0123", "call five five five oh one two three"),
    ],
)
def test_signs_and_numbers(written: str, words: str) -> None:
    assert " ".join(read(written).words) == words


@pytest.mark.parametrize(
    ("written", "narrow"),
    [("A/C", "[ˌeɪˈsi]"), ("the TV", "[ðə ˌtʰiˈvi]"), ("an ATM", "[ə̃n ˌeɪˌtʰiˈɛ̃m]"), ("V.I.P.", "[ˌviˌaɪˈpʰi]")],
)
def test_letters(written: str, narrow: str) -> None:
    assert read(written).transcription == unicodedata.normalize("NFD", narrow)


# Careful style keeps what English does inside a word and gives up what happens between words (Cruttenden on connected
# speech, from memory).
@pytest.mark.parametrize(
    ("text", "narrow"),
    [
        ("city", "[ˈsɪɾi]"),
        ("get it", "[ˈɡɛt ɪt]"),
        ("tenth", "[tʰɛ̃n̪θ]"),
        ("in the", "[ˈɪ̃n ðə]"),
        ("comfort", "[ˈkʰʌ̃ɱfɚt]"),
        ("in vain", "[ɪ̃n ˈveɪ̃n]"),
        ("in Paris", "[ɪ̃n ˈpʰɛɹɪs]"),
        ("did you", "[ˈdɪd jə]"),
        ("winter", "[ˈwɪ̃ntɚ]"),
        ("doctor", "[ˈdɑktɚ]"),
    ],
)
def test_careful_style(text: str, narrow: str) -> None:
    assert read(text, Options(careful=True)).transcription == unicodedata.normalize("NFD", narrow)


def rings(text: str) -> str:
    """NFD, with the ring above of letters with a tail as a ring below: they mean the same (IPA)."""
    return unicodedata.normalize("NFD", text).replace("\u030a", "\u0325")
