"""The speakers that can be asked for: by name, or by the file of one's own."""

from __future__ import annotations

import os

from articulators.errors import BadInput, nearest
from vocaltract.phonetics.speaker import SPEAKERS, Speaker, man, shipped_speaker
from vocaltract.phonetics.speaker_file import SPEAKER_ENDING, read_speaker


def speaker_of(given: Speaker | str | os.PathLike[str] | None) -> Speaker:
    """The speaker of a name or a file; one that is a speaker already as it is, the man where none is given.

    BadInput for a name that is none, and for a file as `speaker_file.read_speaker`.
    """
    if isinstance(given, Speaker):
        return given
    if given is None:
        return man()
    if not isinstance(given, str) or given.endswith(SPEAKER_ENDING):
        return read_speaker(given)
    if given in SPEAKERS:
        return shipped_speaker(given)
    known = f"allowed: {', '.join(SPEAKERS)} or a {SPEAKER_ENDING} file"
    raise BadInput(f"speaker '{given}' is unknown; {known}{nearest(given, SPEAKERS)}")
