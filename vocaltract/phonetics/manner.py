"""Whether a posture makes its sound on a head: shut, narrow or open as the man's mouth, with the formants asked for."""

from __future__ import annotations

from typing import Literal, TypeAlias

import numpy as np

from articulators.errors import BadInput
from articulators.posture import Posture
from articulators.section import Section, section
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.gaps import gaps
from vocaltract.airway.limits import airway_limits, narrow, sides_open
from vocaltract.airway.measure import narrowest
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics.places import stretch
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.phonetics.targets import Target
from vocaltract.phonetics.vowel_targets import vowel_table
from vocaltract.phonetics.vowels import formants_of

MouthManner: TypeAlias = Literal["closed", "hiss", "open"]
OFF_PLACE_MM = 3.0
"""In a mouth as large as the man's: solved sounds are narrowest within 2 mm of their place."""


def measured_manner(shown: Section) -> MouthManner:
    """Whether mouth or throat of one section are shut, so narrow that air can hiss, or open."""
    found = gaps(shown)
    if any(bool(found.shut(organ)) for organ in ("lips", "coronal", "dorsal")):
        return "closed"
    return "hiss" if bool(narrow(least_gap_mm(shown))) and not bool(sides_open(found.sides)) else "open"


def least_gap_mm(shown: Section) -> float:
    """The narrowest gap in the midline of one section: of lips, teeth, tongue and throat wall."""
    found = gaps(shown)
    return float(np.min([found.lips, found.teeth, found.coronal, found.dorsal, found.throat, found.leaf]))


def check_manner(symbol: str, made: Posture, as_of_man: Posture, speaker: Speaker) -> None:
    """BadInput where a posture leaves the mouth of a speaker in another manner than the man's posture leaves his.

    What of a vowel is narrow is told by its formants: here it only must not be shut.
    """
    shown, hiss_mm = section(speaker.head, made), airway_limits().hiss.gap_mm
    found, asked = measured_manner(shown), measured_manner(section(man().head, as_of_man))
    if found == asked or (found == "hiss" and _is_vowel(symbol)):
        return
    needed = {"closed": "0 mm", "hiss": f"above 0 and below {hiss_mm:g} mm", "open": f"{hiss_mm:g} mm or more"}
    said = f"the narrowest gap comes to {least_gap_mm(shown):.2f} mm; allowed: {needed[asked]}"
    raise BadInput(f"speaker {speaker.name}: [{symbol}] cannot be made on this head: {said}")


def _is_vowel(symbol: str) -> bool:
    try:
        return parse(symbol).is_vowel
    except BadInput:
        return False


def check_place(target: Target, made: Posture, speaker: Speaker) -> None:
    """BadInput where a tongue that is asked to a place on the roof comes nearest elsewhere."""
    if "tongue" in target.free or target.second_place:
        return
    at, where = stretch(speaker.head, target.place), narrowest(tract_areas(section(speaker.head, made)))
    off = max(at.first - where.x_mm, where.x_mm - at.last)
    if at.surface != "roof" or off <= OFF_PLACE_MM * speaker.head.size:
        return
    said = f"it is narrowest {where.x_mm:.1f} mm behind the front teeth; allowed: {at.first:g} to {at.last:g} mm"
    raise BadInput(f"speaker {speaker.name}: [{target.symbols[0]}] cannot be made on this head: {said}")


def check_vowel(symbol: str, made: Posture, speaker: Speaker) -> None:
    """BadInput where the posture that was fitted for a vowel stays too far from its formants."""
    within = vowel_table().reach.within_share
    found = formants_of(speaker.head, made, 3)
    for number, (reached, asked) in enumerate(zip(found, speaker.formants_hz[symbol], strict=True), 1):
        if not abs(reached / asked - 1) <= within:
            what = f"F{number} of this head comes to {reached:.0f} Hz where {asked:g} Hz is asked for"
            place = f"speaker {speaker.name}: vowels.formants_hz.{symbol}"
            raise BadInput(f"{place}: {what}; allowed: within {100 * within:g} %")
