"""What is said about two sounds: sentences made from a measured difference, for one position in a word."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import resources
from typing import Any

from vocaltract.airway.limits import sides_open
from vocaltract.motion.limits import folds_together
from vocaltract.pairs.difference import ORGANS, Difference, SoundMeasures, airstream, main_difference
from vocaltract.pairs.least import least_difference
from vocaltract.phonetics.inventory import SoundEntry

GROOVED, FLAT = ("s", "z"), ("θ", "ð")


@cache
def texts() -> Mapping[str, Any]:
    """data/comparison.toml, parsed."""
    text = resources.files("renders").joinpath("data/comparison.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@dataclass(frozen=True, slots=True)
class Statement:
    """The texts of a comparison.

    kind       what the pair is about: onset, hold, nose, sides, touch, place, degree, airstream, beat, shape or none
    title      one line; plain, technical: sentences; unseen: what a side view cannot show, or ""
    both       caption of what is the same; bracket: label of the stretch that differs
    """

    kind: str
    title: str
    plain: str
    technical: str
    unseen: str
    both: str
    bracket: str


def statement(
    d: Difference, a: SoundEntry, b: SoundEntry, position: str, lengths_s: tuple[float, float] = (0.0, 0.0)
) -> Statement:
    """The texts for sounds a and b as measured in `d`.

    position   initial, medial, final, cluster or alone: what is said holds there and not elsewhere
    lengths_s  how long each lasts there; of two vowels the shorter is named
    """
    about = main_difference(d, a, b)
    sentences = [*_same(d, about), *_what(d, a, b, about), *_tense(a, b, lengths_s)]
    return Statement(
        kind=about,
        title=f"{a.symbol} and {b.symbol} {texts()['position'][position]}: {_headline(d, a, b, about)}",
        plain=" ".join(sentences),
        technical=_technical(d, a, b, about),
        unseen=_unseen(d, a, b),
        both=texts()["caption"]["both"].format(noun=noun(d.first, a)),
        bracket=_bracket(d, a, b, about),
    )


def noun(m: SoundMeasures, entry: SoundEntry) -> str:
    """Place and degree in a few words, e.g. "tongue tip on the gum ridge"."""
    return str(_place(m, entry)["noun"])


def place_words(m: SoundMeasures, entry: SoundEntry) -> tuple[str, str]:
    """What a row in time says of the contact, in full and short; "" for vowels and where nothing comes near."""
    if entry.kind == "vowel" or entry.place == "glottal":
        return "", ""
    if m.degree == "wide" and f"{entry.place} wide" not in texts()["tracks"]["wide"]:
        return "", ""
    return noun(m, entry), str(
        texts()["tracks"]["short"].get(entry.place) or texts()["tracks"]["short"].get(m.organ, "")
    )


def clause(m: SoundMeasures, entry: SoundEntry) -> str:
    """What the mouth does for a sound, as part of a sentence, e.g. "the tongue tip touches the gum ridge"."""
    return str(_place(m, entry)["clause"])


def _place(m: SoundMeasures, entry: SoundEntry) -> Mapping[str, str]:
    table = texts()["place"]
    if entry.kind == "vowel":
        return table["vowel"]
    for level in (entry.manner, m.degree, "narrow", "touch", "wide"):
        if f"{entry.place} {level}" in table:
            return table[f"{entry.place} {level}"]
    return table["glottal" if entry.place == "glottal" else "vowel"]


def _listed(names: list[str]) -> str:
    words = names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
    return words[0].upper() + words[1:]


def _same(d: Difference, about: str) -> list[str]:
    if about in ("shape", "place", "degree", "touch", "beat"):
        return []
    # an organ that moves by what an eye can hardly see is not said to differ, nor to do the same
    alike = [str(texts()["organ"][name]) for name in ORGANS if name not in d.moved]
    found = [texts()["sentence"]["same"].format(organs=_listed(alike))] if len(alike) > 1 else []
    if about == "hold" and d.first.degree == "narrow":
        found.append(texts()["sentence"]["same_hiss"])
    if about == "nose" and "tongue" in d.moved and d.first.organ == "dorsal":
        found.append(texts()["sentence"]["follows"])
    return found


def _what(d: Difference, a: SoundEntry, b: SoundEntry, about: str) -> list[str]:
    say = texts()["sentence"]
    found: list[str] = []
    found += [say[airstream(e)].format(one=e.symbol) for e in (a, b) if airstream(a) != airstream(b) and airstream(e)]
    if about == "shape":
        found += _vowels(d, a, b) if a.kind == b.kind == "vowel" else [say["rest"]]
    if about == "none" and d.folds:
        one, other, _ = _ordered(d.first.folds_mm > d.second.folds_mm, d, a, b)
        found.append(say["folds"].format(one=one.symbol, other=other.symbol))
    elif about == "none":
        found.append(say["none"])
    if about in ("place", "degree", "touch", "beat"):
        clauses = {"clause_a": _place(d.first, a)["clause"], "clause_b": _place(d.second, b)["clause"]}
        found.append(say["where"].format(a=a.symbol, b=b.symbol, **clauses))
    if d.nose:
        one, other, rest = _ordered(d.first.nose_flow_ml_s > d.second.nose_flow_ml_s, d, a, b)
        key = "nose_held" if (rest.contact == "touch") and not sides_open(rest.sides_open) else "nose_flows"
        found.append(say[key].format(one=one.symbol, other=other.symbol))
    if d.sides:
        one, other, rest = _ordered(d.first.sides_open > d.second.sides_open, d, a, b)
        held = (rest.contact == "touch") and not d.nose and about == "sides"
        found.append(say["sides_held" if held else "sides_flows"].format(one=one.symbol, other=other.symbol))
    rounder = abs(d.first.lips_round - d.second.lips_round) > texts()["limit"]["rounder"]
    # w is said to be rounded already; h and ʔ have the lips of their neighbour
    if "lips" in d.moved and rounder and not {"labial-velar", "glottal"} & {a.place, b.place}:
        one, _, _ = _ordered(d.first.lips_round > d.second.lips_round, d, a, b)
        found.append(say["round"].format(one=one.symbol))
    return found + _voice(d, a, b)


def _voice(d: Difference, a: SoundEntry, b: SoundEntry) -> list[str]:
    if a.voiced and b.voiced:
        return []  # a short lag of the voice in b d ɡ is no difference from m n l that a learner has to make
    say = texts()["sentence"]
    if d.voice == "onset" and d.first.voice_onset_s is not None and d.second.voice_onset_s is not None:
        early, late, later = _ordered(d.first.voice_onset_s < d.second.voice_onset_s, d, a, b)
        onset = min(d.first.voice_onset_s, d.second.voice_onset_s)
        apart = abs(d.first.voice_onset_s - d.second.voice_onset_s)
        key = (
            "when_before" if onset < 0 else "when_soon" if onset <= texts()["limit"]["soon_ms"] / 1000 else "when_late"
        )
        when = say[key].format(ms=round(1000 * onset))
        found = [say["onset"].format(when=when, one=early.symbol, other=late.symbol, ms=_near(1000 * apart, 5))]
        if not folds_together(later.folds_mm) and late.manner == "plosive":
            found.append(say["breath"].format(other=late.symbol))
        return found
    if d.voice == "hold":
        on, off, rest = _ordered(d.first.voiced_share > d.second.voiced_share, d, a, b)
        until = (
            off.voiced
            and rest.voice_onset_s is not None
            and 0 <= rest.voice_onset_s <= texts()["limit"]["soon_ms"] / 1000
        )
        return [say["hold_until" if until else "hold"].format(one=on.symbol, other=off.symbol)]
    return []


def _tense(a: SoundEntry, b: SoundEntry, lengths_s: tuple[float, float]) -> list[str]:
    """Which of two neighbouring vowels is tense; also that the other is shorter, where it is."""
    say = texts()["sentence"]
    for one, other, longer_s in ((a, b, lengths_s[0] - lengths_s[1]), (b, a, lengths_s[1] - lengths_s[0])):
        if f"{one.symbol} {other.symbol}" in texts()["tense"]["pairs"]:
            ms = _near(1000 * longer_s, 5)
            key = "tense_longer" if ms >= texts()["limit"]["shorter_ms"] else "tense"
            return [say[key].format(one=one.symbol, other=other.symbol, ms=ms)]
    return []


def _vowels(d: Difference, a: SoundEntry, b: SoundEntry) -> list[str]:
    say = texts()["sentence"]
    found = []
    rise = d.first.tongue_top_mm[1] - d.second.tongue_top_mm[1]
    if abs(rise) > least_difference().outline.least_mm["tongue"]:
        one, _, _ = _ordered(rise > 0, d, a, b)
        found.append(say["high"].format(one=one.symbol, mm=max(1, round(abs(rise)))))
    back = d.first.tongue_top_mm[0] - d.second.tongue_top_mm[0]
    if abs(back) > least_difference().place.apart_mm and a.place.split()[-1] != b.place.split()[-1]:
        one, _, _ = _ordered(back < 0, d, a, b)
        found.append(say["front"].format(one=one.symbol))
    drop = d.first.jaw_mm - d.second.jaw_mm
    if abs(drop) > least_difference().outline.least_mm["jaw"]:
        one, _, _ = _ordered(drop > 0, d, a, b)
        found.append(say["jaw"].format(one=one.symbol, mm=max(1, round(abs(drop)))))
    return found + [say["glides"].format(one=e.symbol) for e in (a, b) if len(e.posture) > 1]


def _headline(d: Difference, a: SoundEntry, b: SoundEntry, about: str) -> str:
    first = {
        "nose": d.first.nose_flow_ml_s > d.second.nose_flow_ml_s,
        "degree": (d.first.contact == "touch"),
        "touch": (d.first.contact == "touch"),
        "onset": (d.later_voice_s or 0) > 0,
    }.get(about, True)
    one, other, _ = _ordered(first, d, a, b)
    special = {"nose": "nose_sides" if d.sides else about, "none": "folds" if d.folds else about}
    text = texts()["headline"][special.get(about, about)]
    if about == "onset":
        return f"{text} for {one.symbol}"
    return str(text.format(one=one.symbol, other=other.symbol))


def _bracket(d: Difference, a: SoundEntry, b: SoundEntry, about: str) -> str:
    first = {
        "onset": (d.later_voice_s or 0) > 0,
        "hold": d.first.voiced_share > d.second.voiced_share,
        "nose": d.first.nose_flow_ml_s > d.second.nose_flow_ml_s,
        "sides": d.first.sides_open > d.second.sides_open,
    }.get(about, True)
    one, other, _ = _ordered(first, d, a, b)
    text = texts()["bracket"].get(about, texts()["bracket"]["place"])
    return str(text.format(one=one.symbol, other=other.symbol))


def _unseen(d: Difference, a: SoundEntry, b: SoundEntry) -> str:
    notes = []
    if d.sides:
        notes.append(texts()["unseen"]["sides"])
    for one, other in ((a, b), (b, a)):
        if one.symbol in GROOVED and other.symbol in FLAT:
            notes.append(texts()["unseen"]["groove"].format(one=one.symbol))
    return " ".join(notes)


def _technical(d: Difference, a: SoundEntry, b: SoundEntry, about: str) -> str:
    say = texts()["technical"]
    m, n = d.first, d.second
    found = [say["names"].format(a=a.symbol, b=b.symbol, name_a=a.name, name_b=b.name)]
    if d.voice == "onset" and m.voice_onset_s is not None and n.voice_onset_s is not None:
        found.append(
            say["onset"].format(
                onset_a=round(1000 * m.voice_onset_s), onset_b=round(1000 * n.voice_onset_s),
                flow_a=_near(m.peak_flow_ml_s, 10), flow_b=_near(n.peak_flow_ml_s, 10),
            )
        )  # fmt: skip
    if d.voice == "hold":
        found.append(
            say["hold"].format(
                share_a=_near(100 * m.voiced_share, 5), share_b=_near(100 * n.voiced_share, 5)
            )
        )  # fmt: skip
    if about == "hold" and not d.both_touch:
        found.append(say["flow"].format(flow_a=_near(m.hiss_flow_ml_s, 10), flow_b=_near(n.hiss_flow_ml_s, 10)))
    if d.nose:
        found.append(
            say["nose"].format(
                port_a=round(m.port_mm), port_b=round(n.port_mm),
                flow_a=_near(m.nose_flow_ml_s, 10), flow_b=_near(n.nose_flow_ml_s, 10),
            )
        )  # fmt: skip
    if about in ("place", "touch") and d.place_apart_mm is not None:
        found.append(say["place"].format(mm=round(d.place_apart_mm)))
    if about == "shape":
        found.append(say["shape"].format(tongue=round(d.tongue_mm), jaw=round(d.jaw_mm)))
    if m.closure_s is not None and n.closure_s is not None and about in ("onset", "nose"):
        found.append(say["closure"].format(closure_a=round(1000 * m.closure_s), closure_b=round(1000 * n.closure_s)))
    return " ".join(found)


def _ordered(first: bool, d: Difference, a: SoundEntry, b: SoundEntry) -> tuple[SoundEntry, SoundEntry, SoundMeasures]:
    """The two sounds with the one in question before the other, and what was measured on the other."""
    return (a, b, d.second) if first else (b, a, d.first)


def _near(value: float, step: int) -> int:
    return int(round(value / step) * step)
