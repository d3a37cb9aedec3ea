"""Short sounds as bytes: what is decoded is what was given."""

from __future__ import annotations

import io

import av
import numpy as np
import pytest

from renders.files.sound_clip import AAC_FRAME, aac_clip, whole_frames

RATE_HZ = 24000


def _tone() -> np.ndarray:
    """A rising tone, which is like itself at one place only."""
    at_s = np.arange(RATE_HZ // 2) / RATE_HZ
    return 0.3 * np.hanning(len(at_s)) * np.sin(2 * np.pi * (200 + 1500 * at_s) * at_s)


def test_a_clip_is_the_samples_behind_one_frame_of_nothing() -> None:
    given = _tone()
    with av.open(io.BytesIO(aac_clip(given, RATE_HZ, 24000))) as file:
        found = np.concatenate([frame.to_ndarray()[0] for frame in file.decode(audio=0)])
    heard = found[AAC_FRAME : AAC_FRAME + len(given)]
    across = np.correlate(np.pad(heard, 100), given, "valid")
    assert across.argmax() == 100  # not a sample late
    assert np.square(heard - given).mean() < 0.1 * np.square(given).mean()  # 10 dB
    assert np.abs(found[:AAC_FRAME]).max() < 0.05


def test_the_same_samples_give_the_same_bytes() -> None:
    assert aac_clip(_tone(), RATE_HZ, 24000) == aac_clip(_tone(), RATE_HZ, 24000)


@pytest.mark.parametrize("count", [1, AAC_FRAME, AAC_FRAME + 1])
def test_silence_fills_the_last_frame(count: int) -> None:
    whole = whole_frames(np.ones(count))
    assert len(whole) % AAC_FRAME == 0
    assert len(whole) - count < AAC_FRAME
    assert whole.sum() == count
