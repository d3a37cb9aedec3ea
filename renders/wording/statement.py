"""What is said about two sounds: sentences made from a measured difference, for one position in a word."""

from __future__ import annotations

from dataclasses import dataclass

from renders.wording.languages import language_of
from renders.wording.line import Line, Lines, Series, line
from renders.wording.names import sound_name
from renders.wording.thresholds import thresholds
from vocaltract.airway.limits import sides_open
from vocaltract.motion.limits import folds_together
from vocaltract.pairs.difference import COMPARED_ORGANS, Difference, SoundMeasures, airstream, main_difference
from vocaltract.pairs.least import least_difference
from vocaltract.phonetics.inventory import SoundEntry

GROOVED, FLAT = ("s", "z"), ("θ", "ð")


@dataclass(frozen=True, slots=True)
class Statement:
    """What is said of two sounds, as lines.

    kind       what the pair is about: onset, hold, nose, sides, touch, place, degree, airstream, beat, shape or none
    title      one line, and in it the headline: what the difference is
    plain, technical: sentences; unseen: what a side view cannot show
    both       caption of what is the same; bracket: label of the stretch that differs
    """

    kind: str
    title: Line
    headline: Line
    plain: Lines
    technical: Lines
    unseen: Lines
    both: Line
    bracket: Line


def statement(
    d: Difference, a: SoundEntry, b: SoundEntry, position: str, lengths_s: tuple[float, float] = (0.0, 0.0)
) -> Statement:
    """What is said of sounds a and b as measured in `d`.

    position   initial, medial, final, cluster or alone: what is said holds there and not elsewhere
    lengths_s  how long each lasts there; of two vowels the shorter is named
    """
    about = main_difference(d, a, b)
    headline = _headline(d, a, b, about)
    where = line(f"pair_position.{position}")
    return Statement(
        kind=about,
        title=line("pair_texts.title_sounds", a=a.symbol, b=b.symbol, position=where, headline=headline),
        headline=headline,
        plain=(*_same(d, about), *_what(d, a, b, about), *_tense(a, b, lengths_s)),
        technical=_technical(d, a, b, about),
        unseen=_unseen(d, a, b),
        both=line("pair_caption.both", noun=noun(d.first, a)),
        bracket=_bracket(d, a, b, about),
    )


def noun(m: SoundMeasures, entry: SoundEntry) -> Line:
    """Place and degree in a few words, e.g. "tongue tip on the gum ridge"."""
    return Line(f"pair_noun.{_place(m, entry)}")


def clause(m: SoundMeasures, entry: SoundEntry) -> Line:
    """What the mouth does for a sound, as part of a sentence, e.g. "the tongue tip touches the gum ridge"."""
    return Line(f"pair_place.{_place(m, entry)}")


def place_words(m: SoundMeasures, entry: SoundEntry) -> Lines:
    """What a row in time says of the contact, in full and short; nothing for vowels and where nothing comes near."""
    if entry.kind == "vowel" or entry.place == "glottal":
        return ()
    if m.degree == "wide" and f"{entry.place} wide" not in thresholds().wide.places:
        return ()
    short = language_of().rows("pair_tracks_short")
    return (noun(m, entry), *(Line(f"pair_tracks_short.{x}") for x in (entry.place, m.organ) if x in short))[:2]


def _place(m: SoundMeasures, entry: SoundEntry) -> str:
    """The row of the tables of places."""
    if entry.kind == "vowel":
        return "vowel"
    rows = language_of().rows("pair_place")
    for level in (entry.manner, m.degree, "narrow", "touch", "wide"):
        if f"{entry.place} {level}" in rows:
            return f"{entry.place} {level}"
    return "glottal" if entry.place == "glottal" else "vowel"


def _same(d: Difference, about: str) -> Lines:
    if about in ("shape", "place", "degree", "touch", "beat"):
        return ()
    # an organ that moves by what an eye can hardly see is not said to differ, nor to do the same
    still = tuple(Line(f"pair_organ.{name}") for name in COMPARED_ORGANS if name not in d.moved)
    found = [line("pair_sentence.same", organs=Series(still, "last"))] if len(still) > 1 else []
    if about == "hold" and d.first.degree == "narrow":
        found.append(line("pair_sentence.same_hiss"))
    if about == "nose" and "tongue" in d.moved and d.first.organ == "dorsal":
        found.append(line("pair_sentence.follows"))
    return tuple(found)


