"""The dictionary against the CMUdict file itself and its published figures."""

from __future__ import annotations

import re

import pytest

from articulators.errors import BadInput
from vocaltract.ipa.english import phones
from vocaltract.words.lexicon import dictionary
from vocaltract.words.lexicon.arpabet import ipa_of
from vocaltract.words.lexicon.databases import DATA
from vocaltract.words.make.raw import raw_entries


def test_phones_are_the_39_of_cmudict() -> None:
    # 39 phonemes: README of the CMU Pronouncing Dictionary.
    used = {re.sub(r"\d", "", p) for texts in raw_entries().values() for t in texts for p in t.split()}
    assert len(used) == 39
    assert {ipa_of(p if p not in "AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split() else p + "1") for p in used}
    assert set(phones()) >= set("p b t d k ɡ tʃ dʒ f v θ ð s z ʃ ʒ h m n ŋ l ɹ w j ɾ ɫ ʔ ɦ".split())
    assert set(phones()) >= set("i ɪ eɪ ɛ æ ɑ ɔ oʊ ʊ u ʌ ə ɝ ɚ aɪ aʊ ɔɪ".split())


def test_licence_texts_lie_beside_the_data() -> None:
    cmu = (DATA / "licences" / "cmudict-LICENSE.txt").read_text(encoding="utf-8")
    # The conditions of the BSD-2-Clause text in the cmudict data folder.
    assert "Copyright (C) 1993-2015 Carnegie Mellon University" in cmu
    assert "Redistributions in binary form must reproduce the above copyright" in cmu
    scowl = (DATA / "licences" / "scowl-Copyright.txt").read_text(encoding="utf-8")
    assert "Copyright 2000-2016 by Kevin Atkinson" in scowl
    listed = (DATA / "LICENSES.md").read_text(encoding="utf-8")
    unnamed = [path.name for path in DATA.iterdir() if path.suffix in {".tsv", ".toml", ".xz", ".sqlite"}]
    assert [name for name in unnamed if name not in listed] == []


def test_corrections_that_claim_to_be_variants_are() -> None:
    entries = raw_entries()
    for row in dictionary.corrections():
        said = row.pronunciation.replace(" #", "")
        if row.source.startswith("CMUdict variant"):
            assert said in entries[row.word], row
        if row.reason == "missing":
            assert row.word not in entries, row


@pytest.mark.parametrize(
    ("word", "first"),
    [
        # Nouns and adjectives of two syllables are stressed on the first, verbs on the second:
        # Cruttenden, Gimson's Pronunciation of English, from memory.
        ("record", "R EH1 K ER0 D"),
        ("subject", "S AH1 B JH IH0 K T"),
        ("permit", "P ER1 M IH2 T"),
        # Strong forms, said alone: Cruttenden, table of weak forms, from memory.
        ("an", "AE1 N"),
        ("the", "DH IY1"),
        ("a", "EY1"),
        # No general dictionary marks a stress on these final vowels (from memory).
        ("potato", "P AH0 T EY1 T OW0"),
        ("photo", "F OW1 T OW0"),
        ("ability", "AH0 B IH1 L AH0 T IY0"),
    ],
)
def test_first_pronunciation(word: str, first: str) -> None:
    assert " ".join(dictionary.lookup(word)[0].phones) == first


@pytest.mark.parametrize(
    ("word", "ending"),
    # Regular possessive: IH Z after sibilants, S after voiceless, Z otherwise (any grammar, from memory).
    [("suitcase's", ("IH0", "Z")), ("elevator's", ("Z",)), ("backpack's", ("S",))],
)
def test_possessives_are_formed(word: str, ending: tuple[str, ...]) -> None:
    assert word not in raw_entries()
    base = dictionary.lookup(word[:-2])[0].phones
    assert dictionary.lookup(word)[0].phones == base + ending


def test_case_and_apostrophe_do_not_matter() -> None:
    assert dictionary.lookup("TOWEL") == dictionary.lookup("towel")
    assert dictionary.lookup("don\N{RIGHT SINGLE QUOTATION MARK}t") == dictionary.lookup("don't")


@pytest.mark.parametrize(("word", "hint"), [("towl", "towel"), ("tikcet", "ticket"), ("elevater", "elevator")])
def test_unknown_word_names_the_nearest(word: str, hint: str) -> None:
    with pytest.raises(BadInput, match=rf"^word '{word}' is not in the dictionary \(nearest: {hint}\)$"):
        dictionary.lookup(word)


def test_nothing_near_gives_no_hint() -> None:
    assert dictionary.nearest_word("xqzzvqqx") is None
    assert dictionary.nearest_word("") is None
    assert dictionary.nearest_word("a" * 10_000) is None
