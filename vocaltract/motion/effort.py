"""How slowly articulators follow, and how firmly and when sounds ask for their postures (data/effort.toml)."""

from __future__ import annotations

from functools import cache

from articulators.posture import PartValues
from articulators.records import Record, Row, table
from vocaltract.motion.timing import Seconds, Times


class Ease(Times, frozen=True):
    """How slow each articulator is: what is asked for with a firmness of 1 and changes faster than this is smoothed."""

    body_s: Seconds
    tip_s: Seconds
    jaw_s: Seconds
    lips_s: Seconds
    velum_s: Seconds


class Firmness(Row, frozen=True):
    """How firmly sounds ask for their postures, by what is asked; see the file."""

    closed: float
    hiss: float
    side_contact: float
    approximant: float
    beside: float
    lateral_body: float
    jaw_labial: float
    tongue_labial_nasal: float
    lips_spread: float
    lips_rounded: float
    vowel_stressed: float
    vowel_weak: float
    vowel_tip: float
    connected: float
    palate_nasal: float
    palate_sealed: float
    palate_open: float
    between: float
    rest: float


class Lead(Times, frozen=True):
    """How long after contact a target is asked for, and before contact is broken no longer; see the file."""

    lips_s: Seconds
    coronal_s: Seconds
    dorsal_s: Seconds
    near_s: Seconds
    friction_s: Seconds
    around_tap_s: Seconds

    def of(self, organ: str) -> float:
        """For the organ that shuts."""
        return float(getattr(self, f"{organ or 'dorsal'}_s"))


class JointTimes(Times, frozen=True):
    """How closures and hisses of tip and back of the tongue meet; see the file."""

    inside_s: Seconds
    move_s: Seconds
    step_s: Seconds
    lower_mm: PartValues
    both_share: float
    over_s: Seconds


class VowelTimes(Times, frozen=True):
    """Where in a vowel its target is asked for, and how long a glide takes."""

    inset_share: float
    inset_s: Seconds
    first_share: float
    glide_s: Seconds


class PalateTimes(Times, frozen=True):
    """How high the soft palate is asked to be, and when; see the file."""

    lowered_from: float
    raised: float
    sealed: float
    sealed_share: float
    before_release_s: Seconds
    over_release_s: Seconds
    after_release_s: Seconds
    rises_s: Seconds
    lowers_early_s: Seconds
    usual_s: Seconds


class Effort(Record, frozen=True):
    """data/effort.toml."""

    ease: Ease
    firmness: Firmness
    lead: Lead
    joint: JointTimes
    vowel: VowelTimes
    soft_palate: PalateTimes


@cache
def effort() -> Effort:
    """The numbers of movement that are no times of sounds."""
    return table("vocaltract.motion", "effort.toml", Effort)
