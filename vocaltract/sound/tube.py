"""The tract of a timeline at any of its times, in the sections that sound is worked out with."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from articulators.section import section
from vocaltract.airway.area_rules import area_rules
from vocaltract.airway.areas import tract_areas
from vocaltract.motion.timeline import Timeline
from vocaltract.sound.sound_rules import sound_rules
from vocaltract.sound.tract import Tract, exits


def tract_at(timeline: Timeline, times_s: Array) -> Tract:
    """The tract at times (m,) in seconds."""
    own, moments = sound_rules().tube, len(times_s)
    shown = section(timeline.head, timeline.posture(times_s))
    areas, signals = tract_areas(shown), timeline.moment(times_s)
    joined = areas.area_cm2.shape[1] // own.sections
    shape = (moments, own.sections, joined)
    least = areas.least_cm2.reshape(shape).min(axis=2)
    area = np.where(least <= 0, 0, areas.area_cm2.reshape(shape).mean(axis=2))
    section_cm = areas.total_cm / own.sections
    tip = np.argmin(shown["velum"][..., 1], axis=1)[:, None, None]
    tip_mm = np.take_along_axis(shown["velum"], tip, axis=1)
    port = np.argmin(np.linalg.norm(areas.midline_mm - tip_mm, axis=2), axis=1) // joined
    return Tract(
        section_cm=section_cm,
        area_cm2=np.maximum(area, own.shut_cm2),
        glottis_cm2=signals.glottis_cm2,
        across_pa=signals.across_folds_pa,
        port_at=np.clip(port, 1, own.sections - 1),
        port_cm2=signals.port_cm2,
        hiss_at=exits(least, round(area_rules().larynx.up_to / float(section_cm.mean()))),
        lips_at=np.any(areas.lips_at.reshape(shape), axis=2),
    )
