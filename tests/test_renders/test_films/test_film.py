"""Films and frames as drawn: flashes, length, text that keeps its room, marks that agree with the numbers."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import numpy as np
import pytest

from articulators.errors import BadInput
from renders.files.encode import buffers
from renders.films import film, frame, layouts
from renders.films.intro import intro_card
from renders.films.layouts import WIDE, Layout, layout_for
from renders.films.look import FrameLook
from renders.films.pacing import hold_times_s, playback_of, with_holds
from renders.films.shot import Shot, hold_of
from renders.ink.painter import Raster
from renders.ink.recording import recorded_calls
from renders.marks import moments
from renders.marks.contact_lines import contact_line
from renders.marks.flow_lines import mouth_lines
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Picture
from renders.paper.style import Style, load
from renders.sideview.composed import side_layers
from renders.wording import teller
from renders.wording.languages import language_of
from tests.flash import count_flashes
from tests.picture_text import collisions, outside, text_boxes
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import say, say_alone

ENGLISH = language_of()

SMALL = (320, 180)


def frames_of(timeline: Timeline, style: str = "light", layout: Layout = WIDE) -> frame.FilmFrames:
    """The frames of a film at half speed."""
    look = FrameLook(load(style), ENGLISH, layout)
    return frame.FilmFrames(timeline, look, frame.speed_text(0.5, False, ENGLISH))


def drawn(text: str, time_s: float, style: str = "light") -> tuple[Picture, Style]:
    timeline = say(text)
    return frames_of(timeline, style).picture(moments.moment(timeline, time_s)), load(style)


@pytest.mark.parametrize("shares", [2, 3])
def test_frames_are_the_same_however_they_are_shared_out(shares: int) -> None:
    reel = film.film(say("towel"), Shot(size=SMALL)).reel_at(30, False)
    whole = list(reel.draw(0, 1, buffers(SMALL, 0)))
    assert len(whole) == reel.count
    for first in range(shares):
        for together, alone in zip(whole[first::shares], reel.draw(first, shares, buffers(SMALL, 0)), strict=True):
            assert np.array_equal(together, alone)


@pytest.mark.parametrize(("text", "style"), [("backpack", "light"), ("[t]", "dark")])
def test_films_stay_under_three_flashes_a_second(text: str, style: str) -> None:
    # WCAG 2.2, 2.3.1; that the counter can fail is shown by the strobes of tests/test_flash.py
    shown = say(text)
    report = count_flashes(film.film(shown, Shot(size=SMALL, style=style)).frames(), 30)
    assert report.passes, report
    assert report.general <= 3
    assert report.red == 0


@pytest.mark.parametrize(("speed", "fps"), [(0.5, 30), (0.25, 25), (1.0, 12)])
def test_length_is_real_length_over_speed(speed: float, fps: float) -> None:
    shown = say_alone(sound("d"))
    count = sum(1 for _ in film.film(shown, Shot(speed=speed, fps=fps, size=SMALL)).frames())
    assert abs(count / fps - shown.duration_s / speed) <= 1 / fps


def test_dwelling_is_longer_and_never_runs_back() -> None:
    shown = say("towel")
    plain, dwelling = (playback_of(shown, Shot(dwell=dwell)) for dwell in (False, True))
    assert dwelling.duration_s > plain.duration_s
    times = dwelling.frame_times_s(60)
    assert np.all(np.diff(times) > 0)
    assert times[0] == 0
    assert times[-1] <= shown.duration_s


@pytest.mark.parametrize(("text", "style"), [("backpack", "light"), ("late check-out", "dark"), ("[d]", "print")])
def test_text_of_a_frame_keeps_its_room(text: str, style: str) -> None:
    shown = say(text)
    for share in (0.05, 0.3, 0.45, 0.6, 0.75):
        picture, look = drawn(text, share * shown.duration_s, style)
        boxes = text_boxes(recorded_calls(picture, look))
        assert outside(boxes, picture.width, picture.height) == []
        # the lit box of the strip repeats the symbol that it covers
        assert [pair for pair in collisions(boxes, slack=2.5) if pair[0] != pair[1]] == []


def test_the_checks_of_room_can_fail() -> None:
    from renders.paper.picture import Layer, Picture, Text

    twice = tuple(Text("towel", 20 + i, 60, 40, "ink") for i in range(2))
    off = Text("desk", 190, 60, 40, "ink")
    boxes = text_boxes(recorded_calls(Picture(200, 100, "paper", (Layer("t", (*twice, off)),)), load()))
    assert collisions(boxes)
    assert outside(boxes, 200, 100) == ["desk"]


@pytest.mark.parametrize("text", ["front desk", "doctor", "[m]"])
def test_every_closure_of_the_strip_is_a_contact_in_the_picture(text: str) -> None:
    shown = say(text)
    for closure in shown.closures:
        middle = moments.moment(shown, (closure.start_s + closure.end_s) / 2)
        assert contact_line(middle.section, closure.organ) is not None
        just_before = moments.moment(shown, closure.start_s - 0.02)
        assert closure not in just_before.instant.closures


@pytest.mark.parametrize(("text", "blocked"), [("[t]", True), ("[s]", False), ("[ɑ]", False), ("[p]", True)])
def test_air_lines_stop_where_the_mouth_is_shut(text: str, blocked: bool) -> None:
    shown = say(text)
    start, end = shown.spans[0].hold_s
    middle = moments.moment(shown, (start + end) / 2)
    lines, seam = mouth_lines(middle.section, middle.channel).points, middle.seam
    assert (seam is not None) == blocked
    assert all(len(line) > 10 and np.isfinite(line).all() for line in lines)
    assert (not middle.airway.mouth) == blocked


def test_burst_is_drawn_only_after_a_release_and_breath_only_without_voice() -> None:
    shown = say("two")
    stop = shown.spans[0]
    assert stop.release_s is not None and stop.voice_s is not None
    times = (stop.release_s - 0.01, stop.release_s + 0.02, stop.voice_s + 0.06)
    states = [moments.moment(shown, t).instant for t in times]
    assert states[0].burst == 0
    assert states[1].burst > 0.3
    assert states[2].burst == 0
    assert states[1].breath > 0.5 > states[2].breath


def drawn_names(text: str, time_s: float) -> set[str]:
    picture, look = drawn(text, time_s)
    return {name for call in recorded_calls(picture, look) for name in call.groups}


def test_marks_are_drawn_when_their_numbers_say_so() -> None:
    shown = say("two")
    stop = shown.spans[0]
    held = drawn_names("two", stop.release_s - 0.01)
    burst = drawn_names("two", stop.release_s + 0.02)
    vowel = drawn_names("two", stop.voice_s + 0.08)
    assert {"contact-coronal", "pressure", "folds-apart"} <= held
    assert "burst" in burst and "contact-coronal" not in burst and "voice" in vowel
    assert not {"burst", "contact-coronal"} & vowel
    assert {"folds-together", "felt-at-the-throat"} <= vowel


def test_one_scene_gives_the_same_pixels_twice() -> None:
    shown = say_alone(sound("b"))
    one, two = (list(film.film(shown, Shot(speed=1.0, fps=10, size=SMALL)).frames()) for _ in range(2))
    assert all(np.array_equal(a, b) for a, b in zip(one, two, strict=True))


@pytest.mark.parametrize("text", ["front desk", "[t]", "moon"])
def test_a_loop_ends_as_it_begins(text: str) -> None:
    """The last picture is the first one, and the one before is the same to what a codec would lose."""
    shown = say(text)
    made = [list(film.film(shown, Shot(speed=1.0, fps=25, size=SMALL, loop=loop)).frames()) for loop in (True, False)]
    assert len(made[0]) == len(made[1]) == round(shown.duration_s * 25)
    np.testing.assert_array_equal(made[0][0], made[0][-1])
    assert np.abs(made[0][-2].astype(int) - made[0][-1]).max() <= 3
    assert np.abs(made[1][0].astype(int) - made[1][-1]).max() > 30, "without it the clock and the words tell them apart"


@pytest.mark.parametrize("phase", ["closure", "release", "approach", "steady", "every"])
def test_a_phase_is_held_for_its_seconds(phase: str) -> None:
    shown = say("luggage")
    plain = playback_of(shown, Shot())
    hold = hold_of(f"{phase}:0.6")
    times = hold_times_s(shown, hold)
    held = with_holds(plain, shown, (hold,))
    assert held.duration_s == pytest.approx(plain.duration_s + 0.6 * len(times))
    shown_s = held.frame_times_s(50)
    assert np.all(np.diff(shown_s) >= 0)
    for time_s in times:
        now = teller.state(shown, time_s).phase
        assert now == {"closure": "hold"}.get(phase, phase) or phase == "every"
        assert abs(int(np.sum(np.abs(shown_s - time_s) < 1e-9)) - 30) <= 1


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("closur", "phase 'closur' is unknown; allowed: approach, closure, .* .nearest: closure"),
        ("closure:x", "hold 'closure:x' is not PHASE:SECONDS"),
        ("release:11", "a hold of 11 s is out of range; allowed: 0.1 to 10"),
        ("release:nan", "a hold of nan s is out of range"),
    ],
)
def test_a_wrong_hold_is_named(text: str, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        hold_of(text)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(BadInput, match=r"no sound of .* has the phase 'closure'"):
        hold_times_s(say("sea"), hold_of("closure"))
    with pytest.raises(BadInput, match="cannot loop without a jump"):
        Shot(loop=True, intro_s=1.0)
    with pytest.raises(BadInput, match="an intro of 99 s is out of range"):
        Shot(intro_s=99)


def test_an_intro_card_comes_first_and_keeps_its_room() -> None:
    shown = say("complimentary breakfast")
    made = film.film(shown, Shot(speed=1.0, fps=10, size=SMALL, intro_s=0.5)).frames()
    first = [next(made) for _ in range(6)]
    assert all(np.array_equal(card, first[0]) for card in first[:5])
    assert np.any(first[5] != first[0])
    for size in layouts.SHAPES_PX.values():
        card = intro_card(shown, FrameLook(load(), ENGLISH), size, frame.speed_text(0.5, False, ENGLISH))
        boxes = text_boxes(recorded_calls(card, load()))
        assert outside(boxes, card.width, card.height) == [] and collisions(boxes) == []


@pytest.mark.parametrize("bar", [True, False])
def test_transparent_frames_are_empty_where_there_was_paper(bar: bool) -> None:
    shown = say("towel")
    made = [
        next(film.film(shown, Shot(speed=1.0, size=(640, 360), captions=bar, transparent=see_through)).frames())
        for see_through in (True, False)
    ]
    alpha = made[0][..., 3]
    assert alpha[1, 1] == 0 and alpha[60, 30] == 0, "corner and the space before the face"
    assert 0.2 < np.mean(alpha == 255) < 0.9
    assert np.all(made[1][..., 3] == 255)
    solid = alpha == 255
    differs = np.abs(made[0][solid].astype(int) - made[1][solid]).max(axis=-1) > 1
    assert differs.mean() < 0.02, "only the rim of the card is left out"


def test_without_captions_nothing_is_said_beside_the_picture() -> None:
    shown = say("towel")
    layout = layout_for((1280, 720), bar=False)
    now = moments.moment(shown, shown.spans[0].hold_s[0] + 0.01)
    picture = frames_of(shown, layout=layout).picture(now)
    strings = {box.string for box in text_boxes(recorded_calls(picture, load()))}
    assert "lips, front" in strings
    assert not {"approach", "hold", "towel", "half speed"} & strings


@pytest.mark.parametrize("text", ["backpack", "[t]"])
def test_tall_films_stay_under_three_flashes_a_second(text: str) -> None:
    # WCAG 2.2, 2.3.1, as for wide ones; the side view is a larger share of the picture here
    shown = say(text)
    report = count_flashes(film.film(shown, Shot(size=(180, 320), style="dark")).frames(), 30)
    assert report.passes, report


def test_other_shapes_are_centred_on_paper() -> None:
    shown = say_alone(sound("b"))
    long = next(film.film(shown, Shot(speed=1.0, size=(640, 180))).frames())
    assert long.shape == (180, 640, 4)
    assert np.all(long[:, 100] == long[0, 0]) and np.all(long[:, 540] == long[0, 0])
    assert np.any(long[90, 320] != long[0, 0])


@pytest.mark.parametrize(
    ("size", "shape"),
    [
        ((1280, 720), "16:9"), ((854, 480), "16:9"), ((640, 480), "4:3"), ((1440, 1080), "4:3"), ((720, 1280), "9:16"),
        ((1080, 1920), "9:16"), ((1080, 1080), "1:1"), ((3840, 2160), "16:9"), ((2160, 3840), "9:16"),
    ],
)  # fmt: skip
def test_each_shape_has_a_layout_of_its_own(size: tuple[int, int], shape: str) -> None:
    layout = layout_for(size)
    wide, high = map(int, shape.split(":"))
    assert layout.width / layout.height == pytest.approx(wide / high, rel=0.001)
    small = layout.size(load(), "small") * min(size[0] / layout.width, size[1] / layout.height)
    assert small >= 16.0 * min(size[0] / 1280, size[1] / 720)  # never smaller than the wide layout would be


@pytest.mark.parametrize(("text", "style"), [("backpack", "light"), ("night", "dark"), ("late check-out", "print")])
@pytest.mark.parametrize("shape", ["tall", "square", "classic"])
def test_text_of_other_shapes_keeps_its_room(text: str, style: str, shape: str) -> None:
    shown = say(text)
    look, layout = load(style), layout_for(layouts.SHAPES_PX[shape])
    frames = frames_of(shown, style, layout)
    for share in (0.05, 0.3, 0.45, 0.6, 0.75):
        now = moments.moment(shown, share * shown.duration_s)
        boxes = text_boxes(recorded_calls(frames.picture(now), look))
        assert outside(boxes, layout.width, layout.height) == []
        assert [pair for pair in collisions(boxes, slack=2.5) if pair[0] != pair[1]] == []


def test_the_box_of_the_sound_in_the_transcription_covers_no_neighbour() -> None:
    picture, look = drawn("front desk", 0.45)
    panel = next(layer for layer in picture.layers if layer.name == "panel, word")
    boxes = text_boxes(recorded_calls(replace(picture, layers=(panel,)), look))
    fills = [op for op in panel.ops if isinstance(op, Fill) and op.colour == "focus"]
    vertices = fills[0].path.vertices
    left, right = float(vertices[:, 0].min()), float(vertices[:, 0].max())
    line = [box for box in boxes if box.bottom > 80 and box.top < 110 and box.left > 960]
    assert len(line) == 3
    assert line[0].right < left and line[2].left > right and left < line[1].left < line[1].right < right


SHAPES = [(shape, bar) for shape in layouts.SHAPES_PX for bar in (True, False)]


def under_insets(layout: layouts.Layout, text: str) -> int:
    """How many pixels of the insets what moves of the side view covers."""
    shown, look, covered = say(text), load(), 0
    raster = Raster(layout.width, layout.height, look)
    for now in moments.moments(shown, np.arange(0.0, shown.duration_s, 0.05)):
        layers = tuple(side_layers(now, Canvas(layout.view, look)))
        alpha = raster.frame(Picture(layout.width, layout.height, None, layers))[..., 3]
        for x, y, w, h in (layout.lips, layout.folds):
            covered += int(np.count_nonzero(alpha[int(y) : int(y + h) + 1, int(x) : int(x + w) + 1]))
    return covered


@pytest.mark.parametrize(("shape", "bar"), SHAPES)
@pytest.mark.parametrize("text", ["[ɑ]", "[h]", "[m]"])
def test_nothing_that_moves_reaches_the_insets(text: str, shape: str, bar: bool) -> None:
    # their frames lie in the ground: low jaw, breath through the mouth and through the nose reach farthest
    assert under_insets(layout_for(layouts.SHAPES_PX[shape], bar), text) == 0


def test_what_reaches_the_insets_is_found() -> None:
    layout = layout_for((1280, 720))
    assert under_insets(msgspec.structs.replace(layout, lips=(300.0, 300.0, 142.0, 114.0)), "[m]") > 1000


@pytest.mark.parametrize("shape", layouts.SHAPES_PX)
def test_words_keep_inside_their_insets(shape: str) -> None:
    shown, look, layout = say("good night"), load(), layout_for(layouts.SHAPES_PX[shape])
    frames = frames_of(shown, layout=layout)
    seen = set()
    for now in moments.moments(shown, np.arange(0.0, shown.duration_s, 0.02)):
        layers = {layer.name: layer for layer in frames.picture(now).layers}
        words = layers["lips word"], layers["folds word"]
        picture = Picture(layout.width, layout.height, None, words)
        for word, inset in zip(text_boxes(recorded_calls(picture, look)), (layout.lips, layout.folds), strict=True):
            seen.add(word.string)
            assert inset[0] + 2 < word.left and word.right < inset[0] + inset[2] - 2, word
    assert {"rounded a little", "vibrating"} <= seen
