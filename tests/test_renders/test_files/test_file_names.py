"""Names of files for any text."""

from __future__ import annotations

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from renders.files import names
from vocaltract.ipa.alphabet import alphabet

RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("t", "t"), ("ʃ", "esh"), ("ɡ", "g"), ("ŋ", "eng"), ("θ", "theta"), ("ʔ", "glottal-stop"),
        ("tʃ", "t-esh"),
        ("Front Desk!", "front-desk"), ("café", "cafe"), ("ﬁtness", "fitness"), ("tʰ", "t-h"),
        ("ɔɪ", "open-o-small-i"),
        ("", "unnamed"), ("!!!", "unnamed"), ("中", "unnamed"), ("../../etc/passwd", "etc-passwd"),
        ("con", "con-sound"), ("NUL", "nul-sound"), ("com1", "com1-sound"), ("console", "console"),
    ],
)  # fmt: skip
def test_slugs(text: str, name: str) -> None:
    assert names.slug(text) == name


def test_every_sound_has_a_name_of_its_own() -> None:
    sounds = (
        "p b t d k ɡ tʃ dʒ f v θ ð s z ʃ ʒ h m n ŋ l ɹ w j ɾ ɫ ʔ ɦ i ɪ eɪ ɛ æ ɑ ɔ oʊ ʊ u ʌ ə ɝ ɚ aɪ aʊ ɔɪ"
    ).split()
    assert len({names.slug(sound) for sound in sounds}) == len(sounds)


def test_every_letter_of_the_chart_has_a_name_of_its_own() -> None:
    """IPA chart, revised to 2020. Apart from two that words of English share: trill and ɹ, c and ç (façade)."""
    by_name: dict[str, list[str]] = {}
    for letter in alphabet().letters:
        by_name.setdefault(names.slug(letter), []).append(letter)
    assert "unnamed" not in by_name
    shared = {"r": ["r", "ɹ"], "c": ["c", "c\u0327"]}
    assert {name: found for name, found in by_name.items() if len(found) > 1} == shared


def test_marks_tell_files_apart() -> None:
    sounds = ["t", "t̪", "t̺", "t̻", "t̼", "tʼ", "t̬", "tˠ", "tˤ", "tʰ", "tⁿ", "tˡ", "t̚"]
    assert len({names.slug(sound) for sound in sounds}) == len(sounds)


@given(st.text(max_size=200))
@settings(max_examples=300, deadline=None, derandomize=True)
def test_any_text_gives_a_safe_name(text: str) -> None:
    name = names.slug(text)
    assert 1 <= len(name) <= 60
    assert set(name) <= set(string.ascii_lowercase + string.digits + "-")
    assert not name.startswith("-")
    assert not name.endswith("-")
    assert name not in RESERVED
    assert names.slug(name) == name


@given(st.lists(st.sampled_from(["t", "T", "con", "x" * 80, "x" * 70, "t-2", ""]), max_size=12))
@settings(max_examples=100, deadline=None, derandomize=True)
def test_unique_slugs_are_unique_ignoring_case(texts: list[str]) -> None:
    made = names.unique_slugs(texts)
    assert len({name.lower() for name in made}) == len(texts)
    assert all(len(name) <= 60 for name in made)


@pytest.mark.parametrize(
    ("instead", "by", "said"),
    [
        ("names = [", "name = [", "file_names.toml: reserved: key 'name' is unknown; allowed: names, unit, source, "),
        ('source = "common practice, no source"\n', "", "file_names.toml: reserved: key 'source' is missing"),
        ("common practice, no source", " ", "file_names.toml: reserved: 'source' is empty"),
        ('"ʃ" = "esh"', '"ʃ" = 3', "file_names.toml: symbols.spelled.ʃ: expected `str`, got `int`"),
    ],
)
def test_a_broken_table_is_refused_with_its_place(instead: str, by: str, said: str) -> None:
    text = text_of("renders.files", "file_names.toml")
    assert instead in text
    with pytest.raises(BadInput) as caught:
        parsed(text.replace(instead, by, 1), names.FileNames, "file_names.toml")
    assert str(caught.value).startswith(said)
