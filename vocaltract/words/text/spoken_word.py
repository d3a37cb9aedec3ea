"""How one word of a text is said: what reading, weak forms and accents hand on to each other."""

from __future__ import annotations

from dataclasses import dataclass

from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.utterance import Accent


@dataclass(frozen=True, slots=True)
class SpokenWord:
    """How one word is said.

    word        in lower case with a plain apostrophe
    group       running number of its thought group
    fixed       whether the form was asked for, so that no weak form replaces it
    guessed     whether it was guessed
    note        a line to show, or empty
    emphasised  whether it stands out, so that it keeps its strong form and bears the main accent
    accent      of its stressed syllable, as in `utterance.Sound`
    """

    word: str
    group: int
    pronunciation: Pronunciation
    fixed: bool = False
    guessed: bool = False
    note: str = ""
    emphasised: bool = False
    accent: Accent = ""

    @property
    def stressed(self) -> bool:
        """Whether it has a syllable of main stress."""
        return any(phone[-1] == "1" for phone in self.pronunciation.phones)


def thought_groups(said: list[SpokenWord]) -> list[range]:
    """Places of the words of each thought group."""
    starts = [i for i, one in enumerate(said) if i == 0 or said[i - 1].group != one.group]
    return [range(start, stop) for start, stop in zip(starts, [*starts[1:], len(said)], strict=True)]
