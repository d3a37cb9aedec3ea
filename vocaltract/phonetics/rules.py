"""From features to constraints and so to a posture: rules of place, manner, airstream and marks (data/rules.toml).

Nothing here knows a symbol: a consonant is its place's row and its manner's row, changed by its marks; a vowel lies in
the plane of height and backness, blended from anchor vowels, with lips by its rounding.
"""

from __future__ import annotations

import dataclasses
from functools import lru_cache
from typing import Any

import numpy as np
from msgspec.structs import replace

from articulators.curves import Array
from articulators.errors import BadInput
from articulators.head import Head
from articulators.posture import Posture, part_index, parts, posture_from, posture_of
from vocaltract.ipa.features import CORONAL, LABIAL, Features
from vocaltract.phonetics.anchors import anchor
from vocaltract.phonetics.cache import solved_posture
from vocaltract.phonetics.places import places
from vocaltract.phonetics.rule_table import BodyRule, ByHeight, MannerRule, ShapeRule, rule_table
from vocaltract.phonetics.sized import parts_on
from vocaltract.phonetics.speaker import Speaker
from vocaltract.phonetics.targets import Target

TONGUE_AND_JAW = (
    "jaw_mm", "root_mm", "rear_mm", "back_mm", "front_mm", "blade_mm", "body_forward_mm", "tip_up_mm",
    "tip_forward_mm", "larynx_mm",
)  # fmt: skip


def steps(f: Features) -> tuple[Features, ...]:
    """The consonants that a sound is made of in time: closure and friction for an affricate, else itself."""
    if f.manner != "affricate":
        return (f,)
    closing = f.places[1] if f.places[1] in CORONAL else f.places[0]
    return (
        dataclasses.replace(f, places=(closing,), lateral=False),
        dataclasses.replace(f, places=f.places[1:], manner="fricative", lateral=f.lateral),
    )


def target(f: Features) -> Target:
    """The constraints of one consonant (for an affricate: of one of its `steps`).

    BadInput for vowels and for glottal sounds, which ask nothing of the mouth.
    """
    if f.is_vowel or f.places == ("glottal",):
        raise BadInput(f"[{f.symbol}] asks for no place in the mouth")
    way = _way(f)
    made = _shaped(f, f.places[0], way, rule_table().manner[way])
    if len(f.places) == 2 and f.manner != "affricate":
        made = _double(f, made, way)
    return _marked(f, _nasal(f, _driven(f, made)))


def _way(f: Features) -> str:
    """The manner that marks of height leave: a raised approximant hisses, a lowered fricative does not."""
    way = f.way
    if "raised" in f.marks and way == "approximant":
        return "fricative"
    if "lowered" in f.marks and way in ("fricative", "plosive"):
        return "approximant" if way == "fricative" else "fricative"
    return way


def _shaped(f: Features, place: str, way: str, manner: MannerRule) -> Target:
    """What a place asks for, with the degree and the sides of a manner."""
    shape = _shape(f, place, way)
    return Target(
        symbols=(f.symbol,),
        active=shape.active,
        place=shape.place or f.places[0],
        degree=shape.degree or manner.degree,
        lips=shape.lips,
        velum="raised",
        sides=manner.sides,
        jaw_mm=shape.jaw_mm,
        free=shape.free,
        tip=shape.tip,
        tip_at_mm=shape.tip_at_mm,
        body_drop_mm=shape.body_drop_mm,
        throat_mm=shape.throat_mm,
        curl_deg=shape.curl_deg,
        larynx_mm=shape.larynx_mm,
    )


def _shape(f: Features, place: str, way: str) -> ShapeRule:
    for row in rule_table().shape:
        if place in row.places and way in (row.manners or (way,)) and (place in f.marks or not row.marked):
            return row
    raise BadInput(f"[{f.symbol}]: no rule for a {place} {way}")


