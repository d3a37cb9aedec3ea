"""Tempo, emphasis, pauses and prevoicing of whole timelines, against published durations and lags.

Measured on closures, air and voice of the simulated mouth, not read from the plan.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.section import section
from tests.reference.published import air
from tests.test_vocaltract.spoken import said
from vocaltract.airway.gaps import gaps
from vocaltract.motion.durations import durations_s
from vocaltract.motion.timeline import Timeline, timeline
from vocaltract.motion.timing import timing
from vocaltract.speech import say
from vocaltract.words.text.transcribe import read

RATES = (0.5, 0.7, 1.0, 1.4, 2.0)
PHRASES = (
    "good night",
    "here is your key",
    "the elevator is on your left",
    "would you like a room with a view",
    "can I help you with your luggage",
    "breakfast is from seven to ten",
    "what time is check out",
    "thank you very much",
    "valet parking",
    "please sign here",
)


def at_rate(text: str, rate: float) -> Timeline:
    return say(text, rate=rate)


def speech_s(made: Timeline) -> float:
    return made.speech_s[1] - made.speech_s[0]


def voice_onset_ms(made: Timeline) -> float:
    """From the release of the first stop to the first voice after it, measured on closure and voice."""
    release = made.closures[0].end_s
    t = np.arange(release - 0.002, made.duration_s, 0.0005)
    return 1000 * float(t[made.moment(t).voicing > 0][0] - release)


# Tempo


@pytest.mark.parametrize("text", ["good night", "luggage", "front desk", "good night, keep calm"])
def test_the_faster_the_shorter(text: str) -> None:
    lengths = [speech_s(at_rate(text, rate)) for rate in RATES]
    assert all(a > b for a, b in pairwise(lengths)), lengths
    # what is above the minimum gives way (Klatt 1976): less than in proportion, and vowels more than closures
    assert 1.3 < lengths[0] / lengths[2] <= 2.0
    assert 0.5 <= lengths[4] / lengths[2] < 0.9


def test_no_sound_is_shorter_than_its_minimum() -> None:
    """Klatt's minimums (Allen, Hunnicutt & Klatt 1987) hold at any tempo; closures give less than vowels."""
    said_ = read("would you like a room with a view")
    fast, usual = durations_s(said_, 2.0), durations_s(said_)
    for sound, short, long in zip(said_.sounds, fast, usual, strict=True):
        assert 1000 * short >= timing().segment.duration_ms[sound.target][1] - 1e-6
        assert short < long
    cat = read("cat")
    _, vowel, stop = (a / b for a, b in zip(durations_s(cat, 0.5), durations_s(cat), strict=True))
    assert vowel > stop > 1


def test_long_lags_go_with_the_tempo_and_short_ones_do_not() -> None:
    """Kessinger & Blumstein (1997), English: long-lag stops shorten as speech gets faster, b d ɡ stay; from memory."""
    slow, usual, fast = (voice_onset_ms(at_rate("two", rate)) for rate in (0.5, 1.0, 2.0))
    assert slow > usual + 10 > fast + 20
    assert fast >= 50  # row cat_vot: still a long lag
    for rate in (0.5, 2.0):
        assert voice_onset_ms(at_rate("guest", rate)) == pytest.approx(voice_onset_ms(at_rate("guest", 1.0)), abs=3)


@pytest.mark.parametrize("rate", [0.5, 2.0])
@pytest.mark.parametrize("text", ["front desk", "backpack", "doctor", "city", "stop talking", "hotel", "luggage"])
def test_every_stop_is_airtight_at_any_tempo(text: str, rate: float) -> None:
    made = at_rate(text, rate)
    for span in made.spans:
        if span.entry.closes and span.entry.manner != "nasal":
            start, end = span.hold_s
            assert end - start >= 0.010, span.sound.symbol
            found = gaps(section(made.head, made.posture(np.linspace(start + 0.002, end - 0.002, 9))))
            shut = np.any([found.shut(organ) for organ in ("lips", "coronal", "dorsal")], axis=0)
            assert shut.all(), (text, span.sound.symbol)
    for a, b in pairwise(made.spans):
        if a.release == "none" and a.entry.is_stop and b.entry.is_stop:
            first, second = ([c for c in made.closures if s.index in c.indices] for s in (a, b))
            assert second[0].start_s <= first[-1].end_s, f"{a.sound.symbol} opens before {b.sound.symbol} is shut"


