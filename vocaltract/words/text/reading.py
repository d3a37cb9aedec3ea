"""How each written word of a text is said by itself: readings, capitals, hyphens, guesses - and what to note."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import cache

from articulators.errors import BadInput
from articulators.records import Record, rows
from vocaltract.words.lexicon import dictionary
from vocaltract.words.lexicon.dictionary import Pronunciation
from vocaltract.words.text.grammar import is_a
from vocaltract.words.text.orthography import Written
from vocaltract.words.text.spoken_word import SpokenWord

Guess = Callable[[str], Pronunciation]
Found = Mapping[str, tuple[Pronunciation, ...]]

LONGEST_INITIALS = 5
"""Letters. Longer words in capitals are taken as words (our choice)."""


class VerbCue(Record, frozen=True):
    """A row of data/verb_cues.tsv: after it a word with two readings is taken as the verb."""

    word: str


class LetterName(Record, frozen=True):
    """A row of data/letter_names.tsv."""

    letter: str
    pronunciation: str


def said_words(written: Sequence[Written], guess: Guess | None) -> list[SpokenWord]:
    """How the words of a text are said, each by itself; a word in capitals in another text stands out.

    guess  called with an unknown word; without it an unknown word is bad input
    Raises BadInput for an unknown word that is not guessed and for a reading that a word has not.
    """
    plain = [dictionary.trimmed(word.text) for word in written]
    wanted = {form for word in plain for form in (word, word.replace("-", ""), *word.split("-"))}
    found = dictionary.find_all([*wanted, *(word.removesuffix("s") for word in plain)])
    shouted = len(written) > 1 and not any(c.islower() for word in written if not word.read_as for c in word.text)
    before = ["", *plain[:-1]]
    return [_said(word, plain[i], before[i], found, guess, shouted) for i, word in enumerate(written)]


def _said(word: Written, plain: str, before: str, found: Found, guess: Guess | None, shouted: bool) -> SpokenWord:
    if word.letters:
        return SpokenWord(plain, word.group, _spelled(plain), fixed=True)
    if word.choice:
        return SpokenWord(plain, word.group, _chosen(word, plain), fixed=True)
    capitals = None if shouted else _capitals(word, plain, found)
    if capitals is not None:
        return capitals
    emphasised = not shouted and len(word.text) > 1 and word.text.isupper()
    return replace(_read(word, plain, before, found, guess, shouted), emphasised=emphasised)


def _read(word: Written, plain: str, before: str, found: Found, guess: Guess | None, shouted: bool) -> SpokenWord:
    parts = [part for part in plain.split("-") if part]
    if len(parts) > 1 and all(is_a(part, "numeral") for part in parts):
        return SpokenWord(plain, word.group, _joined([found[part][0] for part in parts], "dictionary"))
    known = found[plain] or (found[plain.replace("-", "")] if "-" in plain else ())
    if known:
        return _taken(word, plain, before, known)
    if len(parts) > 1:
        pieces = [_said(replace(word, text=part), part, "", found, guess, shouted) for part in parts]
        whole = dictionary.as_compound([piece.pronunciation for piece in pieces])
        notes = "; ".join(piece.note for piece in pieces if piece.guessed)
        return SpokenWord(plain, word.group, whole, guessed=any(piece.guessed for piece in pieces), note=notes)
    if guess is None:
        raise BadInput(dictionary.unknown(plain))
    close = dictionary.nearest_word(plain, far=False)
    hint = f" (nearest word of the dictionary: {close})" if close else ""
    note = f"'{word.text}': guessed pronunciation, please check{hint}"
    return SpokenWord(plain, word.group, guess(plain), guessed=True, note=note)


def _taken(word: Written, plain: str, before: str, known: tuple[Pronunciation, ...]) -> SpokenWord:
    """The first pronunciation, or the verb after one of data/verb_cues.tsv, with a note where another may be meant."""
    first = _jointed(plain, known[0])
    if not dictionary.has_senses(plain):
        return SpokenWord(plain, word.group, first)
    readings = [reading for reading in dictionary.readings(plain) if reading.sense]
    verb = next((reading for reading in readings if reading.sense == "verb"), None)
    cued = verb is not None and before in _verb_cues()
    taken = verb if cued and verb is not None else readings[0]
    because = f" (after '{before}')" if cued else ""
    others = ", ".join(
        f"{plain}/{reading.sense} for /{reading.phonemes}/" for reading in readings if reading is not taken
    )
    note = f"'{plain}' is taken as {taken.sense}{because}, /{taken.phonemes}/; write {others}"
    said = first if taken is readings[0] else taken.pronunciation
    return SpokenWord(plain, word.group, said, note=note)


@cache
def _verb_cues() -> frozenset[str]:
    return frozenset(row.word for row in rows("vocaltract.words", "verb_cues.tsv", VerbCue))


def _chosen(word: Written, plain: str) -> Pronunciation:
    """The reading that word/2 or word/verb asks for."""
    readings = dictionary.readings(plain)
    if not readings:
        raise BadInput(f"{dictionary.unknown(plain)}, so it has no reading '{word.choice}'")
    for n, reading in enumerate(readings, 1):
        if word.choice in (str(n), reading.sense):
            return reading.pronunciation
    allowed = ", ".join(
        f"{plain}/{reading.sense or n} [{reading.phonemes}]" for n, reading in enumerate(readings[:4], 1)
    )
    raise BadInput(
        f"'{word.text}/{word.choice}' at position {word.position}: '{word.choice}' is no reading of '{plain}'; "
        f"allowed: {allowed}; IPA must fill the whole text, as /tu/"
    )


@cache
def _letter_names() -> Mapping[str, Pronunciation]:
    listed = rows("vocaltract.words", "letter_names.tsv", LetterName)
    return {row.letter: Pronunciation.parse(row.pronunciation, "letters") for row in listed}


def _spelled(letters: str) -> Pronunciation:
    """A word said letter by letter."""
    return _joined([_letter_names()[letter] for letter in letters], "letters")


def _joined(names: Sequence[Pronunciation], source: str) -> Pronunciation:
    """Letters or numerals as one word; the last has the main stress (common practice: an A T M, room two-oh-four)."""
    weak = [replace(name, phones=tuple(p.replace("1", "2") for p in name.phones)) for name in names[:-1]]
    phones: list[str] = []
    joints: list[int] = []
    for name in (*weak, names[-1]):
        joints.extend(len(phones) + joint for joint in ((0,) if phones else ()) + name.joints)
        phones.extend(name.phones)
    return Pronunciation(tuple(phones), tuple(joints), source)


def _bare(said: Pronunciation) -> tuple[str, ...]:
    return tuple(phone.rstrip("012") for phone in said.phones)


def _capitals(word: Written, plain: str, found: Found) -> SpokenWord | None:
    """A word in capitals as letters, or None where it is a word: one that the dictionary does not spell out."""
    text = word.text
    several = text.endswith("s") and len(text) > 2
    initials = text[:-1].rstrip("'\u2019") if several else text
    if not (initials.isascii() and initials.isalpha() and initials.isupper() and 1 < len(initials) <= LONGEST_INITIALS):
        return None
    letters = _spelled(initials.lower())
    known = found[plain] or (found[plain.removesuffix("s")] if several else ())
    spelled_out = any(_bare(said)[: len(letters.phones)] == _bare(letters) for said in known)
    if known and not spelled_out:
        return None
    said = dictionary.with_s(letters) if several else letters
    small = initials.lower() if known and _bare(known[0])[: len(letters.phones)] != _bare(letters) else ""
    note = f"'{text}' is read letter by letter" + (f"; write {small} for the word" if small else "")
    return SpokenWord(plain, word.group, said, fixed=True, note=note if small or not known else "")


def _jointed(word: str, whole: Pronunciation) -> Pronunciation:
    """A hyphenated word of the dictionary with its joint, where its first part is said as it is alone."""
    start, hyphen, _ = word.partition("-")
    first = dictionary.find(start) if hyphen and not whole.joints else ()
    for part in first:
        length = len(part.phones)
        if [p.rstrip("012") for p in whole.phones[:length]] == [p.rstrip("012") for p in part.phones]:
            return replace(whole, joints=(length,))
    return whole
