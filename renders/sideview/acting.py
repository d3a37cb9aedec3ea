"""Which organs a sound works with: they are drawn strong, and what it leaves free is drawn paler."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from articulators.records import Record, Row, table
from articulators.section import Section
from renders.marks.moment import Moment
from vocaltract.phonetics.inventory import SoundEntry

LIP_PLACES = ("bilabial", "labiodental", "labial")
TONGUE_FREE = (*LIP_PLACES, "glottal", "epiglottal")
SOFT_PALATE_PLACES = ("velar", "uvular")


class Acting(Row, frozen=True):
    """From where on something acts in a sound."""

    near_mm: float
    lips_from: float
    velum_from: float


class ActingTable(Record, frozen=True):
    """data/acting.toml."""

    acting: Acting


def acting() -> Acting:
    """The limits, with their source."""
    return table("renders.sideview", "acting.toml", ActingTable).acting


def resting(entry: SoundEntry, section: Section) -> frozenset[str]:
    """Of "lips", "tongue" and "velum", what the sound leaves to its neighbours."""
    free = set()
    shaped = max(float(section.posture[part]) for part in ("rounded", "spread", "tucked"))
    if shaped < acting().lips_from and not any(word in entry.place for word in LIP_PLACES):
        free.add("lips")
    consonant = entry.manner != "vowel"
    # "labial-velar" and the like: the tongue acts too
    tongue = any(word in entry.place for word in ("velar", "palatal", "alveolar", "dental", "uvular", "linguo"))
    if consonant and any(word in entry.place for word in TONGUE_FREE) and (not tongue or "labiodental" in entry.place):
        free.add("tongue")
    lowered = float(section.posture["velum"]) > acting().velum_from
    if not lowered and not any(word in entry.place for word in SOFT_PALATE_PLACES):
        free.add("velum")
    return frozenset(free)


def focus(now: Moment, free: frozenset[str]) -> Array | None:
    """Places (n, 2) in mm where the sound is made: contacts, and the narrowest place of the mouth."""
    places = []
    for organ in now.instant.organs:
        if organ in now.contacts:
            line = now.contacts[organ]
            places += [line[0], line[len(line) // 2], line[-1]]
    if "lips" not in free:
        places += [now.section[f"{side}_red"].mean(axis=0) for side in ("upper", "lower")]
    if "tongue" not in free:
        inner, outer, width = now.channel.inner, now.channel.outer, now.channel.width_mm
        least_x, least_y = now.section.head.air.mouth_from
        mouth = np.isfinite(width) & (inner[:, 1] > least_y) & (inner[:, 0] > least_x)
        if mouth.any():
            at = int(np.argmin(np.where(mouth, width, np.inf)))
            if width[at] < acting().near_mm:
                places.append((inner[at] + outer[at]) / 2)
    return np.array(places) if places else None
