"""Where each allophone rule applies and what it changes there. Reasons and sources: data/rules.toml.

A change is a function of the chain and a place; it returns new segments by place (None removes one), or None.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from vocaltract.ipa.english import phones
from vocaltract.words.rules import optional_contexts
from vocaltract.words.rules.chain import STOPS as _STOPS
from vocaltract.words.rules.chain import VOICELESS_STOPS, Chain, Edit
from vocaltract.words.rules.chain import is_one_of as _is
from vocaltract.words.rules.chain import is_syllabic as _syllabic
from vocaltract.words.rules.segments import Segment

_ALVEOLARS = frozenset(("t", "d", "n", "l", "ɫ", "s", "z"))
_COALESCED = {"t": "tʃ", "d": "dʒ", "s": "ʃ", "z": "ʒ"}
_MASKING = frozenset(("m", "f", "w", "ð"))
"""Sounds beside stops before which a stop of the same or the last syllable is not heard to be let go."""
_RELEASED = frozenset(("nasal_release", "lateral_release", "unreleased"))


def _coalescence(chain: Chain, i: int) -> Edit | None:
    here, glide, vowel = chain.segments[i], chain.at(i, 1), chain.at(i, 2)
    if here.target not in _COALESCED or not _is(glide, "j") or not chain.new_word(i + 1):
        return None
    if not _is(vowel, "u", "ʊ", "ə", "ɚ", "ɔ", "ɛ") or vowel is None or glide is None:
        return None
    if vowel.stress and vowel.target in ("ɛ",):
        return None
    new = replace(here, target=_COALESCED[here.target])
    return {i: new, i + 1: None}


def _hushing(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if here.target in ("s", "z") and _is(chain.at(i, 1), "ʃ") and chain.new_word(i + 1):
        return {i: replace(here, target="ʃ")}
    return None


def _nasal_place(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if here.target != "n" or here.role != "coda" or following is None:
        return None
    if following.target in ("p", "b") or (following.target == "m" and chain.starts_piece(i + 1)):
        return {i: replace(here, target="m")}
    if following.target in ("k", "ɡ"):
        return {i: replace(here, target="ŋ")}
    return None


def _labiodental_nasal(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if here.target in ("m", "n") and not _syllabic(here) and _is(chain.at(i, 1), "f", "v"):
        return {i: replace(here, target="ɱ")}
    return None


def _syllabic_consonant(chain: Chain, i: int) -> Edit | None:
    here, last, before, earlier = chain.segments[i], chain.at(i, 1), chain.at(i, -1), chain.at(i, -2)
    if here.target != "ə" or here.stress != 0 or last is None or before is None or before.word != here.word:
        return None
    if last.syllable != here.syllable or last.role != "coda" or last.target not in ("n", "l"):
        return None
    if before.is_vowel or before.piece != here.piece:
        return None
    if last.target == "n" and not _before_syllabic_n(before, earlier):
        return None
    if last.target == "l" and before.target in ("ɹ", "w", "j", "l"):
        return None
    new = replace(last, role="nucleus", stress=0).with_features("syllabic")
    return {i: None, i + 1: new}


def _before_syllabic_n(before: Segment, earlier: Segment | None) -> bool:
    if earlier is None or earlier.word != before.word:
        return False
    allowed = {"t": ("ɹ", "n", "l"), "d": ("ɹ", "l"), "s": (), "z": ()}.get(before.target)
    return allowed is not None and (earlier.is_vowel or earlier.target in allowed)


def _nasal_flap(chain: Chain, i: int) -> Edit | None:
    here, stop, before, following = chain.segments[i], chain.at(i, 1), chain.at(i, -1), chain.at(i, 2)
    if here.target != "n" or not _is(stop, "t") or before is None or stop is None or following is None:
        return None
    if not before.is_vowel or not following.reduced or not following.is_vowel:
        return None
    if not here.piece == stop.piece == following.piece == before.piece or stop.role != "onset":
        return None
    new = replace(stop, target="ɾ", phoneme="n").with_features("flap", "nasalised")
    return {i: None, i + 1: new}


def _glottal_stop(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if here.target == "t" and _is(following, "n") and _syllabic(following):
        return {i: replace(here, target="ʔ").with_features("glottal")}
    return None


def _flap(chain: Chain, i: int) -> Edit | None:
    here, before, following = chain.segments[i], chain.at(i, -1), chain.at(i, 1)
    if here.target not in ("t", "d") or before is None or following is None:
        return None
    if not (before.is_vowel or before.target == "ɹ"):
        return None
    if _is_weak_to(chain, i):
        return {i: replace(here, target="ɾ").with_features("flap")}
    if chain.ends_piece(i):
        ready = following.is_vowel and not chain.starts_piece(i)
    else:
        lateral = _syllabic(following) and _is(following, "l")
        ready = (following.is_vowel and following.reduced) or lateral
        ready = ready and not chain.starts_piece(i)
    return {i: replace(here, target="ɾ").with_features("flap")} if ready else None


def _is_weak_to(chain: Chain, i: int) -> bool:
    """t of a reduced word of t and a vowel after another word: to in go to."""
    vowel, following = chain.at(i, 1), chain.at(i, 2)
    here = chain.segments[i]
    weak = vowel is not None and vowel.is_vowel and vowel.stress == 0 and vowel.word == here.word
    return here.target == "t" and chain.new_word(i) and weak and (following is None or following.word != here.word)


def _dental(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if here.target in _ALVEOLARS and _is(chain.at(i, 1), "θ", "ð"):
        return {i: here.with_features("dental")}
    return None


def _affricated(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if here.target not in ("t", "d") or here.role != "onset" or following is None:
        return None
    same_onset = following.role == "onset" and following.syllable == here.syllable
    return {i: here.with_features("affricated", "retracted")} if following.target == "ɹ" and same_onset else None


def _aspirates(chain: Chain, i: int) -> bool:
    """A voiceless stop that begins its onset, before the vowel or an approximant of the same onset."""
    here, before, following = chain.segments[i], chain.at(i, -1), chain.at(i, 1)
    if here.target not in ("p", "t", "k") or here.role != "onset" or following is None:
        return False
    if before is not None and before.syllable == here.syllable:
        return False
    return following.is_vowel or (following.role == "onset" and following.target in ("l", "ɹ", "w", "j"))


def _aspiration(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if _aspirates(chain, i) and chain.stress_of(here):
        following = chain.at(i, 1)
        final_o = following is not None and following.reduced and following.stress == 2
        return None if final_o else {i: here.with_features("aspirated")}
    return None


def _weak_aspiration(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if _aspirates(chain, i) and chain.starts_piece(i) and "aspirated" not in here.features:
        return {i: here.with_features("weakly_aspirated")}
    return None


def _breathed_approximant(chain: Chain, i: int) -> Edit | None:
    here, before = chain.segments[i], chain.at(i, -1)
    if here.target not in ("l", "ɹ", "w", "j") or here.role != "onset" or before is None:
        return None
    puff = bool({"aspirated", "weakly_aspirated"} & before.features)
    return {i: here.with_features("devoiced")} if puff and before.syllable == here.syllable else None


def _long_hold(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if following is None or following.target != here.target or here.is_vowel or not chain.starts_piece(i + 1):
        return None
    if here.phone.manner == "affricate" or _syllabic(here) or "flap" in here.features:
        return None
    joined = replace(following, rules=here.rules + following.rules)
    before = chain.at(i, -1)
    single = here.target in _STOPS and before is not None and before.phone.is_obstruent and before.word == here.word
    return {i: None, i + 1: joined if single else joined.with_features("long")}


def _nasal_release(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if here.target not in _STOPS or following is None or following.phone.manner != "nasal":
        return None
    return {i: here.with_features("nasal_release")} if following.phone.place == here.phone.place else None


def _lateral_release(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if here.target in ("t", "d") and _is(chain.at(i, 1), "l"):
        return {i: here.with_features("lateral_release")}
    return None


def _no_release(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if here.target not in _STOPS or following is None or _RELEASED & here.features:
        return None
    masked = following.target in _STOPS or following.phone.manner == "affricate"
    if masked or (here.role == "coda" and following.target in _MASKING):
        return {i: here.with_features("unreleased")}
    return None


def _final_no_release(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if here.target in _STOPS and chain.at(i, 1) is None and here.role == "coda":
        return {i: here.with_features("unreleased")}
    return None


def _dark_l(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if here.target == "l" and (here.role == "coda" or _syllabic(here)):
        return {i: replace(here, target="ɫ").with_features("dark")}
    return None


def _fronted(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if here.target not in ("k", "ɡ") or following is None or following.syllable != here.syllable:
        return None
    return {i: here.with_features("fronted")} if following.target in ("i", "ɪ", "eɪ") else None


def _nasal_vowel(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if not here.is_vowel or following is None:
        return None
    nasal = following.phone.manner == "nasal" and not _syllabic(following)
    closes = following.syllable == here.syllable or "long" in following.features
    if (nasal and closes) or (following.target == "ɾ" and "nasalised" in following.features):
        return {i: here.with_features("nasalised")}
    return None


def _voiced_h(chain: Chain, i: int) -> Edit | None:
    here, before, following = chain.segments[i], chain.at(i, -1), chain.at(i, 1)
    if here.target != "h" or before is None or following is None or before.word != here.word:
        return None
    return {i: replace(here, target="ɦ")} if before.is_vowel and following.is_vowel else None


def _fading_voice(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if not (here.phone.is_obstruent and here.phone.voiced) or here.target == "ɦ":
        return None
    if here.role == "coda" and (following is None or not following.phone.voiced):
        return {i: here.with_features("partly_devoiced")}
    return None


def _shorter_vowel(chain: Chain, i: int) -> Edit | None:
    here = chain.segments[i]
    if not here.is_vowel:
        return None
    step = 1
    following = chain.at(i, step)
    while following is not None and following.target in ("n", "m", "ŋ", "l", "ɫ", "ɹ") and following.role == "coda":
        step += 1
        following = chain.at(i, step)
    if following is None or following.piece != here.piece:
        return None
    voiceless = following.phoneme in ("p", "t", "k", "tʃ", "f", "θ", "s", "ʃ")
    tied = (following.role == "coda" and following.syllable == here.syllable) or (
        step == 1 and following.target in ("ɾ", "ʔ") and following.phoneme == "t"
    )
    return {i: here.with_features("clipped")} if voiceless and tied else None


def _linking(chain: Chain, i: int) -> Edit | None:
    here, following = chain.segments[i], chain.at(i, 1)
    if following is not None and chain.new_word(i + 1) and following.is_vowel and not here.is_vowel:
        return {i: here.with_features("linked")}
    return None


Change = Callable[[Chain, int], Edit | None]
_VOWELS = frozenset(key for key, phone in phones().items() if phone.is_vowel)
_CONSONANTS = frozenset(phones()) - _VOWELS

CHANGES: dict[str, tuple[frozenset[str], Change]] = {
    "dropped h": (frozenset("h"), optional_contexts.dropped_h),
    "coalescence": (frozenset(_COALESCED), _coalescence),
    "hushing before sh": (frozenset("sz"), _hushing),
    "dropped t d": (frozenset("td"), optional_contexts.dropped_stop),
    "syllabic consonant": (frozenset("ə"), _syllabic_consonant),
    "nasal place": (frozenset("n"), _nasal_place),
    "lip-to-teeth nasal": (frozenset("mn"), _labiodental_nasal),
    "slipped-in stop": (frozenset("mnŋ"), optional_contexts.slipped_in_stop),
    "nasal flap": (frozenset("n"), _nasal_flap),
    "glottal stop": (frozenset("t"), _glottal_stop),
    "flap": (frozenset("td"), _flap),
    "reinforced stop": (VOICELESS_STOPS, optional_contexts.reinforced_stop),
    "dental place": (_ALVEOLARS, _dental),
    "affricated before r": (frozenset("td"), _affricated),
    "aspiration": (VOICELESS_STOPS, _aspiration),
    "weak aspiration": (VOICELESS_STOPS, _weak_aspiration),
    "breathed approximant": (frozenset("lɹwj"), _breathed_approximant),
    "one long hold": (_CONSONANTS, _long_hold),
    "nasal release": (_STOPS, _nasal_release),
    "lateral release": (frozenset("td"), _lateral_release),
    "no audible release": (_STOPS, _no_release),
    "final stop kept shut": (_STOPS, _final_no_release),
    "dark l": (frozenset("l"), _dark_l),
    "fronted k g": (frozenset("kɡ"), _fronted),
    "nasal vowel": (_VOWELS, _nasal_vowel),
    "breathed weak vowel": (frozenset("ə"), optional_contexts.breathed_vowel),
    "voiced h": (frozenset("h"), _voiced_h),
    "fading voice": (_CONSONANTS, _fading_voice),
    "shorter vowel": (_VOWELS, _shorter_vowel),
    "linking": (_CONSONANTS, _linking),
    "glide between vowels": (_VOWELS, optional_contexts.glide_between),
}
"""Rule name -> the sounds it looks at and its change, in the order of application."""
