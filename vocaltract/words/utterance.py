"""What is said: the sounds of a text, one after the other, with why each is as it is.

No time and no drawing here; `vocaltract.motion` times it, `renders` shows it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Accent = Literal["", "accented", "main"]


@dataclass(frozen=True, slots=True)
class FiredRule:
    """One allophone rule that changed a sound."""

    name: str
    plain: str
    technical: str
    source: str


@dataclass(frozen=True, slots=True)
class Sound:
    """One sound of an utterance.

    symbol    narrow IPA as printed (NFD), e.g. "pʰ", "k̚", "ɾ", "eɪ", "ɫ̩"
    target    the key in the sound inventory that is drawn, e.g. "p", "k", "ɾ", "eɪ", "ɫ"
    phoneme   the phoneme it stands for, e.g. "t" for a flap in "city"
    stress    vowels and syllabic consonants: 0, 1 (primary) or 2 (secondary); consonants: None
    word      index into `Utterance.words`
    syllable  running number of the syllable over the whole utterance
    features  any of: aspirated, weakly_aspirated, unreleased, flap, dark, syllabic, nasalised,
              devoiced, partly_devoiced, dental, fronted, retracted, affricated, nasal_release,
              lateral_release, glottal, preglottalised, long (one geminate hold), linked (a final consonant
              run into the next word's vowel), clipped (a vowel shortened by a voiceless sound), onset,
              nucleus, coda
    spelling  letter span (start, stop) in its word, or None when not known
    accent    of its syllable in the phrase: "main" (the nucleus of its thought group), "accented" (another syllable
              that the melody marks), or "": its stress is a beat without pitch, or none
    """

    symbol: str
    target: str
    phoneme: str
    stress: int | None
    word: int
    syllable: int
    features: frozenset[str] = frozenset()
    spelling: tuple[int, int] | None = None
    rules: tuple[FiredRule, ...] = ()
    accent: Accent = ""

    @property
    def is_vowel(self) -> bool:
        """Whether it is the vowel of its syllable."""
        return "nucleus" in self.features and "syllabic" not in self.features


@dataclass(frozen=True, slots=True)
class Firing:
    """One rule at work in one place.

    sound   index into `Utterance.sounds` of what came of it (a dropped sound: of the sound it went with)
    word    index into `Utterance.words`
    before  symbols as they were, parted by spaces, e.g. "n t"
    after   symbols as they became, e.g. "ɾ̃"; the same as `before` where nothing is printed otherwise (linking)
    """

    rule: FiredRule
    sound: int
    word: int
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Utterance:
    """A text as sounds.

    text           as the user gave it
    words          the words in order (for IPA input: one entry, the IPA itself)
    sounds         all sounds in order
    transcription  narrow, in square brackets, with stress marks, e.g. "[ˈbæk̚ˌpʰæk]"
    guessed        words whose pronunciation was guessed, not looked up
    pauses_after   indices of sounds followed by a thought-group break (the last is always one)
    endings        the mark after each thought group as written, "?" or "," or "."; empty where there is none.
                   One for each of `pauses_after`; none at all for IPA
    notes          lines to show with it: what was guessed, which reading was taken, how digits were read
    phonemic       broad, between slashes, e.g. "/ˈbækˌpæk/"; empty for IPA given in square brackets
    trace          the rules in the order in which they fired
    """

    text: str
    words: tuple[str, ...]
    sounds: tuple[Sound, ...]
    transcription: str
    guessed: tuple[str, ...] = ()
    pauses_after: tuple[int, ...] = ()
    endings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    phonemic: str = ""
    trace: tuple[Firing, ...] = ()
