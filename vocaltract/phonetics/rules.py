"""From features to constraints and so to a posture: rules of place, manner, airstream and marks (data/rules.toml).

Nothing here knows a symbol: a consonant is its place's row and its manner's row, changed by its marks; a vowel lies in
the plane of height and backness, blended from anchor vowels, with lips by its rounding.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, replace
from functools import cache
from typing import Any

import numpy as np

from articulators.curves import Array
from articulators.errors import BadInput
from articulators.head import Head
from articulators.posture import Posture, part_index, parts, posture_from, posture_of
from vocaltract.ipa.features import CORONAL, LABIAL, Features
from vocaltract.phonetics.targets import Target, data, quantity, target_from

TONGUE_AND_JAW = (
    "jaw_mm", "root_mm", "rear_mm", "back_mm", "front_mm", "blade_mm", "body_forward_mm", "tip_up_mm",
    "tip_forward_mm", "larynx_mm",
)  # fmt: skip
_TARGET_FIELDS = frozenset(f.name for f in fields(Target))


@cache
def table() -> Mapping[str, Any]:
    """data/rules.toml, parsed."""
    return data("rules")


def steps(f: Features) -> tuple[Features, ...]:
    """The consonants that a sound is made of in time: closure and friction for an affricate, else itself."""
    if f.manner != "affricate":
        return (f,)
    closing = f.places[1] if f.places[1] in CORONAL else f.places[0]
    return (
        replace(f, places=(closing,), lateral=False),
        replace(f, places=f.places[1:], manner="fricative", lateral=f.lateral),
    )


def target(f: Features) -> Target:
    """The constraints of one consonant (for an affricate: of one of its `steps`).

    BadInput for vowels and for glottal sounds, which ask nothing of the mouth.
    """
    if f.is_vowel or f.places == ("glottal",):
        raise BadInput(f"[{f.symbol}] asks for no place in the mouth")
    rules = table()
    way = _way(f)
    manner = rules["manner"][way]
    row = dict(_shape(f.places[0], way, f))
    if len(f.places) == 2 and f.manner != "affricate":
        row = _double(f, row, way)
    made: dict[str, Any] = {"place": f.places[0], "velum": "raised", **manner, **row}
    made["symbols"] = (f.symbol,)
    _airstream(f, made)
    _nose(f, made)
    _marks(f, made)
    return target_from({k: v for k, v in made.items() if k in _TARGET_FIELDS})


def _way(f: Features) -> str:
    """The manner that marks of height leave: a raised approximant hisses, a lowered fricative does not."""
    way = f.way
    if "raised" in f.marks and way == "approximant":
        return "fricative"
    if "lowered" in f.marks and way in ("fricative", "plosive"):
        return "approximant" if way == "fricative" else "fricative"
    return way


def _shape(place: str, way: str, f: Features) -> Mapping[str, Any]:
    for row in table()["shape"]:
        if place not in row["places"] or way not in row.get("manners", (way,)):
            continue
        if row.get("marked", False) and place not in f.marks:
            continue
        return {k: v for k, v in row.items() if k not in ("places", "manners", "marked")}
    raise BadInput(f"[{f.symbol}]: no rule for a {place} {way}")


def _double(f: Features, first: dict[str, Any], way: str) -> dict[str, Any]:
    front, back = f.places
    rules = table()
    if front in LABIAL:
        row = dict(_shape(back, "plosive" if f.manner == "click" else way, f))
        open_way = f.manner in ("approximant", "fricative")
        if open_way:
            row["degree"] = "near"
        return {
            **row,
            "lips": rules["double"][f"{f.manner}_lips"] if open_way else first["lips"],
            "jaw_mm": rules["double"]["jaw_mm"],
            "free": (),
        }
    if back not in rules["second"]:
        raise BadInput(f"[{f.symbol}]: no rule for {front} and {back} at once")
    row = {**first, "second_place": rules["second"][back]}
    row["second_degree"] = "closed" if f.closes else "near"
    if f.manner == "click":
        row["body_drop_mm"] = rules["double"]["click_body_drop_mm"]
    elif f.closes:
        row.pop("body_drop_mm", None)
    return row


def _airstream(f: Features, made: dict[str, Any]) -> None:
    made.update(table()["airstream"].get(f.airstream, {}))


def _nose(f: Features, made: dict[str, Any]) -> None:
    if not f.nasal:
        return
    rules = table()["nasal"]
    made["velum"] = rules["velum"]
    for key in ("place", "second_place"):
        if made.get(key) in rules:
            made[key] = rules[made[key]]


def _marks(f: Features, made: dict[str, Any]) -> None:
    rules, has = table()["mark"], set(f.marks).__contains__
    back = "velar" in f.places or "uvular" in f.places
    for mark in ("advanced", "retracted"):
        if has(mark):
            made["shift_mm"] = rules[f"{mark}_velar_mm"] if back else rules[f"{mark}_mm"]
    if has("apical") and f.places[0] in rules["apical_place"]:
        made.update(place=rules["apical_place"][f.places[0]], active="tip", tip="up")
        made.pop("tip_at_mm", None)
    if has("laminal"):
        made.update(active="blade", tip="", tip_at_mm=rules["laminal_tip_at_mm"])
    if has("labialized"):
        shut = made["lips"] in ("closed", "touching")
        made["lips"] = rules["labialized_closed_lips" if shut else "labialized_lips"]
        made["free"] = tuple(x for x in made["free"] if x != "lips")
    if has("more rounded") or has("less rounded"):
        made["lips"] = rules["labialized_lips"] if has("more rounded") else "neutral"
        made["free"] = tuple(x for x in made["free"] if x != "lips")
    for mark in ("palatalized", "velarized"):
        if has(mark):
            _body(made, rules[mark], f)
    if has("pharyngealized") or has("retracted tongue root"):
        made["throat_mm"] = rules["pharyngealized_throat_mm"]
    if has("velarized or pharyngealized"):
        made.update(rules["dark"])
    if has("advanced tongue root"):
        made["throat_mm"] = rules["advanced_root_throat_mm"]


def _body(made: dict[str, Any], raised: Mapping[str, Any], f: Features) -> None:
    """The body of the tongue raised beside the sound's own place, or that place drawn towards it."""
    if f.places[0] in ("palatal", "velar", "uvular", "pharyngeal", "epiglottal"):
        made["shift_mm"] = made.get("shift_mm", 0.0) + raised["shift_mm"]
        return
    made.update(second_place=raised["place"], second_degree=raised["degree"])
    made.pop("body_drop_mm", None)


