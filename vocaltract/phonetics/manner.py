"""Whether a posture makes its sound on a head: mouth and throat shut, narrow or open as the man's, formants as asked."""

from __future__ import annotations

from typing import Literal, TypeAlias

import numpy as np

from articulators.errors import BadInput
from articulators.posture import Posture
from articulators.section import Section, section
from vocaltract.airway.gaps import gaps
from vocaltract.airway.limits import airway_limits, narrow, sides_open
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.phonetics.vowel_targets import vowel_table
from vocaltract.phonetics.vowels import formants_of

Manner: TypeAlias = Literal["closed", "hiss", "open"]


def measured_manner(shown: Section) -> Manner:
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
    """BadInput where a posture leaves the mouth of a speaker in another manner than the man's posture leaves his."""
    shown = section(speaker.head, made)
    asked = measured_manner(section(man().head, as_of_man))
    if measured_manner(shown) == asked:
        return
    most = f"{airway_limits().hiss.gap_mm:g} mm"
    allowed = {"closed": "0 mm", "hiss": f"above 0 and below {most}", "open": f"{most} or more"}[asked]
    gap = f"the narrowest gap comes to {least_gap_mm(shown):.2f} mm"
    raise BadInput(f"speaker {speaker.name}: [{symbol}] cannot be made on this head: {gap}; allowed: {allowed}")


def check_vowel(symbol: str, made: Posture, speaker: Speaker) -> None:
    """BadInput where the posture that was fitted for a vowel stays too far from its formants."""
    within = vowel_table().reach.within_share
    found = formants_of(speaker.head, made, 3)
    for number, (reached, asked) in enumerate(zip(found, speaker.formants_hz[symbol], strict=True), 1):
        if not abs(reached / asked - 1) <= within:
            what = f"F{number} of this head comes to {reached:.0f} Hz where {asked:g} Hz is asked for"
            place = f"speaker {speaker.name}: vowels.formants_hz.{symbol}"
            raise BadInput(f"{place}: {what}; allowed: within {100 * within:g} %")