def _double(f: Features, first: Target, way: str) -> Target:
    front, back = f.places
    rules, own = rule_table(), rule_table().double
    if front in LABIAL:
        made = _shaped(f, back, "plosive" if f.manner == "click" else way, rules.manner[way])
        made = replace(made, lips=first.lips, jaw_mm=own.jaw_mm, free=())
        if f.manner == "approximant":
            made = replace(made, lips=own.approximant_lips, degree="near")
        elif f.manner == "fricative":
            made = replace(made, lips=own.fricative_lips, degree="near")
        return made
    if back not in rules.second:
        raise BadInput(f"[{f.symbol}]: no rule for {front} and {back} at once")
    made = replace(first, second_place=rules.second[back], second_degree="closed" if f.closes else "near")
    if f.manner == "click":
        return replace(made, body_drop_mm=own.click_body_drop_mm)
    return replace(made, body_drop_mm=()) if f.closes else made


def _driven(f: Features, made: Target) -> Target:
    """With the larynx moved, where it drives the air."""
    moved = rule_table().airstream.larynx_mm
    if f.airstream == "implosive":
        return replace(made, larynx_mm=moved["implosive"])
    return replace(made, larynx_mm=moved["ejective"]) if f.airstream == "ejective" else made


def _nasal(f: Features, made: Target) -> Target:
    """With the soft palate lowered, where the sound is nasal; the tongue meets it there."""
    if not f.nasal:
        return made
    moved = rule_table().nasal_place
    return replace(
        made,
        velum="lowered",
        place=moved.get(made.place, made.place),
        second_place=moved.get(made.second_place, made.second_place),
    )


def _marked(f: Features, made: Target) -> Target:
    own, has = rule_table().mark, set(f.marks).__contains__
    back = "velar" in f.places or "uvular" in f.places
    if has("advanced"):
        made = replace(made, shift_mm=own.advanced_velar_mm if back else own.advanced_mm)
    if has("retracted"):
        made = replace(made, shift_mm=own.retracted_velar_mm if back else own.retracted_mm)
    if has("apical") and f.places[0] in own.apical_place:
        made = replace(made, place=own.apical_place[f.places[0]], active="tip", tip="up", tip_at_mm=())
    if has("laminal"):
        made = replace(made, active="blade", tip="", tip_at_mm=own.laminal_tip_at_mm)
    if has("labialized"):
        shut = made.lips in ("closed", "touching")
        made = _with_lips(made, own.labialized_closed_lips if shut else own.labialized_lips)
    if has("more rounded") or has("less rounded"):
        made = _with_lips(made, own.labialized_lips if has("more rounded") else "neutral")
    for mark, raised in (("palatalized", own.palatalized), ("velarized", own.velarized)):
        if has(mark):
            made = _body(f, made, raised)
    if has("pharyngealized") or has("retracted tongue root"):
        made = replace(made, throat_mm=own.pharyngealized_throat_mm)
    if has("velarized or pharyngealized"):
        made = replace(made, throat_mm=own.dark.throat_mm, body_drop_mm=own.dark.body_drop_mm)
    if has("advanced tongue root"):
        made = replace(made, throat_mm=own.advanced_root_throat_mm)
    return made


def _with_lips(made: Target, lips: str) -> Target:
    return replace(made, lips=lips, free=tuple(x for x in made.free if x != "lips"))


def _body(f: Features, made: Target, raised: BodyRule) -> Target:
    """The body of the tongue raised beside the sound's own place, or that place drawn towards it."""
    if f.places[0] in ("palatal", "velar", "uvular", "pharyngeal", "epiglottal"):
        return replace(made, shift_mm=made.shift_mm + raised.shift_mm)
    return replace(made, second_place=raised.place, second_degree=raised.degree, body_drop_mm=())


