"""What happens when in a timeline, on the clock of films and strips: 0 is the start of speech.

Getting ready for the first sound comes before 0. What is measured, and how, stands in `vocaltract.motion.stops` and
`vocaltract.motion.score`.
"""

from __future__ import annotations

from dataclasses import replace

from vocaltract.motion import score
from vocaltract.motion import stops as events
from vocaltract.motion.score import ARTICULATORS, Gesture
from vocaltract.motion.stops import STEP_S, StopEvent, stretches
from vocaltract.motion.timeline import Timeline

__all__ = ["ARTICULATORS", "STEP_S", "Gesture", "Stop", "gestures", "stops", "stretches"]
Stop = StopEvent


def stops(timeline: Timeline) -> tuple[Stop, ...]:
    """Plosives, affricates, clicks and glottal stops in time order; a tap is no stop."""
    begin = timeline.speech_s[0]

    def since(time_s: float | None) -> float | None:
        return None if time_s is None else time_s - begin

    return tuple(
        replace(
            e,
            closure_s=e.closure_s - begin,
            release_s=since(e.release_s),
            voicing_onset_s=since(e.voicing_onset_s),
        )
        for e in events.stop_events(timeline)
    )


def gestures(timeline: Timeline) -> tuple[Gesture, ...]:
    """All gestures by the time at which they begin."""
    begin = timeline.speech_s[0]
    return tuple(
        replace(
            g,
            start_s=g.start_s - begin,
            full_s=g.full_s - begin,
            leave_s=g.leave_s - begin,
            end_s=g.end_s - begin,
        )
        for g in score.gestural_score(timeline)
    )
