"""Practice films: their order, their waits, what is copied, and captions. Outside: PyAV reads the film back, webvtt-py
the captions; the waits are those of common practice, no source.
"""

from __future__ import annotations

import io

import av
import numpy as np
import pytest
import webvtt

from articulators.errors import BadInput
from renders.course.captions import webvtt as as_webvtt
from renders.course.subtitles import practice_cues, subrip, transcript
from renders.files.spliced import ClipUse, spliced
from renders.films.practice_card import CardText, practice_card
from renders.films.practice_film import PracticeFilm, PracticeItem, practice_film
from renders.films.practice_table import practice_table
from renders.films.shot import Shot
from renders.paper.picture import Text
from vocaltract.speech import say

SHOT = Shot(size=(160, 90), fps=10)


@pytest.fixture(scope="module")
def film() -> PracticeFilm:
    return practice_film(["key"], SHOT)


@pytest.fixture(scope="module")
def data(film: PracticeFilm) -> bytes:
    return film.as_bytes()


def test_the_order_is_listen_slow_say_how_again_and_learner_first(film: PracticeFilm) -> None:
    said = [scene.prompt.key.removeprefix("practice_film.") for scene in film.scenes]
    assert said == ["title", "listen", "slow", "your_turn", "how", "again", "listen", "your_turn", "first", "answer"]
    assert [scene.start_s for scene in film.scenes[1:]] == [scene.end_s for scene in film.scenes[:-1]]


def test_waits_follow_the_length_of_the_word(film: PracticeFilm) -> None:
    begin, end = say("key").speech_s
    natural = end - begin
    waits = [scene.end_s - scene.start_s for scene in film.scenes if not scene.heard][1:]
    assert waits[0] == pytest.approx(1.2 * 2 * natural + 1, abs=0.11)
    assert waits[2] == pytest.approx(max(1.5, 2 * natural + 0.8), abs=0.11)


def test_pictures_and_sound_last_as_long_as_it_says(film: PracticeFilm, data: bytes) -> None:
    with av.open(io.BytesIO(data)) as made:
        times = [frame.time for frame in made.decode(video=0)]
    assert times == sorted(set(times))
    with av.open(io.BytesIO(data)) as made:
        wave = np.concatenate([frame.to_ndarray()[0] for frame in made.decode(audio=0)])
    assert len(wave) / 48000 == pytest.approx(film.seconds, abs=0.05)
    for scene in film.scenes:
        part = wave[round(scene.start_s * 48000) : round(scene.end_s * 48000)]
        assert (np.abs(part).max() > 0.05) == scene.heard
    starts = [scene.start_s for scene in film.scenes]
    assert all(min(abs(start - time) for time in times) < 1e-3 for start in starts)


def test_a_pause_is_one_frame_and_what_comes_again_is_copied(film: PracticeFilm, data: bytes) -> None:
    with av.open(io.BytesIO(data)) as made:
        packets = [bytes(packet) for packet in made.demux(video=0) if packet.dts is not None]
    assert len(packets) < film.seconds * 10 / 1.4
    assert len(set(packets)) < 0.7 * len(packets)


def test_the_same_film_is_the_same_bytes(film: PracticeFilm, data: bytes) -> None:
    assert film.as_bytes() == data


def seconds(stamp: str) -> float:
    hours, minutes, rest = stamp.split(":")
    return 3600 * int(hours) + 60 * int(minutes) + float(rest)


def test_captions_end_with_the_film_and_are_read_by_others(film: PracticeFilm) -> None:
    found = practice_cues(film)
    read = webvtt.from_string(as_webvtt(found, SHOT.wording))
    assert len(read.captions) == len(found)
    for caption, cue in zip(read.captions, found, strict=True):
        assert seconds(caption.start) == pytest.approx(cue.start_s, abs=0.0011)
        assert seconds(caption.end) == pytest.approx(cue.end_s, abs=0.0011)
    assert found[0].start_s == 0 and found[-1].end_s == film.seconds
    again = webvtt.from_buffer(io.StringIO(subrip(found)), format="srt")
    assert [caption.text for caption in again.captions] == [cue.text for cue in found]
    told = transcript(film.title, found, SHOT.wording)
    assert "key" in told and "Palm before your mouth" in told


def test_waits_are_never_shorter_than_a_learner_needs() -> None:
    waits = practice_table().waits
    assert waits.after_natural_s(0.1) == 1.5
    assert waits.after_natural_s(1.0) == pytest.approx(2.8)
    assert waits.after_slow_s(2.0) == pytest.approx(3.4)


def test_a_card_keeps_long_texts_inside() -> None:
    steps = (("1", "Lips together. " * 12),)
    said = CardText("Your turn.", "the elevator on the right of the lobby", "[ði]", steps, "Check.")
    card = practice_card(said, SHOT.look, (320, 180))
    texts = [op for layer in card.layers for op in layer.ops if isinstance(op, Text)]
    assert all(0 < text.y < card.height for text in texts)


def test_clips_are_joined_in_mp4_only() -> None:
    with pytest.raises(BadInput, match="one clip"):
        spliced([], {}, SHOT.encoding("key.mp4"), np.zeros(0))
    with pytest.raises(BadInput, match="only"):
        spliced([ClipUse("a", 1)], {}, SHOT.encoding("key.webm"), np.zeros(0))


def test_what_cannot_be_a_practice_film_is_refused() -> None:
    with pytest.raises(BadInput, match="1 to 8"):
        practice_film([], SHOT)
    with pytest.raises(BadInput, match="twice"):
        practice_film(["key", "key"], SHOT)
    with pytest.raises(BadInput, match="0 to 1"):
        practice_film([PracticeItem("key", 7)], SHOT)
