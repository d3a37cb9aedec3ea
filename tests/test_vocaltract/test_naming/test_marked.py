"""Letters marked in a word are the sound that they stand for there. Pronunciations: CMUdict and the rules for flaps."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from vocaltract.naming.marked import as_in, marked_word, sound_in, sounds_of


@pytest.mark.parametrize(
    ("text", "found"),
    [("s[ea]t", ("seat", 1, 3)), ("s_ea_t", ("seat", 1, 3)), ("[th]is", ("this", 0, 2)), ("[θ]", None),
     ("seat", None), ("a b[c]", None), ("s[]t", None), ("front [d]esk", None)],
)  # fmt: skip
def test_marks_are_read(text: str, found: tuple[str, int, int] | None) -> None:
    assert marked_word(text) == found


@pytest.mark.parametrize(
    ("word", "span", "symbol"), [("city", (2, 3), "ɾ"), ("button", (2, 4), "ʔ"), ("button", (5, 6), "n̩")]
)
def test_the_sound_is_what_is_said_there(word: str, span: tuple[int, int], symbol: str) -> None:
    assert sound_in(word, *span).symbol == symbol


@pytest.mark.parametrize(
    ("word", "letters", "symbol"), [("seat", "", "i"), ("luggage", "", "ʌ"), ("luggage", "g", ""), ("book", "oo", "ʊ")]
)
def test_a_word_shows_its_stressed_vowel_or_the_letters_named(word: str, letters: str, symbol: str) -> None:
    if symbol:
        assert as_in(word, letters).symbol == symbol
    else:  # gg of luggage is ɡ, its last g is dʒ
        with pytest.raises(BadInput, match="mark the one that is meant"):
            as_in(word, letters)


@pytest.mark.parametrize(("word", "letters"), [("seat", "oo"), ("front desk", ""), ("[x", "x")])
def test_what_marks_no_sound_is_told(word: str, letters: str) -> None:
    with pytest.raises(BadInput) as caught:
        as_in(word, letters)
    assert "\n" not in str(caught.value)


def test_sounds_of_a_word() -> None:
    assert list(sounds_of("desk")) == ["d", "ɛ", "s", "k"]
