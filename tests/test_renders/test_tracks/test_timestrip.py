"""The time strip agrees with the timeline it shows, to one px; the play head moves on and hides no symbol."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from articulators.errors import BadInput
from renders.ink.recording import Call, recorded_calls
from renders.paper import style
from renders.paper.picture import Layer, Picture
from renders.tracks import play_head, timestrip
from renders.tracks.layout import tracks_layout
from renders.tracks.strip_plan import RowChoice
from renders.wording.languages import language_of
from vocaltract.motion import timeline as timelines
from vocaltract.motion.timeline import Timeline, alone, timeline
from vocaltract.words.text.transcribe import read

ENGLISH = language_of()

LIGHT, DARK = style.load("light"), style.load("dark")
BOX = (0.0, 584.0, 1280.0, 136.0)
WORDS = ("backpack", "minibar", "city")


@cache
def shown(text: str) -> Timeline:
    """Coarser than films are: the strip is compared with the same timeline that it is drawn from."""
    step = timelines.SECTION_STEP_S
    timelines.SECTION_STEP_S = 0.008
    try:
        return timeline(alone(text[1:]), by_itself=True) if text.startswith("@") else timeline(read(text))
    finally:
        timelines.SECTION_STEP_S = step


def placed(text: str, rows: RowChoice = "all", look: style.Style = LIGHT) -> timestrip.TimeStrip:
    return timestrip.time_strip(shown(text), BOX, look, ENGLISH, rows)


def calls(*layers: Layer, look: style.Style = LIGHT) -> list[Call]:
    return recorded_calls(Picture(1280, 720, None, layers), look)


def strip(text: str, rows: RowChoice = "all") -> list[Call]:
    return calls(timestrip.strip_static(placed(text, rows)))


def head(text: str, time_s: float) -> list[Call]:
    return calls(*play_head.PlayHead(placed(text)).layers(time_s))


def named(found: list[Call], name: str) -> list[Call]:
    """Calls inside a group of that name; the pens write a space as a hyphen."""
    return [call for call in found if any(group.startswith(name.replace(" ", "-")) for group in call.groups)]


def spread(call: Call) -> tuple[float, float]:
    return float(call.vertices[:, 0].min()), float(call.vertices[:, 0].max())


def bars(text: str) -> list[tuple[str, float, float]]:
    found = named(strip(text), "closure ")
    return sorted((call.groups[-1].removeprefix("closure-"), *spread(call)) for call in found)


def agree(drawn: list[tuple[str, float, float]], line: Timeline, shift_s: float = 0.0) -> bool:
    wanted = sorted(
        (c.organ, *(timestrip.strip_x(line, BOX, t + shift_s) for t in (c.start_s, c.end_s))) for c in line.closures
    )
    return len(drawn) == len(wanted) and all(
        one[0] == two[0] and abs(one[1] - two[1]) <= 1 and abs(one[2] - two[2]) <= 1
        for one, two in zip(drawn, wanted, strict=True)
    )


@pytest.mark.parametrize("text", [*WORDS, "@t"])
def test_bars_agree_with_the_closures_of_the_timeline(text: str) -> None:
    assert agree(bars(text), shown(text))


def test_the_agreement_can_fail() -> None:
    assert not agree(bars("backpack"), shown("backpack"), shift_s=0.004)
    assert not agree(bars("backpack")[1:], shown("backpack"))


@pytest.mark.parametrize("text", WORDS)
def test_sound_boxes_follow_the_spans_and_breath_has_no_box(text: str) -> None:
    line = shown(text)
    boxes = [call for call in named(strip(text), "sound ") if call.face is not None]
    assert len(boxes) == len(line.spans)
    for call, span in zip(boxes, line.spans, strict=True):
        left, right = spread(call)
        assert abs(left - timestrip.strip_x(line, BOX, span.start_s)) <= 1.5
        assert abs(right - timestrip.strip_x(line, BOX, span.end_s)) <= 1.5
    strings = {call.string for call in strip(text)}
    assert "ʰ" not in strings and "h" not in strings


def test_the_box_of_an_aspirated_stop_reaches_to_the_voice() -> None:
    line = shown("backpack")
    stop = next(s for s in line.spans if "aspirated" in s.sound.features)
    box = next(c for c in named(strip("backpack"), f"sound {stop.index}") if c.face is not None)
    wave = min(
        spread(c)[0]
        for c in named(strip("backpack"), "voice")
        if spread(c)[0] > timestrip.strip_x(line, BOX, stop.start_s)
    )
    assert abs(spread(box)[1] - wave) < 12, "px between the end of the box and the start of the voice"


@pytest.mark.parametrize("text", WORDS)
def test_the_wave_runs_where_the_voice_is_on(text: str) -> None:
    line = shown(text)
    times = np.arange(0, line.duration_s, 0.001)
    on = line.moment(times).voice > 0.5
    x = np.array([timestrip.strip_x(line, BOX, t) for t in times])
    covered = np.zeros(len(times), dtype=bool)
    for call in named(strip(text), "voice"):
        left, right = spread(call)
        covered |= (x >= left - 0.1) & (x <= right + 0.1)
    inside = (x >= x[0]) & (times > line.speech_s[0] - 0.2) & (times < line.speech_s[1] + 0.2)
    # the drawn ends lie on a 2 ms grid
    assert np.count_nonzero((covered != on) & inside) <= 4 * len(named(strip(text), "voice"))


def test_nose_bar_only_where_a_nasal_opens_the_way() -> None:
    assert not named(strip("backpack"), "nose open")
    line = shown("minibar")
    (left, right) = spread(next(c for c in named(strip("minibar"), "nose open") if c.face is not None))
    nasal = line.spans[0]
    middle = timestrip.strip_x(line, BOX, sum(nasal.hold_s) / 2)
    stop = next(s for s in line.spans if s.entry.is_stop)
    assert left < middle < right < timestrip.strip_x(line, BOX, stop.hold_s[0] + 0.02)


def test_air_of_mouth_and_nose_differ_by_shape() -> None:
    mouth, nose = named(strip("minibar"), "air out of the mouth"), named(strip("minibar"), "air out of the nose")
    assert all(call.edge is None for call in mouth), "mouth: filled"
    assert any(call.edge is not None and call.clip is not None for call in nose), "nose: hatched"


def test_the_air_curve_is_highest_where_the_flow_is() -> None:
    line = shown("backpack")
    areas = named(strip("backpack"), "air out of the mouth")
    times = np.arange(line.speech_s[0] - 0.2, line.speech_s[1] + 0.2, 0.001)
    x, flow = np.array([timestrip.strip_x(line, BOX, t) for t in times]), line.moment(times).mouth_ml_s
    highest = []
    for area in areas:
        left, right = spread(area)
        inside = (x >= left) & (x <= right)
        top = area.vertices[area.vertices[:, 1].argmin()]
        assert abs(top[0] - x[inside][flow[inside].argmax()]) < 4
        highest.append((float(flow[inside].max()), float(area.vertices[:, 1].max() - top[1])))
    assert len(highest) >= 3
    for flow_ml_s, height in highest:
        # one scale for all: height in proportion to flow
        assert height / flow_ml_s == pytest.approx(highest[0][1] / highest[0][0], rel=0.05)


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_texts_of_the_rows(look: style.Style) -> None:
    strings = {c.string for c in calls(timestrip.strip_static(placed("minibar", look=look)), look=look)}
    assert {"voice", "shut / nose", "air out", "ms", "lips", "nose open", "0", "100"} <= strings
    short = {c.string for c in strip("minibar", "short")}
    assert {"voice", "m"} <= short and not {"shut", "shut / nose", "air out", "lips"} & short


def test_ticks_are_a_tenth_of_a_second_apart() -> None:
    line = shown("backpack")
    begin = line.speech_s[0]
    per = timestrip.strip_x(line, BOX, begin + 0.1) - timestrip.strip_x(line, BOX, begin)
    at = {c.string: np.mean(spread(c)) for c in strip("backpack") if c.string in ("100", "200", "300")}
    assert at["200"] - at["100"] == pytest.approx(per, abs=1.0) == pytest.approx(at["300"] - at["200"], abs=1.0)


def marker(text: str, time_s: float) -> Call:
    return named(head(text, time_s), "play head marker")[0]


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
@settings(max_examples=25, deadline=None)
def test_the_play_head_never_goes_back(one: float, two: float) -> None:
    begin, end = shown("backpack").speech_s
    first, second = sorted(begin + share * (end - begin) for share in (one, two))
    assert spread(marker("backpack", first))[0] <= spread(marker("backpack", second))[0] + 1e-9


def test_there_is_no_play_head_beside_the_strip() -> None:
    (begin, end), beyond_s = shown("backpack").speech_s, tracks_layout().strip_rows.beyond_s
    for time in (begin - beyond_s - 0.05, end + beyond_s + 0.05):
        assert named(head("backpack", time), "play head marker") == []


def test_the_play_head_stands_at_its_time() -> None:
    line = shown("backpack")
    for time in np.linspace(*line.speech_s, 9):
        assert np.mean(spread(marker("backpack", time))) == pytest.approx(timestrip.strip_x(line, BOX, time), abs=0.01)


def test_the_play_head_leaves_the_symbol_free() -> None:
    line = shown("backpack")
    for time in np.linspace(*line.speech_s, 15):
        found = head("backpack", float(time))
        lines = [c for c in found if c.groups == ("play-head", "play-head")]
        symbol = next(c for c in found if c.string)
        top, bottom = symbol.vertices[:, 1].min(), symbol.vertices[:, 1].max()
        assert lines, "the line itself is among the calls"
        assert all(c.vertices[:, 1].min() > bottom for c in lines)
        assert marker("backpack", float(time)).vertices[:, 1].max() < top


def test_the_lit_box_is_that_of_the_sound_being_made() -> None:
    line = shown("backpack")
    for span in line.spans:
        found = head("backpack", sum(span.hold_s) / 2 if not span.sound.symbol.startswith("pʰ") else 0.7)
        assert span.sound.symbol in {c.string for c in found}
    assert not [c for c in head("backpack", 0.02) if c.string], "at rest none is lit"


def test_layers_and_rows() -> None:
    assert timestrip.strip_static(placed("city")).moves is False
    assert all(layer.moves for layer in play_head.PlayHead(placed("city")).layers(0.5))
    with pytest.raises(BadInput, match="rows 'both' is unknown; allowed: all, short"):
        timestrip.strip_static(placed("city", "both"))  # type: ignore[arg-type]


@pytest.mark.parametrize("text", [*WORDS, "@t"])
def test_nothing_leaves_the_strip(text: str) -> None:
    for call in strip(text) + head(text, 0.5):
        inside = call.vertices if call.clip is None else call.clip
        assert inside[:, 1].min() >= BOX[1] - 1 and inside[:, 1].max() <= BOX[1] + BOX[3] + 1
        assert inside[:, 0].min() >= BOX[0] and inside[:, 0].max() <= BOX[0] + BOX[2] + 1
