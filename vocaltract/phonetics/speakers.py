"""The speakers that can be asked for by name."""

from __future__ import annotations

from articulators.errors import BadInput, nearest
from vocaltract.phonetics.speaker import Speaker, man

SPEAKERS = ("man",)
"""Names of the speakers that come with the package; the first speaks where none is asked for."""


def speaker_of(given: Speaker | str | None) -> Speaker:
    """The speaker of a name; one that is a speaker already as it is, the first where none is given.

    BadInput for a name that is none.
    """
    if isinstance(given, Speaker):
        return given
    if given is None or given in SPEAKERS:
        return man()
    raise BadInput(f"speaker '{given}' is unknown; allowed: {', '.join(SPEAKERS)}{nearest(given, SPEAKERS)}")
