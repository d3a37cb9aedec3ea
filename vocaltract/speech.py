"""How a text is said: by whom, how carefully, how fast, which word stands out; and the text read that way, in time."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from articulators.errors import BadInput
from vocaltract.motion.durations import check_rate
from vocaltract.motion.timeline import Timeline, alone, timeline
from vocaltract.naming.named import asked_about
from vocaltract.phonetics.inventory import SoundEntry, entries, is_symbol, sound
from vocaltract.phonetics.speaker import Speaker, man
from vocaltract.phonetics.speakers import speaker_of
from vocaltract.words.utterance import Utterance

if TYPE_CHECKING:
    from vocaltract.recording.recording import Recording
    from vocaltract.words.rules.allophones import Options
    from vocaltract.words.text.choices import Choices


@dataclass(frozen=True, slots=True)
class Speech:
    """A way of speaking.

    careful           no reductions of connected speech, stops before stops are released
    final_unreleased  a stop before a pause is kept shut
    rate              tempo, 0.5 to 2; 1 is natural, 2 twice as fast
    emphasis          words of the text that stand out, as written
    speaker           who speaks; a name is taken too
    merge             vowels that are one, "cot-caught"
    ending_vowel      of -ed and -es, "short-i" or "schwa"
    recording         of a person who says the text: its sounds are made when they are heard in it
    BadInput for a rate out of range, an unknown speaker, merger or vowel.
    """

    careful: bool = False
    final_unreleased: bool = False
    rate: float = 1.0
    emphasis: tuple[str, ...] = ()
    speaker: Speaker = field(default_factory=man)
    merge: tuple[str, ...] = ()
    ending_vowel: str = "short-i"
    recording: Recording | None = None

    def __post_init__(self) -> None:
        for name in ("emphasis", "merge"):
            given: Any = getattr(self, name)
            object.__setattr__(self, name, (given,) if isinstance(given, str) else tuple(given))
        object.__setattr__(self, "speaker", speaker_of(self.speaker))
        check_rate(self.rate)
        if self.recording is not None and self.rate != 1.0:
            raise BadInput("a recording says how fast its text is said; leave the rate out")
        if self.merge or self.ending_vowel != "short-i":
            _ = self.choices

    @property
    def options(self) -> Options:
        """What the allophone rules have to know of it."""
        from vocaltract.words.rules.allophones import Options

        return Options(final_unreleased=self.final_unreleased, careful=self.careful, emphasis=self.emphasis)

    @property
    def choices(self) -> Choices:
        """What is chosen against the dictionary's speaker."""
        from vocaltract.words.text.choices import Choices

        return Choices(self.merge, self.ending_vowel)


Speeches = Speech | tuple[Speech, Speech]
"""How two texts are said: both in one way, or each in its own."""
USUAL = Speech()
KEPT = 24  # a strip, a film and a page of one word ask for its timeline in turn; 0.3 MB for a second of speech


def say(text: str, speech: Speech = USUAL, **changes: Any) -> Timeline:
    """The timeline of words, a phrase or IPA said in a way; one bare sound in [ ] is shown by itself.

    changes  fields of `Speech` to be other than in `speech`, such as ``rate=0.8`` or ``speaker="man"``
    A frozen value, made once for a text and a way of speaking as long as it is one of the last KEPT.

    BadInput where the text cannot be read or is a sound's name ("long e"), for a rate out of range, an unknown speaker,
    and for emphasis on a word that is not there.
    """
    return _said(text, replace(speech, **changes))


@lru_cache(maxsize=KEPT)
def _said(text: str, speech: Speech) -> Timeline:
    from vocaltract.words.text.transcribe import read  # a sound by itself is read nowhere, and need not wait for it

    question = asked_about(text)
    if question:
        raise BadInput(question)
    bare = text.strip()
    if speech.recording is not None:
        from vocaltract.recording.lead import lead

        asked = read(text, speech.options, choices=speech.choices)
        utterance, heard = lead(asked, speech.recording)
        return timeline(utterance, speech.speaker, _style(utterance), heard=heard)
    if bare.startswith("[") and bare.endswith("]") and is_symbol(bare[1:-1]):
        entry = sound(bare)
        if entry.symbol not in entries():
            return timeline(alone(entry.symbol), speech.speaker, by_itself=True)
    utterance = read(text, speech.options, choices=speech.choices)
    if bare.startswith("[") and len(utterance.sounds) == 1:
        only = utterance.sounds[0]
        return timeline(alone(only.symbol, only.target), speech.speaker, by_itself=True)
    settings: dict[str, Any] = {"style": _style(utterance)}
    rate = speech.rate * speech.speaker.rate
    if rate != 1.0:
        settings["rate"] = rate
    if speech.emphasis:
        settings["emphasis"] = emphasised(utterance, speech.emphasis)
    return timeline(utterance, speech.speaker, **settings)


def _style(utterance: Utterance) -> str:
    return "citation" if len(utterance.words) == 1 else "connected"


def both_ways(speech: Speeches) -> tuple[Speech, Speech]:
    """How the first and how the second of two texts is said."""
    return speech if isinstance(speech, tuple) else (speech, speech)


def say_alone(entry: SoundEntry, speaker: Speaker | None = None) -> Timeline:
    """The timeline of one sound said by itself, by the man where no speaker is given; kept as those of texts are."""
    return _said_alone(entry.symbol, speaker or man())


@lru_cache(maxsize=KEPT)
def _said_alone(symbol: str, speaker: Speaker) -> Timeline:
    return timeline(alone(symbol), speaker, by_itself=True)


def emphasised(utterance: Utterance, words: tuple[str, ...]) -> tuple[int, ...]:
    """Places in the utterance of the words that stand out; BadInput for one that is not among its words."""
    from vocaltract.words.text.accents import emphasised_places

    return emphasised_places(utterance.words, words)