def vowel(f: Features, speaker: Speaker) -> Posture:
    """The posture of a vowel of a speaker: tongue and jaw blended from the anchors, lips by height and rounding."""
    rules, has = rule_table().vowel, set(f.marks).__contains__
    letter = f.symbol[:1]
    anchored = letter in rules.anchors
    height, depth = rules.anchors[letter] if anchored else (rules.heights[f.height], rules.depths[f.backness])
    change = rules.mark
    asked = height, depth
    height += change.raised_height * has("raised") + change.lowered_height * has("lowered")
    depth += change.advanced_depth * has("advanced") + change.retracted_depth * has("retracted")
    middle = rules.depths["central"], rules.heights["mid"]
    if has("centralized") or has("mid-centralized"):
        depth += change.centralized_share * (middle[0] - depth)
    if has("mid-centralized"):
        height += change.centralized_share * (middle[1] - height)
    height, depth = float(np.clip(height, -0.5, 6.5)), float(np.clip(depth, -0.1, 1.1))
    values = np.array(posture_of().values)
    for name, value in zip(TONGUE_AND_JAW, _blend(height, depth, speaker), strict=True):
        values[part_index(name)] = value
    lips = parts_on(_lips(f, height), speaker.head)
    if anchored and asked == (height, depth) and f.rounded == (letter in rules.rounded_anchors):
        own = anchor(letter, speaker).values
        lips = {n: float(own[part_index(n)]) for n in ("aperture_mm", "rounded", "spread", "upper_raise_mm")}
    step = change.rounding_step * (has("more rounded") - has("less rounded"))
    lips["rounded"] = float(np.clip(lips["rounded"] + step, 0, 1))
    if step:
        lips["aperture_mm"] -= float(np.sign(step)) * change.rounding_aperture_mm * speaker.head.size
    for name, value in lips.items():
        values[part_index(name)] = value
    if has("rhotic"):
        values += change.rhotic_share * (anchor(change.rhotic_anchor, speaker).values - values) * _tongue_only()
    _root_and_nose(f, values, speaker.head)
    low, high = np.array([p.low for p in parts()]), np.array([p.high for p in parts()])
    return posture_from(np.round(np.clip(values, low, high), 3))


def _root_and_nose(f: Features, values: Array, head: Head) -> None:
    change, has = rule_table().vowel.mark, set(f.marks).__contains__
    root = has("advanced tongue root") - int(has("retracted tongue root"))
    values[part_index("root_mm")] += root * change.root_mm * head.size
    for mark in ("pharyngealized", "velarized"):
        if has(mark):
            for name, more in parts_on(getattr(change, mark), head).items():
                values[part_index(name)] += more
    if f.nasal:
        values[part_index("velum")] = change.nasal_velum


def _lips(f: Features, height: float) -> dict[str, float]:
    rules = rule_table().vowel

    def along(row: ByHeight) -> float:
        return float(np.interp(height, np.arange(7), row))

    if f.rounded:
        return {"aperture_mm": along(rules.rounded_aperture_mm), "rounded": along(rules.rounded_amount), "spread": 0.0}
    front = 1.0 - rules.depths[f.backness]
    spread = front * along(rules.unrounded_spread)
    return {"aperture_mm": along(rules.unrounded_aperture_mm), "rounded": 0.0, "spread": spread}


def _tongue_only() -> Array:
    chosen = np.zeros(len(parts()))
    for name in (*TONGUE_AND_JAW, "curl_deg"):
        chosen[part_index(name)] = 1.0
    return chosen


@lru_cache(maxsize=8)
def _blender(speaker: Speaker) -> Any:
    from scipy.interpolate import RBFInterpolator

    rules = rule_table().vowel
    at = np.array([(h, d * rules.depth_scale) for h, d in rules.anchors.values()])
    columns = [part_index(n) for n in TONGUE_AND_JAW]
    values = np.stack([anchor(key, speaker).values[columns] for key in rules.anchors])
    return RBFInterpolator(at, values, kernel=rules.kernel, degree=1)


def _blend(height: float, depth: float, speaker: Speaker) -> Array:
    return _blender(speaker)(np.array([[height, depth * rule_table().vowel.depth_scale]]))[0]


def posture_by_rule(f: Features, speaker: Speaker) -> Posture:
    """The posture of one sound (of an affricate: its closure; see `steps`), solved for a speaker or from the cache."""
    if f.is_vowel:
        return vowel(f, speaker)
    first = steps(f)[0]
    if first.places == ("glottal",):
        return anchor("ə", speaker).with_parts(velum=places().velum.lowered_by["lowered" if f.nasal else "raised"])
    return solved_posture(target(first), speaker.head)
