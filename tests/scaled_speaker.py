"""A speaker for tests: the man in another size. A tube of k times the length resonates at 1/k times the frequencies."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from functools import cache
from typing import Any

from articulators.head import Head
from articulators.records import record, text_of
from vocaltract.phonetics.speaker import Speaker, SpeakerTable, speaker_from

# What a head's file holds that is no length: shares, directions, powers, numbers of points.
NO_LENGTHS = frozenset({
    "root_share", "modes", "strip_grows", "belly_share", "curl_from", "curl_power", "strip_to_foot",
    "foot_follows_tip", "lean", "foot_arrival", "hermite", "floor_gives", "hyoid_follows_larynx",
    "hyoid_follows_jaw", "epiglottis_share", "upper_moves", "lower_moves", "upper_share", "vermilion_upper",
    "vermilion_lower", "chin_neck_follows_jaw", "chin_neck_follows_lip", "chin_neck_follows_larynx", "velum_share",
})  # fmt: skip


def scaled_values(k: float) -> dict[str, Any]:
    """The file of a speaker who is the man k times as large, parsed."""
    head = tomllib.loads(text_of("articulators", "adult_male.toml"))
    own = tomllib.loads(text_of("vocaltract.phonetics", "speakers/man.toml"))
    made = {name: {key: _scaled(key, value, k) for key, value in rows.items()} for name, rows in head.items()}
    made["head_of"] |= {"name": f"man_{k:g}", "title": f"adult man, {k:g} times as large", "size": k, "throat": k}
    del own["speaker"]["head"]
    formants = own["vowels"]["formants_hz"]
    own["vowels"]["formants_hz"] = {vowel: [hz / k for hz in row] for vowel, row in formants.items()}
    return {**own, **made}


def _scaled(key: str, value: Any, k: float) -> Any:
    if key in NO_LENGTHS or isinstance(value, str):
        return value
    if isinstance(value, list):
        return [_scaled("", one, k) for one in value]
    if isinstance(value, Mapping):
        return {name: _scaled(name, one, k) for name, one in value.items()}
    return value * k


def as_toml(values: Mapping[str, Any]) -> str:
    """Tables as TOML text."""
    tables = ("".join(f"{_key(k)} = {_value(v)}\n" for k, v in rows.items()) for rows in values.values())
    return "\n".join(f"[{name}]\n{table}" for name, table in zip(values, tables, strict=True))


def _key(name: str) -> str:
    return json.dumps(name, ensure_ascii=False)


def _value(value: Any) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False)


@cache
def scaled_speaker(k: float) -> Speaker:
    """The man k times as large: nothing is solved for this speaker beforehand."""
    values = scaled_values(k)
    own = {name: values.pop(name) for name in ("speaker", "voice", "vowels")}
    own["speaker"]["head"] = ""
    head = record(values, Head, "scaled")
    return speaker_from(head.name, head, record(own, SpeakerTable, "scaled"), {})
