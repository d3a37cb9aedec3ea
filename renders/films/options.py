"""What a film shows beyond its text: stills at a phase, an intro card, captions, a see-through ground, a loop."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from articulators.errors import BadInput, nearest
from vocaltract.motion.playback import Playback
from vocaltract.motion.timeline import Timeline

PHASES = {
    "approach": ("approach",),
    "closure": ("hold",),
    "hold": ("hold",),
    "release": ("release",),
    "steady": ("steady",),
    "every": ("approach", "hold", "release", "steady"),
}
"""What may be held, by the name that is given."""
USUAL_HOLD_S, SHORTEST_S, LONGEST_S = 1.0, 0.1, 10.0


@dataclass(frozen=True)
class Hold:
    """A still picture of ``seconds`` in the middle of a phase, at every sound that has it."""

    phase: str
    seconds: float = USUAL_HOLD_S


@dataclass(frozen=True)
class Options:
    """How a film is cut and dressed.

    captions     sound, word, state rows and time strip beside the side view
    transparent  no paper: for laying over other pictures
    loop         the last frame is like the first
    intro_s      seconds of a card with the text before the film
    holds        still pictures
    """

    captions: bool = True
    transparent: bool = False
    loop: bool = False
    intro_s: float = 0.0
    holds: tuple[Hold, ...] = ()

    def __post_init__(self) -> None:
        if self.intro_s and not SHORTEST_S <= self.intro_s <= LONGEST_S:
            raise BadInput(f"an intro of {self.intro_s:g} s is out of range; allowed: {SHORTEST_S:g} to {LONGEST_S:g}")
        if self.loop and self.intro_s:
            raise BadInput("a film with an intro card cannot loop without a jump; leave --loop or --intro out")


PLAIN = Options()


def hold_of(text: str) -> Hold:
    """PHASE or PHASE:SECONDS, such as "closure:1.5"; BadInput for others."""
    name, _, length = text.partition(":")
    if name not in PHASES:
        raise BadInput(f"phase {name!r} is unknown; allowed: {', '.join(PHASES)}{nearest(name, PHASES)}")
    try:
        seconds = float(length) if length else USUAL_HOLD_S
    except ValueError:
        raise BadInput(f"hold '{text}' is not PHASE:SECONDS; write for example closure:1.5") from None
    if not SHORTEST_S <= seconds <= LONGEST_S:
        raise BadInput(f"a hold of {length} s is out of range; allowed: {SHORTEST_S:g} to {LONGEST_S:g}")
    return Hold(name, seconds)


def hold_times_s(shown: Timeline, hold: Hold) -> list[float]:
    """Middles of the phases that are held, in seconds of speech; BadInput where no sound has such a phase."""
    from vocaltract.motion.phases import phases

    wanted = PHASES[hold.phase]
    times = [
        (start + end) / 2
        for span in shown.spans
        for name, start, end in phases(shown, span.index)
        if name in wanted and start < shown.duration_s
    ]
    if not times:
        raise BadInput(f"no sound of {shown.utterance.transcription} has the phase {hold.phase!r} to hold")
    return times


def with_holds(playback: Playback, shown: Timeline, holds: tuple[Hold, ...]) -> Playback:
    """The playback, standing still where phases are held."""
    stops = sorted((time_s, hold.seconds) for hold in holds for time_s in hold_times_s(shown, hold))
    if not stops:
        return playback
    film, speech = list(playback.film_s), list(playback.speech_s)
    for time_s, seconds in reversed(stops):  # from the end, so that the earlier ones stay where they are
        at = int(np.searchsorted(speech, time_s))
        when = float(np.interp(time_s, speech, film))
        film[at:] = [when, when + seconds, *(t + seconds for t in film[at:])]
        speech[at:] = [time_s, time_s, *speech[at:]]
    return Playback(np.array(film), np.array(speech), playback.dwells)
