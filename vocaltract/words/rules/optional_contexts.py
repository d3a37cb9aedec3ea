"""Where the optional rules apply: reductions of fast speech and extra sounds, off unless asked for by name.

A change is a function of the chain and a place, as in `contexts`; None removes a segment, and several in a
tuple stand for one. Reasons and sources: data/rules.toml.
"""

from __future__ import annotations

from dataclasses import replace

from vocaltract.words.rules.chain import VOICELESS_STOPS, Chain, Edit, is_one_of
from vocaltract.words.rules.segments import Segment

_HOMORGANIC = {"m": "p", "n": "t", "ŋ": "k"}
_VOICELESS_FRICATIVES = ("f", "θ", "s", "ʃ")
_FRONT_ENDS = ("i", "eɪ", "aɪ", "ɔɪ")
_ROUND_ENDS = ("u", "oʊ", "aʊ")
_NO_DROP_BEFORE = ("h", "ɦ", "j", "w", "ɹ", "t", "d", "tʃ", "dʒ")


def dropped_h(chain: Chain, i: int) -> Edit | None:
    """h of weak he, him, her, his, has, have, had, not after a pause."""
    here, vowel = chain.segments[i], chain.at(i, 1)
    if not chain.new_word(i) or vowel is None or vowel.stress != 0 or not vowel.is_vowel:
        return None
    if any(s.word == here.word and s.syllable != here.syllable for s in chain.segments):
        return None
    return {i: None, i + 1: vowel}


def dropped_stop(chain: Chain, i: int) -> Edit | None:
    """t or d between consonants, the one before it not a glide."""
    here, before, following = chain.segments[i], chain.at(i, -1), chain.at(i, 1)
    if before is None or following is None or here.role != "coda" or before.word != here.word:
        return None
    if before.is_vowel or before.target in ("ɹ", "l") or following.is_vowel or following.target in _NO_DROP_BEFORE:
        return None
    return {i - 1: before, i: None}


def slipped_in_stop(chain: Chain, i: int) -> Edit | None:
    """A stop between a nasal and a voiceless fricative of the same word."""
    here, following = chain.segments[i], chain.at(i, 1)
    if following is None or following.target not in _VOICELESS_FRICATIVES or following.word != here.word:
        return None
    stressed = following.role == "onset" and chain.stress_of(following) == 1
    if stressed or (here.target == "m" and following.target == "f"):
        return None
    stop = _HOMORGANIC[here.target]
    added = Segment(stop, stop, "coda", None, here.word, here.piece, here.syllable, here.group)
    return {i: (here, added)}


def reinforced_stop(chain: Chain, i: int) -> Edit | None:
    """p t k in a coda closed with the throat as well; t only there, before a consonant with voice."""
    here, before, following = chain.segments[i], chain.at(i, -1), chain.at(i, 1)
    if here.role != "coda" or before is None or not (before.is_vowel or before.target in ("ɹ", "l", "ɫ", "n")):
        return None
    if following is None:
        return {i: here.with_features("preglottalised")}
    if following.is_vowel or following.role != "onset":
        return None
    if here.target == "t" and following.phone.voiced and following.target not in ("ð", "z", "v"):
        return {i: replace(here, target="ʔ").with_features("glottal")}
    return {i: here.with_features("preglottalised")}


def breathed_vowel(chain: Chain, i: int) -> Edit | None:
    """ə between voiceless stops."""
    here, before, following = chain.segments[i], chain.at(i, -1), chain.at(i, 1)
    if here.stress != 0 or not is_one_of(before, *VOICELESS_STOPS) or not is_one_of(following, *VOICELESS_STOPS):
        return None
    return {i: here.with_features("devoiced")}


def glide_between(chain: Chain, i: int) -> Edit | None:
    """A short j or w between a vowel that ends high and the vowel of the next word."""
    here, following = chain.segments[i], chain.at(i, 1)
    if following is None or not following.is_vowel or not chain.new_word(i + 1):
        return None
    if here.target in _FRONT_ENDS:
        return {i: here, i + 1: (_glide(following, "j", "ʲ"), following)}
    return {i: here, i + 1: (_glide(following, "w", "ʷ"), following)} if here.target in _ROUND_ENDS else None


def _glide(before: Segment, target: str, letter: str) -> Segment:
    return Segment(
        target, target, "onset", None, before.word, before.piece, before.syllable, before.group, letter=letter
    )
