"""Classes of words: closed classes of English grammar, from memory."""

from __future__ import annotations

import pytest

from vocaltract.words.text.grammar import is_a, is_participle, is_particle


@pytest.mark.parametrize(
    ("word", "yes"), [("checked", True), ("lost", True), ("need", False), ("bed", False), ("key", False)]
)
def test_participles(word: str, yes: bool) -> None:
    assert is_participle(word) is yes


def test_in_and_on_are_particles_after_their_verbs() -> None:
    assert is_particle(("hold", "on"), 1)
    assert not is_particle(("keys", "on"), 1)
    assert is_a("at", "preposition") and not is_a("key", "preposition")
