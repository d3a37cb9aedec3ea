"""Values as they are typed: each check gives the value, or raises BadInput with one line.

The line says what was given and what is allowed; where a value itself is out of range, it is that of whoever uses it.
"""

from __future__ import annotations

import argparse
import math
import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from articulators.errors import BadInput

if TYPE_CHECKING:
    from vocaltract.phonetics.speaker import Speaker


def typed(check: Callable[[str], Any]) -> Callable[[str], Any]:
    """A check that raises BadInput, as an argparse type (argparse would drop the message of a ValueError)."""

    def converted(text: str) -> Any:
        try:
            return check(text)
        except BadInput as error:
            raise argparse.ArgumentTypeError(str(error)) from None

    return converted


def _number(text: str, what: str, example: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise BadInput(f"{what} '{text}' is not a number; write for example {example}")
    return value


def size(text: str) -> tuple[int, int]:
    """ "1280x720" as (1280, 720) px; both even and within what a film can have."""
    from renders.files.formats import check_size

    match = re.fullmatch(r"(\d{1,6})[xX×](\d{1,6})", text, re.ASCII)
    if match is None:
        raise BadInput(f"size '{text}' is not WIDTHxHEIGHT in px; write for example 1280x720")
    return check_size(int(match[1]), int(match[2]))


def speed(text: str) -> float:
    """Playback speed, 1 is natural; the range is that of `vocaltract.motion.playback`."""
    from vocaltract.motion.playback import constant

    value = _number(text, "speed", "0.5 for half speed")
    constant(1.0, value)
    return value


def fps(text: str) -> float:
    """Frames a second; the range is that of `renders.files.encode`."""
    from renders.files.formats import check_fps

    value = _number(text, "frame rate", "30")
    check_fps(value)
    return value


def style(text: str) -> str:
    """Name of a bundled style, or of a style file."""
    from renders.paper.style import load

    load(text)
    return text


def speaker(text: str) -> Speaker:
    """The speaker of a name or a file."""
    from vocaltract.phonetics.speakers import speaker_of

    return speaker_of(text)


def part_names(text: str) -> tuple[str, ...]:
    """Names of organs and marks, with commas between them."""
    from renders.anatomy.layers import DRAWN_ORGANS, EVERY_ORGAN, MARKS, parts_to_draw

    given = tuple(part.strip() for part in text.split(",") if part.strip())
    if not given:
        raise BadInput(f"no part is named in '{text}'; allowed: {', '.join((*DRAWN_ORGANS, *MARKS))}")
    parts_to_draw([*EVERY_ORGAN, *given])
    return given


def event(text: str) -> str:
    """What two texts have in common in time: closure, release or vowel."""
    from vocaltract.pairs.event import check_event

    return check_event(text)


def sound_speed(text: str) -> float:
    """Speed of sound in cm/s: 30000 to 40000 covers air from freezing to body heat, helium left out."""
    value = _number(text, "speed of sound", "35000")
    if not 30000 <= value <= 40000:
        raise BadInput(f"speed of sound {text} cm/s is not possible; allowed is 30000 to 40000")
    return value


def pitch(text: str) -> float:
    """Pitch of a voice in Hz; the range is that of `vocaltract.sound.melody`."""
    from vocaltract.sound.melody import check_pitch

    return check_pitch(_number(text, "pitch", "115"))


def loudness(text: str) -> float:
    """Loudness in LUFS; the range is that of `vocaltract.sound.loudness`."""
    from vocaltract.sound.loudness import check_loudness

    return check_loudness(_number(text, "loudness", "-23 for broadcast"))
