"""The table of letters and marks: printed marks against the Unicode character database, and what does not fit."""

from __future__ import annotations

import unicodedata

import pytest

from vocaltract.ipa.alphabet import PrintedMark, alphabet


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


