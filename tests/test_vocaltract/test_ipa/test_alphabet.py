"""The table of letters and marks: printed marks against the Unicode character database, and what does not fit."""

from __future__ import annotations

import unicodedata

import pytest

from articulators.errors import BadInput
from articulators.records import parsed, text_of
from vocaltract.ipa.alphabet import IpaTable, PrintedMark, alphabet, alphabet_of, printed_symbol


@pytest.mark.parametrize("mark", alphabet().printed, ids=lambda mark: mark.feature)
def test_marks_are_the_ones_of_the_ipa_chart(mark: PrintedMark) -> None:
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
    assert unicodedata.name(mark.mark) == names[mark.feature]


@pytest.mark.parametrize(
    ("letter", "features", "place", "printed"),
    [  # the chart's own examples: a ring stands above a letter with a descender, ŋ̊; dⁿ; dˡ
        ("ŋ", {"devoiced"}, "velar", "ŋ\u030a"),
        ("l", {"devoiced"}, "alveolar", "l\u0325"),
        ("d", {"nasal_release"}, "alveolar", "dⁿ"),
        ("b", {"nasal_release"}, "bilabial", "bᵐ"),
        ("t", {"aspirated", "dental"}, "dental", "t\u032aʰ"),
        ("s", {"onset"}, "alveolar", "s"),
    ],
)
def test_symbols_are_printed_with_their_marks(letter: str, features: set[str], place: str, printed: str) -> None:
    assert printed_symbol(letter, frozenset(features), place) == printed


def test_letters_that_hold_a_mark_are_named_by_unicode() -> None:
    """ə and ɜ with hook, l with middle tilde: names of the Unicode character database."""
    said = {"\u02de": "WITH HOOK", "\u0334": "WITH MIDDLE TILDE"}
    for letter, parts in alphabet().whole.items():
        assert unicodedata.name(letter) == f"{unicodedata.name(parts[0])} {said[parts[1]]}"


TEXT = text_of("vocaltract.ipa", "ipa.toml")
CHART = 'source = "International Phonetic Alphabet, chart revised to 2020"\n'


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ("[whole.parts]", "[whole.part]", "whole: key 'part' is unknown; allowed: parts, unit, source, status"),
        ('"p" = { place', '"p" = { plaice', "consonant.letter.p: key 'plaice' is unknown; allowed: place, manner, "),
        ('["bilabial"]', '["labial"]', "consonant.letter.p.place[1]: 'labial' is unknown; allowed: bilabial, "),
        ('height = "close",', 'height = "shut",', "vowel.letter.i.height: 'shut' is unknown; allowed: close, "),
        ('group = "voice"', 'grouped = "voice"', "mark.sign.0325: key 'grouped' is unknown; allowed: says, group, "),
        ('token = "pause"', 'token = "rest"', "phrase.sign.007C.token: 'rest' is unknown; allowed: stress, pause, "),
        (CHART, "", "consonant: key 'source' is missing; allowed: letter, unit, source, status"),
        (CHART, 'source = " "\n', "consonant: 'source' is empty"),
        ('status = "verified"', 'status = "sure"', "consonant.status: 'sure' is unknown; allowed: verified, memory, "),
    ],
)
def test_what_does_not_fit_is_refused_with_its_place(right: str, wrong: str, told: str) -> None:
    assert right in TEXT
    with pytest.raises(BadInput) as caught:
        parsed(TEXT.replace(right, wrong, 1), IpaTable, "ipa.toml")
    assert str(caught.value).startswith(f"ipa.toml: {told}")


@pytest.mark.parametrize(
    ("right", "wrong", "told"),
    [
        ('"0325" = {', '"ring" = {', "ipa.toml: 'ring' is no code point"),
        ('fronted = "advanced"', 'fronted = "advansed"', "ipa.toml: printed.feature.fronted: no mark says 'advansed'"),
    ],
)
def test_signs_that_are_none_are_refused(right: str, wrong: str, told: str) -> None:
    with pytest.raises(BadInput) as caught:
        alphabet_of(parsed(TEXT.replace(right, wrong, 1), IpaTable, "ipa.toml"))
    assert str(caught.value).startswith(told)
