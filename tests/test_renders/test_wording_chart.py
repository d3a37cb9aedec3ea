"""Every symbol of the chart can be put into words and drawn: IPA chart, revised to 2020, symbols from memory."""

from __future__ import annotations

import pytest

from renders import still, wording
from renders.film import timeline_of_sound
from renders.style import load
from vocaltract.phonetics.inventory import sound

# place -> the words of the chart's heading that the technical line has to name
FRICATIVES = {
    "ɸ": "Bilabial", "β": "Bilabial", "ʂ": "Retroflex", "ʐ": "Retroflex", "ç": "Palatal", "ʝ": "Palatal",
    "x": "Velar", "ɣ": "Velar", "χ": "Uvular", "ʁ": "Uvular", "ħ": "Pharyngeal", "ʕ": "Pharyngeal",
    "ʜ": "Epiglottal", "ʢ": "Epiglottal", "ɕ": "Alveolo-palatal", "ʑ": "Alveolo-palatal", "ʍ": "Labial-velar",
}  # fmt: skip
APPROXIMANTS = {"ʋ": "Labiodental", "β̞": "Bilabial", "ɰ": "Velar"}


@pytest.mark.parametrize(("symbol", "place"), [*FRICATIVES.items(), *APPROXIMANTS.items()])
def test_a_narrowing_is_named_by_its_place(symbol: str, place: str) -> None:
    shown = timeline_of_sound(sound(f"[{symbol}]"))
    told = wording.state(shown, still.key_time_s(shown), technical=True)
    assert told.contact.title.startswith(place)


@pytest.mark.parametrize("symbol", ["ɧ", "x", "ʘ", "ǁ", "k͡p", "ʙ", "ɶ"])
def test_a_still_of_an_uncommon_sound_is_drawn(symbol: str) -> None:
    entry = sound(f"[{symbol}]")
    assert entry.symbol in still.still_picture(entry, timeline_of_sound(entry), load()).title
