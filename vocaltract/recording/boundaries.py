"""Where the sounds of a recording begin, corrected by a person: a small file beside the recording."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from articulators.errors import BadInput
from articulators.given_file import text_given
from articulators.records import Record, parsed
from vocaltract.motion.heard import HeardSound
from vocaltract.words.utterance import Utterance

ADVICE = "; `vocaltract timing TEXT --recording FILE --boundaries FILE` writes one to correct"
_HEAD = """# Where the sounds of a recording begin, in seconds from its beginning. Correct what you hear otherwise.
# start_s    of a stop: when it is shut; each sound ends where the next begins, or at end_s where a pause follows
# release_s  when a stop is let go; leave it out where none is heard
# voice_s    when the voice starts after it; leave it out where it goes on through the stop, or does not start
"""


class BoundarySound(Record, frozen=True):
    """One sound of a file of boundaries."""

    symbol: str
    start_s: float
    end_s: float | None = None
    release_s: float | None = None
    voice_s: float | None = None


class Boundaries(Record, frozen=True):
    """A file of boundaries: the text, and its sounds in order."""

    text: str
    sounds: tuple[BoundarySound, ...]


def boundaries_file(file: str | os.PathLike[str]) -> Boundaries:
    """The boundaries of a file. BadInput where it does not fit, and for times out of order."""
    name = Path(file).name
    found = parsed(text_given(file, "boundaries", ADVICE), Boundaries, name)
    if not found.sounds:
        raise BadInput(f"{name}: no sounds; each is a table [[sounds]] with symbol and start_s")
    if found.sounds[-1].end_s is None:
        raise BadInput(f"{name}: the last sound has no end_s")
    before, of = 0.0, "the beginning of the recording"
    for number, sound in enumerate(found.sounds, 1):
        where = f"{name}: sounds[{number}] ({sound.symbol})"
        for key in ("start_s", "release_s", "voice_s", "end_s"):
            value = getattr(sound, key)
            if value is None:
                continue
            late = key in ("release_s", "end_s")
            if not value >= before or (key in ("end_s", "release_s") and value == sound.start_s):
                raise BadInput(f"{where}: {key} {value:g} comes before {of} ({before:g}); times must rise")
            if key == "voice_s":  # may start in the sound after this one
                continue
            before, of = value, f"{key} of {sound.symbol}" if late else f"the start of {sound.symbol}"
    return found


def check_fits(given: Boundaries, utterance: Utterance, name: str) -> None:
    """BadInput where boundaries are of other sounds than an utterance's."""
    symbols = [sound.symbol for sound in utterance.sounds]
    others = [sound.symbol for sound in given.sounds]
    if symbols != others:
        raise BadInput(
            f"the boundaries of {name} are those of [{' '.join(others)}] ('{given.text}'); "
            f"'{utterance.text}' has the sounds [{' '.join(symbols)}]"
        )


def heard_sounds(given: Boundaries) -> tuple[HeardSound, ...]:
    """The sounds of a file of boundaries as they are heard."""
    found = []
    for number, sound in enumerate(given.sounds):
        after = given.sounds[number + 1].start_s if number + 1 < len(given.sounds) else None
        end = sound.end_s if sound.end_s is not None else after
        assert end is not None
        found.append(HeardSound(sound.start_s, end, sound.release_s, sound.voice_s))
    return tuple(found)


def boundaries_text(utterance: Utterance, sounds: Sequence[HeardSound]) -> str:
    """A file of boundaries of what is heard."""
    import json

    lines = [_HEAD, f"text = {json.dumps(utterance.text, ensure_ascii=False)}", ""]
    for number, (sound, heard) in enumerate(zip(utterance.sounds, sounds, strict=True)):
        after = sounds[number + 1].start_s if number + 1 < len(sounds) else None
        lines += ["[[sounds]]", f'symbol = "{sound.symbol}"', f"start_s = {max(heard.start_s, 0):.3f}"]
        lines += [f"release_s = {heard.release_s:.3f}"] if heard.release_s is not None else []
        lines += [f"voice_s = {heard.voice_s:.3f}"] if heard.voice_s is not None else []
        if after is None or after - heard.end_s > 0.0005:
            lines.append(f"end_s = {heard.end_s:.3f}")
        lines.append("")
    return "\n".join(lines)
