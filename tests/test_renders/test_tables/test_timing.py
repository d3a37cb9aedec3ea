"""What `vocaltract timing` tells of a text: stops, gestures and tracks, against phonetics books and the timeline."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from articulators.errors import BadInput
from renders.tables.timing_table import timing_text, timing_values
from vocaltract.motion.events import ARTICULATORS, STEP_S, Stop, gestures, stops, stretches
from vocaltract.motion.timeline import Timeline
from vocaltract.speech import Speech, emphasised, say


@cache
def spoken(text: str) -> Timeline:
    return say(text)


def the_stop(text: str, letter: str) -> Stop:
    """The first stop of a text whose symbol begins so."""
    return next(stop for stop in stops(spoken(text)) if stop.symbol.startswith(letter))


def lag_ms(text: str, letter: str) -> float:
    lag = the_stop(text, letter).voice_onset_time_s
    assert lag is not None
    return 1000 * lag


# Stops


@pytest.mark.parametrize(("text", "letter", "mean_ms"), [("pan", "p", 58), ("tan", "t", 70), ("can", "k", 80)])
def test_voice_comes_as_late_as_measured_in_words(text: str, letter: str, mean_ms: float) -> None:
    # Lisker & Abramson 1964, American English, isolated words: 58, 70, 80 ms; 20 ms either way are asked for here.
    assert abs(lag_ms(text, letter) - mean_ms) <= 20


def test_voice_comes_later_for_k_than_for_p_and_early_for_voiced_stops() -> None:
    # Lisker & Abramson 1964: k above p; b, d, ɡ 1, 5, 21 ms, so rising towards the back.
    assert lag_ms("can", "k") > lag_ms("pan", "p")
    b, d, g = lag_ms("ban", "b"), lag_ms("dad", "d"), lag_ms("gap", "ɡ")
    assert 0 <= b < d < g <= 30


@pytest.mark.parametrize(("text", "letter"), [("speak", "p"), ("stop", "t"), ("sky", "k")])
def test_voice_comes_early_after_s(text: str, letter: str) -> None:
    assert 0 <= lag_ms(text, letter) < 40  # Klatt 1975: 12, 23, 30 ms


def test_voice_goes_on_through_a_voiced_stop_between_vowels() -> None:
    # Between vowels English voiced stops are usually voiced throughout (Ladefoged & Johnson, from memory).
    stop = the_stop("lobby", "b")
    assert stop.voicing_onset_s == pytest.approx(stop.closure_s, abs=0.002)
    assert stop.voice_onset_time_s is not None
    assert stop.voice_onset_time_s < 0


def test_a_held_stop_is_not_let_go_before_the_next_is_shut() -> None:
    # A stop is not released before another stop (Ladefoged & Johnson, from memory).
    first, held, then, last = stops(spoken("backpack"))
    assert (first.symbol, held.symbol, then.symbol, last.symbol) == ("b", "k\u031a", "pʰ", "k")
    assert held.release_s is None
    assert held.voicing_onset_s is None
    closure = next(c for c in spoken("backpack").closures if c.organ == "dorsal")
    begin = spoken("backpack").speech_s[0]
    assert then.closure_s < closure.end_s - begin


def test_a_tap_is_no_stop_and_a_glottal_stop_is_one() -> None:
    assert stops(spoken("city")) == ()
    assert [(stop.symbol, stop.organ) for stop in stops(spoken("button"))] == [("b", "lips"), ("ʔ", "glottis")]


def test_no_voice_follows_a_last_voiceless_stop() -> None:
    assert the_stop("stop", "p").voicing_onset_s is None
    assert the_stop("stop", "p").release_s is not None


def test_stops_are_in_order_and_inside_speech() -> None:
    for text in ("front desk", "good night, keep calm", "hot tub", "the elevator"):
        found = stops(spoken(text))
        begin, end = spoken(text).speech_s
        assert [s.closure_s for s in found] == sorted(s.closure_s for s in found)
        for stop in found:
            assert -0.05 <= stop.closure_s < end - begin
            assert stop.release_s is None or stop.closure_s < stop.release_s


def test_a_final_stop_can_be_kept_shut() -> None:
    *_, last = stops(say("ticket", Speech(final_unreleased=True)))
    assert (last.symbol, last.release_s) == ("t\u031a", None)
    *_, usual = stops(spoken("ticket"))
    assert usual.release_s is not None


def test_careful_speech_lets_go_of_every_stop() -> None:
    assert all(stop.release_s is not None for stop in stops(say("doctor", Speech(careful=True))))
    assert any(stop.release_s is None for stop in stops(spoken("doctor")))


# Gestures


def of(text: str, articulator: str) -> list[str]:
    return [f"{g.what} {g.symbol}" for g in gestures(spoken(text)) if g.articulator == articulator]


def test_gestures_are_those_of_the_textbooks() -> None:
    # Which part makes which sound: Handbook of the IPA (1999), Ladefoged & Johnson; from memory.
    assert of("backpack", "lips") == ["closes b", "closes pʰ"]
    assert [g for g in of("backpack", "tongue body") if "closes" in g] == ["closes k\u031a", "closes k"]
    assert of("city", "tongue tip") == ["narrows s", "taps ɾ"]
    assert "opens tʰ" in of("town", "glottis")
    assert of("lobby", "glottis") == []
    assert of("moon", "velum") == ["lowers m", "lowers n"]
    assert of("lobby", "velum") == []
    assert "rounds u\u0303" in of("moon", "lips")
    assert "closes ʔ" in of("button", "glottis")
    assert "nears l" in of("lobby", "tongue tip")


@pytest.mark.parametrize("text", ["front desk", "good night, keep calm", "valet parking", "[ʈ]", "[ʘ]", "shh", "[s]"])
def test_gestures_run_forward(text: str) -> None:
    found = gestures(spoken(text))
    assert found
    assert [g.start_s for g in found] == sorted(g.start_s for g in found)
    for gesture in found:
        assert gesture.start_s <= gesture.full_s <= gesture.leave_s <= gesture.end_s
        assert gesture.articulator in ARTICULATORS
        assert gesture.symbol == spoken(text).spans[gesture.index].sound.symbol


def test_the_next_closure_begins_before_the_held_one_ends() -> None:
    # Overlap of closures: Catford 1977, Byrd 1996; from memory.
    k, p = (next(g for g in gestures(spoken("backpack")) if g.symbol == s) for s in ("k\u031a", "pʰ"))
    assert p.full_s < k.leave_s


def test_runs_of_a_condition() -> None:
    times = np.arange(6) * STEP_S
    assert stretches(times, np.array([0, 1, 1, 0, 0, 1], bool)) == [(0.001, 0.002), (0.005, 0.005)]
    assert stretches(times, np.zeros(6, bool)) == []


# Numbers and words


def test_values_have_the_documented_fields() -> None:
    values = timing_values(spoken("front desk"))
    assert values["transcription"] == spoken("front desk").utterance.transcription
    assert [s["symbol"] for s in values["segments"]] == [s.sound.symbol for s in spoken("front desk").spans]
    for row in values["segments"]:
        assert row["start_s"] < row["end_s"]
    for row in values["stops"]:
        assert {"symbol", "closure_s", "release_s", "voicing_onset_s"} <= set(row)
    for row in values["rules"]:
        assert all(row[field] for field in ("name", "plain", "technical", "source"))
        assert 0 <= row["where"]["segment"] < len(values["segments"])
    assert values["segments"][0]["start_s"] == 0
    assert values["duration_s"] >= values["segments"][-1]["end_s"]


def test_rules_are_told_on_request() -> None:
    plain, technical = (timing_text(spoken("get it"), how) for how in ("plain", "technical"))
    assert "one quick tap" in plain
    assert "[ɾ]" in technical
    assert "rules" not in timing_text(spoken("get it"))
    assert "none: every sound" in timing_text(spoken("[tu]"), "plain")


def test_text_and_values_agree() -> None:
    lines = timing_text(spoken("backpack")).splitlines()
    rows = lines[lines.index("stops") + 2 :]
    for row, stop in zip(rows, timing_values(spoken("backpack"))["stops"], strict=True):
        cells = row.split()
        assert cells[0] == f"[{stop['symbol']}]"
        assert float(cells[1]) == pytest.approx(1000 * stop["closure_s"], abs=0.6)
        assert (cells[2] == "-") == (stop["release_s"] is None)


# Ways of speaking


def test_emphasis_names_a_word_of_the_text() -> None:
    utterance = spoken("front desk").utterance
    assert emphasised(utterance, ("Desk",)) == (1,)
    with pytest.raises(BadInput, match="emphasis 'dsk' is no word of the text; its words: front, desk"):
        emphasised(utterance, ("dsk",))
