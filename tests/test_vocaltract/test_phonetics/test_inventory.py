"""The sounds that can be named: which there are, how they are found, what bad names are told."""

from __future__ import annotations

import unicodedata

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from vocaltract.motion.timeline import alone, timeline
from vocaltract.phonetics.inventory import entries, narrow_variants, sound
from vocaltract.phonetics.postures import posture

# General American: 24 consonants and 15 vowels with ə and ɚ beside them (Ladefoged & Johnson; IPA Handbook 1999)
CONSONANTS = "p b t d k ɡ tʃ dʒ f v θ ð s z ʃ ʒ h m n ŋ l ɹ w j".split()
VOWELS = "i ɪ eɪ ɛ æ ɑ ɔ oʊ ʊ u ʌ ə ɝ ɚ aɪ aʊ ɔɪ".split()
# place, manner, voiced by the chart of the IPA (revised 2020), read in its own grid; English l is alveolar
CHART = {
    "p": ("bilabial", "plosive", False),
    "d": ("alveolar", "plosive", True),
    "ɡ": ("velar", "plosive", True),
    "ŋ": ("velar", "nasal", True),
    "f": ("labiodental", "fricative", False),
    "ð": ("dental", "fricative", True),
    "ʒ": ("postalveolar", "fricative", True),
    "h": ("glottal", "fricative", False),
    "ɾ": ("alveolar", "tap", True),
    "l": ("alveolar", "lateral approximant", True),
    "j": ("palatal", "approximant", True),
    "ʔ": ("glottal", "plosive", False),
}


def test_the_sounds_of_general_american_are_all_there() -> None:
    found = {e.symbol: e.kind for e in entries().values()}
    assert [s for s, kind in found.items() if kind == "consonant"] == CONSONANTS
    assert [s for s, kind in found.items() if kind == "vowel"] == VOWELS
    assert {"ɾ", "ɫ", "ʔ", "ɦ"} == {s for s, kind in found.items() if kind == "allophone"}
    assert len(CONSONANTS) == 24


@pytest.mark.parametrize("symbol", CHART)
def test_classes_are_those_of_the_chart(symbol: str) -> None:
    e = entries()[symbol]
    assert (e.place, e.manner, e.voiced) == CHART[symbol]


def test_every_posture_of_every_sound_can_be_had() -> None:
    for e in entries().values():
        for key in e.posture:
            if key != "next":
                assert posture(key).shape == (), e.symbol


def test_symbols_are_unique_and_lead_back() -> None:
    symbols = [unicodedata.normalize("NFD", e.symbol) for e in entries().values()]
    assert len(symbols) == len(set(symbols))
    for e in entries().values():
        for name in (e.symbol, f"[{e.symbol}]", f"/{e.symbol}/", f" {e.symbol} "):
            assert sound(name) is e


@pytest.mark.parametrize(
    "name", ["", " ", "[]", "//", "[ ]", "q", "xyz", "tt", "ʘ", "\x00", "é", "[t", "p" * 10_000, "🙂"]
)
def test_bad_names_are_refused_in_one_line(name: str) -> None:
    with pytest.raises(BadInput) as caught:
        sound(name)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    ("look_alike", "name"),
    [("\u0442", "CYRILLIC SMALL LETTER TE"), ("\u0430", "CYRILLIC SMALL LETTER A")],
)
def test_a_letter_that_only_looks_like_one_is_named(look_alike: str, name: str) -> None:
    """Names: Unicode character database."""
    with pytest.raises(BadInput, match=name):
        sound(look_alike)
    with pytest.raises(BadInput) as caught:
        sound("tt")
    assert "LATIN" not in str(caught.value)


@settings(max_examples=200, deadline=None, derandomize=True)
@given(st.text(max_size=12))
def test_any_text_is_a_sound_or_bad_input(name: str) -> None:
    try:
        assert sound(name).symbol in entries()
    except BadInput as error:
        assert "\n" not in str(error)


# The allophones of American English that issue 3 lists, and what each one's name or place has to say
# (Ladefoged & Johnson, A Course in Phonetics, ch. 3 and 4, from memory).
ALLOPHONES = {
    "tʰ": "aspirated", "p̚": "no audible release", "ɾ": "flap", "ʔ": "glottal", "ɫ": "lateral", "t̪": "dental",
    "d̪": "dental", "n̪": "dental", "l̪": "dental", "n̩": "syllabic", "l̩": "syllabic", "tⁿ": "nasal release",
    "tˡ": "lateral release", "æ̃": "nasalized", "l̥": "voiceless", "ɹ̥": "voiceless", "w̥": "voiceless",
    "j̊": "voiceless", "k̟": "advanced", "ɡ̟": "advanced", "ɹ̺": "apical", "ɹ": "postalveolar",
}  # fmt: skip


@pytest.mark.parametrize(("symbol", "said"), ALLOPHONES.items())
def test_every_allophone_can_be_named_and_is_listed(symbol: str, said: str) -> None:
    symbol = unicodedata.normalize("NFD", symbol)
    assert said in sound(f"[{symbol}]").name
    assert symbol in entries() or symbol in narrow_variants()


def test_marks_of_voice_breath_and_release_leave_the_mouth_as_it_is() -> None:
    for pair in ("tʰ t", "t̚ t", "n̩ n", "l̩ l", "ɹ̥ ɹ", "w̥ w", "j̊ j", "ɡ̊ k"):
        marked, plain = pair.split()
        assert np.array_equal(posture(sound(f"[{marked}]").posture[0]).values, posture(plain).values), marked


def test_marks_of_place_do_not() -> None:
    for marked, plain in (("t̪", "t"), ("k̟", "k"), ("ɹ̺", "ɹ"), ("ɫ", "l")):
        assert not np.array_equal(posture(sound(f"[{marked}]").posture[0]).values, posture(plain).values), marked


def test_a_stop_without_audible_release_is_held() -> None:
    assert timeline(alone("t̚"), by_itself=True).spans[0].release_s is None
    assert timeline(alone("t"), by_itself=True).spans[0].release_s is not None


def test_a_tie_bar_that_joins_nothing_is_refused() -> None:
    with pytest.raises(BadInput, match="joins nothing"):
        sound("[t\u0361]")
