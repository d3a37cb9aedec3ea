"""Films and frames as drawn: flashes, length, text that keeps its room, marks that agree with the numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from renders import film, frame, scene
from renders.airlines import mouth_lines, seam_of
from renders.flash import count_flashes
from renders.marks import contact_line
from renders.picture import Fill
from renders.recording import record
from renders.style import load
from tests.picture_text import collisions, outside, text_boxes
from vocaltract.phonetics.inventory import sound

SMALL = (320, 180)


def drawn(text: str, time_s: float, style: str = "light"):
    shown = film.timeline_of_text(text)
    look = load(style)
    static = frame.static_layers(shown, shown.head, look, frame.speed_text(0.5, False))
    return frame.picture(shown, static, scene.moment(shown, time_s), look), look


@pytest.mark.parametrize(("text", "style"), [("backpack", "light"), ("[t]", "dark")])
def test_films_stay_under_three_flashes_a_second(text: str, style: str) -> None:
    # WCAG 2.2, 2.3.1; that the counter can fail is shown by the strobes of test_encode_flash.py
    shown = film.timeline_of_text(text)
    playback = film.playback_of(shown, 0.5, False)
    report = count_flashes(film.frames(shown, playback, 0.5, 30, load(style), SMALL), 30)
    assert report.passes, report
    assert report.general <= 3
    assert report.red == 0


@pytest.mark.parametrize(("speed", "fps"), [(0.5, 30), (0.25, 25), (1.0, 12)])
def test_length_is_real_length_over_speed(speed: float, fps: float) -> None:
    shown = film.timeline_of_sound(sound("d"))
    playback = film.playback_of(shown, speed, False)
    count = sum(1 for _ in film.frames(shown, playback, speed, fps, load(), SMALL))
    assert abs(count / fps - shown.duration_s / speed) <= 1 / fps


def test_dwelling_is_longer_and_never_runs_back() -> None:
    shown = film.timeline_of_text("towel")
    plain, dwelling = (film.playback_of(shown, 0.5, dwell) for dwell in (False, True))
    assert dwelling.duration_s > plain.duration_s
    times = dwelling.frame_times_s(60)
    assert np.all(np.diff(times) > 0)
    assert times[0] == 0
    assert times[-1] <= shown.duration_s


@pytest.mark.parametrize(("text", "style"), [("backpack", "light"), ("late check-out", "dark"), ("[d]", "print")])
def test_text_of_a_frame_keeps_its_room(text: str, style: str) -> None:
    shown = film.timeline_of_text(text)
    for share in (0.05, 0.3, 0.45, 0.6, 0.75):
        picture, look = drawn(text, share * shown.duration_s, style)
        boxes = text_boxes(record(picture, look))
        assert outside(boxes, picture.width, picture.height) == []
        # the lit box of the strip repeats the symbol that it covers
        assert [pair for pair in collisions(boxes, slack=2.5) if pair[0] != pair[1]] == []


def test_the_checks_of_room_can_fail() -> None:
    from renders.picture import Layer, Picture, Text

    twice = tuple(Text("towel", 20 + i, 60, 40, "ink") for i in range(2))
    off = Text("desk", 190, 60, 40, "ink")
    boxes = text_boxes(record(Picture(200, 100, "paper", (Layer("t", (*twice, off)),)), load()))
    assert collisions(boxes)
    assert outside(boxes, 200, 100) == ["desk"]


@pytest.mark.parametrize("text", ["front desk", "doctor", "[m]"])
def test_every_closure_of_the_strip_is_a_contact_in_the_picture(text: str) -> None:
    shown = film.timeline_of_text(text)
    for closure in shown.closures:
        middle = scene.moment(shown, (closure.start_s + closure.end_s) / 2)
        assert contact_line(middle.section, closure.organ) is not None
        just_before = scene.moment(shown, closure.start_s - 0.02)
        assert closure not in just_before.state.closed


@pytest.mark.parametrize(("text", "blocked"), [("[t]", True), ("[s]", False), ("[ɑ]", False), ("[p]", True)])
def test_air_lines_stop_where_the_mouth_is_shut(text: str, blocked: bool) -> None:
    shown = film.timeline_of_text(text)
    start, end = shown.spans[0].hold_s
    middle = scene.moment(shown, (start + end) / 2)
    lines, seam = mouth_lines(middle.section, middle.channel, middle.airway), seam_of(middle.channel)
    assert (seam is not None) == blocked
    assert all(len(line.points) > 10 and np.isfinite(line.points).all() for line in lines)
    assert (not middle.airway.mouth) == blocked


def test_burst_is_drawn_only_after_a_release_and_breath_only_without_voice() -> None:
    shown = film.timeline_of_text("two")
    stop = shown.spans[0]
    assert stop.release_s is not None and stop.voice_s is not None
    times = (stop.release_s - 0.01, stop.release_s + 0.02, stop.voice_s + 0.06)
    states = [scene.moment(shown, t).state for t in times]
    assert states[0].burst == 0
    assert states[1].burst > 0.3
    assert states[2].burst == 0
    assert states[1].breath > 0.5 > states[2].breath


def drawn_names(text: str, time_s: float) -> set[str]:
    picture, look = drawn(text, time_s)
    return {name for call in record(picture, look) for name in call.groups}


def test_marks_are_drawn_when_their_numbers_say_so() -> None:
    shown = film.timeline_of_text("two")
    stop = shown.spans[0]
    held = drawn_names("two", stop.release_s - 0.01)
    burst = drawn_names("two", stop.release_s + 0.02)
    vowel = drawn_names("two", stop.voice_s + 0.08)
    assert {"contact-coronal", "pressure", "folds-apart"} <= held
    assert "burst" in burst and "contact-coronal" not in burst and "voice" in vowel
    assert not {"burst", "contact-coronal"} & vowel
    assert {"folds-together", "felt-at-the-throat"} <= vowel


def test_one_scene_gives_the_same_pixels_twice() -> None:
    shown = film.timeline_of_sound(sound("b"))
    playback = film.playback_of(shown, 1.0, False)
    one, two = (list(film.frames(shown, playback, 1.0, 10, load(), SMALL)) for _ in range(2))
    assert all(np.array_equal(a, b) for a, b in zip(one, two, strict=True))


def test_other_shapes_are_centred_on_paper() -> None:
    shown = film.timeline_of_sound(sound("b"))
    playback = film.playback_of(shown, 1.0, False)
    square = next(iter(film.frames(shown, playback, 1.0, 10, load(), (320, 320))))
    assert square.shape == (320, 320, 4)
    assert np.all(square[:, 2] == square[0, 0])
    assert np.any(square[160, 160] != square[0, 0])


@pytest.mark.parametrize(
    ("size", "tall"),
    [((1280, 720), False), ((854, 480), False), ((640, 480), False), ((720, 1280), True), ((1080, 1080), True)],
)
def test_pictures_taller_than_wide_have_a_layout_of_their_own(size: tuple[int, int], tall: bool) -> None:
    layout = frame.layout_for(size)
    assert (layout.height > layout.width) == tall
    small = layout.size(load(), "small") * min(size[0] / layout.width, size[1] / layout.height)
    assert small >= 16.0 * min(size[0] / 1280, size[1] / 720)  # never smaller than the wide layout would be


@pytest.mark.parametrize(("text", "style"), [("backpack", "light"), ("night", "dark"), ("late check-out", "print")])
def test_text_of_a_tall_frame_keeps_its_room(text: str, style: str) -> None:
    shown = film.timeline_of_text(text)
    look, layout = load(style), frame.layout_for((1080, 1920))
    static = frame.static_layers(shown, shown.head, look, frame.speed_text(0.5, False), layout)
    for share in (0.05, 0.3, 0.45, 0.6, 0.75):
        now = scene.moment(shown, share * shown.duration_s)
        boxes = text_boxes(record(frame.picture(shown, static, now, look, layout), look))
        assert outside(boxes, layout.width, layout.height) == []
        assert [pair for pair in collisions(boxes, slack=2.5) if pair[0] != pair[1]] == []


def test_the_box_of_the_sound_in_the_transcription_covers_no_neighbour() -> None:
    picture, look = drawn("front desk", 0.45)
    panel = next(layer for layer in picture.layers if layer.name == "panel, word")
    boxes = text_boxes(record(replace(picture, layers=(panel,)), look))
    fills = [op for op in panel.ops if isinstance(op, Fill) and op.colour == "focus"]
    vertices = fills[0].path.vertices
    left, right = float(vertices[:, 0].min()), float(vertices[:, 0].max())
    line = [box for box in boxes if box.bottom > 80 and box.top < 110 and box.left > 960]
    assert len(line) == 3
    assert line[0].right < left and line[2].left > right and left < line[1].left < line[1].right < right
