"""A speech sound as phonetic features, and which of them cannot go together."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from articulators.errors import BadInput

CORONAL = ("linguolabial", "dental", "alveolar", "postalveolar", "retroflex", "alveolo-palatal")
LABIAL = ("bilabial", "labiodental")
BELOW_THE_PORT = ("pharyngeal", "epiglottal", "glottal")  # a closure here shuts mouth and nose alike
ConsonantPlace = Literal[
    "bilabial", "labiodental", "dental", "alveolar", "postalveolar", "retroflex", "alveolo-palatal",
    "palatal", "velar", "uvular", "pharyngeal", "epiglottal", "glottal",
]  # fmt: skip
"""Places that a letter may have; the mark for linguolabial moves one there."""
Manner = Literal["plosive", "nasal", "trill", "tap", "fricative", "approximant", "click"]
"""Manners that a consonant letter may have; two letters make an affricate."""
Height = Literal["close", "near-close", "close-mid", "mid", "open-mid", "near-open", "open"]
Backness = Literal["front", "near-front", "central", "near-back", "back"]


@dataclass(frozen=True, slots=True)
class Features:
    """One sound.

    symbol      as it was read (NFD)
    places      of a consonant, from lips to glottis: one, or two made at once (for an affricate: closure, friction);
                empty for a vowel
    manner      plosive | nasal | trill | tap | fricative | affricate | approximant | click | vowel
    airstream   pulmonic | implosive | ejective | velaric
    height, backness   of a vowel, in the chart's words; empty for consonants
    marks       what diacritics say ("aspirated", "raised", ...), in the order of data/ipa.toml; "dental" and
                "linguolabial" stand here and have moved the place
    """

    symbol: str
    places: tuple[str, ...]
    manner: str
    voiced: bool
    lateral: bool = False
    airstream: str = "pulmonic"
    height: str = ""
    backness: str = ""
    rounded: bool = False
    marks: tuple[str, ...] = ()

    @property
    def is_vowel(self) -> bool:
        return self.manner == "vowel"

    @property
    def place(self) -> str:
        """The place in the trade's words: "labial-velar" for two at once; for an affricate that of the friction."""
        if len(self.places) == 2 and self.manner not in ("affricate", "click"):
            return f"{_JOINED.get(self.places[0], self.places[0])}-{self.places[1]}"
        if self.manner == "affricate":
            return self.places[-1]
        return self.places[0] if self.places else f"{self.height} {self.backness}"

    @property
    def nasal(self) -> bool:
        """Whether the soft palate is lowered through the sound."""
        return self.manner == "nasal" or "nasalized" in self.marks

    @property
    def closes(self) -> bool:
        """Whether the middle of the mouth or throat is shut."""
        shuts = self.manner in ("plosive", "nasal", "trill", "tap", "affricate", "click")
        return (shuts or (self.lateral and self.manner == "approximant")) and self.places != ("glottal",)

    @property
    def way(self) -> str:
        """Manner with its side: "lateral fricative", "tap" and so on."""
        return f"lateral {self.manner}" if self.lateral else self.manner

    @property
    def name(self) -> str:
        """The name in the trade's order: voice, marks, place, airstream and manner."""
        said = [m for m in self.marks if m not in _VOICE_MARKS]
        voice = next(
            (_VOICE_MARKS[m] for m in self.marks if m in _VOICE_MARKS and m not in ("voiced", "voiceless")), ""
        )
        if self.is_vowel:
            words = [*said, voice, "" if self.voiced else "voiceless", f"{self.height} {self.backness}"]
            return " ".join(w for w in [*words, "rounded" if self.rounded else "unrounded", "vowel"] if w)
        kind = {"implosive": "implosive", "ejective": f"ejective {self.way}"}.get(self.airstream, self.way)
        said = [m for m in said if m not in ("ejective", self.place)]
        before, after = [m for m in said if "release" not in m], [f"with {m}" for m in said if "release" in m]
        return " ".join([voice or ("voiced" if self.voiced else "voiceless"), *before, self.place, kind, *after])


_JOINED = {"bilabial": "labial", "labiodental": "labial"}
_VOICE_MARKS = {"voiced": "voiced", "voiceless": "voiceless", "breathy": "breathy-voiced", "creaky": "creaky-voiced"}
_RELEASES = ("aspirated", "nasal release", "lateral release", "no audible release")


def makeable(f: Features) -> Features:
    """The same features; BadInput where no speaker could make them at once, with the reason in one line."""
    for holds, why in _impossible(f):
        if holds:
            raise BadInput(f"[{f.symbol}] cannot be made: {why}")
    return f


