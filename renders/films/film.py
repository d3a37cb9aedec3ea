"""Films: frames in time that are drawn one by one as they are asked for, and their file."""

from __future__ import annotations

import base64
import os
import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from html import escape
from pathlib import Path
from typing import Any

import numpy as np

from articulators.curves import Array
from renders.files.encode import IN_FLIGHT, buffers, encode
from renders.files.formats import FILM_ENDINGS, check_ending, usual_fps
from renders.files.outputs import Progress
from renders.files.sound_file import COMPUTED, voice_of
from renders.files.writer import Frame
from renders.films import frame
from renders.films.intro import intro_card
from renders.films.look import look_of
from renders.films.pacing import playback_of
from renders.films.shot import Shot
from renders.ink import forked
from renders.ink.forked import Draw
from renders.ink.painter import Raster
from renders.marks import moments as scene
from renders.tracks.wave_row import heard_wave
from vocaltract.motion.playback import Playback
from vocaltract.motion.timeline import Timeline
from vocaltract.sound.hearing import HEARD_RATE_HZ, heard
from vocaltract.speech import USUAL, Speech, say

Frames = Iterator[Frame]
FASTER = "faster than natural: phrases with many stops may flash more than three times a second (WCAG 2.2, 2.3.1)"


@dataclass(frozen=True)
class Reel:
    """A film at a frame rate: what draws its frames, how many there are, what is heard of it (samples (n,) at
    HEARD_RATE_HZ from its first frame on; None: it is silent), whose voice that is, and what is reported of it."""

    draw: Draw
    count: int
    heard: Callable[[], Array] | None = None
    report: Mapping[str, Any] = field(default_factory=dict)
    voice: str = COMPUTED


@dataclass(frozen=True)
class Film:
    """A film that is drawn when it is asked for.

    shot     how it is made
    title    what it shows
    reel_at  the film at a number of frames a second, and whether it is to be heard
    """

    shot: Shot
    title: str
    reel_at: Callable[[float, bool], Reel]

    def frames(self, reuse: int = 0) -> Frames:
        """Frames (height, width, 4) uint8, one at a time, at the shot's own rate.

        reuse  0 for a new array each time, n for n arrays in turn: one is written again when n more were asked for
        """
        return self.reel_at(self.shot.rate, False).draw(0, 1, buffers(self.shot.size, reuse))

    def __iter__(self) -> Iterator[Frame]:
        """Frames (height, width, 3) uint8: red, green, blue; drawn one at a time, at the shot's own rate."""
        for pixels in self.frames(1):
            yield np.ascontiguousarray(pixels[..., :3])

    def save(
        self, path: str | os.PathLike[str], *, force: bool = False, progress: Progress | None = None
    ) -> dict[str, Any]:
        """Write the film in the format of the ending of `path`; see `renders.files.formats`.

        `force` replaces what exists. `progress(done, total)` is called as frames are drawn. Returns what was made: what
        is said of the film, its path, frames a second, frames and seconds. BadInput where the format cannot hold it,
        and for what exists.
        """
        path = Path(path)
        encoding = self.shot.encoding(path)
        rate = usual_fps(encoding.kind) if self.shot.fps is None else self.shot.fps
        reel = self.reel_at(rate, self.shot.sounds_in(encoding.kind))
        count_frames = None if progress is None else lambda done: progress(done, reel.count)
        sound = None if reel.heard is None else reel.heard()
        with forked.forked_frames(reel.draw, reel.count, encoding.size, IN_FLIGHT) as frames:
            file = encode(frames, path, encoding, sound, force=force, progress=count_frames)
        film = {"out": file.path, "fps": rate, "frames": file.frames, "film_s": round(file.seconds, 3)}
        return {**film, "sound": "none" if sound is None else reel.voice, **reel.report}

    def as_bytes(self, ending: str = ".mp4") -> bytes:
        """The film as a file of that ending would hold it. BadInput as `save`; a folder of frames has no bytes."""
        check_ending(f"film{ending}", tuple(name for name in FILM_ENDINGS if name != ".png"))
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder, f"film{ending}")
            self.save(path)
            return path.read_bytes()

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        """A player for a notebook: the film goes along, so that it plays wherever the notebook is opened."""
        ending, kind = (".webm", "video/webm") if self.shot.transparent else (".mp4", "video/mp4")
        data = base64.b64encode(self.as_bytes(ending)).decode("ascii")
        (wide, high), title = self.shot.size, escape(self.title)
        player = (
            f'<video controls loop muted playsinline width="{wide}" height="{high}" style="max-width:100%;height:auto"'
            f' aria-label="{title}" src="data:{kind};base64,{data}"></video>'
        )
        return {"text/html": player, "text/plain": f"Film of {self.title}"}


def film(timeline: Timeline, shot: Shot, playback: Playback | None = None) -> Film:
    """The film of a timeline, played as the shot asks for or otherwise.

    BadInput where no sound has a phase that is to be held.
    """
    played = playback_of(timeline, shot) if playback is None else playback
    return Film(shot, timeline.utterance.text, lambda fps, is_heard: reel(timeline, shot, played, fps, is_heard))


def write_film(
    text: str,
    out: Path,
    shot: Shot,
    *,
    speech: Speech = USUAL,
    force: bool = False,
    progress: Progress | None = None,
) -> dict[str, Any]:
    """Write the film of a text; see `Film.save`. BadInput also as for reading."""
    shot.encoding(out)  # before the text is worked out
    return film(say(text, speech), shot).save(out, force=force, progress=progress)


def reel(timeline: Timeline, shot: Shot, playback: Playback, fps: float, is_heard: bool = False) -> Reel:
    """The film of a timeline at a frame rate; what all its frames have is worked out here, once.

    `is_heard`: it has a voice, and says whether this is computed or recorded.
    """
    hearing = replace(shot.hearing, computed=shot.sound == "model")
    recorded = timeline.leading is not None and not hearing.computed
    heard_as = ("recorded" if recorded else "voice") if is_heard else ""
    look, size = look_of(shot), shot.size
    text = frame.speed_text(shot.speed, playback.dwells, look.language, heard_as)
    card = intro_card(timeline, look, size, text)
    before = round(shot.intro_s * fps)
    wave = heard_wave(heard(timeline, hearing), HEARD_RATE_HZ) if shot.wave else None
    frames = frame.FilmFrames(timeline, look, text, wave)
    times = playback.frame_times_s(fps)
    if shot.loop:
        times[-1] = times[0]  # the mouth rests at both ends, apart from what is too little to see
    film_s = np.arange(len(times)) / fps

    def draw(first: int, step: int, pixels: Iterator[Frame]) -> Frames:
        raster = Raster(*size, look.style, centred=True)  # gone with the last frame: it is as large as two of them
        for _ in range(first, before, step):
            yield raster.into(card, next(pixels))
        at = slice(max(first, before + (first - before) % step) - before, None, step)
        if at.start < len(times):
            for moment in scene.moments(timeline, times[at], film_s[at]):
                yield raster.into(frames.picture(moment), next(pixels))

    report = {
        "transcription": timeline.utterance.transcription,
        "speech_s": round(timeline.duration_s, 3),
        "dwell": playback.dwells,
        "notes": [*timeline.utterance.notes, *([FASTER] if shot.speed > 1 else [])],
    }
    def sound() -> Array:
        silence = np.zeros(round(before / fps * HEARD_RATE_HZ))
        return np.concatenate([silence, heard(timeline, hearing, playback)])

    return Reel(draw, before + len(times), sound if is_heard else None, report, voice_of(timeline, hearing))
