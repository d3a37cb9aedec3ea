"""The IPA reader and the inventory against panphon's feature table and the Unicode character database."""

from __future__ import annotations

import csv
import unicodedata
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest

from articulators.errors import BadInput
from vocaltract.words import ipa
from vocaltract.words.lexicon.phones import by_ipa

TIED = {"tʃ": "t͡ʃ", "dʒ": "d͡ʒ"}


@cache
def panphon_table() -> dict[str, dict[str, str]]:
    """panphon's segment table (MIT), read as a file: importing the package takes a second."""
    spec = find_spec("panphon")
    assert spec is not None
    assert spec.origin is not None
    with (Path(spec.origin).parent / "data" / "ipa_all.csv").open(encoding="utf-8") as file:
        return {unicodedata.normalize("NFD", row["ipa"]): row for row in csv.DictReader(file)}


def segments_of(key: str) -> list[str]:
    if key in ("eɪ", "oʊ", "aɪ", "aʊ", "ɔɪ"):
        return list(key)
    return [TIED.get(key, key)]


@pytest.mark.parametrize("key", list(by_ipa()))
def test_every_sound_is_a_known_segment(key: str) -> None:
    if key in ("ɝ", "ɚ"):  # the hooked letters are missing in panphon; it has the letters with a rhotic hook
        key = {"ɝ": "ɜ˞", "ɚ": "ə˞"}[key]
    table = panphon_table()
    assert [s for s in segments_of(key) if unicodedata.normalize("NFD", s) not in table] == []
    assert "g" not in table  # ASCII g is no IPA letter: the check can fail


@pytest.mark.parametrize("key", [key for key, phone in by_ipa().items() if not phone.is_vowel])
def test_consonant_classes_agree_with_panphon(key: str) -> None:
    row = panphon_table()[segments_of(key)[0]]
    phone = by_ipa()[key]
    assert (row["voi"] == "+") is phone.voiced
    assert (row["nas"] == "+") is (phone.manner == "nasal")
    assert (row["lat"] == "+") is (phone.manner == "lateral")
    # Continuants: fricatives, approximants, laterals (panphon's reading) and its tap.
    assert (row["cont"] == "+") is (phone.manner in ("fricative", "approximant", "lateral", "tap"))
    # Labials; w is labial and velar. f and v too.
    assert (row["lab"] == "+") is (phone.place in ("bilabial", "labiodental", "labial-velar"))
    # Coronals. panphon's j is a dorsal; IPA's palatal is none of the coronal places.
    assert (row["cor"] == "+") is (phone.place in ("dental", "alveolar", "postalveolar"))


@pytest.mark.parametrize("mark", ipa.printed_marks(), ids=lambda mark: mark.feature)
def test_marks_are_the_ones_of_the_ipa_chart(mark: ipa.Mark) -> None:
    # Names of the Unicode character database; their use: IPA chart (revised to 2020), from memory.
    names = {
        "dental": "COMBINING BRIDGE BELOW",
        "retracted": "COMBINING MINUS SIGN BELOW",
        "fronted": "COMBINING PLUS SIGN BELOW",
        "devoiced": "COMBINING RING BELOW",
        "partly_devoiced": "COMBINING RING BELOW",
        "nasalised": "COMBINING TILDE",
        "syllabic": "COMBINING VERTICAL LINE BELOW",
        "unreleased": "COMBINING LEFT ANGLE ABOVE",
        "long": "MODIFIER LETTER TRIANGULAR COLON",
        "aspirated": "MODIFIER LETTER SMALL H",
        "weakly_aspirated": "MODIFIER LETTER SMALL H",
        "nasal_release": "SUPERSCRIPT LATIN SMALL LETTER N",
        "lateral_release": "MODIFIER LETTER SMALL L",
    }
    assert unicodedata.name(mark.plain) == names[mark.feature]


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
    assert [token.key for token in ipa.tokenise(given) if token.kind == "sound"] == keys


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
    (token,) = ipa.tokenise(given)
    assert feature in token.features
    assert token.text == unicodedata.normalize("NFD", given)


def test_composed_and_decomposed_are_the_same() -> None:
    for text in ("ĩ", "ã", "õ", "ũ"):
        composed = [t.text for t in ipa.tokenise(unicodedata.normalize("NFC", text))]
        assert composed == [t.text for t in ipa.tokenise(unicodedata.normalize("NFD", text))]


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
        ipa.tokenise(given)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("given", "key"), [("r", "ɹ"), ("g", "ɡ"), ("t͡ʃ", "tʃ"), (" T ", "t"), ("xyz", None)]
)
def test_bare_symbols(given: str, key: str | None) -> None:
    assert ipa.sound_key(given) == key