@pytest.mark.parametrize("text", PHRASES)
def test_phrases_have_three_to_six_syllables_a_second(text: str) -> None:
    """3 to 6 syllables a second in connected speech (common practice; Laver 1994: 4 to 6, from memory)."""
    made = at_rate(text, 1.0)
    syllables = sum(1 for sound in made.utterance.sounds if sound.stress is not None)
    assert 3 <= syllables / speech_s(made) <= 6


@pytest.mark.parametrize("rate", [0.4, 2.1, 0.0, -1.0, float("nan"), float("inf")])
def test_other_rates_are_refused(rate: float) -> None:
    with pytest.raises(BadInput, match=r"rate .* allowed is 0\.5 to 2"):
        timeline(read("two"), rate=rate)


# Emphasis


def test_emphasis_lengthens_its_word_alone() -> None:
    """Klatt's rule for emphasis: the stressed vowel's compressible part by 1.4; consonants grow less (Turk & White)."""
    plain, strong = at_rate("good night", 1.0), timeline(read("good night"), style="connected", emphasis=(1,))
    grown = [(b.end_s - b.start_s) / (a.end_s - a.start_s) for a, b in zip(plain.spans, strong.spans, strict=True)]
    words = [span.sound.word for span in plain.spans]
    assert all(ratio == pytest.approx(1, abs=1e-6) for ratio, word in zip(grown, words, strict=True) if word == 0)
    vowel = next(ratio for ratio, span in zip(grown, plain.spans, strict=True) if span.sound.symbol == "aɪ")
    assert 1.1 <= vowel <= 1.4
    assert all(1 <= ratio <= vowel for ratio, word in zip(grown, words, strict=True) if word == 1)


def test_emphasis_falls_on_the_stressed_syllable() -> None:
    said_ = read("hotel")
    grown = [b / a for a, b in zip(durations_s(said_), durations_s(said_, emphasis=(0,)), strict=True)]
    by_symbol = dict(zip([s.target for s in said_.sounds], grown, strict=True))
    assert by_symbol["ɛ"] > 1.1
    assert by_symbol["oʊ"] == 1


def test_emphasis_on_no_word_is_refused() -> None:
    with pytest.raises(BadInput, match="word 2 is not in the utterance; allowed: 0 to 1"):
        timeline(read("good night"), emphasis=(2,))


# Prevoicing


@pytest.mark.parametrize(("text", "mean_ms"), [("bay", 101), ("do", 102), ("guest", 88)])
def test_prevoiced_stops_lead_by_the_measured_time(text: str, mean_ms: float) -> None:
    """Lisker & Abramson (1964), speakers who prevoice: -101, -102, -88 ms (from memory). Air and folds bring it out."""
    made = timeline(read(text), prevoiced=True)
    release = made.closures[0].end_s
    t = np.arange(0.0, release, 0.0005)
    voiced = made.moment(t).voicing > 0
    assert 1000 * (release - t[voiced][0]) == pytest.approx(mean_ms, abs=10)
    assert voiced[t >= t[voiced][0]].all(), "voice goes on to the release"
    usual = said(text)
    before = np.arange(0.0, usual.closures[0].end_s, 0.0005)
    assert not np.any(usual.moment(before).voicing), "by default voice starts after the release"


# Pauses


