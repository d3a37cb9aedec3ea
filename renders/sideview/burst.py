"""The burst in a still picture: only as long as a burst really lasts."""

from __future__ import annotations

import math
from dataclasses import replace

from renders.marks.moment import Moment


def brief_burst(now: Moment) -> Moment:
    """The moment without the spikes of a burst where the last release is longer ago than a burst lasts."""
    if now.instant.burst_lasts:
        return now
    return replace(now, instant=replace(now.instant, since_release_s=math.inf))
