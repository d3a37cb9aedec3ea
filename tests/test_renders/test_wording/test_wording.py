"""What is said about a moment: phases, cues, rows, key moments.

Three phases of a stop, approach, hold and release: D. Abercrombie, Elements of General Phonetics (1967), from
memory. Voice onset times of English stops in single words: L. Lisker & A. Abramson (1964), from memory.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

from articulators.errors import BadInput
from renders.films.layouts import WIDE
from renders.paper import icons, style
from renders.paper.typeface import missing, width
from renders.wording import teller
from renders.wording.languages import language_of
from renders.wording.line import Line
from tests import english
from vocaltract.motion import timeline as timelines
from vocaltract.motion.timeline import Timeline, alone, timeline
from vocaltract.phonetics.inventory import entries
from vocaltract.words.text.transcribe import read

FILM = style.load("light")
WORDS = ("backpack", "minibar", "city", "two", "do", "hands", "check")


def made(make: Callable[[], Timeline], step_s: float) -> Timeline:
    """Gaps measured on a coarser grid than films use: words are the matter here, and the sounds are many."""
    step = timelines.SECTION_STEP_S
    timelines.SECTION_STEP_S = step_s
    try:
        return make()
    finally:
        timelines.SECTION_STEP_S = step


@cache
def shown(text: str) -> Timeline:
    return made(lambda: timeline(read(text)), 0.008)


@cache
def by_itself(symbol: str) -> Timeline:
    return made(lambda: timeline(alone(symbol), by_itself=True), 0.03)


def span_of(line: Timeline, target: str) -> int:
    return next(s.index for s in line.spans if s.sound.target == target)


def grid(line: Timeline, count: int = 60) -> list[float]:
    return [float(t) for t in np.linspace(-0.05, line.duration_s + 0.05, count)]


def contiguous(parts: tuple[tuple[str, float, float], ...]) -> bool:
    rising = all(start < end for _, start, end in parts)
    return rising and all(one[2] == two[1] for one, two in pairwise(parts))


@pytest.mark.parametrize("text", WORDS)
def test_phases_are_contiguous_and_meet_hold_and_release(text: str) -> None:
    line = shown(text)
    for span in line.spans:
        parts = teller.phases(line, span.index)
        assert contiguous(parts), (span.sound.symbol, parts)
        names = [name for name, _, _ in parts]
        if not span.entry.closes:
            assert parts == (("steady", span.start_s, span.end_s),)
            continue
        assert names in (["approach", "hold", "release"], ["approach", "hold"], ["hold", "release"], ["hold"])
        hold = parts[names.index("hold")]
        assert hold[1] == pytest.approx(span.hold_s[0])
        assert ("release" in names) == (span.release_s is not None)
        if span.release_s is not None:
            assert hold[2] == pytest.approx(span.release_s)
            assert parts[-1][2] >= span.end_s


def test_the_check_of_phases_can_fail() -> None:
    assert not contiguous((("approach", 0.1, 0.2), ("hold", 0.21, 0.3)))
    assert not contiguous((("hold", 0.3, 0.3),))


def test_a_kept_closure_has_no_second_approach() -> None:
    line = shown("hands")
    assert [name for name, _, _ in teller.phases(line, span_of(line, "n"))] == ["approach", "hold"]
    assert [name for name, _, _ in teller.phases(line, span_of(line, "d"))] == ["hold", "release"]


def test_an_approach_ends_in_contact_and_comes_from_open() -> None:
    line = shown("lobby")
    name, start, end = teller.phases(line, span_of(line, "b"))[0]
    assert name == "approach"
    lips = line.moment(np.array([start, end])).lips_mm
    assert lips[0] > 5.0 and lips[1] <= 0.3


def test_unknown_sound_number() -> None:
    with pytest.raises(BadInput, match="sound 99 is not in the utterance; allowed: 0 to 5"):
        teller.phases(shown("backpack"), 99)


# every sound, both wordings, at all times


@pytest.mark.parametrize("symbol", list(entries()))
def test_every_sound_alone_is_described_at_all_times(symbol: str) -> None:
    line = by_itself(symbol)
    panel = WIDE.panels[0]
    left, right = panel[0] + 24, panel[0] + panel[2] - 24
    seen = set()
    for technical in (False, True):
        for time in grid(line, 45):
            state = english.state(line, time, technical)
            seen.add(state.phase)
            assert state.symbol == unicodedata.normalize("NFD", symbol)
            for row in (state.contact, state.air, state.voice):
                assert 0 < len(row.title) <= 34 and row.icon in icons.PICTOGRAMS
                # the places of the film's panel, renders/films/data/layouts.toml
                assert width(row.title, FILM.size("state"), "bold") <= right - left - 58, row.title
                room = right - left - 58
                if row.gauge:
                    room -= 112 + 8 + width(row.gauge, FILM.size("small")) + 8
                assert width(row.second, FILM.size("second")) <= room, row.second
                assert 0.0 <= row.level <= 1.0
            assert state.cue and width(state.cue, FILM.size("main"), "bold") <= right - left, state.cue
            assert state.detail and width(state.detail, FILM.size("second")) <= right - left, state.detail
            said = (
                state.cue,
                state.detail,
                *(t for r in (state.contact, state.air, state.voice) for t in (r.title, r.second)),
            )
            assert not any("{" in text or missing(text, "bold") for text in said), said
    assert contiguous(teller.phases(line, 0))
    wanted = {"approach", "hold", "release"} if entries()[symbol].closes else {"steady"}
    assert seen == wanted | {"rest"}


MOMENT = ("phase", "organ", "touch", "cue", "detail", "contact", "air", "voice", "moment", "throat_cue", "sound_cue")


@pytest.mark.parametrize("kind", MOMENT)
def test_every_text_has_a_plain_and_a_technical_wording(kind: str) -> None:
    for key, pair in language_of().rows(kind).items():
        assert len(pair) == 2 and all(isinstance(text, str) for text in pair), key
        assert all(pair) or key == "none_second", key


def test_every_sound_without_closure_has_a_cue_and_no_other() -> None:
    wanted = {unicodedata.normalize("NFD", s) for s, e in entries().items() if not e.closes}
    assert set(language_of().rows("sound_cue")) == wanted | {"ɹ̺"}  # both shapes of r


# statements follow the numbers


@pytest.mark.parametrize("text", ["backpack", "minibar", "city", "hands"])
def test_the_voice_row_follows_the_numbers(text: str) -> None:
    line = shown(text)
    for time in grid(line, 120):
        voice = float(line.moment(np.array([time])).voice[0])
        gap = float(line.posture(np.array([time]))["glottis_mm"][0])
        title = english.state(line, time).voice.title
        if voice > 0.51:
            assert title == "Voice on: folds vibrate"
        elif voice < 0.49 and line.span_at(time) is None and time > line.speech_s[1]:
            assert title == "Voice over" or english.state(line, time).span_index is not None
        elif voice < 0.49 and gap > 1.0:
            assert title == "Voice off: folds apart"
        elif voice < 0.49 and gap < 0.8:
            assert title == "Voice off: folds together"


@pytest.mark.parametrize("text", ["backpack", "minibar", "check"])
def test_air_is_held_only_where_the_mouth_is_shut_and_no_air_leaves(text: str) -> None:
    line = shown(text)
    kinds = set()
    for time in grid(line, 120):
        air = english.state(line, time).air
        m = line.moment(np.array([time]))
        kinds.add(air.icon)
        if air.gauge == "pressure":
            assert air.level == pytest.approx(float(m.pressure_share[0]), abs=1e-6)
            assert any(c.start_s <= time <= c.end_s for c in line.closures)
            assert m.mouth_ml_s[0] < 25
        if air.icon == "nose":
            assert m.nose_ml_s[0] >= 25 > m.mouth_ml_s[0]
        if air.icon == "still":
            assert m.mouth_ml_s[0] < 25 and m.nose_ml_s[0] < 25
    assert "rising" in kinds


@pytest.mark.parametrize(("text", "symbol", "puff"), [("two", "t", True), ("do", "d", False), ("backpack", "b", False)])
def test_only_a_long_voice_onset_is_called_a_puff(text: str, symbol: str, puff: bool) -> None:
    # Lisker & Abramson 1964 (from memory): /p t k/ about 58, 70, 80 ms; /b d g/ about 1, 5, 21 ms
    line = shown(text)
    span = line.spans[span_of(line, symbol)]
    assert span.release_s is not None
    state = english.state(line, span.release_s + 0.006)
    assert state.phase == "release"
    assert ("puff" in state.cue) == puff
    if puff:
        said = int("".join(c for c in state.detail if c.isdigit()))
        assert 50 <= said <= 90
        assert state.voice.title == "Voice off: folds apart"
        assert state.air.title == "Burst"
    else:
        assert "no puff" in state.detail or "goes on" in state.detail
        assert state.air.title != "Burst"


@pytest.mark.parametrize("text", ["two", "do", "check", "city", "hands"])
def test_at_the_instant_of_a_release_phase_contact_and_air_agree(text: str) -> None:
    """A release is the instant at which contact ends (Abercrombie 1967, from memory): nothing is shut in it."""
    line = shown(text)
    for closure in line.closures:
        spans = [line.spans[i] for i in closure.indices if line.spans[i].release == "oral"]
        if not spans or spans[-1].release_s != closure.end_s:
            continue
        before = english.state(line, closure.end_s - 1e-4)
        at = english.state(line, closure.end_s)
        assert before.phase == "hold" and before.contact.icon in ("together", "both")
        assert at.phase == "release" and at.contact.icon not in ("together", "both")
        assert at.air.gauge != "pressure"


@pytest.mark.parametrize(
    ("symbol", "title"), [("d", "Small burst"), ("t", "Burst"), ("b", "Small burst"), ("dʒ", "Small burst")]
)
def test_a_voiced_stop_bursts_softly(symbol: str, title: str) -> None:
    # intensity of the burst is greater in voiceless stops: Halle, Hughes & Radley 1957 (from memory)
    line = by_itself(symbol)
    release_s = line.spans[0].release_s
    assert release_s is not None
    assert english.state(line, release_s + 0.004).air.title == title


def test_a_tap_holds_no_air_back() -> None:
    line = shown("city")
    tap = line.spans[span_of(line, "ɾ")]
    air = english.state(line, sum(tap.hold_s) / 2).air
    assert air.title == "Brief touch" and air.gauge is None


def test_the_friction_of_a_voiced_affricate_hisses_with_voice() -> None:
    line = by_itself("dʒ")
    span = line.spans[0]
    assert span.release_s is not None
    said = [english.state(line, float(t)).air.title for t in np.arange(span.release_s + 0.036, span.end_s, 0.004)]
    assert "Hiss with buzz" in said or "Hiss" in said


def test_folds_are_said_to_be_set_only_before_the_voice() -> None:
    """No text says that a voice is to come where none comes."""
    for line in (shown("backpack"), shown("do"), by_itself("d"), by_itself("t"), by_itself("z")):
        for time in grid(line, 90):
            if "set for voice" in english.state(line, time).voice.second:
                ahead = line.moment(np.arange(time, line.duration_s, 0.004)).voice
                assert (np.asarray(ahead) > 0.5).any()
            if time > line.speech_s[1] + 0.12:
                assert english.state(line, time).voice.title == "Voice over"


def test_two_closures_at_once_are_both_named() -> None:
    line = shown("backpack")
    back, lips = line.closures[1], line.closures[2]
    assert back.organ == "dorsal" and lips.organ == "lips" and lips.start_s < back.end_s
    state = english.state(line, (lips.start_s + back.end_s) / 2)
    assert state.contact.title == "Both shut" and state.contact.icon == "both"
    assert state.contact.second == "tongue back and lips"
    assert state.cue == "Both shut: tongue back, lips"
    before = english.state(line, back.start_s + 0.01)
    assert before.cue == "Held, not released"
    assert english.state(line, back.start_s + 0.01, technical=True).cue == "No audible release"


@pytest.mark.parametrize(
    ("text", "target", "title", "place"),
    [
        # places of articulation: IPA chart (2020)
        ("backpack", "b", "Lips shut", "Bilabial closure"),
        ("two", "t", "Tongue tip on the ridge", "Alveolar closure"),
        ("backpack", "k", "Tongue back on soft palate", "Velar closure"),
        ("check", "tʃ", "Tongue behind the ridge", "Postalveolar closure"),
        ("city", "s", "Narrow gap at the ridge", "Alveolar narrowing"),
        ("city", "ɾ", "Tip taps the ridge", "Alveolar tap"),
    ],
)
def test_contact_names_the_place(text: str, target: str, title: str, place: str) -> None:
    line = shown(text)
    span = line.spans[span_of(line, target)]
    time = span.hold_s[0] + 0.4 * (span.hold_s[1] - span.hold_s[0])
    assert english.state(line, time).contact.title == title
    assert english.state(line, time, technical=True).contact.title == place


def test_a_fricative_hisses_and_a_nasal_does_not() -> None:
    hiss = by_itself("s")
    assert english.state(hiss, sum(hiss.spans[0].hold_s) / 2).air.title == "Hiss"
    nose = by_itself("m")
    assert english.state(nose, sum(nose.spans[0].hold_s) / 2).air.title == "Air out through the nose"
    assert english.state(by_itself("i"), 0.5).air.title == "Air flows"


@pytest.mark.parametrize("text", ["backpack", "minibar", "city"])
def test_cue_and_detail_change_only_with_the_phase(text: str) -> None:
    line = shown(text)
    before = None
    for time in np.arange(0.0, line.duration_s, 0.004):
        state = english.state(line, float(time))
        key = (state.span_index, state.phase, len(line.spans) and state.cue.startswith("Both"))
        if before is not None and before[0] == key and state.span_index is not None:
            assert before[1] == (state.cue, state.detail)
        before = (key, (state.cue, state.detail))


# words, phases, organs


def test_letters_of_the_sound_are_marked_where_known() -> None:
    line = shown("backpack")
    assert teller.word_parts(line, None) == ("backpack", "", "")
    unknown = replace(line.spans[0], sound=replace(line.spans[0].sound, spelling=None))
    assert teller.word_parts(replace(line, spans=(unknown, *line.spans[1:])), 0) == ("backpack", "", "")
    known = replace(line.spans[0], sound=replace(line.spans[0].sound, spelling=(2, 4)))
    assert teller.word_parts(replace(line, spans=(known, *line.spans[1:])), 0) == ("ba", "ck", "pack")


def test_single_words() -> None:
    assert [teller.phase_word(p) for p in ("approach", "hold")] == [Line("phase.approach"), Line("phase.hold")]
    assert language_of().say(teller.phase_word("hold")) == "shut"
    assert language_of().say(teller.phase_word("hold"), technical=True) == "hold"
    assert language_of().say(teller.organ_word("coronal")) == "tongue tip"
    assert language_of().say(teller.contact_word("lips")) == "lips meet here"
    with pytest.raises(BadInput, match=r"phase 'held' is unknown; allowed: .*nearest: hold"):
        teller.phase_word("held")
    with pytest.raises(BadInput, match="organ 'nose' is unknown"):
        teller.organ_word("nose")


# key moments


@pytest.mark.parametrize("text", WORDS)
@pytest.mark.parametrize("most", [1, 4, 8, 30])
def test_key_moments_rise_keep_apart_and_are_as_many_as_asked(text: str, most: int) -> None:
    found = teller.key_moments(shown(text), most)
    times = [k.time_s for k in found]
    assert 0 < len(found) <= most
    assert all(b - a >= 0.012 - 1e-9 for a, b in pairwise(times))
    assert all(english.label(k) and english.label(k, technical=True) for k in found)


@pytest.mark.parametrize("text", WORDS)
def test_key_moments_lie_in_their_phases(text: str) -> None:
    line = shown(text)
    wanted = {"hold": "hold", "nasal hold": "hold", "tap": "hold", "no audible release": "hold", "two closures": "hold"}
    wanted |= {
        "release": "release",
        "release burst": "release",
        "aspiration": "release",
        "affricate release": "release",
    }
    for key in teller.key_moments(line, 30):
        assert key.span_index is not None
        name = wanted.get(english.label(key, technical=True), "steady")
        parts = {n: (a, b) for n, a, b in teller.phases(line, key.span_index)}
        assert name in parts, key
        assert parts[name][0] <= key.time_s <= parts[name][1], key
        assert english.state(line, key.time_s).span_index == key.span_index


def test_the_moments_of_backpack() -> None:
    # the moments that design and trade ask for: hold and release, both shut, burst and breath, the last hold
    # and the last release, whose air the curve shows
    said = [english.label(key) for key in teller.key_moments(shown("backpack"))]
    assert said == [
        "shut", "let go", "vowel", "held, not released", "both shut", "shut", "let go: burst", "puff of breath", "shut",
        "let go: burst",
    ]  # fmt: skip


def test_a_breath_is_shown_at_two_fifths_of_its_voice_onset() -> None:
    line = shown("two")
    span = line.spans[0]
    breath = next(k for k in teller.key_moments(line) if english.label(k, technical=True) == "aspiration")
    assert span.release_s is not None and span.voice_s is not None
    assert breath.time_s == pytest.approx(span.release_s + 0.4 * (span.voice_s - span.release_s), abs=0.002)


def test_a_sound_alone_begins_and_ends_at_rest() -> None:
    labels = [english.label(k, technical=True) for k in teller.key_moments(by_itself("t"))]
    assert labels == ["rest", "approach", "hold", "release burst", "aspiration", "rest"]
    assert [english.label(k, technical=True) for k in teller.key_moments(by_itself("aɪ"))] == [
        "rest", "onset of glide", "end of glide", "rest",
    ]  # fmt: skip


def test_no_key_moments_is_not_a_number_to_ask_for() -> None:
    with pytest.raises(BadInput, match="0 key moments were asked for; allowed: 1 or more"):
        teller.key_moments(shown("two"), 0)
