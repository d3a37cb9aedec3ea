"""Lists of practice words by place and by how common they are, and minimal pairs, read from the shipped index.

Nothing is analysed here: an index made at build time (`vocaltract.words.make.listing`) is looked up.
"""

from __future__ import annotations

import sqlite3
import zlib
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from articulators.errors import BadInput
from vocaltract.ipa.alphabet import alphabet, nfd
from vocaltract.ipa.english import phones
from vocaltract.words.lexicon.databases import PRACTICE, opened
from vocaltract.words.lexicon.word_lists import SIZE_CLASSES
from vocaltract.words.practice.places import POSITIONS, WORD_PLACES, places_of_feature, word_place
from vocaltract.words.practice.postings import SOUNDS_OF_A_WORD, WORDS_OF_A_BLOCK, unpacked_entries

_COMMONNESS = {size: n for n, size in enumerate(chain(*SIZE_CLASSES.values()), 1)}


@dataclass(frozen=True, slots=True)
class Asked:
    """A sound as asked for: its key, and the places that the marks of a narrow symbol stand for."""

    key: str
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ListedWord:
    """A word that shows a sound.

    text           as spelled
    transcription  narrow, in brackets
    position       which of its sounds shows it, from 0, as in ``read(text).sounds``
    symbol         that sound as it is said, such as "tʰ" or "ɾ"
    places         all that holds for it, of `places.WORD_PLACES`, in that order
    commonness     1 (the commonest words) to 5
    syllables      how many the word has
    """

    text: str
    transcription: str
    position: int
    symbol: str
    places: tuple[str, ...]
    commonness: int
    syllables: int


@dataclass(frozen=True, slots=True)
class Listing:
    """The first words for a sound in a place, out of `total`."""

    sound: str
    where: tuple[str, ...]
    total: int
    words: tuple[ListedWord, ...]


@dataclass(frozen=True, slots=True)
class ListedPair:
    """Two words that differ in one sound. `same_flap`: said with the same tap, so that they are nearly alike."""

    first: ListedWord
    second: ListedWord
    position: str

    @property
    def same_flap(self) -> bool:
        """Whether both are the same tap, so that only the vowel before may differ."""
        return self.first.symbol == self.second.symbol == "ɾ"

    @property
    def note(self) -> str:
        """What a teacher has to know about the pair, or nothing."""
        return "same flap, differ only in vowel length" if self.same_flap else ""


@dataclass(frozen=True, slots=True)
class PairListing:
    """The first minimal pairs of two sounds, out of `total`; `by_position` tells how many differ where."""

    sounds: tuple[str, str]
    where: tuple[str, ...]
    total: int
    by_position: tuple[tuple[str, int], ...]
    pairs: tuple[ListedPair, ...]


def asked(symbol: str) -> Asked:
    """What a sound of the inventory or a narrow symbol asks for: "t", "ɾ", "tʰ", "k̚", "n̩".

    Raises BadInput for a symbol that is no sound of English.
    """
    known, letters = alphabet(), nfd(symbol)
    says = {feature for c in letters for feature in known.features_of.get(c, ())}
    features = [mark.feature for mark in known.printed if mark.feature in says]
    for key in (letters, "".join(c for c in letters if not known.features_of.get(c))):
        if key in phones():
            wanted = [] if key == letters else [places_of_feature(feature) for feature in features]
            places = tuple(dict.fromkeys(place for place in wanted if place))
            return Asked(key, places)
    raise BadInput(
        f"[{letters}] is no sound of American English: no English word has it; `vocaltract sounds` lists those it has"
    )


def listed(symbol: str, where: Iterable[str] = (), count: int | None = None) -> Listing:
    """The commonest words that have a sound in a place; of equally common ones those that show it plainly,
    without a consonant beside it, come first.

    symbol  key of the inventory or narrow symbol
    where   names of `places.WORD_PLACES`; all of them hold for every word listed
    count   at most so many words; all where None
    Raises BadInput for a symbol that is no sound of English, an unknown place, a count below 1, and where English
    has no such word; the message then names the places that the sound has.
    """
    _check_count(count)
    sound, wanted = _wanted(symbol, where)
    with opened(PRACTICE) as connection:
        postings = _postings(connection, sound.key)
        found = _listing(connection, sound.key, wanted, postings, count)
    if found is None:
        raise BadInput(_none(sound.key, wanted, postings))
    return found


def overview(symbol: str, count: int | None = None) -> tuple[Listing, ...]:
    """A listing for each place that a sound has, in the order of WORD_PLACES; errors as in `listed`."""
    _check_count(count)
    sound, wanted = _wanted(symbol, ())
    with opened(PRACTICE) as connection:
        postings = _postings(connection, sound.key)
        places = [place for place in WORD_PLACES if place in postings and place not in wanted and place != "plain"]
        found = [_listing(connection, sound.key, (*wanted, place), postings, count) for place in places]
    listings = tuple(listing for listing in found if listing is not None)
    if not listings:
        raise BadInput(_none(sound.key, wanted, postings))
    return listings


