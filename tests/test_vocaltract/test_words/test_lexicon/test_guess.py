"""Guessed pronunciations: measured on dictionary words that the model was not trained on, and made again the same.

python -m tests.test_vocaltract.test_words.test_lexicon.test_guess     prints the measures
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import pytest

from articulators.errors import BadInput
from vocaltract.words.lexicon.databases import GUESSES
from vocaltract.words.lexicon.guess import guessed
from vocaltract.words.lexicon.guess_model import model, pronounced
from vocaltract.words.make import train
from vocaltract.words.make.profile import profiled_entries
from vocaltract.words.make.raw import raw_entries
from vocaltract.words.text.transcribe import read

Phones = tuple[str, ...]


@dataclass(frozen=True)
class Measures:
    """Of guesses against a dictionary, the nearest of a word's pronunciations; stress is left out.

    error  phonemes inserted, dropped or exchanged, per phoneme of the dictionary
    exact  words guessed wholly right, per word
    """

    words: int
    error: float
    exact: float


def edits(a: Sequence[str], b: Sequence[str]) -> int:
    """Fewest insertions, deletions and exchanges from a to b (Levenshtein 1966)."""
    row = list(range(len(b) + 1))
    for i, x in enumerate(a, 1):
        corner, row[0] = row[0], i
        for j, y in enumerate(b, 1):
            corner, row[j] = row[j], min(row[j] + 1, row[j - 1] + 1, corner + (x != y))
    return row[-1]


def bare(phones: Sequence[str]) -> Phones:
    return tuple(phone.rstrip("012") for phone in phones)


def measured(guess: Callable[[str], Phones | None]) -> Measures:
    entries = raw_entries()
    words = sorted(train.held_out(entries))
    wrong = total = exact = 0
    for word in words:
        said = bare(guess(word) or ())
        forms = [bare(text.split()) for text in entries[word]]
        nearest = min(forms, key=lambda form: edits(said, form) / len(form))
        wrong += edits(said, nearest)
        total += len(nearest)
        exact += said in forms
    return Measures(len(words), wrong / total, exact / len(words))


def test_distance() -> None:
    assert edits("kitten", "sitting") == 3  # the textbook example
    assert edits("", "abc") == 3
    assert edits("abc", "abc") == 0


def test_error_on_words_not_trained_on(capsys: pytest.CaptureFixture[str]) -> None:
    # Published for CMUdict without stress, joint sequence models and neural ones alike: 5.5 to 8 % of phonemes wrong,
    # 70 to 76 % of words right (Bisani & Ney 2008, Speech Communication 50, and later papers; from memory). Their test
    # sets are other words of the same dictionary, so a few per cent of slack are left.
    found = measured(lambda word: pronounced(word, model()))
    with capsys.disabled():
        print(f" guesses: {found.error:.1%} of phonemes wrong, {found.exact:.0%} of {found.words} words right", end="")
    assert found.words == train.HELD_OUT
    assert found.error <= 0.085
    assert found.exact >= 0.66


def test_a_bad_guesser_is_seen() -> None:
    assert measured(lambda word: tuple(word.upper())).error > 0.3


@pytest.mark.long
def test_the_shipped_model_is_made_again_from_the_dictionary_alone() -> None:
    """Byte for byte; and so the held-out words are not in it, since `train` leaves them out."""
    assert train.train(profiled_entries()) == GUESSES.read_bytes()


# New words of English since the dictionary was made; how they are said is common knowledge, no source.
@pytest.mark.parametrize(
    ("word", "phones"),
    [
        ("staycation", "S T EY K EY SH AH N"),
        ("glamping", "G L AE M P IH NG"),
        ("ridesharing", "R AY D SH EH R IH NG"),
        ("laptops", "L AE P T AA P S"),
        ("frindle", "F R IH N D AH L"),
        ("skrome", "S K R OW M"),
    ],
)
def test_new_words(word: str, phones: str) -> None:
    assert bare(guessed(word).phones) == tuple(phones.split())


def test_a_guess_is_always_marked() -> None:
    said = read("the glamping towel")
    assert said.guessed == ("glamping",)
    assert any("'glamping': guessed pronunciation, please check" in note for note in said.notes)
    assert not read("the towel").guessed


@pytest.mark.parametrize("word", ["grmpf", "a" * 31])
def test_what_is_not_guessed(word: str) -> None:
    with pytest.raises(BadInput):
        guessed(word)


if __name__ == "__main__":
    print(measured(lambda word: pronounced(word, model())))
