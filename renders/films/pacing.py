"""Which time of speech each moment of a film shows: one speed, slower at contacts, or standing still in a phase."""

from __future__ import annotations

import numpy as np

from articulators.errors import BadInput
from renders.films.shot import HELD_PHASES, Hold, Shot
from vocaltract.motion.phases import phases
from vocaltract.motion.playback import Playback, constant, dwelling
from vocaltract.motion.timeline import Timeline


def playback_of(timeline: Timeline, shot: Shot) -> Playback:
    """Film time to speech time as the shot asks for it; BadInput where no sound has a phase that is to be held."""
    if not shot.dwell:
        played = constant(timeline.duration_s, shot.speed)
    else:
        contacts_s = [t for c in timeline.closures for t in (c.start_s, c.end_s)]
        played = dwelling(timeline.duration_s, shot.speed, contacts_s)
    return with_holds(played, timeline, shot.holds)


def hold_times_s(timeline: Timeline, hold: Hold) -> list[float]:
    """Middles of the phases that are held, in seconds of speech; BadInput where no sound has such a phase."""
    wanted = HELD_PHASES[hold.phase]
    times = [
        (start + end) / 2
        for span in timeline.spans
        for name, start, end in phases(timeline, span.index)
        if name in wanted and start < timeline.duration_s
    ]
    if not times:
        raise BadInput(f"no sound of {timeline.utterance.transcription} has the phase {hold.phase!r} to hold")
    return times


def with_holds(playback: Playback, timeline: Timeline, holds: tuple[Hold, ...]) -> Playback:
    """The playback, standing still where phases are held."""
    stops = sorted((time_s, hold.seconds) for hold in holds for time_s in hold_times_s(timeline, hold))
    if not stops:
        return playback
    film, speech = list(playback.film_s), list(playback.speech_s)
    for time_s, seconds in reversed(stops):  # from the end, so that the earlier ones stay where they are
        at = int(np.searchsorted(speech, time_s))
        when = float(np.interp(time_s, speech, film))
        film[at:] = [when, when + seconds, *(t + seconds for t in film[at:])]
        speech[at:] = [time_s, time_s, *speech[at:]]
    return Playback(np.array(film), np.array(speech), playback.dwells)
