"""Which organs a sound works with: they are drawn strong, and what it leaves free is drawn paler."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from articulators.section import Section
from renders.marks.contact_lines import contact_line
from renders.marks.state import numbers
from renders.sideview.moments import Moment
from vocaltract.phonetics.inventory import SoundEntry

LIP_PLACES = ("bilabial", "labiodental", "labial")
TONGUE_FREE = (*LIP_PLACES, "glottal", "epiglottal")
SOFT_PALATE_PLACES = ("velar", "uvular")


def resting(entry: SoundEntry, section: Section) -> frozenset[str]:
    """Of "lips", "tongue" and "velum", what the sound leaves to its neighbours."""
    free = set()
    shaped = max(float(section.posture[part]) for part in ("rounded", "spread", "tucked"))
    if shaped < numbers()["acting"]["lips_from"] and not any(word in entry.place for word in LIP_PLACES):
        free.add("lips")
    consonant = entry.manner != "vowel"
    # "labial-velar" and the like: the tongue acts too
    tongue = any(word in entry.place for word in ("velar", "palatal", "alveolar", "dental", "uvular", "linguo"))
    if consonant and any(word in entry.place for word in TONGUE_FREE) and (not tongue or "labiodental" in entry.place):
        free.add("tongue")
    lowered = float(section.posture["velum"]) > 0.3
    if not lowered and not any(word in entry.place for word in SOFT_PALATE_PLACES):
        free.add("velum")
    return frozenset(free)


def focus(moment: Moment, free: frozenset[str]) -> Array | None:
    """Places (n, 2) in mm where the sound is made: contacts, and the narrowest place of the mouth."""
    places = []
    for organ in dict.fromkeys(c.organ for c in moment.state.closed):
        line = contact_line(moment.section, organ)
        if line is not None:
            places += [line[0], line[len(line) // 2], line[-1]]
    if "lips" not in free:
        places += [moment.section[f"{side}_red"].mean(axis=0) for side in ("upper", "lower")]
    if "tongue" not in free:
        inner, outer, width = moment.channel.inner, moment.channel.outer, moment.channel.width_mm
        mouth = np.isfinite(width) & (inner[:, 1] > -25.0) & (inner[:, 0] > 2.0)
        if mouth.any():
            at = int(np.argmin(np.where(mouth, width, np.inf)))
            if width[at] < numbers()["acting"]["near_mm"]:
                places.append((inner[at] + outer[at]) / 2)
    return np.array(places) if places else None
