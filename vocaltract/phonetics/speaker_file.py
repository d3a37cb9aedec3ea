"""A speaker of one's own, in one TOML file: the tables of a speaker, and those of a head or the name of one."""

from __future__ import annotations

import os
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

import msgspec
import numpy as np
import shapely

from articulators.errors import BadInput, nearest
from articulators.given_file import text_given
from articulators.head import Head, shipped_head
from articulators.posture import PartValues, posture_of
from articulators.records import record, text_of, toml_values
from articulators.section import section
from vocaltract.phonetics.cache import head_hash
from vocaltract.phonetics.places import place_names
from vocaltract.phonetics.speaker import SPEAKERS, Speaker, SpeakerTable, shipped_speaker, speaker_from
from vocaltract.phonetics.vowel_targets import vowel_targets

SPEAKER_ENDING = ".toml"
FARTHEST_MM = 250.0
"""No landmark of a head in the frame of the front teeth lies farther off."""


def read_speaker(path: str | os.PathLike[str]) -> Speaker:
    """The speaker of a file; the same value for the same content.

    BadInput, with file, key, value and what is allowed, for a file that is absent, broken, incomplete, of another
    format, or that holds what is out of range; SurroundingsError where it cannot be read.
    """
    path = Path(path)
    return speaker_of_text(text_given(path, "speaker file", "; `vocaltract speakers` writes one to change"), path.name)


@lru_cache(maxsize=8)
def speaker_of_text(text: str, file: str) -> Speaker:
    """The speaker that a text of a file describes; BadInput as for `read_speaker`."""
    values = toml_values(text, file)
    tables = _fields(Head)
    of_head = {name: rows for name, rows in values.items() if name in tables}
    of_speaker = {name: rows for name, rows in values.items() if name not in tables}
    for name in of_speaker:
        allowed = (*_fields(SpeakerTable), *tables)
        if name not in allowed:
            raise BadInput(f"{file}: key {name!r} is unknown; allowed: {', '.join(allowed)}{nearest(name, allowed)}")
    own: SpeakerTable = record(of_speaker, SpeakerTable, file)
    _check_vowels(own, file)
    head = _head(own.speaker.head, of_head, file)
    return speaker_from(file, head, own, _solved_beforehand(head, own))


def speaker_copy(name: str) -> str:
    """A speaker of the package as the text of a file to change. BadInput for a name that is none."""
    if name not in SPEAKERS:
        raise BadInput(f"speaker '{name}' is unknown; allowed: {', '.join(SPEAKERS)}{nearest(name, SPEAKERS)}")
    own = text_of("vocaltract.phonetics", f"speakers/{name}.toml")
    head = shipped_speaker(name).head.name
    kept = [line for line in own.splitlines() if not line.startswith("head = ")]
    return "\n".join(kept) + "\n\n" + text_of("articulators", f"{head}.toml")


def _fields(kind: type[msgspec.Struct]) -> tuple[str, ...]:
    return tuple(field.encode_name for field in msgspec.structs.fields(kind))


def _head(named: str, tables: Mapping[str, Any], file: str) -> Head:
    """The head of a file: the one that it names, or the one of its own tables."""
    if named and tables:
        raise BadInput(
            f"{file}: speaker.head {named!r} and the table [{next(iter(tables))}] are two heads; leave one out"
        )
    if named:
        heads = [shipped_speaker(name).head.name for name in SPEAKERS]
        if named not in heads:
            raise BadInput(
                f"{file}: speaker.head: {named!r} is unknown; allowed: {', '.join(heads)}{nearest(named, heads)}"
            )
        return shipped_head(named)
    head: Head = record(tables, Head, file)
    _check_places(head, file)
    _check_within(head, file)
    _check_drawn(head, file)
    return head


def _check_vowels(own: SpeakerTable, file: str) -> None:
    needed = [vowel.symbol for vowel in vowel_targets()]
    for symbol in (*needed, *own.vowels.formants_hz):
        if symbol not in own.vowels.formants_hz:
            raise BadInput(f"{file}: vowels.formants_hz: {symbol!r} is missing; allowed: {', '.join(needed)}")
        if symbol not in needed:
            near = nearest(symbol, needed)
            raise BadInput(f"{file}: vowels.formants_hz: {symbol!r} is unknown; allowed: {', '.join(needed)}{near}")


def _check_places(head: Head, file: str) -> None:
    """BadInput where a place of articulation is missing or lies off the part of the head that it is a stretch of."""
    own, wall = head.places, head.pharynx.rear_wall[:, 1]
    for name in sorted(place_names()):
        if name not in own.named():
            raise BadInput(f"{file}: places: {name!r} is missing; allowed: {', '.join(sorted(place_names()))}")
    for key, low, high in (
        ("roof_mm", 0.0, float(head.velum.raised[:, 0].max())),
        ("velum_share", 0.0, 1.0),
        ("wall_mm", float(wall.min()), float(wall.max())),
    ):
        for name, (first, last) in getattr(own, key).items():
            if not low <= first < last <= high:
                where = f"{file}: places.{key}.{name}: {first:g} to {last:g} lies off it"
                raise BadInput(f"{where}; allowed: within {low:g} to {high:g}")


def _check_within(head: Head, file: str) -> None:
    for name in _fields(Head):
        table = getattr(head, name)
        for key in _fields(type(table)):
            value = getattr(table, key)
            if isinstance(value, np.ndarray | float) and np.abs(value).max() > FARTHEST_MM:
                far = float(np.ravel(value)[np.abs(value).argmax()])
                allowed = f"allowed: {-FARTHEST_MM:g} to {FARTHEST_MM:g}"
                raise BadInput(f"{file}: {name}.{key}: {far:g} mm is out of range; {allowed}")


def _check_drawn(head: Head, file: str) -> None:
    """BadInput for a head whose tongue has no outline at rest."""
    try:
        area = float(section(head, posture_of(jaw_mm=head.tongue.rest_jaw_mm)).tongue_area_mm2())
    except (ValueError, IndexError, ArithmeticError, shapely.errors.ShapelyError) as error:
        said = f"this head cannot be drawn at rest: {str(error).splitlines()[0]}"
        raise BadInput(f"{file}: {said}; allowed: outlines that do not cross") from None
    if not area > 0:
        raise BadInput(
            f"{file}: tongue.rest: the tongue at rest has no area; allowed: an outline clear of teeth and palate"
        )


def _solved_beforehand(head: Head, own: SpeakerTable) -> Mapping[str, PartValues]:
    """What a speaker of the package with this head and these formants was solved for; nothing for another."""
    for name in SPEAKERS:
        speaker = shipped_speaker(name)
        if head_hash(head) == head_hash(speaker.head) and own.vowels.formants_hz == speaker.formants_hz:
            return speaker.solved
    return {}
