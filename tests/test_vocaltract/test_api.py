"""The way in from Python to what is said and measured."""

from __future__ import annotations

import numpy as np
import pytest

import vocaltract as vt
from vocaltract import wordlists
from vocaltract.speech import Speech


def test_a_text_is_a_timeline_of_its_sounds() -> None:
    word = vt.say("luggage", rate=0.8, emphasis=["luggage"])
    assert [sound.symbol[0] for sound in word.sounds] == ["l", "ʌ", "ɡ", "ɪ", "d"]
    assert word.duration_s > vt.say("luggage").duration_s
    assert [closure.organ for closure in word.closures][-1] == "coronal"
    assert vt.say("luggage", emphasis="luggage") is vt.say("luggage", Speech(emphasis=("luggage",)))


def test_a_time_gives_the_numbers_that_many_times_give() -> None:
    word = vt.say("key")
    times_s = np.linspace(0.0, word.duration_s, 41)
    many = word.moment(times_s)
    for number, time_s in enumerate(times_s):
        now = word.at(float(time_s))
        assert now.mouth_ml_s == pytest.approx(many.mouth_ml_s[number])
        assert now.pressure_pa == pytest.approx(many.pressure_pa[number]) and np.ndim(now.voice) == 0
    assert np.ptp(many.mouth_ml_s) > 0, "the times differ"


def test_a_sound_has_its_measurements() -> None:
    """F1 of [i] lies lower, F2 higher than in [ɑ]: Peterson & Barney 1952, J. Acoust. Soc. Am. 24 (from memory)."""
    high, low = vt.measure("long e"), vt.measure("ɑ")
    assert high.formants_hz.shape == (5,) and np.all(np.diff(high.formants_hz) > 0)
    assert high.formants_hz[0] < low.formants_hz[0] and high.formants_hz[1] > low.formants_hz[1]


def test_every_sound_can_be_said_by_its_symbol() -> None:
    sounds = vt.sounds()
    assert len({sound.symbol for sound in sounds}) == len(sounds) > 40
    assert {sound.kind for sound in sounds} >= {"vowel", "consonant"}


def test_words_are_listed_by_place() -> None:
    found = vt.practice_words("v", where="initial", count=5)
    assert len(found.words) == 5 < found.total and all(word.text.startswith("v") for word in found.words)
    assert vt.practice_words("v", ["initial"], 5) == found == vt.practice_words("[v]", "initial", 5)
    assert vt.practice_words("[tʰ]", "initial").where == ("aspirated", "initial")
    assert {listing.where[0] for listing in wordlists.words_by_place("v", 1)} >= {"initial", "final"}
    first = vt.minimal_pairs("v", "w", "initial").pairs[0]
    assert first.first.text[0] == "v" and first.second.text[0] == "w"


@pytest.mark.parametrize(("name", "symbol"), [("sh", "ʃ"), ("[tʰ]", "tʰ"), ("t̚", "t̚"), ("[ t ]", "t")])
def test_a_narrow_symbol_keeps_its_marks(name: str, symbol: str) -> None:
    assert wordlists.narrow_symbol(name) == symbol


def test_two_are_compared_where_they_are_said() -> None:
    pair = vt.compare("vest", "west", rate=0.8)
    assert [said.entry.symbol for said in (pair.first, pair.second)] == ["v", "w"]
    assert pair.first.timeline.duration_s > vt.compare("vest", "west").first.timeline.duration_s


def test_speech_out_of_range_is_refused_at_once() -> None:
    with pytest.raises(vt.BadInput, match=r"rate 9 is not possible; allowed is 0.5 to 2"):
        vt.Speech(rate=9)
    with pytest.raises(TypeError, match="speed"):
        vt.say("key", speed=2)
