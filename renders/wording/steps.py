"""How a sound is done: at most three actions in their order, and one check by hand or eye, from what is measured."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from articulators.records import Record, Row, table
from renders.wording.line import Line, Lines, line
from renders.wording.names import sound_name
from renders.wording.situation import Situation, narrow_throat
from renders.wording.states import steady_contact
from vocaltract.motion.instant import Instant, instants
from vocaltract.motion.limits import motion_limits, port_open, vibrates
from vocaltract.motion.phases import Course
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import organ

MOST_ACTIONS = 3


class FeelRow(Record, frozen=True):
    """Checks of a sound, the most telling first; each is offered only where it is measured to be true."""

    sounds: tuple[str, ...]
    checks: tuple[str, ...]


class FeelTable(Row, frozen=True):
    """data/feel.toml."""

    feel: tuple[FeelRow, ...]


@dataclass(frozen=True, slots=True)
class HowTo:
    """What to do, in order, at most three, and what is felt or seen then; None where nothing simple is true."""

    actions: Lines
    feel: Line | None


def how_to(timeline: Timeline, index: int = 0) -> HowTo:
    """How the sound at that place of a timeline is done there: released, held, tapped, or with its voice on."""
    done = _Done(timeline, index)
    actions = _actions(done)[:MOST_ACTIONS]
    return HowTo(tuple(actions), _feel(done))


class _Done:
    """A sound of a timeline with its instants: in the middle of its hold, and after it is let go."""

    def __init__(self, timeline: Timeline, index: int) -> None:
        self.timeline, self.course = timeline, Course(timeline)
        self.span: Span = timeline.spans[index]
        begin, end = self.span.hold_s
        self.held: list[Instant] = instants(self.course, np.linspace(begin, end, 9)[1:-1])
        self.middle = self.held[len(self.held) // 2]
        self.here = Situation(self.course, self.middle)

    @property
    def voiced(self) -> bool:
        """Whether the folds vibrate in most of it."""
        return 2 * sum(now.vibrates for now in self.held) > len(self.held)

    @property
    def last(self) -> bool:
        return self.span.index == len(self.timeline.spans) - 1 and not self.timeline.alone

    @property
    def puff(self) -> bool:
        """Whether its release is a puff of breath, before the voice."""
        if self.span.release_s is None or self.span.release != "oral" or "aspirated" not in self.span.sound.features:
            return False
        within_s = motion_limits().breath.puff_within_s
        after = self.timeline.moment(float(self.span.release_s) + np.linspace(0.0, within_s / 2, 16))
        return not vibrates(after.voice).any()

    @property
    def shuts(self) -> bool:
        return any(now.closures for now in self.held)


def _actions(done: _Done) -> list[Line]:
    entry = done.span.entry
    if entry.kind == "vowel":
        return _vowel(done)
    if entry.place == "glottal":
        return _glottal(done)
    made = {
        "plosive": _stop, "affricate": _stop, "nasal": _nasal, "tap": _tap, "fricative": _fricative,
        "lateral approximant": _side, "approximant": _near,
    }.get(entry.manner)  # fmt: skip
    return made(done) if made else _by_rule(done)


def _line(key: str) -> Line:
    return Line(f"step.{key}")


def _shut(done: _Done) -> Line:
    place = "dental" if "dental" in done.span.sound.features else done.span.entry.place
    own = {"dental": "dental", "postalveolar": "postalveolar", "labiodental": "labiodental"}
    return _line(f"shut_{own.get(place, organ(done.span.entry))}")


def _stop(done: _Done) -> list[Line]:
    span = done.span
    entry = span.entry
    built = max(now.pressure_share for now in done.held) >= motion_limits().pressure.shown_share
    wait = "build_voiced" if entry.voiced else "build" if built else "hold_briefly"
    if span.release in ("nasal", "lateral"):
        go = "go_nose" if span.release == "nasal" else "go_sides"
    elif span.release == "none":
        go = "hold"
    elif entry.manner == "affricate":
        go = "go_hiss_voiced" if entry.voiced else "go_hiss"
    elif entry.voiced:
        go = "go_voiced"
    elif done.puff:
        go = "go_puff"
    else:
        go = "go_breath" if done.last else "go_plain"
    return [_shut(done), _line(wait), _line(go)]


def _nasal(done: _Done) -> list[Line]:
    out = [_line("nose")] if port_open(done.middle.port_mm) else []
    return [_shut(done), *out, _line("voice_through" if done.voiced else "no_voice")]


def _tap(done: _Done) -> list[Line]:
    return [_line("tap"), _line("tap_light"), _line("voice_through" if done.voiced else "no_voice")]


def _fricative(done: _Done) -> list[Line]:
    place = done.span.entry.place
    known = ("labiodental", "dental", "alveolar", "postalveolar")
    near = f"near_{place}" if place in known else "near_other"
    return [_line(near), _line("hiss"), _line("voice" if done.span.entry.voiced else "no_voice")]


def _glottal(done: _Done) -> list[Line]:
    entry = done.span.entry
    if entry.manner == "plosive":
        return [_line("shut_folds"), *([] if done.last else [_line("go_folds")])]
    if entry.voiced:
        return [_line("breath"), _line("breath_voiced")]
    return [_line("breath"), _line("breath_out"), _line("no_voice")]


def _side(done: _Done) -> list[Line]:
    dark = "velarized" in done.span.entry.name or "dark" in done.span.sound.features
    return [_line("side_dark" if dark else "side_tip"), _line("sides"), _line("voice_through")]


def _lips(done: _Done) -> str:
    limits, now = motion_limits().lips, done.middle
    if now.rounded >= limits.rounded_fully_from:
        return "round_small"
    if now.rounded >= limits.rounded_from:
        return "round"
    return "spread" if now.spread > limits.spread_from else ""


def _near(done: _Done) -> list[Line]:
    place, lips = done.span.entry.place, _lips(done)
    first = [_line(lips)] if lips else []
    if place == "labial-velar":
        return [*first, _line("w_tongue"), _line("glide")]
    if place == "palatal":
        return [*first, _line("j_tongue"), _line("glide")]
    if place == "postalveolar":
        shape = "r_shape_throat" if narrow_throat(done.here) else "r_shape"
        return [*first, _line(shape), _line("voice_through")]
    return _by_rule(done)


def _by_rule(done: _Done) -> list[Line]:
    """A sound that English has not: what is measured of it, in the words of its state."""
    plain = _shut(done) if done.shuts else steady_contact(done.here, done.span).title
    if done.shuts:
        return [plain, _line("voice" if done.voiced else "no_voice")]
    said = line("step.by_rule", plain=plain, name=sound_name(done.span.entry.name))
    return [said, _line("voice" if done.voiced else "no_voice")]


_JAW: Mapping[str, str] = {
    "open": "jaw_open", "near-open": "jaw_open", "open-mid": "jaw_half", "mid": "jaw_half", "close-mid": "jaw_half",
    "near-close": "jaw_ajar", "close": "jaw_close",
}  # fmt: skip


def _vowel(done: _Done) -> list[Line]:
    entry = done.span.entry
    lips = _lips(done)
    if "r-coloured" in entry.name:
        shape = "r_shape_throat" if narrow_throat(done.here) else "r_shape"
        return [*([_line(lips)] if lips else []), _line(shape), _line("voice_through")]
    height, backness = entry.place.split()
    jaw = _JAW[height]
    if entry.name.startswith("diphthong: "):
        start, _, end = entry.name.removeprefix("diphthong: from ").partition(" toward ")
        return [_line(jaw), _tongue("vowel_glide", start), _tongue("vowel_glide_end", end)]
    if lips == "round_small" and height != "close":
        lips = "round"
    tongue = _tongue("vowel_lax" if height == "near-close" else "vowel", f"{height} {backness}")
    return [_line(jaw), tongue, _line(lips or "round_none")]


def _tongue(key: str, place: str) -> Line:
    height, backness = place.split()[:2]
    return line(f"step.{key}", height=Line(f"tongue.{height}"), backness=Line(f"tongue.{backness}"))


def _feel(done: _Done) -> Line | None:
    rows = table("renders.wording", "feel.toml", FeelTable).feel
    entry, sound = done.span.entry, done.span.sound
    # an allophone that keeps its place and manner is felt as its phoneme, a flap or glottal stop is not
    name = sound.phoneme if entry.kind != "allophone" and entry.manner not in ("tap",) else entry.symbol
    offered = next((row.checks for row in rows if {entry.symbol, name} & set(row.sounds)), ())
    true = next((check for check in offered if _true(check, done)), "")
    return Line(f"feel.{true}") if true else None


def _true(check: str, done: _Done) -> bool:
    """Whether what is to be felt or seen is so in this place."""
    now, limits = done.middle, motion_limits()
    if check in ("paper", "palm"):
        return done.puff
    if check == "throat_on":  # a voiced hiss at the end of a word fades: its throat may be still
        return done.voiced and not done.last
    if check == "throat_off":
        return not done.voiced
    if check in ("mirror_round", "straw"):
        return now.rounded >= limits.lips.rounded_from
    if check == "mirror_spread":
        return now.spread > limits.lips.spread_from
    if check == "mirror_lips":
        return "lips" in now.organs
    if check == "nose":
        return bool(port_open(now.port_mm)) and done.voiced and done.shuts
    if check == "cool_sides":
        return now.sides_open
    return True
