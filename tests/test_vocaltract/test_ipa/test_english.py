"""The sounds of American English against panphon's feature table, and what else may be written for them."""

from __future__ import annotations

import csv
import unicodedata
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from vocaltract.ipa.english import English, known_phone, phone_key, phones, phones_of, spellings

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
    assert (row["lat"] == "+") is phone.features.lateral
    # Continuants: fricatives, approximants, laterals (panphon's reading) and its tap.
    assert (row["cont"] == "+") is (phone.manner in ("fricative", "approximant", "tap"))
    # Labials; w is labial and velar. f and v too.
    assert (row["lab"] == "+") is (phone.place in ("bilabial", "labiodental", "labial-velar"))
    # Coronals. panphon's j is a dorsal; IPA's palatal is none of the coronal places.
    assert (row["cor"] == "+") is (phone.place in ("dental", "alveolar", "postalveolar"))


@pytest.mark.parametrize(("given", "key"), [("r", "ɹ"), ("g", "ɡ"), ("t͡ʃ", "tʃ"), (" T ", "t"), ("xyz", None)])
def test_bare_symbols(given: str, key: str | None) -> None:
    assert phone_key(given) == key


def test_an_unknown_sound_is_told_with_the_nearest() -> None:
    assert known_phone("r") == "ɹ"
    with pytest.raises(BadInput, match=r"unknown sound 'ʃh'; a sound of English is needed \(nearest: ʃ\)"):
        known_phone("ʃh")


def test_a_variant_is_a_form_of_a_phoneme() -> None:
    """Dark l and voiced h are the usual forms of their places, a tap is not (Ladefoged & Johnson, from memory)."""
    forms = {key: (phone.variant_of, phone.usual_form) for key, phone in phones().items() if phone.variant_of}
    assert forms == {
        "ɾ": ("t", False), "ɫ": ("l", True), "ʔ": ("t", False), "ɦ": ("h", True), "ɱ": ("m", False),
    }  # fmt: skip


def test_kept_letters_are_printed_as_given_and_others_as_the_symbol() -> None:
    assert spellings()["ʍ"] == ("ʍ", "w")
    assert spellings()["r"] == ("ɹ", "ɹ")


TEXT = text_of("vocaltract.ipa", "english.toml")
SOURCE = next(line + "\n" for line in TEXT.splitlines() if line.startswith("source"))


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ("arpabet =", "arpabett =", "phone.of.p: key 'arpabett' is unknown; allowed: arpabet, variant_of, "),
        (SOURCE, "", "phone: key 'source' is missing; allowed: of, unit, source, status"),
        (SOURCE, 'source = ""\n', "phone: 'source' is empty"),
        ('usual_form = true', 'usual_form = "yes"', "phone.of.ɫ.usual_form: expected `bool`, got `str`"),
        ('variant_of = "t"', 'variant_of = "ts"', "phone.of.ɾ.variant_of: 'ts' is no phoneme; allowed: p, b, t, "),
        ('"p" = {', '"п" = {', "phone.of.п: 'п' (U+043F"),
    ],
)  # fmt: skip
def test_what_does_not_fit_is_refused_with_its_place(right: str, wrong: str, told: str) -> None:
    assert right in TEXT
    with pytest.raises(BadInput) as caught:
        phones_of(parsed(TEXT.replace(right, wrong, 1), English, "english.toml").phone.of)
    assert str(caught.value).startswith(f"english.toml: {told}")
