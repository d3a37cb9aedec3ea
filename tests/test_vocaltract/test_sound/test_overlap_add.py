"""Windows, and filters that change, against a filter that does not."""

from __future__ import annotations

import numpy as np
from scipy.signal import lfilter

from vocaltract.sound import overlap_add
from vocaltract.sound.sound_rules import sound_rules


def test_neighbouring_windows_add_up_to_one() -> None:
    moments = np.array([0, 240, 300, 372, 600, 840])
    begins, shapes = overlap_add.windows(moments)
    total = np.zeros(1200)
    for begin, shape in zip(begins, shapes, strict=True):
        total[begin : begin + len(shape)] += shape
    assert np.allclose(total[240:600], 1)


def test_a_response_that_stays_is_the_filter_itself() -> None:
    """A damped resonance at 700 Hz by scipy's recursion, and by pieces: equal within the band that both have."""
    own = sound_rules().sampling
    rate, lead = own.rate_hz, own.lead_samples
    radius, angle = np.exp(-np.pi * 60 / rate), 2 * np.pi * 700 / rate
    a = [1, -2 * radius * np.cos(angle), radius**2]
    source = np.convolve(np.random.default_rng(1).standard_normal(6000), np.ones(16) / 16, mode="same")
    z = np.exp(-overlap_add.spectrum().s / rate)
    response = 1 / (a[0] + a[1] * z + a[2] * z**2)
    begins, shapes = overlap_add.windows(np.arange(0, 6000, 240))
    pieces = overlap_add.in_time(
        overlap_add.heard_through(
            source[begins[:, None] + np.arange(480)] * shapes * overlap_add.spectrum().decay[:480],
            np.broadcast_to(response, (len(begins), len(response))),
        )
    )
    heard = np.zeros(8000)
    for begin, piece in zip(begins, pieces, strict=True):
        heard[begin : begin + len(piece)] += piece
    wanted = lfilter([1], a, source)
    part = slice(2000, 5000)
    off = heard[lead:][part] - wanted[part]
    assert np.sqrt(np.mean(off**2) / np.mean(wanted[part] ** 2)) < 0.03
