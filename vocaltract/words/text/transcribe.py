"""Text to sounds: words, IPA between [ ] (taken as given) or phonemes between / / (the rules apply)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from vocaltract.words.lexicon import dictionary
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.lexicon.guess import guessed
from vocaltract.words.rules import allophones, segments
from vocaltract.words.rules.allophones import Options
from vocaltract.words.rules.segments import Segment
from vocaltract.words.text import accents, bracketed, orthography, reading, weak
from vocaltract.words.text.choices import Choices
from vocaltract.words.text.orthography import Written
from vocaltract.words.text.reading import Guess
from vocaltract.words.utterance import Accent, Utterance

PROFILE = Choices()
"""Nothing chosen against the dictionary's speaker."""


def read(
    text: str,
    options: Options | None = None,
    *,
    guess: Guess | None = guessed,
    choices: Choices = PROFILE,
) -> Utterance:
    """The sounds of a text.

    text     English words with punctuation, IPA between [ ] or phonemes between / /; at most 200 characters.
             record/2 or record/verb asks for a reading, capitals (TV) are read as letters, digits as words.
    options  speaking style; by default connected speech, not careful, final stops released
    choices  what a coach wants otherwise than the dictionary's speaker has it; IPA is left as it is
    guess    called with a word that is not in the dictionary; it gives a pronunciation to use, and the word
             is named in `Utterance.guessed` and in its notes. With None an unknown word is bad input.
    Raises BadInput, one line, for whatever cannot be read and for emphasis on a word that is not there; unknown words
    come with the nearest word.
    """
    orthography.check_length(text)
    options = options or Options()
    given = bracketed.inside_of(text)
    if given is not None:
        opening, inside, offset = given
        if opening == "[":
            return bracketed.narrow_utterance(text, inside, offset)
        groups = bracketed.phonemic_words(text, inside, offset)
        utterance = _finished(text, (inside.strip(),), segments.from_words(groups), options, groups)
        return replace(
            utterance,
            sounds=tuple(replace(sound, word=0) for sound in utterance.sounds),
            trace=tuple(replace(firing, word=0) for firing in utterance.trace),
        )
    written = orthography.words_of(text)
    words = tuple(word.text for word in written)
    said = reading.said_words(written, guess)
    for place in accents.emphasised_places(words, options.emphasis):
        said[place] = replace(said[place], emphasised=True)
    said = accents.accented(weak.weakened(said))
    if choices != PROFILE:
        said = [replace(one, pronunciation=choices.of(one.word, one.pronunciation)) for one in said]
    groups = [(one.pronunciation, one.group) for one in said]
    line = segments.from_words(groups, words)
    utterance = _finished(text, words, line, options, groups, [one.accent for one in said])
    notes = (*(word.read_as for word in written), *(one.note for one in said))
    return replace(
        utterance,
        endings=tuple(word.ending for i, word in enumerate(written) if _ends_group(written, i)),
        guessed=tuple(word for word, one in zip(words, said, strict=True) if one.guessed),
        notes=tuple(dict.fromkeys(note for note in notes if note)),
    )


def _ends_group(written: Sequence[Written], i: int) -> bool:
    return i + 1 == len(written) or written[i + 1].group != written[i].group


def _finished(
    text: str,
    words: tuple[str, ...],
    line: Sequence[Segment],
    options: Options,
    groups: Sequence[tuple[Pronunciation, int]],
    of_words: Sequence[Accent] = (),
) -> Utterance:
    in_group = {segment.word: segment.group for segment in line}
    said, trace = allophones.traced(line, options)
    sounds = segments.to_sounds(said, of_words)
    pauses = tuple(
        i for i, here in enumerate(said) if i + 1 == len(said) or in_group[here.word] != in_group[said[i + 1].word]
    )
    return Utterance(
        text,
        words,
        sounds,
        segments.transcription(sounds, pauses),
        pauses_after=pauses,
        phonemic=_broad(groups),
        trace=trace,
    )


def _broad(groups: Sequence[tuple[Pronunciation, int]]) -> str:
    """Broad transcription between slashes, | between thought groups."""
    several = sum(said.syllables for said, _ in groups) > 1
    text = ""
    for n, (said, group) in enumerate(groups):
        if n:
            text += " | " if group != groups[n - 1][1] else " "
        text += dictionary.broad(said, marked=several)
    return f"/{text}/"