def test_no_voice_and_hardly_any_breath_in_a_pause() -> None:
    """Folds part for breath between thought groups (common practice)."""
    made = at_rate("good night, keep calm", 1.0)
    a, b = next((a, b) for a, b in pairwise(made.spans) if b.start_s > a.end_s + 0.1)
    t = np.arange(a.end_s, b.start_s, 0.001)
    moment = made.moment(t)
    assert not np.any(moment.voicing)
    later = t > a.end_s + 0.09
    assert float(moment.mouth_ml_s[later].max()) < air("u_vow").range[0]
    assert float(moment.glottis_cm2[later].max()) > 0.1
    # and again before a voiced stop and a vowel, where the folds would be near enough
    for text in ("do, do", "see, on", "room, my"):
        made = at_rate(text, 1.0)
        a, b = next((a, b) for a, b in pairwise(made.spans) if b.start_s > a.end_s + 0.1)
        inside = np.arange(a.end_s + 0.03, b.start_s - 0.035, 0.001)
        assert not np.any(made.moment(inside).voicing), text
        after = np.arange(b.start_s, made.duration_s, 0.001)
        assert np.any(made.moment(after).voicing), text


# Lengths


PAIRS = [
    ("bat", "bad"), ("seat", "seed"), ("cap", "cab"), ("back", "bag"), ("set", "said"), ("coat", "code"),
    ("rack", "rag"),
]  # fmt: skip


def voiced_vowel_s(text: str) -> float:
    """Time of the last vowel in which there is voice and the mouth is open, on voice and closure."""
    made = said(text)
    vowel = [s for s in made.spans if s.entry.kind == "vowel"][-1]
    shut = next(c.start_s for c in made.closures if c.start_s > vowel.start_s + 0.02)
    t = np.arange(vowel.start_s - 0.03, shut, 0.0005)
    return 0.0005 * float((made.moment(t).voicing > 0).sum())


@pytest.mark.parametrize(("voiceless", "voiced"), PAIRS)
def test_vowels_as_heard_are_shorter_before_voiceless_stops(voiceless: str, voiced: str) -> None:
    """0.60 to 0.80 (Peterson & Lehiste 1960: 197 to 297 ms, 2 : 3, second hand)."""
    assert 0.60 <= voiced_vowel_s(voiceless) / voiced_vowel_s(voiced) <= 0.80


@pytest.mark.parametrize(
    ("t_word", "d_word"), [("writer", "rider"), ("latter", "ladder"), ("metal", "medal"), ("betting", "bedding")]
)
def test_a_flapped_t_leaves_some_of_its_shortening(t_word: str, d_word: str) -> None:
    """Same flap, vowels 5 to 15 % apart (Fox & Terbeek 1977; Zue & Laferriere 1979, from memory)."""

    def vowel_s(text: str) -> float:
        made = said(text)
        flap = next(s for s in made.spans if s.entry.manner == "tap")
        return flap.hold_s[0] - made.spans[flap.index - 1].start_s

    assert 0.85 <= vowel_s(t_word) / vowel_s(d_word) <= 0.96


@pytest.mark.parametrize("text", ["city", "water", "ladder", "party", "data", "little", "get it"])
def test_flaps_are_measured_to_be_short(text: str) -> None:
    """15 to 40 ms (row flap_byrd and its tolerance; Zue & Laferriere 1979, from memory)."""
    made = said(text)
    for flap in (s for s in made.spans if s.entry.manner == "tap"):
        held = next(c for c in made.closures if flap.index in c.indices)
        assert 0.015 <= held.end_s - held.start_s <= 0.040


def test_one_hold_for_two_stops() -> None:
    """1.4 to 1.7 of one closure at that place (Pickett & Decker 1960, from memory): their mean; each 1.3 to 2."""
    pairs = {
        "big game": "a game", "black car": "a car", "top part": "a part", "hot tea": "a tea", "ripe pear": "a pear",
        "good day": "a day", "bad dog": "a dog", "club bar": "a bar",
    }  # fmt: skip
    ratios = []
    for long, short in pairs.items():
        double, single = at_rate(long, 1.0), at_rate(short, 1.0)
        stop = next(s for s in double.spans if "long" in s.sound.features)
        one = next(s for s in single.spans if s.sound.phoneme == stop.sound.phoneme)
        held = [next(c for c in m.closures if s.index in c.indices) for m, s in ((double, stop), (single, one))]
        ratios.append((held[0].end_s - held[0].start_s) / (held[1].end_s - held[1].start_s))
    assert all(1.3 <= ratio <= 2.0 for ratio in ratios), ratios
    assert 1.4 <= float(np.mean(ratios)) <= 1.7