def _what(d: Difference, a: SoundEntry, b: SoundEntry, about: str) -> Lines:
    found = [
        line(f"pair_sentence.{airstream(e)}", one=e.symbol)
        for e in (a, b)
        if airstream(a) != airstream(b) and airstream(e)
    ]
    if about == "shape":
        found += _vowels(d, a, b) if a.kind == b.kind == "vowel" else [line("pair_sentence.rest")]
    if about == "none" and d.folds:
        found.append(_of(d.first.folds_mm > d.second.folds_mm, "folds", a, b))
    elif about == "none":
        found.append(line("pair_sentence.none"))
    if about in ("place", "degree", "touch", "beat"):
        clauses = {"clause_a": clause(d.first, a), "clause_b": clause(d.second, b)}
        found.append(line("pair_sentence.where", a=a.symbol, b=b.symbol, **clauses))
    if d.nose:
        first = d.first.nose_flow_ml_s > d.second.nose_flow_ml_s
        rest = _ordered(first, d, a, b)[2]
        held = rest.contact == "touch" and not sides_open(rest.sides_open)
        found.append(_of(first, "nose_held" if held else "nose_flows", a, b))
    if d.sides:
        first = d.first.sides_open > d.second.sides_open
        one, other, rest = _ordered(first, d, a, b)
        held = rest.contact == "touch" and not d.nose and about == "sides"
        found.append(
            line("pair_sentence.sides_held", one=one.symbol, other=other.symbol)
            if held
            else line("pair_sentence.sides_flows", one=one.symbol)
        )
    rounder = abs(d.first.lips_round - d.second.lips_round) > thresholds().said.rounder
    # w is said to be rounded already; h and ʔ have the lips of their neighbour
    if "lips" in d.moved and rounder and not {"labial-velar", "glottal"} & {a.place, b.place}:
        one, _, _ = _ordered(d.first.lips_round > d.second.lips_round, d, a, b)
        found.append(line("pair_sentence.round", one=one.symbol))
    return (*found, *_voice(d, a, b))


def _of(first: bool, key: str, a: SoundEntry, b: SoundEntry) -> Line:
    """A sentence on the two sounds, a first or b first."""
    one, other = (a, b) if first else (b, a)
    return line(f"pair_sentence.{key}", one=one.symbol, other=other.symbol)


def _voice(d: Difference, a: SoundEntry, b: SoundEntry) -> Lines:
    if a.voiced and b.voiced:
        return ()  # a short lag of the voice in b d ɡ is no difference from m n l that a learner has to make
    soon_s = thresholds().said.soon_ms / 1000
    if d.voice == "onset" and d.first.voice_onset_s is not None and d.second.voice_onset_s is not None:
        early, late, later = _ordered(d.first.voice_onset_s < d.second.voice_onset_s, d, a, b)
        onset = min(d.first.voice_onset_s, d.second.voice_onset_s)
        apart_ms = _near(1000 * abs(d.first.voice_onset_s - d.second.voice_onset_s), 5)
        when = line("pair_sentence.when_before" if onset < 0 else "pair_sentence.when_soon")
        if onset > soon_s:
            when = line("pair_sentence.when_late", ms=round(1000 * onset))
        found = [line("pair_sentence.onset", when=when, one=early.symbol, other=late.symbol, ms=apart_ms)]
        if not folds_together(later.folds_mm) and late.manner == "plosive":
            found.append(line("pair_sentence.breath", other=late.symbol))
        return tuple(found)
    if d.voice == "hold":
        first = d.first.voiced_share > d.second.voiced_share
        _, off, rest = _ordered(first, d, a, b)
        until = off.voiced and rest.voice_onset_s is not None and 0 <= rest.voice_onset_s <= soon_s
        return (_of(first, "hold_until" if until else "hold", a, b),)
    return ()


def _tense(a: SoundEntry, b: SoundEntry, lengths_s: tuple[float, float]) -> Lines:
    """Which of two neighbouring vowels is tense; also that the other is shorter, where it is."""
    for one, other, longer_s in ((a, b, lengths_s[0] - lengths_s[1]), (b, a, lengths_s[1] - lengths_s[0])):
        if f"{one.symbol} {other.symbol}" in thresholds().tense.pairs:
            ms = _near(1000 * longer_s, 5)
            if ms >= thresholds().said.shorter_ms:
                return (line("pair_sentence.tense_longer", one=one.symbol, other=other.symbol, ms=ms),)
            return (line("pair_sentence.tense", one=one.symbol, other=other.symbol),)
    return ()


def _vowels(d: Difference, a: SoundEntry, b: SoundEntry) -> list[Line]:
    found = []
    rise = d.first.tongue_top_mm[1] - d.second.tongue_top_mm[1]
    if abs(rise) > least_difference().outline.least_mm["tongue"]:
        one, _, _ = _ordered(rise > 0, d, a, b)
        found.append(line("pair_sentence.high", one=one.symbol, mm=max(1, round(abs(rise)))))
    back = d.first.tongue_top_mm[0] - d.second.tongue_top_mm[0]
    if abs(back) > least_difference().place.apart_mm and a.place.split()[-1] != b.place.split()[-1]:
        one, _, _ = _ordered(back < 0, d, a, b)
        found.append(line("pair_sentence.front", one=one.symbol))
    drop = d.first.jaw_mm - d.second.jaw_mm
    if abs(drop) > least_difference().outline.least_mm["jaw"]:
        one, _, _ = _ordered(drop > 0, d, a, b)
        found.append(line("pair_sentence.jaw", one=one.symbol, mm=max(1, round(abs(drop)))))
    return found + [line("pair_sentence.glides", one=e.symbol) for e in (a, b) if len(e.posture) > 1]


