"""Lists of words for a sound as people name it: practice words by place, and minimal pairs."""

from __future__ import annotations

import re
from collections.abc import Iterable

from articulators.errors import BadInput
from vocaltract.ipa.transcription import is_ipa_only
from vocaltract.naming.named import named
from vocaltract.words.practice.listing import Listing, PairListing, against, listed, overview


def practice_words(name: str, where: str | Iterable[str] = (), count: int | None = None) -> Listing:
    """The commonest words that have a sound in a place.

    name   of the sound, such as "t", "sh", "long e"; narrow symbols such as "[tʰ]" too
    where  one or more of `words.practice.places.WORD_PLACES`, such as "initial" or "flapped"; all hold for every word
    count  at most so many words, from 1; all where None
    BadInput for what is no sound of English, an unknown place, a count below 1, and where no common word is such.
    """
    return listed(narrow_symbol(name), _places(where), count)


def words_by_place(name: str, count: int | None = None) -> tuple[Listing, ...]:
    """The commonest words of each place that a sound has; `name`, `count` and errors as of `practice_words`."""
    return overview(narrow_symbol(name), count)


def minimal_pairs(first: str, second: str, where: str | Iterable[str] = (), count: int | None = None) -> PairListing:
    """Pairs of words that differ in these two sounds alone, the commonest first; `where` holds for both words.

    BadInput as `practice_words`, also for twice the same sound and where English has no such pair.
    """
    return against(narrow_symbol(first), narrow_symbol(second), _places(where), count)


def narrow_symbol(name: str) -> str:
    """The symbol that a name stands for; a narrow one keeps its marks, and IPA needs no brackets here."""
    try:
        entry = named(name)
    except BadInput:
        if any(map(is_ipa_only, name)):
            return name.strip()  # the list of words says whether it is a sound of the language
        raise
    narrow = re.fullmatch(r"\s*\[\s*(.+?)\s*\]\s*", name)
    return narrow[1] if narrow else entry.symbol


def _places(where: str | Iterable[str]) -> list[str]:
    given = [where] if isinstance(where, str) else where
    return [place for names in given for place in names.split(",")]
