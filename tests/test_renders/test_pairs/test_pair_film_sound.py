"""Two texts in step with their voices, one after the other: the decoded film against the timelines."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import av
import numpy as np
import pytest

from renders.films.shot import Shot
from renders.pairs.compared import compared_pair
from renders.pairs.in_step import InStep, in_step
from renders.pairs.pair_film import film_in_step
from vocaltract.motion.playback import constant
from vocaltract.pairs.occurrences import compare
from vocaltract.sound.hearing import HEARD_RATE_HZ, Hearing, heard

SIZE, FPS = (320, 180), 30.0


@cache
def both() -> InStep:
    return in_step(compared_pair(compare("two", "do")))


def _decoded(path: Path) -> tuple[int, np.ndarray]:
    """Frames, and samples (n,)."""
    with av.open(str(path)) as file:
        frames = sum(1 for _ in file.decode(video=0))
    with av.open(str(path)) as file:
        return frames, np.concatenate([frame.to_ndarray()[0] for frame in file.decode(audio=0)])


def _first_heard_s(samples: np.ndarray) -> float:
    """When a wave first has a tenth of its peak."""
    return float(np.argmax(np.abs(samples) > 0.1 * np.abs(samples).max()) / HEARD_RATE_HZ)


def _db(samples: np.ndarray) -> float:
    return float(10 * np.log10(np.square(samples).mean()))


@pytest.mark.parametrize("speed", [1.0, 0.5, 0.25])
def test_either_burst_is_heard_where_its_picture_is(speed: float, tmp_path: Path) -> None:
    # asked for by the issue: within one frame
    out = tmp_path / "pair.mp4"
    report = film_in_step(both(), Shot(size=SIZE, fps=FPS, speed=speed)).save(out)
    frames, samples = _decoded(out)
    assert frames == report["frames"] and frames % 2 == 0
    turn = round(frames / 2 / FPS * HEARD_RATE_HZ)
    for part in (samples[:turn], samples[turn : 2 * turn]):
        assert _first_heard_s(part) == pytest.approx(report["event_frame"] / FPS, abs=1 / FPS)


def test_both_have_one_gain(tmp_path: Path) -> None:
    out = tmp_path / "pair.mp4"
    asked = Hearing(loudness_lufs=-23)
    frames = film_in_step(both(), Shot(size=SIZE, fps=FPS, hearing=asked)).save(out)["frames"]
    _, samples = _decoded(out)
    turn = round(frames / 2 / FPS * HEARD_RATE_HZ)
    for number, part in enumerate((samples[:turn], samples[turn : 2 * turn])):
        timeline = both().pair.said[number].timeline
        alone = heard(timeline, asked, constant(timeline.duration_s, 0.5))
        assert _db(part) + 10 * np.log10(len(part)) == pytest.approx(_db(alone) + 10 * np.log10(len(alone)), abs=0.5)


@pytest.mark.parametrize(("name", "sound"), [("pair.gif", None), ("pair.mp4", "none")])
def test_a_silent_film_runs_once(name: str, sound: str | None, tmp_path: Path) -> None:
    silent = film_in_step(both(), Shot(size=SIZE, fps=25, sound=sound)).save(tmp_path / name)
    spoken = film_in_step(both(), Shot(size=SIZE, fps=25)).save(tmp_path / "spoken.mp4")
    assert silent["sound"] == "none"
    assert spoken["frames"] == 2 * silent["frames"]
    assert spoken["event_frame"] == silent["event_frame"]


def test_outside_a_text_nothing_sounds() -> None:
    late = in_step(compared_pair(compare("ticket", "desk")))
    for number in (0, 1):
        playback = late.playback(number, 0.5)
        assert playback.duration_s == pytest.approx((late.end_s - late.start_s) / 0.5)
        clock = np.linspace(0, playback.duration_s, 50)
        wanted = late.times_s(clock * 0.5 + late.start_s, number)
        assert playback.speech_time_s(clock) == pytest.approx(wanted, abs=1e-9)
