"""The sounds of American English against panphon's feature table, and what else may be written for them."""

from __future__ import annotations

import csv
import unicodedata
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest

from vocaltract.ipa.english import phone_key, phones

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


@pytest.mark.parametrize("key", list(phones()))
def test_every_sound_is_a_known_segment(key: str) -> None:
    if key in ("ɝ", "ɚ"):  # the hooked letters are missing in panphon; it has the letters with a rhotic hook
        key = {"ɝ": "ɜ˞", "ɚ": "ə˞"}[key]
    table = panphon_table()
    assert [s for s in segments_of(key) if unicodedata.normalize("NFD", s) not in table] == []
    assert "g" not in table  # ASCII g is no IPA letter: the check can fail


@pytest.mark.parametrize("key", [key for key, phone in phones().items() if not phone.is_vowel])
def test_consonant_classes_agree_with_panphon(key: str) -> None:
    row = panphon_table()[segments_of(key)[0]]
    phone = phones()[key]
    assert (row["voi"] == "+") is phone.voiced
    assert (row["nas"] == "+") is (phone.manner == "nasal")
    assert (row["lat"] == "+") is phone.lateral
    # Continuants: fricatives, approximants, laterals (panphon's reading) and its tap.
    assert (row["cont"] == "+") is (phone.manner in ("fricative", "approximant", "tap"))
    # Labials; w is labial and velar. f and v too.
    assert (row["lab"] == "+") is (phone.place in ("bilabial", "labiodental", "labial-velar"))
    # Coronals. panphon's j is a dorsal; IPA's palatal is none of the coronal places.
    assert (row["cor"] == "+") is (phone.place in ("dental", "alveolar", "postalveolar"))


@pytest.mark.parametrize(
    ("given", "key"), [("r", "ɹ"), ("g", "ɡ"), ("t͡ʃ", "tʃ"), (" T ", "t"), ("xyz", None)]
)
def test_bare_symbols(given: str, key: str | None) -> None:
    assert phone_key(given) == key
