"""What a coach chooses: the low back merger spares the vowel before r (Wells, Accents of English, from memory)."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from vocaltract.speech import Speech
from vocaltract.words.text.choices import Choices, mergers
from vocaltract.words.text.transcribe import read

MERGED = Choices(merge=("cot-caught",))
SCHWA = Choices(ending_vowel="schwa")


def vowels(text: str, choices: Choices) -> list[str]:
    return [s.phoneme for s in read(text, choices=choices).sounds if "nucleus" in s.features]


@pytest.mark.parametrize(
    ("text", "choices", "said"),
    [
        ("caught", Choices(), ["ɔ"]),
        ("caught", MERGED, ["ɑ"]),
        ("hall", MERGED, ["ɑ"]),
        ("floor", MERGED, ["ɔ"]),
        ("coin", MERGED, ["ɔɪ"]),
        ("wanted", Choices(), ["ɑ", "ɪ"]),
        ("wanted", SCHWA, ["ɑ", "ə"]),
        ("places", SCHWA, ["eɪ", "ə"]),
    ],
)
def test_chosen_vowels(text: str, choices: Choices, said: list[str]) -> None:
    assert vowels(text, choices) == said


def test_unknown_names_are_told() -> None:
    assert list(mergers()) == ["cot-caught"]
    with pytest.raises(BadInput, match=r"merge 'cot-cought' is unknown; allowed: cot-caught \(nearest: cot-caught\)"):
        Speech(merge=("cot-cought",))
    with pytest.raises(BadInput, match=r"ending vowel 'shwa' is unknown; allowed: short-i, schwa \(nearest: schwa\)"):
        Speech(ending_vowel="shwa")


def test_what_is_no_ending_stays() -> None:
    assert vowels("candid", SCHWA) == vowels("candid", Choices())
