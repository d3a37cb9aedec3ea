"""The speakers that can be asked for by name."""

from __future__ import annotations

from articulators.errors import BadInput, nearest
from vocaltract.phonetics.speaker import SPEAKERS, Speaker, man, shipped_speaker


def speaker_of(given: Speaker | str | None) -> Speaker:
    """The speaker of a name; one that is a speaker already as it is, the first where none is given.

    BadInput for a name that is none.
    """
    if isinstance(given, Speaker):
        return given
    if given is None:
        return man()
    if given in SPEAKERS:
        return shipped_speaker(given)
    raise BadInput(f"speaker '{given}' is unknown; allowed: {', '.join(SPEAKERS)}{nearest(given, SPEAKERS)}")