_BOTH = ("nose_sides", "touch")  # headlines that name both sounds
_ONE = ("nose", "onset", "degree")


def _headline(d: Difference, a: SoundEntry, b: SoundEntry, about: str) -> Line:
    first = {
        "nose": d.first.nose_flow_ml_s > d.second.nose_flow_ml_s,
        "degree": (d.first.contact == "touch"),
        "touch": (d.first.contact == "touch"),
        "onset": (d.later_voice_s or 0) > 0,
    }.get(about, True)
    one, other, _ = _ordered(first, d, a, b)
    special = {"nose": "nose_sides" if d.sides else about, "none": "folds" if d.folds else about}
    key = special.get(about, about)
    if key in _BOTH:
        return line(f"pair_headline.{key}", one=one.symbol, other=other.symbol)
    return line(f"pair_headline.{key}", one=one.symbol) if key in _ONE else line(f"pair_headline.{key}")


def _bracket(d: Difference, a: SoundEntry, b: SoundEntry, about: str) -> Line:
    first = {
        "onset": (d.later_voice_s or 0) > 0,
        "hold": d.first.voiced_share > d.second.voiced_share,
        "nose": d.first.nose_flow_ml_s > d.second.nose_flow_ml_s,
        "sides": d.first.sides_open > d.second.sides_open,
    }
    if about not in first:
        return line("pair_bracket.place")
    one, other, _ = _ordered(first[about], d, a, b)
    return line(f"pair_bracket.{about}", one=one.symbol, other=other.symbol)


def _unseen(d: Difference, a: SoundEntry, b: SoundEntry) -> Lines:
    found = [line("pair_unseen.sides")] if d.sides else []
    for one, other in ((a, b), (b, a)):
        if one.symbol in GROOVED and other.symbol in FLAT:
            found.append(line("pair_unseen.groove", one=one.symbol))
    return tuple(found)


def _technical(d: Difference, a: SoundEntry, b: SoundEntry, about: str) -> Lines:
    m, n = d.first, d.second
    found = [line("pair_technical.names", a=a.symbol, b=b.symbol, name_a=sound_name(a.name), name_b=sound_name(b.name))]
    if d.voice == "onset" and m.voice_onset_s is not None and n.voice_onset_s is not None:
        found.append(
            line(
                "pair_technical.onset",
                onset_a=round(1000 * m.voice_onset_s), onset_b=round(1000 * n.voice_onset_s),
                flow_a=_near(m.peak_flow_ml_s, 10), flow_b=_near(n.peak_flow_ml_s, 10),
            )
        )  # fmt: skip
    if d.voice == "hold":
        shares = {"share_a": _near(100 * m.voiced_share, 5), "share_b": _near(100 * n.voiced_share, 5)}
        found.append(line("pair_technical.hold", **shares))
    if about == "hold" and not d.both_touch:
        flows = {"flow_a": _near(m.hiss_flow_ml_s, 10), "flow_b": _near(n.hiss_flow_ml_s, 10)}
        found.append(line("pair_technical.flow", **flows))
    if d.nose:
        found.append(
            line(
                "pair_technical.nose",
                port_a=round(m.port_mm), port_b=round(n.port_mm),
                flow_a=_near(m.nose_flow_ml_s, 10), flow_b=_near(n.nose_flow_ml_s, 10),
            )
        )  # fmt: skip
    if about in ("place", "touch") and d.place_apart_mm is not None:
        found.append(line("pair_technical.place", mm=round(d.place_apart_mm)))
    if about == "shape":
        found.append(line("pair_technical.shape", tongue=round(d.tongue_mm), jaw=round(d.jaw_mm)))
    if m.closure_s is not None and n.closure_s is not None and about in ("onset", "nose"):
        lengths = {"closure_a": round(1000 * m.closure_s), "closure_b": round(1000 * n.closure_s)}
        found.append(line("pair_technical.closure", **lengths))
    return tuple(found)


def _ordered(first: bool, d: Difference, a: SoundEntry, b: SoundEntry) -> tuple[SoundEntry, SoundEntry, SoundMeasures]:
    """The two sounds with the one in question before the other, and what was measured on the other."""
    return (a, b, d.second) if first else (b, a, d.first)


def _near(value: float, step: int) -> int:
    return int(round(value / step) * step)
