"""Every symbol of the chart can be put into words and drawn: IPA chart, revised to 2020, symbols from memory."""

from __future__ import annotations

from typing import Any

import pytest

from renders.paper.style import load
from renders.stills import still
from renders.stills.look import StillLook
from renders.wording.languages import language_of
from tests import english
from vocaltract.ipa.alphabet import alphabet
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say_alone

# place -> the words of the chart's heading that the technical line has to name
FRICATIVES = {
    "ɸ": "Bilabial", "β": "Bilabial", "ʂ": "Retroflex", "ʐ": "Retroflex", "ç": "Palatal", "ʝ": "Palatal",
    "x": "Velar", "ɣ": "Velar", "χ": "Uvular", "ʁ": "Uvular", "ħ": "Pharyngeal", "ʕ": "Pharyngeal",
    "ʜ": "Epiglottal", "ʢ": "Epiglottal", "ɕ": "Alveolo-palatal", "ʑ": "Alveolo-palatal", "ʍ": "Labial-velar",
}  # fmt: skip
APPROXIMANTS = {"ʋ": "Labiodental", "β̞": "Bilabial", "ɰ": "Velar"}


@pytest.mark.parametrize(("symbol", "place"), [*FRICATIVES.items(), *APPROXIMANTS.items()])
def test_a_narrowing_is_named_by_its_place(symbol: str, place: str) -> None:
    shown = say_alone(sound(f"[{symbol}]"))
    told = english.state(shown, still.key_time_s(shown), technical=True)
    assert told.contact.title.startswith(place)


@pytest.mark.parametrize("symbol", ["ɧ", "x", "ʘ", "ǁ", "k͡p", "ʙ", "ɶ"])
def test_a_still_of_an_uncommon_sound_is_drawn(symbol: str) -> None:
    entry = sound(f"[{symbol}]")
    assert entry.symbol in still.still_picture(entry, say_alone(entry), StillLook(load())).title


# Closures and sides: symbol -> heading of the chart that the technical title starts with
SHUT = {
    "m": "Bilabial", "ɱ": "Labiodental", "t̼": "Linguolabial", "t̪": "Dental", "t": "Alveolar", "ʈ": "Retroflex",
    "ɳ": "Retroflex", "ɖ": "Retroflex", "c": "Palatal", "ɲ": "Palatal", "ɟ": "Palatal", "k": "Velar", "ŋ": "Velar",
    "q": "Uvular", "ɢ": "Uvular", "ɴ": "Uvular", "ʀ": "Uvular", "ʡ": "Epiglottal", "ʙ": "Bilabial", "r": "Alveolar",
    "ⱱ": "Labiodental", "ɽ": "Retroflex", "ɓ": "Bilabial", "ʄ": "Palatal", "ʛ": "Uvular", "pʼ": "Bilabial",
    "t͡ɕ": "Alveolo-palatal", "k͡p": "Two", "ǃ": "Two", "ǁ": "Two",
}  # fmt: skip
SIDES = {
    "l": "Alveolar",
    "l̪": "Dental",
    "ɭ": "Retroflex",
    "ʎ": "Palatal",
    "ʟ": "Velar",
    "ɬ": "Alveolar",
    "ɺ": "Alveolar",
}
NEAR = {"ɹ̺": "Apical", "ɻ": "Retroflex", "j": "Palatal", "ɥ": "Labial-palatal", "w": "Labial-velar", "ʁ̞": "Uvular"}
# words that name a place of English; none of them is said of a sound that is made elsewhere
ENGLISH = ("ridge", "soft palate", "bunched")


def told(symbol: str, technical: bool) -> Any:
    shown = say_alone(sound(f"[{symbol}]"))
    return english.state(shown, still.key_time_s(shown), technical=technical)


@pytest.mark.parametrize(("symbol", "place"), [*SHUT.items(), *SIDES.items(), *NEAR.items()])
def test_contact_is_named_by_its_place(symbol: str, place: str) -> None:
    assert told(symbol, technical=True).contact.title.startswith(place)


@pytest.mark.parametrize("symbol", ["ɱ", "t̼", "c", "ɲ", "q", "ɢ", "ɴ", "ʀ", "ʡ", "ⱱ", "ʙ", "ʄ", "ʛ", "ʎ", "ɻ"])
def test_plain_words_name_no_place_of_english(symbol: str) -> None:
    said = told(symbol, technical=False)
    for text in (said.contact.title, said.contact.second, said.cue, said.detail):
        assert not any(word in text for word in ENGLISH), text


@pytest.mark.parametrize("symbol", ["t", "k", "ɹ"])
def test_that_comparer_sees_a_place_of_english(symbol: str) -> None:
    said = told(symbol, technical=False)
    assert any(word in said.contact.title + said.contact.second + said.cue for word in ENGLISH)


@pytest.mark.parametrize(
    ("symbol", "word"),
    [
        ("ʙ", "flutter"), ("r", "flutter"), ("ʀ", "uvula"), ("ǃ", "suction"), ("ɓ", "Larynx down"),
        ("ʛ", "Larynx down"),
        ("pʼ", "larynx pushes up"), ("ʡ", "Throat shut"), ("ɹ̺", "Tip up"), ("ɬ", "sides"), ("ɽ", "Curled tip"),
    ],
)  # fmt: skip
def test_what_a_still_cannot_show_is_said(symbol: str, word: str) -> None:
    """Airstreams and vibrations: Ladefoged & Maddieson 1996 (from memory)."""
    said = told(symbol, technical=False)
    assert word in f"{said.cue} {said.detail} {said.contact.title} {said.contact.second}"


def test_every_place_of_the_chart_has_its_rows() -> None:
    places = {p for f in alphabet().letters.values() for p in f.places} - {"glottal"}
    rows = language_of()
    for place in places - {
        "bilabial",
        "alveolar",
        "postalveolar",
        "velar",
    }:  # these have the rows of lips, tip and back
        named = {f"{place}_shut", f"{place}_closing", f"{place}_opening"}
        assert named <= set(rows.rows("contact")) or place == "dental"
        assert {f"hold_{place}", f"approach_{place}"} <= set(rows.rows("cue"))
    for kind in ("cue", "detail", "contact"):
        assert all(len(row[0]) <= 34 for row in rows.rows(kind).values()), kind
