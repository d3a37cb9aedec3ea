"""How a page is sampled, rounded and played: the numbers of data/settings.toml."""

from __future__ import annotations

from articulators.records import Pair, Record, Row, table


class TextLimits(Row, frozen=True):
    """What texts a page takes."""

    most_sounds: int
    most_letters: int
    shown_letters: int
    most_moments: int
    most_actions: int


class Sampling(Row, frozen=True):
    """How often outlines and signals are taken, and how finely they are rounded."""

    rate_hz: float
    long_rate_hz: float
    long_s: float
    signal_hz: float
    step_mm: float
    within_mm: float
    still_step_mm: float
    wall_step_mm: float
    grid_step: float
    pale_step_mm: float
    pale_within_mm: float
    slow_every: int


class FlowSampling(Row, frozen=True):
    """How lines of flow are told: places on each, and how finely they are rounded."""

    stations: int
    within_mm: float
    step_mm: float
    share_step: float


class Held(Row, frozen=True):
    """How far a tint of held air reaches into the organs that are drawn over it."""

    least_mm: float
    into_tissue_mm: float
    into_throat_mm: float
    corner_mm: float
    beyond_mm: float
    step_mm: float


class MarkSampling(Row, frozen=True):
    """How marks and small views are told, at what size they are asked for, and how long a tint takes to fade."""

    px_per_mm: float
    inset_px_per_mm: float
    within_mm: float
    step_mm: float
    inset_within_mm: float
    inset_step_mm: float
    inset_every: int
    fades_s: float


class Steps(Row, frozen=True):
    """What each signal is rounded to; gaps end at `farthest_mm`."""

    pressure: float
    voice: float
    travel: float
    folds: float
    lips_gap: float
    tip_gap: float
    body_gap: float
    port: float
    jaw: float
    larynx: float
    farthest_mm: float


class Plate(Row, frozen=True):
    """How what never moves is told."""

    px_per_mm: float
    within_mm: float
    step_mm: float


class Palatogram(Row, frozen=True):
    """How the palate from below is told."""

    px_per_mm: float
    wide_mm: float
    top_mm: float
    beyond_mm: float
    step_mm: float
    within_mm: float
    line_step_mm: float
    most_moments: int


class States(Row, frozen=True):
    """How often what is said is looked up."""

    step_s: float
    least_s: float
    voice_step_s: float
    voice_within_s: float


class Differ(Row, frozen=True):
    """What of two sounds is well seen, from what on each counts as much as another, and how long after their end."""

    parts: tuple[str, ...]
    gap_mm: float
    flow_ml_s: float
    after_s: float


class Playing(Row, frozen=True):
    """What the page's script plays: speeds, the shortest loop, seconds around speech, the part of the head seen."""

    speeds: tuple[float, ...]
    least_loop_s: float
    before_s: float
    after_s: float
    box_mm: tuple[float, float, float, float]


class SoundOfPage(Row, frozen=True):
    """How clips are packed, and how the page's script slows and parts them."""

    rate_hz: int
    bits_s: int
    before_s: float
    after_s: float
    wave_step: float
    grain_s: float
    search_s: float
    fade_s: float
    noise_below: float
    between_s: float
    around_s: float


class LearnerRecording(Row, frozen=True):
    """How a learner's recording is taken and measured."""

    most_s: float
    step_s: float
    window_s: float
    pitch_hz: Pair
    voiced_over: float
    over_room: float
    share_of_loudest: float
    least_level: float
    clipped: float


class Settings(Record, frozen=True):
    """The whole file."""

    texts: TextLimits
    outlines: Sampling
    steps: Steps
    flow: FlowSampling
    held: Held
    marks: MarkSampling
    plate: Plate
    palatogram: Palatogram
    states: States
    playing: Playing
    differ: Differ
    recording: LearnerRecording
    sound: SoundOfPage


def settings() -> Settings:
    """The numbers of a page; BadInput where its data file does not fit."""
    return table("renders.page", "settings.toml", Settings)