def _listing(
    connection: sqlite3.Connection,
    key: str,
    wanted: tuple[str, ...],
    postings: Mapping[str, frozenset[int]],
    count: int | None,
) -> Listing | None:
    entries = _in_places(postings, wanted)
    if not entries:
        return None
    plain = postings.get("plain", frozenset())
    crowded = frozenset() if "cluster" in wanted else postings.get("cluster", frozenset())
    ends = [end for (end,) in connection.execute("SELECT past FROM class ORDER BY size_class")]
    ordered = sorted(
        entries, key=lambda e: (bisect_right(ends, e // SOUNDS_OF_A_WORD), e not in plain, e in crowded, e)
    )
    best: dict[int, int] = {}
    for entry in ordered:  # a word that has the sound twice is listed once
        best.setdefault(entry // SOUNDS_OF_A_WORD, entry)
    return Listing(key, wanted, len(best), _words(connection, list(best.values())[:count], postings))


def against(first: str, second: str, where: Iterable[str] = (), count: int | None = None) -> PairListing:
    """Minimal pairs of two sounds, the commonest first; `where` says what has to hold for both words.

    Raises BadInput as `listed`, also for twice the same sound and where English has no such pair.
    """
    _check_count(count)
    (left, here), (right, there) = _wanted(first, where), _wanted(second, where)
    for sound in (left, right):
        if phones()[sound.key].arpabet is None:
            raise BadInput(f"[{sound.key}] is a variant; minimal pairs are listed for phonemes such as t, d or l")
    if left.key == right.key:
        raise BadInput(f"{first} and {second} are the same sound; two different ones are needed")
    low, high = sorted((left.key, right.key))
    query = "SELECT entries FROM minimal WHERE sound = ? AND other = ?"
    with opened(PRACTICE) as connection:
        row = connection.execute(query, (low, high)).fetchone()
        entries = unpacked_entries(row[0]) if row else ()
        both = list(zip(entries[::2], entries[1::2], strict=True))
        if left.key == high:
            both = [(b, a) for a, b in both]
        of_first, of_second = _postings(connection, left.key), _postings(connection, right.key)
        allowed = (_in_places(of_first, here), _in_places(of_second, there))
        kept = [pair for pair in both if pair[0] in allowed[0] and pair[1] in allowed[1]]
        if not kept:
            raise BadInput(_no_pair(left.key, right.key, here, bool(both)))
        totals = [(place, sum(a in of_first.get(place, ()) for a, _ in kept)) for place in POSITIONS]
        shown = kept[:count]
        firsts = _words(connection, [a for a, _ in shown], of_first)
        seconds = _words(connection, [b for _, b in shown], of_second)
    pairs = tuple(ListedPair(a, b, _position(a)) for a, b in zip(firsts, seconds, strict=True))
    return PairListing((left.key, right.key), here, len(kept), tuple(totals), pairs)


def _position(word: ListedWord) -> str:
    return next(place for place in POSITIONS if place in word.places)


def _check_count(count: int | None) -> None:
    if count is not None and count < 1:
        raise BadInput(f"count is {count}; at least 1 is needed")


def _wanted(symbol: str, where: Iterable[str]) -> tuple[Asked, tuple[str, ...]]:
    sound = asked(symbol)
    return sound, tuple(dict.fromkeys([*sound.places, *(word_place(name) for name in where)]))


def _postings(connection: sqlite3.Connection, key: str) -> dict[str, frozenset[int]]:
    query = "SELECT place, entries FROM posting WHERE sound = ?"
    return {place: frozenset(unpacked_entries(blob)) for place, blob in connection.execute(query, (key,))}


def _in_places(postings: Mapping[str, frozenset[int]], wanted: Sequence[str]) -> frozenset[int]:
    chosen = [postings.get(place, frozenset()) for place in wanted]
    if not chosen:
        return frozenset().union(*(postings.get(place, frozenset()) for place in POSITIONS))
    return frozenset.intersection(*chosen)


def _none(key: str, wanted: Sequence[str], postings: Mapping[str, frozenset[int]]) -> str:
    has = ", ".join(place for place in WORD_PLACES if place in postings)
    where = f"; places it has: {has}" if has else ""
    return f"no common English word has {' '.join([f'[{key}]', ' and '.join(wanted)]).rstrip()}{where}"


def _no_pair(first: str, second: str, where: Sequence[str], elsewhere: bool) -> str:
    place = f" where both are {' and '.join(where)}" if where else ""
    hint = "leave --where out for all pairs" if elsewhere else f"list words of each: `vocaltract words {first}`"
    return f"English has no common minimal pair of [{first}] and [{second}]{place}; {hint}"


def _words(
    connection: sqlite3.Connection, entries: Sequence[int], postings: Mapping[str, frozenset[int]]
) -> tuple[ListedWord, ...]:
    places = [divmod(entry // SOUNDS_OF_A_WORD, WORDS_OF_A_BLOCK) for entry in entries]
    texts = {}
    for block in {block for block, _ in places}:
        row = connection.execute("SELECT words FROM block WHERE number = ?", (block,)).fetchone()
        texts[block] = zlib.decompress(row[0]).decode("utf-8").split("\n")
    lines = (texts[block][line] for block, line in places)
    return tuple(_word(entry, line, postings) for entry, line in zip(entries, lines, strict=True))


def _word(entry: int, line: str, postings: Mapping[str, frozenset[int]]) -> ListedWord:
    text, size_class, written = line.split("\t")
    symbols = written.split(" ")
    marked = sum(symbol[0] in "ˈˌ." for symbol in symbols)
    return ListedWord(
        text=text,
        transcription=f"[{''.join(symbol.removeprefix('.') for symbol in symbols)}]",
        position=entry % SOUNDS_OF_A_WORD,
        symbol=symbols[entry % SOUNDS_OF_A_WORD].lstrip("ˈˌ."),
        places=tuple(place for place in WORD_PLACES if entry in postings.get(place, ())),
        commonness=_COMMONNESS[int(size_class)],
        syllables=max(marked, 1),
    )
