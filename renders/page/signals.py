"""What a page knows of a timeline beside its lines: gaps, pressure, voice and what carries pieces, as tables."""

from __future__ import annotations

from typing import Any

import numpy as np

from articulators import jaw
from articulators.head import Head
from renders.marks.moment import travel_mm
from renders.page.pack import Table
from renders.page.settings import settings
from vocaltract.motion.instant import instants
from vocaltract.motion.phases import Course
from vocaltract.motion.timeline import Timeline


def signal_tables(timeline: Timeline, prefix: str) -> list[Table]:
    """Numbers over time, one table each, at the rate of signals from 0 on; gaps in mm, pressure and voice 0..1."""
    rate, steps = settings().outlines.signal_hz, settings().steps
    times = np.arange(int(np.ceil(timeline.duration_s * rate)) + 1) / rate
    found, posture, size = instants(Course(timeline), times), timeline.posture(times), timeline.head.size
    rows = {
        "pressure": [now.pressure_share for now in found],
        "voice": [now.voice for now in found],
        "travel": travel_mm(timeline, times),
        "folds": [now.folds_mm for now in found],
        "lips_gap": [now.lips_mm for now in found],
        "tip_gap": [now.coronal_mm for now in found],
        "body_gap": [now.dorsal_mm for now in found],
        "port": [now.port_mm for now in found],
        "jaw": posture["jaw_mm"] / size,
        "larynx": posture["larynx_mm"] / size,
    }
    tables = []
    for name, row in rows.items():
        step = float(getattr(steps, name))
        values = np.asarray(row, dtype=float)[:, None]
        most = steps.farthest_mm if name.endswith("gap") or name == "port" else 30000 * step
        tables.append(Table(prefix + name, np.clip(values, -most, most), step))
    return tables


def rig(head: Head) -> dict[str, Any]:
    """How the jaw turns: hinge in mm, and radians for a mm of opening."""
    return {
        "hinge": [float(at) for at in head.jaw.hinge],
        "radians_per_mm": float(jaw.opening_angle_rad(head, np.array(1.0))),
    }
