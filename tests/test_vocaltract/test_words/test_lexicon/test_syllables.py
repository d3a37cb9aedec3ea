"""Maximal onset against a list syllabified by hand, and what must hold for any string of phonemes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vocaltract.ipa.english import phones
from vocaltract.words.lexicon.arpabet import is_vowel_symbol
from vocaltract.words.lexicon.dictionary import lookup
from vocaltract.words.lexicon.syllables import legal_onset, syllabify
from vocaltract.words.lexicon.word_lists import common_words
from vocaltract.words.make.raw import raw_entries

# Written by hand before the code by maximal onset (Kahn 1976; Cruttenden; from memory).
BY_HAND = """
K AH1 P . K EY2 K
D AA1 K . T ER0
B AH1 . T AH0 N
L IH1 . T AH0 L
W IH1 N . T ER0
S AH1 . D AH0 N
EH1 K . S T R AH0
M IH0 . S T EY1 K
D IH0 . S K AH1 S
EH0 M . P L OY1
AE1 TH . L IY2 T
AE1 T . L AH0 S
N AY1 . T R EY0 T
B AH0 . N AE1 . N AH0
K AH0 M . P Y UW1 . T ER0
F IH1 G . Y ER0
R EH1 . G Y AH0 . L ER0
M IH1 L . Y AH0 N
AH1 N . Y AH0 N
V AE1 L . Y UW0
S IH1 NG . ER0
F IH1 NG . G ER0
HH AH1 NG . G R IY0
IH1 N . S T R AH0 . M AH0 N T
K AH0 N . S T R AH1 K T
AH0 B . S T R AH1 K T
AE0 B . S T R AE1 K T
M EH1 . ZH ER0
K IH1 . CH AH0 N
IY1 . K W AH0 L
L AE1 NG . G W AH0 JH
S AH1 B . W EY2
B Y UW1 . T AH0 . F AH0 L
S IH0 K . S T IY1 N
B AE1 . S K AH0 T . B AO2 L
HH AE1 M . B ER0 . G ER0
AE1 . P AH0 L
AH2 N . D ER0 . S T AE1 N D
""".strip().splitlines()


@pytest.mark.parametrize("line", BY_HAND)
def test_by_hand(line: str) -> None:
    wanted = [tuple(part.split()) for part in line.split(" . ")]
    phones = [phone for part in wanted for phone in part]
    assert [syllable.phones for syllable in syllabify(phones)] == wanted


@pytest.mark.parametrize(
    ("word", "first_syllable"),
    # Compounds keep their parts (Cruttenden, from memory).
    [("backpack", "B AE1 K"), ("bedroom", "B EH1 D"), ("network", "N EH1 T"), ("pickup", "P IH1 K")],
)
def test_no_syllable_reaches_over_a_joint(word: str, first_syllable: str) -> None:
    pronunciation = lookup(word)[0]
    assert " ".join(syllabify(pronunciation.phones, pronunciation.joints)[0].phones) == first_syllable


def test_onsets_of_real_words_are_legal() -> None:
    # CMUdict is the outside reference: how its common words begin; rare loans are the exceptions.
    entries = raw_entries()
    illegal = []
    for word in common_words():
        phones = entries[word][0].split()
        start = next((i for i, phone in enumerate(phones) if is_vowel_symbol(phone)), 0)
        if not legal_onset(tuple(phones[:start]), phones[start]):
            illegal.append(word)
    assert len(illegal) < 0.005 * len(common_words())
    assert not legal_onset(("NG",), "AE1")
    assert not legal_onset(("T", "L"), "AE1")
    assert not legal_onset(("K", "Y"), "AE1")


_SYMBOLS = sorted(
    f"{phone.arpabet.rstrip('0')}{digit}" if phone.is_vowel else phone.arpabet
    for phone in phones().values()
    if phone.arpabet
    for digit in ((0, 1, 2) if phone.is_vowel else (0,))
)


@given(st.lists(st.sampled_from(_SYMBOLS), max_size=30), st.lists(st.integers(-3, 40), max_size=4))
def test_syllables_keep_all_phones(phones: list[str], joints: list[int]) -> None:
    syllables = syllabify(phones, joints)
    assert [phone for syllable in syllables for phone in syllable.phones] == phones
    assert sum(len(syllable.nucleus) for syllable in syllables) == sum(map(is_vowel_symbol, phones))
    ends = set()
    total = 0
    for syllable in syllables:
        total += len(syllable.phones)
        ends.add(total)
    assert all(joint in ends for joint in joints if 0 < joint < len(phones))


def test_a_consonant_that_the_dictionary_does_not_write_is_syllabified_alone() -> None:
    """C stands for it (`text.bracketed`): one between vowels begins a syllable, as any single consonant but NG."""
    assert [part.phones for part in syllabify(["L", "AA1", "C", "AH0"])] == [("L", "AA1"), ("C", "AH0")]
    assert [part.phones for part in syllabify(["AA1", "L", "C", "AH0"])] == [("AA1", "L"), ("C", "AH0")]
