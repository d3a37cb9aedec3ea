"""What a place, a manner and a mark ask of the mouth (data/rules.toml), as records."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal, TypeAlias

from articulators.posture import PartValues
from articulators.records import Pair, Record, Row, table
from vocaltract.phonetics.places import SidesState, known, place_names, places

ByHeight: TypeAlias = tuple[float, float, float, float, float, float, float]
"""One number for each height of the chart, from close to open."""


class MannerRule(Record, frozen=True):
    """Degree of the closure or narrowing; sides of the tongue."""

    degree: str
    sides: SidesState


class ShapeRule(Record, frozen=True):
    """What a place asks for in some manners (in all, where none is named); `marked`: only with a mark for the place.

    place, degree   where they are not those of the sound itself
    """

    places: tuple[str, ...]
    active: str
    lips: str
    jaw_mm: float
    free: tuple[str, ...]
    manners: tuple[str, ...] = ()
    marked: bool = False
    place: str = ""
    degree: str = ""
    tip: str = ""
    tip_at_mm: tuple[float, ...] = ()
    body_drop_mm: tuple[float, ...] = ()
    throat_mm: float = 0.0
    curl_deg: float = 0.0
    larynx_mm: float = 0.0


class DoubleRule(Record, frozen=True):
    """Two places at once: lips of open ones, the jaw, the body of the tongue in a click."""

    approximant_lips: str
    fricative_lips: str
    jaw_mm: float
    click_body_drop_mm: tuple[float, ...]


class AirstreamRule(Row, frozen=True):
    """How far the larynx moves for an airstream that it drives."""

    larynx_mm: Mapping[Literal["implosive", "ejective"], float]


class BodyRule(Record, frozen=True):
    """The body of the tongue raised: where to, how near, and how far a place of the body itself is drawn there."""

    place: str
    degree: str
    shift_mm: float


class DarkRule(Record, frozen=True):
    """The body drawn back and the throat narrowed."""

    throat_mm: float
    body_drop_mm: tuple[float, ...]


class MarkRules(Record, frozen=True):
    """What diacritics change in a consonant."""

    advanced_mm: float
    advanced_velar_mm: float
    retracted_mm: float
    retracted_velar_mm: float
    apical_place: Mapping[str, str]
    labialized_lips: str
    labialized_closed_lips: str
    laminal_tip_at_mm: tuple[float, ...]
    palatalized: BodyRule
    velarized: BodyRule
    advanced_root_throat_mm: float
    pharyngealized_throat_mm: float
    dark: DarkRule


class VowelMarks(Record, frozen=True):
    """What diacritics change in a vowel."""

    raised_height: float
    lowered_height: float
    advanced_depth: float
    retracted_depth: float
    centralized_share: float
    rounding_step: float
    rounding_aperture_mm: float
    root_mm: float
    nasal_velum: float
    rhotic_anchor: str
    rhotic_share: float
    pharyngealized: PartValues
    velarized: PartValues


class VowelPlane(Row, frozen=True):
    """The chart as a plane, the anchor vowels in it, and lips by height."""

    heights: Mapping[str, float]
    depths: Mapping[str, float]
    depth_scale: float
    anchors: Mapping[str, Pair]
    kernel: str
    rounded_aperture_mm: ByHeight
    rounded_amount: ByHeight
    rounded_anchors: tuple[str, ...]
    unrounded_aperture_mm: ByHeight
    unrounded_spread: ByHeight
    mark: VowelMarks


class Variants(Record, frozen=True):
    """Features of a sound in its word and the mark of the posture they choose; variants that are solved beforehand."""

    marks: Mapping[str, str]
    shipped: tuple[tuple[str, ...], ...]


class RuleTable(Row, frozen=True):
    """data/rules.toml."""

    manner: Mapping[str, MannerRule]
    shape: tuple[ShapeRule, ...]
    second: Mapping[str, str]
    double: DoubleRule
    nasal_place: Mapping[str, str]
    airstream: AirstreamRule
    mark: MarkRules
    vowel: VowelPlane
    variant: Variants


@cache
def rule_table() -> RuleTable:
    """The rules. BadInput where one names a place, degree or state of the lips that places.toml does not have."""
    found = table("vocaltract.phonetics", "rules.toml", RuleTable)
    lips, degrees = places().lips.shape, places().degree.clearance_mm
    for number, shape in enumerate(found.shape, 1):
        where = f"rules.toml: shape[{number}]"
        known(shape.lips, lips, "lips", where)
        known(shape.degree or "closed", degrees, "degree", where)
        known(shape.place or "alveolar", place_names(), "place", where)
        for manner in shape.manners:
            known(manner, found.manner, "manner", where)
    for name, rule in found.manner.items():
        known(rule.degree, degrees, "degree", f"rules.toml: manner.{name}")
    mark, double = found.mark, found.double
    for body, what in ((mark.palatalized, "palatalized"), (mark.velarized, "velarized")):
        known(body.place, place_names(), "place", f"rules.toml: mark.{what}")
        known(body.degree, degrees, "degree", f"rules.toml: mark.{what}")
    for place in (*found.second.values(), *found.nasal_place.values(), *mark.apical_place.values()):
        known(place, place_names(), "place", "rules.toml")
    for name in (double.approximant_lips, double.fricative_lips, mark.labialized_lips, mark.labialized_closed_lips):
        known(name, lips, "lips", "rules.toml")
    return found
