"""How a word that is not in the dictionary may be said: always a guess, and always to be shown as one.

First its parts are looked for (a plural of a known word, a compound of two common words); else the letters are
read by the model of `guess_model`, which was trained on the dictionary.
"""

from __future__ import annotations

from functools import lru_cache

from articulators.errors import BadInput
from vocaltract.words.lexicon import dictionary
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.lexicon.word_lists import common_words

LONGEST_WORD = 30
"""Letters. No longer word is guessed: guesses get worse with length (our choice)."""
LEAST_PART = 4
"""Letters of the shorter part of a compound; with three, surnames fell into parts that they do not have."""
_BEGINNINGS = frozenset("over under fore inter outer auto super semi multi anti".split())
_ENDINGS = frozenset("able ably ally fully less ions eating rating mating bled bred land away ship".split())
"""Words that as a part of a longer word are a prefix or an ending, said otherwise than alone (portable, regardless)."""
_VOWEL_LETTERS = frozenset("aeiouy")
_SOURCE = "guessed"


@lru_cache(maxsize=1024)
def guessed(word: str) -> Pronunciation:
    """The likeliest pronunciation of an unknown word; `source` is "guessed".

    word   lower case, letters a to z and ' only
    Raises BadInput for a word that no letters of which spell a vowel, or that is too long to guess.
    """
    if len(word) > LONGEST_WORD:
        raise BadInput(
            f"word '{word[:20]}\u2026' has {len(word)} letters and is not in the dictionary; "
            f"a pronunciation is guessed up to {LONGEST_WORD} letters"
        )
    if not _VOWEL_LETTERS & set(word):
        raise BadInput(f"{dictionary.unknown(word)}, and a word without a vowel letter is not guessed")
    found = _plural(word) or _compound(word)
    if found is not None:
        return found
    from vocaltract.words.lexicon.guess_model import model, pronounced

    phones = pronounced(word, model())
    if phones is None:
        raise BadInput(f"{dictionary.unknown(word)} and cannot be guessed; write its sounds between / /")
    return Pronunciation(phones, (), _SOURCE)


def _plural(word: str) -> Pronunciation | None:
    for ending in ("s", "'s"):
        stem = word.removesuffix(ending)
        if stem != word and len(stem) >= LEAST_PART and not stem.endswith(("s", "'", "i", "u")):
            base = dictionary.find(stem)
            if base:
                said = dictionary.with_s(base[0])
                return Pronunciation(said.phones, said.joints, _SOURCE)
    return None


def _compound(word: str) -> Pronunciation | None:
    """Two common words side by side, the commonest two, the first as long as can be.

    Each keeps its stress, the first the main one.
    """
    common = common_words()
    splits = [(word[:cut], word[cut:]) for cut in range(len(word) - LEAST_PART, LEAST_PART - 1, -1)]
    good = [
        pair
        for pair in splits
        if pair[0] in common and pair[1] in common and pair[0] not in _BEGINNINGS and pair[1] not in _ENDINGS
    ]
    if not good:
        return None
    first, second = min(good, key=lambda pair: sum(map(common.__getitem__, pair)))
    return dictionary.as_compound([dictionary.lookup(first)[0], dictionary.lookup(second)[0]], _SOURCE)