def moved(f: Features) -> Features:
    """The place moved where a mark names another one: tip or blade to the teeth or the upper lip, lips to the teeth."""
    for mark in ("dental", "linguolabial"):
        if mark in f.marks and f.places:
            place = "labiodental" if f.places[0] == "bilabial" else mark
            places = tuple(place if p in (*CORONAL, "bilabial") else p for p in f.places)
            return replace(f, places=places)
    return f


def _impossible(f: Features) -> list[tuple[bool, str]]:
    has = set(f.marks).__contains__
    stop = f.manner in ("plosive", "affricate", "click")
    glottal = f.places == ("glottal",)
    low_stop = f.manner == "plosive" and bool(f.places) and f.places[0] in BELOW_THE_PORT
    where = f.places[0] if f.places else ""
    mouth_marks = {"advanced", "retracted", "raised", "lowered", "centralized", "mid-centralized", "dental"}
    mouth_marks |= {"linguolabial", "apical", "laminal"}
    release = next((m for m in _RELEASES if has(m)), "")
    body = [m for m in f.marks if m in ("palatalized", "velarized", "pharyngealized", "velarized or pharyngealized")]
    shape = next((m for m in f.marks if m in mouth_marks), "")
    front = next((m for m in ("apical", "laminal", "linguolabial") if has(m)), "")
    return [
        (glottal and stop and has("nasalized"), _glottal("nasalised: with the folds shut no air reaches the nose")),
        (glottal and stop and _is_voice(f), _glottal("voiced: folds that are pressed shut cannot vibrate")),
        (glottal and stop and has("nasal release"), _glottal("let go through the nose: the folds shut the air in")),
        (glottal and stop and has("lateral release"), _glottal("let go beside the tongue, which does not hold it")),
        (glottal and bool(shape), f"a glottal sound has no place in the mouth that could be {shape}"),
        (glottal and f.airstream == "ejective", "an ejective shuts the folds and a second place"),
        (low_stop and not glottal and has("nasalized"), f"an {where} closure lies below the way to the nose"),
        (low_stop and has("nasal release"), f"an {where} closure lies below the way to the nose"),
        (
            stop and not low_stop and has("nasalized") and f.manner != "click",
            f"a {f.manner} shuts the air in; with the way to the nose open it is a nasal",
        ),
        (f.airstream == "ejective" and has("nasalized"), "an ejective shuts the air in; an open nose lets it out"),
        (f.airstream == "ejective" and f.voiced, "an ejective is made with the folds shut, so it has no voice"),
        (
            f.airstream == "ejective" and not (stop or f.manner == "fricative"),
            f"an ejective needs air shut in or forced through a narrow place; a {f.manner} does neither",
        ),
        (f.airstream == "ejective" and has("aspirated"), "breath needs open folds; an ejective is made with them shut"),
        ("ejective" in f.marks and f.airstream == "implosive", "the larynx cannot move up and down at once"),
        (
            bool(release) and not stop and not (release == "aspirated" and not f.is_vowel),
            f"{release} belongs to a closure that is let go; a {f.manner} has none"
            if release != "aspirated"
            else "aspiration is breath after a consonant; a vowel has none",
        ),
        ((has("breathy") or has("creaky")) and not f.voiced, "breathy and creaky are kinds of voice; it has none"),
        (has("rhotic") and not f.is_vowel, "the hook colours vowels with r; a consonant has no such colour"),
        (
            has("dental") and (f.is_vowel or where not in (*CORONAL, "bilabial")) and not glottal,
            "only lips, tip and blade reach the teeth",
        ),
        (
            bool(front) and (f.is_vowel or where not in CORONAL) and not glottal,
            f"{front} says how tip or blade touch; this sound is not made with them",
        ),
        ((has("centralized") or has("mid-centralized")) and not f.is_vowel, "centralized is said of vowels"),
        (has("non-syllabic") and not f.is_vowel, "non-syllabic is said of vowels"),
        (has("advanced tongue root") and has("pharyngealized"), "the root cannot go forward and back at once"),
        (len(body) > 1, f"the body of the tongue cannot be {' and '.join(body)} at once"),
        (f.is_vowel and has("palatalized"), "palatalized is said of consonants"),
        (f.is_vowel and has("labialized"), "a vowel's lips are stated by its letter and by the marks for rounding"),
        (
            (has("more rounded") or has("less rounded")) and bool(where) and where in LABIAL and f.closes,
            "lips that are pressed shut cannot be rounded more or less",
        ),
        (has("lateral release") and where in LABIAL, "air beside the tongue does not free a closure of the lips"),
        (has("apical") and has("retracted") and where == "retroflex", "a retroflex tip is drawn back already"),
    ]


def _glottal(cannot_be: str) -> str:
    return f"a glottal stop cannot be {cannot_be}"


def _is_voice(f: Features) -> bool:
    return any(m in f.marks for m in ("voiced", "breathy", "creaky"))
