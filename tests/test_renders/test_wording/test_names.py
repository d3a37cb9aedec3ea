"""Names of sounds put together from terms: in English they are the names themselves, whatever the marks.

Source of the terms and their order: IPA chart, revised to 2020, from memory.
"""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from renders.wording.languages import language_of
from renders.wording.line import Line
from renders.wording.names import place_and_manner, sound_name, vowel_place
from vocaltract.ipa.alphabet import alphabet
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics.inventory import entries, narrow_variants


def said(name: str, key: str = "en") -> str:
    return language_of(key).say(sound_name(name))


def test_english_names_come_out_as_they_went_in() -> None:
    names = {entry.name for entry in (*entries().values(), *narrow_variants().values())}
    assert {name for name in names if said(name) != name or isinstance(sound_name(name), str)} == set()


@pytest.mark.parametrize("letter", sorted(alphabet().letters))
def test_every_letter_with_every_mark_has_its_name(letter: str) -> None:
    for mark in ("", *alphabet().marks):
        try:
            name = parse(letter + mark).name
        except BadInput:
            continue  # no speaker can make it
        assert said(name) == name
        if "linguolabial-" in name:
            continue  # two places at once, one of them moved: has no term of its own
        for key in ("es", "zh"):
            assert said(name, key) != name


@pytest.mark.parametrize(
    ("name", "es", "zh"),
    [
        # terms: common practice of phonetics in Spanish and in Chinese, no source
        ("voiced bilabial plosive", "oclusiva bilabial sonora", "浊双唇塞音"),
        ("voiceless aspirated alveolar plosive", "oclusiva alveolar aspirada sorda", "清送气齿龈塞音"),
        ("voiced labial-velar approximant", "aproximante labiovelar sonora", "浊唇软腭近音"),
        ("close front unrounded vowel", "vocal cerrada anterior no redondeada", "闭前不圆唇元音"),
        ("r-coloured mid central vowel", "vocal media central rótica", "卷舌中央元音"),
        ("diphthong: from open central toward near-close back",
         "diptongo: de abierta central hacia casi cerrada posterior", "双元音：由开央到次闭后"),
    ],
)  # fmt: skip
def test_terms_stand_in_the_order_of_the_language(name: str, es: str, zh: str) -> None:
    assert (said(name, "es"), said(name, "zh")) == (es, zh)


def test_parts_of_names() -> None:
    en = language_of()
    assert en.say(place_and_manner("alveolar", "lateral approximant")) == "alveolar lateral approximant"
    assert en.say(vowel_place("open-mid front unrounded vowel")) == "open-mid front unrounded"
    assert en.say(vowel_place("diphthong: from open central toward near-close back")).startswith("from open central")
    assert sound_name("a name with words that nobody knows") == "a name with words that nobody knows"
    assert sound_name("voiced alveolar tap (flap)") == Line("name.flap")
