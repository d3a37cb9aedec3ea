"""Recordings read from sound files, written by the standard library and by the video library."""

from __future__ import annotations

import os
import wave
from pathlib import Path

import av
import numpy as np
import pytest

from articulators.errors import BadInput
from renders.files.recorded import read_recording

RATE_HZ = 44100
TIME = np.arange(RATE_HZ) / RATE_HZ
TONE = 0.5 * np.sin(2 * np.pi * 440 * TIME)


def wav(path: Path, *channels: np.ndarray, rate: int = RATE_HZ) -> Path:
    """16 bits, one or two channels."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(len(channels))
        file.setsampwidth(2)
        file.setframerate(rate)
        file.writeframes((np.stack(channels, axis=1) * 32767).astype("<i2").tobytes())
    return path


def encoded(path: Path, codec: str, layout: str = "mono") -> Path:
    """The tone as the video library writes it."""
    with av.open(str(path), "w") as file:
        stream = file.add_stream(codec, rate=48000, layout=layout)
        time = np.arange(48000) / 48000
        samples = (0.5 * np.sin(2 * np.pi * 440 * time)).astype(np.float32)[None].repeat(1, axis=0)
        frame = av.AudioFrame.from_ndarray(samples, format="fltp", layout="mono")
        frame.sample_rate = 48000
        resampler = av.AudioResampler(format=stream.format.name, layout=layout, rate=48000)
        for piece in resampler.resample(frame):
            for packet in stream.encode(piece):
                file.mux(packet)
        for packet in stream.encode(None):
            file.mux(packet)
    return path


def frequency_hz(samples: np.ndarray) -> float:
    """Of the strongest line of a spectrum."""
    middle = samples[8000:40000] * np.hanning(32000)
    return float(np.argmax(np.abs(np.fft.rfft(middle, 480000))) * 48000 / 480000)


@pytest.mark.parametrize(
    ("name", "codec"), [("a.flac", "flac"), ("a.mp3", "libmp3lame"), ("a.m4a", "aac"), ("a.webm", "libopus")]
)
def test_usual_formats_are_read(tmp_path: Path, name: str, codec: str) -> None:
    found = read_recording(encoded(tmp_path / name, codec))
    assert frequency_hz(found.samples) == pytest.approx(440, abs=0.5)
    assert np.sqrt(2) * np.std(found.samples[20000:40000]) == pytest.approx(0.5, abs=0.03)
    assert found.duration_s == pytest.approx(1, abs=0.08) and found.name == name


@pytest.mark.parametrize("rate", [8000, 11025, 44100, 96000])
def test_any_rate_is_brought_to_one(tmp_path: Path, rate: int) -> None:
    tone = 0.5 * np.sin(2 * np.pi * 440 * np.arange(rate) / rate)
    found = read_recording(wav(tmp_path / "a.wav", tone, rate=rate))
    assert frequency_hz(found.samples) == pytest.approx(440, abs=0.5) and found.duration_s == pytest.approx(1, abs=0.01)


def test_stereo_is_summed_and_two_voices_are_told(tmp_path: Path) -> None:
    same = read_recording(wav(tmp_path / "same.wav", TONE, 0.5 * TONE))
    assert same.apart_db < -40 and np.abs(same.samples).max() == pytest.approx(0.375, abs=0.01)
    noise = 0.2 * np.random.default_rng(1).standard_normal(len(TONE)).clip(-3, 3)
    assert read_recording(wav(tmp_path / "two.wav", TONE, noise)).apart_db > -3
    left_only = read_recording(wav(tmp_path / "left.wav", TONE, np.zeros(len(TONE))))
    assert left_only.apart_db == float("-inf")


def test_what_is_no_recording_is_refused(tmp_path: Path) -> None:
    text = tmp_path / "a.wav"
    text.write_text("no sound", encoding="utf-8")
    empty = tmp_path / "empty.wav"
    empty.touch()
    os.mkfifo(tmp_path / "pipe.wav")
    film = tmp_path / "silent.mp4"
    with av.open(str(film), "w") as file:
        stream = file.add_stream("libx264", rate=10)
        stream.width = stream.height = 64
        stream.pix_fmt = "yuv420p"
        for packet in (*stream.encode(av.VideoFrame(64, 64, "yuv420p")), *stream.encode(None)):
            file.mux(packet)
    no_samples = wav(tmp_path / "none.wav", np.zeros(0))
    long = wav(tmp_path / "long.wav", np.zeros(8000 * 62), rate=8000)
    whole = encoded(tmp_path / "whole.flac", "flac").read_bytes()
    broken = tmp_path / "broken.flac"
    broken.write_bytes(whole[:40] + b"\0" * 2000)
    for file_name, told in (
        (text, "cannot be read as sound; allowed are sound files such as WAV"),
        (empty, "is empty"),
        (tmp_path / "pipe.wav", "is a pipe, a socket or a device"),
        (tmp_path, "is a folder"),
        (tmp_path / "b.wav", r"no such file \(nearest:"),
        (film, "holds no sound"),
        (no_samples, "is empty|cannot be read"),
        (long, "lasts more than 60 s"),
        (broken, "damaged|cannot be read|is empty"),
    ):
        with pytest.raises(BadInput, match=told):
            read_recording(file_name)
