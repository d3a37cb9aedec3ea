"""Neighbours on a chain of segments end where a thought group does, and the changes look at sounds of English only."""

from __future__ import annotations

import pytest

from vocaltract.ipa.english import phones
from vocaltract.words.lexicon.dictionary import lookup
from vocaltract.words.rules import optional_contexts
from vocaltract.words.rules.chain import STOPS, VOICELESS_STOPS, Chain, is_one_of, is_syllabic
from vocaltract.words.rules.contexts import CHANGES
from vocaltract.words.rules.segments import from_words


def chain_of(text: str) -> Chain:
    """Segments of words; a comma begins a thought group."""
    words, group = [], 0
    for word in text.split():
        words.append((lookup(word.strip(","))[0], group))
        group += word.endswith(",")
    return Chain(from_words(words))


def test_neighbours_end_at_a_thought_group() -> None:
    joined, parted = chain_of("hot bath"), chain_of("hot, bath")
    after, nothing = joined.at(2, 1), parted.at(2, 1)
    assert after is not None and after.target == "b"
    assert nothing is None and parted.at(3, -1) is None and joined.at(0, -1) is None
    assert joined.new_word(3) and not parted.new_word(3)


def test_pieces_are_words_and_parts_of_compounds() -> None:
    chain = chain_of("bathroom")
    assert [i for i in range(len(chain.segments)) if chain.starts_piece(i)] == [0, 3]
    assert [i for i in range(len(chain.segments)) if chain.ends_piece(i)] == [2, 5]
    assert [chain.stress_of(chain.segments[i]) for i in (0, 3)] == [1, 2]


def test_nothing_is_no_sound() -> None:
    assert not is_one_of(None, "t") and not is_syllabic(None)
    here = chain_of("key").segments[0]
    assert is_one_of(here, "t", "k") and not is_syllabic(here)


def test_stops_are_the_plosives_of_english() -> None:
    plosives = {key for key, phone in phones().items() if phone.manner == "plosive" and not phone.variant_of}
    assert plosives == STOPS
    assert {key for key in STOPS if not phones()[key].voiced} == VOICELESS_STOPS


@pytest.mark.parametrize("rule", CHANGES)
def test_a_rule_looks_at_sounds_of_english(rule: str) -> None:
    sounds, change = CHANGES[rule]
    assert sounds and sounds <= set(phones())
    assert callable(change)


def test_optional_changes_at_their_places() -> None:
    """Reductions of fast speech (Ladefoged & Johnson; Cruttenden, from memory): ask (h)er, las(t) key, prin(t)ce."""
    ask_her, last_key, prince = chain_of("ask her"), chain_of("last key"), chain_of("prince")
    assert optional_contexts.dropped_h(ask_her, 3) is None, "her is stressed here: only the weak form drops its h"
    assert optional_contexts.dropped_stop(last_key, 3) is not None
    assert optional_contexts.dropped_stop(chain_of("last hour"), 3) is None
    added = optional_contexts.slipped_in_stop(prince, 3)
    assert added is not None and isinstance(added[3], tuple) and added[3][1].target == "t"
