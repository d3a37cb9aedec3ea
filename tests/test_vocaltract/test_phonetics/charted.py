"""Every symbol of the IPA chart drawn, once: sections, areas and the narrowest place of each."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import shapely

from articulators import contact
from articulators.head import adult_male
from articulators.posture import Posture, stack
from articulators.section import Section, section
from vocaltract.airway.areas import AreaFunction, tract_areas
from vocaltract.airway.gaps import Gaps, gaps
from vocaltract.airway.passage import Airway, airway
from vocaltract.ipa.alphabet import alphabet
from vocaltract.ipa.features import Features
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics import rules
from vocaltract.phonetics.speaker import man

HEAD = adult_male()
LETTERS = alphabet().letters
CONSONANTS = [s for s, f in LETTERS.items() if not f.is_vowel and f.places != ("glottal",)]
VOWELS = [s for s, f in LETTERS.items() if f.is_vowel]
MORE = ["pʼ", "tʼ", "kʼ", "sʼ", "t̪", "d̪", "n̪", "l̪", "k̟", "k̠", "t̼", "s̪", "s̺", "s̻", "tʲ", "tˠ", "tˤ", "tʷ", "bʲ", "pʷ"]
MORE += ["k͡p", "ŋ͡m", "ɫ", "t͡s", "t͡ɕ", "p͡f", "k͡x", "ŋ͡ǃ", "w̃", "j̃", "ɹ̝", "β̞", "b̪", "ɣ̞", "ŋ̟", "ɹ̺"]
MORE += ["õ", "ĩ", "ɑ̃", "e̝", "e̞", "ë", "e̽", "u̟", "e̘", "e̙", "ɔ̹", "ɔ̜", "aˤ", "ɚ", "a˞"]


@dataclass(frozen=True)
class Drawn:
    """One symbol as it is drawn."""

    features: Features
    section: Section
    airway: Airway
    gaps: Gaps
    areas: AreaFunction


@cache
def whole() -> dict[str, Drawn]:
    """The whole chart and the composed symbols, solved and measured as one batch."""
    names = [*CONSONANTS, *VOWELS, *MORE]
    made: Posture = stack([rules.posture_by_rule(parse(s), man()) for s in names])
    shown = section(HEAD, made)
    air, near, areas = airway(shown), gaps(shown), tract_areas(shown)
    return {s: Drawn(parse(s), shown.at(i), _row(air, i), _row(near, i), _row(areas, i)) for i, s in enumerate(names)}


def _row(value: Any, i: int) -> Any:
    """One moment of a batch of measures."""
    measures = [f.name for f in dataclasses.fields(value) if f.name != "head"]
    return dataclasses.replace(value, **{name: getattr(value, name)[i] for name in measures})


def of(*manners: str) -> list[str]:
    """Symbols whose letter has one of these manners."""
    return [s for s in CONSONANTS if LETTERS[s].way in manners]


def throat_gap_mm(one: Section) -> float:
    """Between the rear wall and what comes nearest to it in the throat: root of the tongue or epiglottis."""
    rear = contact.rear_mass(one.head)
    return min(float(shapely.distance(one.polygons(o), rear)) for o in ("tongue", "epiglottis"))


STOPS = of("plosive", "nasal", "trill", "tap", "click")


# Sections of the area function from the folds up to the larynx's own tube are no place of articulation
LARYNX_CM = 2.5
UVULA_MM = 8.0  # about the length of the uvula (anatomy handbooks, from memory)
# fricatives 0.03 to 0.2 cm2 (Stevens 1971; Catford 1977, from memory)
FRICTION_CM2 = (0.03, 0.2)


def narrowest(one: Drawn, beside_uvula: bool = False) -> tuple[float, np.ndarray]:
    """Least area above the larynx in cm2, and the point of roof or rear wall where it is."""
    looked_at = np.asarray(one.areas.place_cm) > LARYNX_CM
    if beside_uvula:
        soft = one.section["velum"]
        tip = soft[int(np.argmin(soft[:, 1]))]
        looked_at &= np.linalg.norm(np.asarray(one.areas.roof_mm) - tip, axis=-1) > UVULA_MM
    least = np.where(looked_at, one.areas.least_cm2, np.inf)
    i = int(np.argmin(least))
    return float(least[i]), one.areas.roof_mm[i]


def highest(one: Section) -> np.ndarray:
    """The highest point of the tongue behind its blade."""
    line = one["tongue"]
    body = line[line[:, 0] > 18.0]
    return body[int(np.argmax(body[:, 1]))]
