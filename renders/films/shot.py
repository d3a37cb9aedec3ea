"""How a film is made: how fast, how large, in which style, how it is cut and dressed. One value for every film."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from articulators.errors import BadInput, nearest
from renders.files.formats import (
    USUAL_FILM_PX,
    USUAL_FPS,
    Encoding,
    Format,
    check_fps,
    check_size,
    check_sound,
    encoding,
)
from renders.paper.style import Style, load
from renders.wording.languages import Language, language_of
from vocaltract.motion.playback import constant
from vocaltract.sound.hearing import USUAL_HEARING, Hearing

HELD_PHASES = {
    "approach": ("approach",),
    "closure": ("hold",),
    "hold": ("hold",),
    "release": ("release",),
    "steady": ("steady",),
    "every": ("approach", "hold", "release", "steady"),
}
"""What may be held, by the name that is given."""
SOUND_TRACKS = ("model", "none")
USUAL_HOLD_S, SHORTEST_S, LONGEST_S = 1.0, 0.1, 10.0


@dataclass(frozen=True)
class Hold:
    """A still picture of ``seconds`` in the middle of a phase, at every sound that has it."""

    phase: str
    seconds: float = USUAL_HOLD_S


@dataclass(frozen=True, kw_only=True)
class Shot:
    """How a film is made.

    speed        0.05 to 2; 1 is natural, 0.5 half speed      fps  5 to 60 frames a second; None: what suits the format
    size         width and height in px, even, 64 to 3840    style  a name, or a style file
    dwell        slower still at closure and release
    captions     sound, word, state rows and time strip beside the side view
    transparent  no paper: for laying over other pictures
    loop         the last frame is like the first
    intro_s      seconds of a card with the text before the film: 0 or 0.1 to 10
    holds        still pictures, each a `Hold` or text such as "closure:1.5"
    language     of what is said in the picture
    sound        "model": the voice of the model; "none"; None: the model's where the format holds sound
    hearing      pitch and loudness of the voice              wave  the wave of the voice under the time strip
    BadInput for a value out of its range, an unknown style or language, and a loop with an intro.
    """

    speed: float = 0.5
    fps: float | None = None
    size: tuple[int, int] = USUAL_FILM_PX
    style: str = "light"
    dwell: bool = False
    captions: bool = True
    transparent: bool = False
    loop: bool = False
    intro_s: float = 0.0
    holds: tuple[Hold, ...] = ()
    language: str = "en"
    sound: str | None = None
    hearing: Hearing = USUAL_HEARING
    wave: bool = False

    def __post_init__(self) -> None:
        holds = tuple(hold_of(hold) if isinstance(hold, str) else hold for hold in self.holds)
        object.__setattr__(self, "holds", holds)
        constant(1.0, self.speed)
        if self.sound is not None and self.sound not in SOUND_TRACKS:
            allowed = ", ".join(SOUND_TRACKS)
            raise BadInput(f"sound {self.sound!r} is unknown; allowed: {allowed}{nearest(self.sound, SOUND_TRACKS)}")
        check_size(*self.size)
        if self.fps is not None:
            check_fps(self.fps)
        _ = self.look, self.wording
        if self.intro_s and not SHORTEST_S <= self.intro_s <= LONGEST_S:
            raise BadInput(f"an intro of {self.intro_s:g} s is out of range; allowed: {SHORTEST_S:g} to {LONGEST_S:g}")
        if self.wave and not self.captions:
            raise BadInput("the wave stands under the tracks, which a film without captions has not; leave one out")
        if self.loop and self.intro_s:
            raise BadInput("a film with an intro card cannot loop without a jump; leave --loop or --intro out")

    @property
    def rate(self) -> float:
        """Frames a second of a film that is not for a format."""
        return USUAL_FPS if self.fps is None else self.fps

    @cached_property
    def look(self) -> Style:
        """The style itself, read once."""
        return load(self.style)

    @cached_property
    def wording(self) -> Language:
        """The language itself, read once."""
        return language_of(self.language)

    def encoding(self, name: str | Path) -> Encoding:
        """What a film file of that name holds; BadInput where its format cannot hold what is asked for."""
        found = encoding(Path(name).name, self.size, self.fps, self.transparent)
        if self.sound == "model":
            check_sound(found.kind)
        return found

    def sounds_in(self, kind: Format) -> bool:
        """Whether a film of that format carries sound."""
        return bool(kind.sound) and self.sound != "none"


def hold_of(text: str) -> Hold:
    """PHASE or PHASE:SECONDS, such as "closure:1.5"; BadInput for others."""
    name, _, length = text.partition(":")
    if name not in HELD_PHASES:
        raise BadInput(f"phase {name!r} is unknown; allowed: {', '.join(HELD_PHASES)}{nearest(name, HELD_PHASES)}")
    try:
        seconds = float(length) if length else USUAL_HOLD_S
    except ValueError:
        raise BadInput(f"hold '{text}' is not PHASE:SECONDS; write for example closure:1.5") from None
    if not SHORTEST_S <= seconds <= LONGEST_S:
        raise BadInput(f"a hold of {length} s is out of range; allowed: {SHORTEST_S:g} to {LONGEST_S:g}")
    return Hold(name, seconds)