def vowel(f: Features, head: Head) -> Posture:
    """The posture of a vowel on a head: tongue and jaw blended from the anchors, lips by height and rounding."""
    rules, has = table()["vowel"], set(f.marks).__contains__
    letter = f.symbol[:1]
    anchored = letter in rules["anchors"]
    height, depth = rules["anchors"][letter] if anchored else (rules["heights"][f.height], rules["depths"][f.backness])
    change = rules["mark"]
    asked = height, depth
    height += change["raised_height"] * has("raised") + change["lowered_height"] * has("lowered")
    depth += change["advanced_depth"] * has("advanced") + change["retracted_depth"] * has("retracted")
    middle = rules["depths"]["central"], rules["heights"]["mid"]
    if has("centralized") or has("mid-centralized"):
        depth += change["centralized_share"] * (middle[0] - depth)
    if has("mid-centralized"):
        height += change["centralized_share"] * (middle[1] - height)
    height, depth = float(np.clip(height, -0.5, 6.5)), float(np.clip(depth, -0.1, 1.1))
    values = np.array(posture_of().values)
    for name, value in zip(TONGUE_AND_JAW, _blend(height, depth), strict=True):
        values[part_index(name)] = value
    lips = _lips(f, height)
    if anchored and asked == (height, depth) and f.rounded == (letter in rules["rounded_anchors"]):
        own = _anchor(letter).values
        lips = {n: float(own[part_index(n)]) for n in ("aperture_mm", "rounded", "spread", "upper_raise_mm")}
    step = change["rounding_step"] * (has("more rounded") - has("less rounded"))
    lips["rounded"] = float(np.clip(lips["rounded"] + step, 0, 1))
    if step:
        lips["aperture_mm"] -= float(np.sign(step)) * change["rounding_aperture_mm"]
    for name, value in lips.items():
        values[part_index(name)] = value
    if has("rhotic"):
        values += change["rhotic_share"] * (_anchor(change["rhotic_anchor"]).values - values) * _tongue_only()
    _root_and_nose(f, values)
    low, high = np.array([p.low for p in parts()]), np.array([p.high for p in parts()])
    return posture_from(np.round(np.clip(values, low, high), 3))


def _root_and_nose(f: Features, values: Array) -> None:
    change, has = table()["vowel"]["mark"], set(f.marks).__contains__
    root = has("advanced tongue root") - int(has("retracted tongue root"))
    values[part_index("root_mm")] += root * change["root_mm"]
    for mark in ("pharyngealized", "velarized"):
        if has(mark):
            for name, more in change[mark].items():
                values[part_index(name)] += more
    if f.nasal:
        values[part_index("velum")] = change["nasal_velum"]


def _lips(f: Features, height: float) -> dict[str, float]:
    rules = table()["vowel"]

    def along(key: str) -> float:
        return float(np.interp(height, np.arange(7), rules[key]))

    if f.rounded:
        return {"aperture_mm": along("rounded_aperture_mm"), "rounded": along("rounded_amount"), "spread": 0.0}
    front = 1.0 - rules["depths"][f.backness]
    return {"aperture_mm": along("unrounded_aperture_mm"), "rounded": 0.0, "spread": front * along("unrounded_spread")}


def _anchor(key: str) -> Posture:
    from vocaltract.phonetics.inventory import posture

    return posture(key)


def _tongue_only() -> Array:
    chosen = np.zeros(len(parts()))
    for name in (*TONGUE_AND_JAW, "curl_deg"):
        chosen[part_index(name)] = 1.0
    return chosen


@cache
def _blender() -> Any:
    from scipy.interpolate import RBFInterpolator

    rules = table()["vowel"]
    at = np.array([(h, d * rules["depth_scale"]) for h, d in rules["anchors"].values()])
    columns = [part_index(n) for n in TONGUE_AND_JAW]
    values = np.stack([_anchor(key).values[columns] for key in rules["anchors"]])
    return RBFInterpolator(at, values, kernel=rules["kernel"], degree=1)


def _blend(height: float, depth: float) -> Array:
    return _blender()(np.array([[height, depth * table()["vowel"]["depth_scale"]]]))[0]


def posture(f: Features, head: Head) -> Posture:
    """The posture of one sound (of an affricate: its closure; see `steps`), solved or taken from the cache."""
    from vocaltract.phonetics.cache import solved

    if f.is_vowel:
        return vowel(f, head)
    first = steps(f)[0]
    if first.places == ("glottal",):
        return _anchor("ə").with_parts(velum=quantity("velum", "lowered" if f.nasal else "raised"))
    return solved(target(first), head)
