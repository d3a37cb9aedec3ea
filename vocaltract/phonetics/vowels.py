"""Vowels fitted: the posture on a head whose area function has the published formants, with the least departure
from a starting shape.

Formants alone do not fix a shape, so place and width of the constriction, the tongue's area, jaw and lips are
wishes too. The posture that is fitted is the one that is drawn.
"""

from __future__ import annotations

import numpy as np
from scipy.optimize import least_squares

from articulators import tongue
from articulators.curves import Array
from articulators.head import Head
from articulators.outlines import fixed
from articulators.posture import Posture, parts, posture_from
from articulators.section import rest_tongue_area_mm2, section
from vocaltract.airway.area_rules import area_rules
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.resonance import formants
from vocaltract.phonetics.sized import vowel_on, vowel_wishes
from vocaltract.phonetics.speaker import Speaker
from vocaltract.phonetics.vowel_targets import VowelTarget, vowel_table

FREE = (
    "root_mm", "rear_mm", "back_mm", "front_mm", "blade_mm", "body_forward_mm", "tip_up_mm", "tip_forward_mm",
    "jaw_mm", "aperture_mm", "rounded", "larynx_mm",
)  # fmt: skip

STEP = 0.04
ROOT = slice(12, 66, 3)  # points of the tongue's surface that can face the throat wall
UVULA = slice(6, 11)  # points of the raised soft palate round the tip of the uvula
VOWELS_VERSION = 3


def formants_of(head: Head, posture: Posture, count: int = 4) -> Array:
    """Formants (..., count) in Hz of postures as drawn."""
    areas = tract_areas(section(head, posture))
    return formants(areas.length_cm, areas.area_cm2, count=count).frequency_hz


def fit(target: VowelTarget, speaker: Speaker, start: Posture) -> Posture:
    """The posture for a vowel of a speaker, from a starting posture (shape ()).

    Deterministic on one machine; elsewhere last digits may lead a flat search to another end.
    """
    head = speaker.head
    own, target = vowel_wishes(head), vowel_on(target, head)
    base = np.array(start.values)
    stated = {
        "jaw_mm": target.jaw_mm,
        "aperture_mm": target.aperture_mm,
        "rounded": target.rounded,
        "spread": target.spread,
        "velum": target.velum,
    }
    for i, part in enumerate(parts()):
        base[i] = stated.get(part.name, base[i])
    columns = [i for i, p in enumerate(parts()) if p.name in FREE]
    low = np.array([parts()[i].low for i in columns]) + 1e-6
    high = np.array([parts()[i].high for i in columns]) - 1e-6
    allowance = np.array([own.allowance_of.get(parts()[i].name, own.allowance) for i in columns])
    rest_area = rest_tongue_area_mm2(head)
    rest_line = tongue.rest_surface(head).surface
    wanted = np.log(np.array(speaker.formants_hz[target.symbol]))
    first = base[columns]
    bunched = target.place == "bunched"
    weights = np.array(own.formants) * ((1, 1, own.third_of_bunched) if bunched else (1, 1, 1))
    behind = np.array([own.tip_behind_rim_mm, -own.tip_below_rim_mm])
    tip_weights = np.array(own.tip) * target.tip_share
    free_area, keep_mm = own.area_free_per_cent, target.gap_mm or own.gap_mm
    wall = fixed(head, "rear_wall")
    uvula = head.velum.raised[UVULA]

    def residuals(x: Array) -> Array:
        values = np.broadcast_to(base, (*x.shape[:-1], len(base))).copy()
        values[..., columns] = x
        posture = Posture(values)
        shown = section(head, posture)
        areas = tract_areas(shown)
        found = formants(areas.length_cm, areas.area_cm2, count=3).frequency_hz
        wish = [np.nan_to_num(np.log(found) - wanted, nan=1.0) * weights]
        wish.append((x - first) / allowance)
        off = (shown.tongue_area_mm2() / rest_area - 1)[..., None] * 100
        wish.append(own.area_per_cent * (off - np.clip(off, -free_area, free_area)))
        line = tongue.surface(head, posture)
        bend = np.diff((line - rest_line)[..., ::8, :], n=2, axis=-2)
        wish.append(own.bend * bend.reshape(*x.shape[:-1], -1))
        root = line[..., ROOT, :]
        wish.append(own.gap * np.minimum(np.interp(root[..., 1], *wall[::-1, ::-1].T) - root[..., 0] - keep_mm, 0))
        away = np.linalg.norm(line[..., None, ::4, :] - uvula[:, None, :], axis=-1).min(axis=-1)
        wish.append(own.uvula * np.minimum(away - own.uvula_mm, 0))
        rim = shown["lower_incisor"]
        edge = np.take_along_axis(rim, np.argmax(rim[..., 1], axis=-1)[..., None, None], axis=-2)[..., 0, :]
        wish.append((line[..., -1, :] - edge - behind) * tip_weights)
        n = areas.area_cm2.shape[-1]
        throat, mouth = areas.least_cm2[..., n // 6 : n // 2], areas.least_cm2[..., n // 2 : n - 4]
        wish.append(own.narrow * np.minimum(throat - target.throat_cm2, 0))
        wish.append(own.narrow * np.minimum(mouth - own.least_mouth_cm2, 0))
        wish.append(own.place * _misplaced(target.place, areas.least_cm2, own.place_margin)[..., None])
        return np.concatenate(wish, axis=-1)

    def jacobian(x: Array) -> Array:
        batch = residuals(np.concatenate([x[None], x + STEP * np.eye(len(x))]))
        return ((batch[1:] - batch[0]) / STEP).T

    found = least_squares(
        residuals,
        np.clip(first, low, high),
        jac=jacobian,
        bounds=(low, high),
        x_scale=allowance,
        max_nfev=60,
        ftol=3e-4,
        xtol=3e-4,
    )
    values = base.copy()
    values[columns] = np.round(found.x, 3)
    return posture_from(values)


def meets(target: VowelTarget, speaker: Speaker, posture: Posture) -> bool:
    """Whether a posture (shape ()) has its first two formants, lies at its place and lets air pass without a hiss."""
    areas = tract_areas(section(speaker.head, posture))
    wanted, close = np.array(speaker.formants_hz[target.symbol])[:2], vowel_table().reach.first_two_within_share
    found = formants(areas.length_cm, areas.area_cm2, count=2).frequency_hz
    n = areas.area_cm2.shape[-1]
    hissing = areas.least_cm2[n // 6 : n - 4].min() < area_rules().places.fricative_cm2
    placed = _misplaced(target.place, areas.least_cm2, 0) == 0
    return bool(np.all(np.abs(found / wanted - 1) <= close) and placed and not hissing)


def _misplaced(place: str, area_cm2: Array, margin: float) -> Array:
    """How much narrower the tract is elsewhere than at its place, as a smooth logarithm (...); 0 where it is right."""
    shares, (glottis, lips) = vowel_table().place.lies, vowel_table().place.counts
    if place not in shares:
        return np.zeros(area_cm2.shape[:-1])
    n = area_cm2.shape[-1]
    at = (np.arange(n) + 0.5) / n
    low, high = shares[place]
    here = (at >= low) & (at <= high)
    elsewhere = (at > glottis) & (at < lips) & ~here
    log = np.log(np.maximum(area_cm2, 1e-3))
    narrower = _soft_least(log[..., here]) - _soft_least(log[..., elsewhere])
    return np.maximum(narrower + margin, 0)


def _soft_least(values: Array, sharp: float = 16.0) -> Array:
    return -np.log(np.exp(-sharp * values).mean(axis=-1)) / sharp
