"""What a posture comes to in numbers: formants, areas, the narrowest place, contact, the way to the nose.

Measured on the section that is drawn. One posture at a time; batches go through `areas` and `resonance`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from articulators.curves import Array
from articulators.head import Head, adult_male
from articulators.posture import Posture
from articulators.section import Section, section
from vocaltract.airway import losses, nose, resonance
from vocaltract.airway.air import speech_air
from vocaltract.airway.area_rules import area_rules, place_name
from vocaltract.airway.areas import AreaFunction, tract_areas
from vocaltract.airway.gaps import gaps, tip_to_lip_mm

COUNT = 5
TOP_HZ, STEP_HZ = 6000.0, 4.0
TOUCHES = {
    "lips": "lower lip on upper lip",
    "teeth": "lower lip on upper teeth",
    "coronal": "front of the tongue on teeth or ridge",
    "dorsal": "back of the tongue on hard or soft palate",
    "port": "soft palate on throat wall",
    "throat": "tongue root on throat wall",
}
TIP_ON_LIP = "tip of the tongue on upper lip"


@dataclass(frozen=True)
class Constriction:
    """The narrowest place of the tract above the larynx.

    place           name of the place on the roof or the throat wall ("alveolar", "palatal", ...), or the lips'
    x_mm, y_mm      where it lies in the head       area_cm2    0 where it is shut
    from_glottis_cm, from_lips_cm                   distances along the midline
    """

    place: str
    x_mm: float
    y_mm: float
    area_cm2: float
    from_glottis_cm: float
    from_lips_cm: float


@dataclass(frozen=True)
class Measurement:
    """One posture measured. Arrays are read-only and rise from the glottis or in frequency.

    formants_hz, bandwidths_hz   (5,); nan where the tract is shut and the nose too
    area_cm2, section_length_cm  (n,) sections of equal length from glottis to lips
    frequency_hz, level_db       (k,) response from glottis to lips (and nostrils); nan where nothing comes out
    """

    posture: Posture
    shown: Section
    formants_hz: Array
    bandwidths_hz: Array
    area_cm2: Array
    section_length_cm: Array
    constriction: Constriction
    lip_area_cm2: float
    contact: tuple[str, ...]
    port_area_cm2: float
    sound_speed_cm_s: float
    frequency_hz: Array
    level_db: Array


def measure_sound(posture: Posture, *, head: Head | None = None, sound_speed_cm_s: float | None = None) -> Measurement:
    """Measure one posture (shape ()) on a head, the shipped one by default.

    Formants are peaks of the response where it has one for a resonance, else the resonance itself. With the
    port open, throat, mouth and nose are taken together.
    """
    shown = section(head or adult_male(), posture)
    areas = tract_areas(shown)
    touching = gaps(shown)
    port = float(speech_air().opening.port_width_cm * touching.port / 10)
    touches = {**TOUCHES, "coronal": TIP_ON_LIP} if np.isfinite(tip_to_lip_mm(shown)) else TOUCHES
    speed = losses.medium(sound_speed_cm_s).speed
    frequency = np.arange(STEP_HZ, TOP_HZ, STEP_HZ)
    found, response = _sound(shown, areas, port, frequency, speed)
    with np.errstate(divide="ignore"):
        level = 20 * np.log10(np.abs(response))
    return Measurement(
        posture=posture,
        shown=shown,
        formants_hz=_still(found.frequency_hz),
        bandwidths_hz=_still(found.bandwidth_hz),
        area_cm2=_still(areas.area_cm2),
        section_length_cm=_still(areas.length_cm),
        constriction=narrowest(areas),
        lip_area_cm2=float(areas.lip_cm2),
        contact=tuple(what for key, what in touches.items() if float(getattr(touching, key)) <= 0),
        port_area_cm2=port,
        sound_speed_cm_s=speed,
        frequency_hz=_still(frequency),
        level_db=_still(level),
    )


def _still(values: Array) -> Array:
    values = np.array(values, dtype=float)
    values.setflags(write=False)
    return values


def _sound(
    shown: Section, areas: AreaFunction, port_cm2: float, frequency: Array, speed: float
) -> tuple[resonance.Formants, NDArray[np.complex128]]:
    length, area = areas.length_cm, areas.area_cm2
    nothing = (
        resonance.Formants(np.full(COUNT, np.nan), np.full(COUNT, np.nan)),
        np.full(frequency.shape, np.nan, dtype=complex),
    )
    at = _port_cm(shown, areas)
    below_port = np.cumsum(length) <= at
    if np.any(area[below_port] <= 0):
        return nothing
    if port_cm2 >= area_rules().port.counts_from_cm2:
        tract = nose.branched(length, area, at, port_cm2, shown.head.size)
        found = nose.branched_formants(tract, sound_speed_cm_s=speed, count=COUNT)
        response = nose.branched_transfer(frequency, tract, sound_speed_cm_s=speed)
        return with_peaks(found, frequency, response), response
    if np.any(area <= 0):
        return nothing
    found = resonance.formants(length, area, sound_speed_cm_s=speed, count=COUNT)
    response = resonance.transfer(frequency, length, area, sound_speed_cm_s=speed)
    return with_peaks(found, frequency, response), response


def with_peaks(found: resonance.Formants, frequency_hz: Array, response: NDArray[np.complex128]) -> resonance.Formants:
    """Resonances (n,) replaced by the response's own peaks and -3 dB widths where it has them."""
    own = resonance.peaks(frequency_hz, response)
    frequency, width = np.array(found.frequency_hz), np.array(found.bandwidth_hz)
    if len(own.frequency_hz) == 0:
        return found
    for i, (f, b) in enumerate(zip(found.frequency_hz, found.bandwidth_hz, strict=True)):
        if not np.isfinite(f):
            continue
        j = int(np.argmin(np.abs(own.frequency_hz - f)))
        nearest = int(np.nanargmin(np.abs(found.frequency_hz - own.frequency_hz[j])))
        if nearest != i or abs(own.frequency_hz[j] - f) > b / 2:
            continue
        frequency[i] = own.frequency_hz[j]
        if np.isfinite(own.bandwidth_hz[j]):
            width[i] = own.bandwidth_hz[j]
    return resonance.Formants(frequency, width)