# Movement


def test_nothing_opens_between_a_hiss_and_a_stop_of_the_back_of_the_tongue() -> None:
    """s and k are made by different parts of the tongue, which overlap (Byrd 1996; Catford, from memory)."""
    for text in ("desk", "sky", "ask", "box", "taxi"):
        made = said(text)
        k = next(s for s in made.spans if s.entry.symbol == "k")
        s = next(s for s in made.spans if s.entry.symbol == "s" and abs(s.index - k.index) == 1)
        boundary = s.end_s if s.index < k.index else k.end_s
        t = np.arange(boundary - 0.025, boundary + 0.025, 0.001)
        moment = made.moment(t)
        narrowest = np.minimum(moment.coronal_mm, moment.dorsal_mm)
        assert float(narrowest.max()) <= 1.5, text
        closure = next(c for c in made.closures if k.index in c.indices)
        edge = closure.start_s if s.index < k.index else closure.end_s
        assert abs(edge - boundary) < 0.012, text


@pytest.mark.parametrize("text", ["calm", "mom", "home", "farm", "room", "moon"])
def test_the_tongue_leaves_room_for_the_lowered_palate_in_m(text: str) -> None:
    """m shuts the lips alone (Handbook of the IPA 1999): the back of the tongue touches nothing."""
    made = said(text)
    for m in (s for s in made.spans if s.entry.symbol == "m"):
        assert float(made.moment(np.linspace(*m.hold_s, 25)).dorsal_mm.min()) > 0.2


@pytest.mark.parametrize("text", ["top chair", "stop changing", "capture", "club chair", "keep judging"])
def test_lips_stay_shut_until_an_affricate_is(text: str) -> None:
    """Closures of neighbouring stops overlap by tens of ms (Catford 1977; Byrd 1996, from memory)."""
    made = said(text)
    a, b = next((a, b) for a, b in pairwise(made.spans) if a.entry.is_stop and b.entry.is_stop)
    first, second = (next(c for c in made.closures if s.index in c.indices) for s in (a, b))
    assert first.end_s - second.start_s > 0.010


@pytest.mark.parametrize("text", ["play", "tree", "clean", "quick", "twelve", "cry"])
def test_a_devoiced_approximant_lets_the_breath_of_the_stop_out(text: str) -> None:
    """l ɹ w j after an initial p t k have no voice for the greater part (Ladefoged & Johnson, from memory)."""
    made = said(text)
    span = next(s for s in made.spans if "devoiced" in s.sound.features)
    inside = made.moment(np.arange(span.start_s, span.end_s, 0.001))
    assert 0 < float(inside.voicing.mean()) < 0.5
    assert float(inside.mouth_ml_s.max()) > 2 * air("u_vow").range[0]
    assert voice_onset_ms(made) > 50  # row cat_vot


@pytest.mark.parametrize("text", ["sudden", "garden", "good night", "submit"])
def test_a_nasally_released_stop_is_let_go_by_the_palate(text: str) -> None:
    """The tongue or lips stay shut and the air comes out of the nose (Ladefoged & Johnson, from memory)."""
    made = said(text)
    stop = next(s for s in made.spans if s.release == "nasal")
    assert stop.release_s is not None
    closure = next(c for c in made.closures if stop.index in c.indices)
    assert stop.index + 1 in closure.indices, "one closure for both"
    t = np.arange(stop.hold_s[0], closure.end_s, 0.0005)
    moment = made.moment(t)
    assert abs(float(t[moment.port_mm > 0][0]) - stop.release_s) < 0.012
    inside = (t > stop.hold_s[0] + 0.003) & (t < closure.end_s - 0.003)  # edges of contact lie between two steps
    assert float(moment.mouth_ml_s[inside].max()) < 1
    assert float(moment.nose_ml_s.max()) > air("u_vow").range[0]
