"""Whether a recording can be used, and what is wrong with it that does not keep it from being used."""

from __future__ import annotations

import numpy as np

from articulators.errors import BadInput
from vocaltract.recording.recording import RATE_HZ, Recording
from vocaltract.recording.recording_rules import recording_rules


def check_quality(recording: Recording) -> tuple[str, ...]:
    """Lines to show of a recording. BadInput where it is empty, too short or too long, or nothing is heard in it."""
    own, samples, name = recording_rules().quality, recording.samples, recording.name
    length = recording.duration_s
    if length < own.shortest_s:
        raise BadInput(f"{name} is empty or too short: {length:.2f} s; a word takes at least {own.shortest_s:g} s")
    if length > own.longest_s:
        raise BadInput(f"{name} lasts {length:.0f} s; allowed is up to {own.longest_s:g} s, a word or a phrase")
    peak = float(np.abs(samples).max())
    if not np.isfinite(samples).all():
        raise BadInput(f"{name} holds samples that are no numbers; save it anew as WAV or FLAC")
    if peak < 10 ** (own.silent_dbfs / 20):
        raise BadInput(f"{name} is silent: nothing in it is louder than {own.silent_dbfs:g} dB of full scale")
    levels = _levels_db(samples)
    over = float(np.percentile(levels, 95) - np.percentile(levels, 5))
    notes = []
    clipped = np.abs(samples) >= own.clipped_share * peak
    at_top = _longest_run(clipped)
    if peak > own.clipped_from and at_top >= own.clipped_run:
        times = _runs(clipped, own.clipped_run)
        notes.append(f"{name} is clipped: its peaks are cut off {times} times; record it more quietly")
    if over < own.noisy_db:
        notes.append(f"{name} is noisy: speech stands only {max(over, 0):.0f} dB above the rest; bursts may be missed")
    if recording.apart_db > own.two_voices_db:
        notes.append(f"{name} has two channels that differ, perhaps two voices; their sum is followed")
    if peak < 10 ** (own.quiet_dbfs / 20):
        notes.append(f"{name} is quiet: its peak is {20 * np.log10(peak):.0f} dB of full scale; it is made louder")
    return tuple(notes)


def _levels_db(samples: np.ndarray) -> np.ndarray:
    size = RATE_HZ // 50
    blocks = samples[: max(len(samples) // size, 1) * size]
    blocks = blocks[: len(blocks) // size * size].reshape(-1, size) if len(blocks) >= size else blocks[None]
    return 10 * np.log10(np.square(blocks).mean(axis=1) + 1e-12)


def _lengths(on: np.ndarray) -> np.ndarray:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], on, [False]]).astype(int)))
    return edges[1::2] - edges[::2]


def _longest_run(on: np.ndarray) -> int:
    return int(_lengths(on).max(initial=0))


def _runs(on: np.ndarray, least: int) -> int:
    return int((_lengths(on) >= least).sum())