def _port_cm(shown: Section, areas: AreaFunction) -> float:
    """How far above the glottis the way to the nose branches off: at the soft palate's tip."""
    velum = shown["velum"]
    tip = velum[np.argmin(velum[:, 1])]
    nearest = int(np.argmin(np.linalg.norm(areas.midline_mm - tip, axis=-1)))
    ends = np.concatenate([[0.0], np.cumsum(areas.length_cm)])
    return float(np.clip(ends[nearest], ends[2], ends[-3]))


def narrowest(areas: AreaFunction) -> Constriction:
    """The narrowest place of one tract above the larynx.

    The lips count where they are shut or narrow enough for friction and no place of the tongue is narrower:
    a wider lip opening is lip rounding, which is told apart from the place of the tongue. Where the tongue touches in
    the midline and air passes beside it, that contact is the place, however narrow the throat is.
    """
    own, size, throat = area_rules().places, areas.head.size, areas.head.head_of.throat
    roof = areas.roof_mm
    below = areas.place_cm <= area_rules().larynx.up_to * throat
    tongue = np.where(areas.lips_at | below, np.inf, areas.least_cm2)
    beside = areas.touched & np.isfinite(tongue)
    if beside.any() and tongue.min() > 0:
        tongue = np.where(beside, tongue, np.inf)
    i, j = _least(tongue), int(np.argmin(np.where(areas.lips_at, areas.least_cm2, np.inf)))
    lip_cm2 = float(areas.lip_cm2)
    at_lips = lip_cm2 <= own.fricative_cm2 and lip_cm2 <= tongue[i]
    k = j if at_lips else i
    lips = "labiodental" if areas.lip_to_teeth else "labial"
    place = lips if at_lips else place_name(float(roof[k, 0]) / size, float(roof[k, 1]) / throat)
    x, y = (areas.midline_mm[k] + areas.midline_mm[k + 1]) / 2 if at_lips else roof[k]
    from_glottis = float(areas.place_cm[k])
    return Constriction(
        place,
        float(x),
        float(y),
        lip_cm2 if at_lips else float(areas.least_cm2[k]),
        from_glottis,
        float(areas.total_cm) - from_glottis,
    )


def _least(area_cm2: Array) -> int:
    """Number of the least area (n,); of a closure that is longer than one section, its middle."""
    first = int(np.argmin(area_cm2))
    if area_cm2[first] > 0:
        return first
    after = np.flatnonzero(area_cm2[first:] > 0)
    return first + (int(after[0]) - 1) // 2 if len(after) else first
