"""Lists of words: none that is blocked, no names, and no harmless word lost."""

from __future__ import annotations

from vocaltract.words.lexicon.word_lists import common_words, front_desk, rarer_words
from vocaltract.words.make.gather import listing_exceptions


def test_blocked_words_are_in_no_list() -> None:
    common = common_words()
    actions = listing_exceptions()
    assert not [word for word, action in actions.items() if action == "block" and word in common]
    # Harmless words that hold a blocked one inside (the Scunthorpe problem) stay.
    assert {"class", "cocktail", "assess", "title", "analysis", "button", "assistant"} <= set(common)
    # No names, no abbreviations: SCOWL's lower-case lists hold none.
    assert not {"paul", "chelsea", "tv", "fl", "ny"} & set(common)


def test_size_classes_part_the_lists() -> None:
    """SCOWL's sizes 10, 20 and 35 are the common words, 40 and 50 the rarer ones (its README)."""
    assert set(common_words().values()) == {10, 20, 35}
    assert set(rarer_words().values()) == {40, 50}
    assert not set(common_words()) & set(rarer_words())
    assert "key" in front_desk()
