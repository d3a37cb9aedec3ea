"""Transcriptions read into tokens, against what the letters and marks mean on the IPA chart."""

from __future__ import annotations

import unicodedata

import pytest

from articulators.errors import BadInput
from vocaltract.ipa import transcription


@pytest.mark.parametrize(
    ("given", "keys"),
    # What a letter or spelling means: IPA Handbook (1999) and its older ligatures, from memory.
    [
        ("g", ["ɡ"]),
        ("r", ["ɹ"]),
        ("ʧ", ["tʃ"]),
        ("t͡ʃ", ["tʃ"]),
        ("tʃ", ["tʃ"]),
        ("t.ʃ", ["t", "ʃ"]),
        ("t ʃ", ["t", "ʃ"]),
        ("dʒ", ["dʒ"]),
        ("bɜ˞d", ["b", "ɝ", "d"]),
        ("bɜɹd", ["b", "ɝ", "d"]),
        ("lɛtəɹ", ["l", "ɛ", "t", "ɚ"]),
        ("əˈɹaɪv", ["ə", "ɹ", "aɪ", "v"]),
        ("əɹaɪv", ["ə", "ɹ", "aɪ", "v"]),
        ("l̴", ["ɫ"]),
        ("kʰæt̚", ["k", "æ", "t"]),
        ("iː", ["i"]),
        ("i:", ["i"]),
        ("maʊ̃n", ["m", "aʊ", "n"]),
        ("ˈdeɪ", ["d", "eɪ"]),
    ],
)
def test_spellings(given: str, keys: list[str]) -> None:
    assert [token.key for token in transcription.tokenise(given) if token.kind == "sound"] == keys


@pytest.mark.parametrize(
    ("given", "feature"),
    [
        ("pʰ", "aspirated"),
        ("k̚", "unreleased"),
        ("ɡ̊", "partly_devoiced"),
        ("d̥", "partly_devoiced"),
        ("l̥", "devoiced"),
        ("n̩", "syllabic"),
        ("t̪", "dental"),
        ("t̠", "retracted"),
        ("k̟", "fronted"),
        ("æ̃", "nasalised"),
        ("dⁿ", "nasal_release"),
        ("bᵐ", "nasal_release"),
        ("dˡ", "lateral_release"),
        ("ɫ", "dark"),
        ("ɾ", "flap"),
        ("sː", "long"),
    ],
)
def test_marks_become_features(given: str, feature: str) -> None:
    (token,) = transcription.tokenise(given)
    assert feature in token.features
    assert token.text == unicodedata.normalize("NFD", given)


def test_composed_and_decomposed_are_the_same() -> None:
    for text in ("ĩ", "ã", "õ", "ũ"):
        composed = [t.text for t in transcription.tokenise(unicodedata.normalize("NFC", text))]
        assert composed == [t.text for t in transcription.tokenise(unicodedata.normalize("NFD", text))]


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ("ʰa", "position 1 has no sound before it"),
        ("t∆", r"'∆' \(INCREMENT\) at position 2 is not an IPA symbol"),
        ("tø", r"'ø' .* at position 2 is IPA but not in the English inventory"),
        ("ç", "position 1 is IPA but not in the English inventory"),
        ("tа", "CYRILLIC SMALL LETTER A"),
        ("t5", "position 2 is not an IPA symbol"),
    ],
)
def test_what_is_not_ipa_is_named_with_its_place(given: str, message: str) -> None:
    with pytest.raises(BadInput, match=message) as caught:
        transcription.tokenise(given)
    assert "\n" not in str(caught.value)
