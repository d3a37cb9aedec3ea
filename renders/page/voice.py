"""What is heard on a page: a natural clip of each text, and what of it is not stretched when it is slowed."""

from __future__ import annotations

from typing import Any

import numpy as np

from articulators.curves import Array
from renders.files.sound_clip import aac_clip, whole_frames
from renders.page.pack import Table
from renders.page.settings import settings
from vocaltract.motion.timeline import Timeline
from vocaltract.sound.hearing import HEARD_RATE_HZ, heard
from vocaltract.sound.pace import transients_s
from vocaltract.sound.sound_rules import sound_rules


def clip_samples(timeline: Timeline) -> Array:
    """The sound (n,) of a timeline from its beginning on, at the rate of the page's clips."""
    from scipy.signal import resample_poly

    return whole_frames(np.asarray(resample_poly(heard(timeline), settings().sound.rate_hz, HEARD_RATE_HZ)))


def clip(timeline: Timeline, samples: Array) -> bytes:
    """The file that a page carries of samples at the rate of its clips: what of them is said."""
    own = settings().sound
    return aac_clip(samples[_said(timeline, samples)], own.rate_hz, own.bits_s)


def _said(timeline: Timeline, samples: Array) -> slice:
    """Whole frames of a clip, from a little before what is said to a little after."""
    own = settings().sound
    first, last = timeline.speech_s[0] - own.before_s, timeline.speech_s[1] + own.after_s
    at = slice(max(0, round(first * own.rate_hz)), min(len(samples), round(last * own.rate_hz)))
    return slice(max(0, at.stop - len(whole_frames(samples[at]))), at.stop)


def sound_data(timeline: Timeline, samples: Array) -> dict[str, Any]:
    """How a clip lies on its timeline: seconds before and in it, of all; stretches (from, to) left at natural speed."""
    at, rate = _said(timeline, samples), settings().sound.rate_hz
    return {
        "before": at.start / rate,
        "clip": len(whole_frames(samples[at])) / rate,
        "seconds": len(samples) / rate,
        "recorded": timeline.leading is not None,
        "transients": [[round(float(t), 5) for t in span] for span in transients_s(timeline)],
    }


def stretching() -> dict[str, float]:
    """How the page's script slows a clip."""
    own = settings().sound
    return {
        "clip_hz": own.rate_hz,
        "catches_up": sound_rules().pace.catches_up,
        "grain_s": own.grain_s,
        "search_s": own.search_s,
        "fade_s": own.fade_s,
        "noise_below": own.noise_below,
        "between_s": own.between_s,
        "around_s": own.around_s,
    }


def recording() -> dict[str, Any]:
    """How the page's script takes and measures a learner's recording."""
    own = settings().recording
    return {name: getattr(own, name) for name in own.__struct_fields__ if name not in ("unit", "source", "status")}


def wave_table(samples: Array, prefix: str) -> Table:
    """Highest level of the wave in each step of the page's signals, as a share of full scale."""
    per_step = round(settings().sound.rate_hz / settings().outlines.signal_hz)
    steps = np.pad(np.abs(samples), (0, -len(samples) % per_step)).reshape(-1, per_step)
    return Table(f"{prefix}wave", steps.max(axis=1)[:, None], settings().sound.wave_step)
