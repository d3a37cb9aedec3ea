"""How long each sound of an utterance lasts, by published duration rules (Klatt; data/timing.toml)."""

from __future__ import annotations

from collections.abc import Collection

from articulators.errors import BadInput
from vocaltract.motion.timing import timing
from vocaltract.phonetics.inventory import SoundEntry, entries, entry_of, organ
from vocaltract.words.utterance import Sound, Utterance

SYLLABIC = "\u0329"


def durations_s(
    utterance: Utterance, rate: float = 1.0, emphasis: Collection[int] = (), style: str = "citation"
) -> tuple[float, ...]:
    """Duration of every sound in seconds; for plosives and affricates the closure alone.

    DUR = (inherent - minimum) * percent + minimum, the percent a product of the rules that apply.

    rate       tempo, 1 = natural; only what is above the minimum gives way, so twice the rate is not half the time
    emphasis   places in `utterance.words` of the words that stand out
    style      "citation" or "connected", which is said faster
    """
    gives = at_tempo(timing().tempo.sound, rate)
    if style == "connected":
        gives *= timing().percent.connected / 100
    return tuple(_duration(utterance, i, gives, emphasis) for i in range(len(utterance.sounds)))


def check_rate(rate: float) -> float:
    """The rate. BadInput outside the limits of data/timing.toml, [tempo]."""
    least, most = timing().tempo.slowest, timing().tempo.fastest
    if not least <= rate <= most:  # nan too
        raise BadInput(f"rate {rate:g} is not possible; allowed is {least:g} to {most:g} (1 = natural)")
    return rate


def at_tempo(power: float, rate: float) -> float:
    """Factor on times of a kind at a rate; `power` of the rate is one of [tempo] of the data file. 1 at rate 1."""
    return float(rate**-power)


def like(target: str, rows: Collection[str]) -> str:
    """The sound whose row of a table a sound takes: its own, or that of a sound of its manner."""
    if target in rows:
        return target
    entry = entry_of(target)
    return timing().like.of_manner[entry.manner][entry.voiced]


def _duration(utterance: Utterance, i: int, gives: float, emphasis: Collection[int]) -> float:
    sounds = utterance.sounds
    sound = sounds[i]
    rates = timing().percent
    table = timing().segment.duration_ms
    key = sound.target + SYLLABIC if "syllabic" in sound.features else sound.target
    inherent, least = table[key] if key in table else table[like(sound.target, table)]
    percent = 100.0
    word = [j for j, s in enumerate(sounds) if s.word == sound.word]
    syllables = {sounds[j].syllable for j in word}
    final = sound.syllable == max(syllables)
    before_pause = i in utterance.pauses_after
    last_syllable = any(sounds[p].syllable == sound.syllable for p in utterance.pauses_after)
    if sound.is_vowel or "syllabic" in sound.features:
        if last_syllable:
            percent *= rates.final_syllable / 100
        if not final:
            percent *= rates.not_word_final / 100
        if len(syllables) > 1:
            percent *= rates.polysyllabic / 100
        if sound.stress == 0:
            percent *= rates.unstressed / 100
        percent *= _following(sounds, i, before_pause) / 100
        if sound.word in emphasis and sound.syllable == _strongest(utterance, sound.word):
            percent *= rates.emphasis_vowel / 100
    else:
        if i != word[0]:
            percent *= rates.not_initial_consonant / 100
        if _in_cluster(sounds, i):
            percent *= rates.cluster / 100
        if sound.word in emphasis and sound.syllable == _strongest(utterance, sound.word):
            percent *= rates.emphasis_consonant / 100
    if sound.target == "ɾ":
        percent = 100.0
    length = (inherent - least) * percent / 100 * gives + least
    if "long" in sound.features:
        length *= rates.geminate / 100
    return length / 1000


def _strongest(utterance: Utterance, word: int) -> int:
    """The syllable of a word that emphasis falls on: its stressed one, in a word without stress its last."""
    best = [0, -1]
    for s in utterance.sounds:
        if s.word == word and s.stress is not None:
            weight = {1: 2, 2: 1}.get(s.stress, 0)
            if weight >= best[0] and not (weight == best[0] == 2):
                best = [weight, s.syllable]
    return best[1]


def _following(sounds: tuple[Sound, ...], i: int, before_pause: bool) -> float:
    rates = timing().percent
    if before_pause or i + 1 == len(sounds):
        return rates.vowel_before_pause
    # clipping works through a nasal or lateral (bend, bent), but only within the word
    after = [s for s in sounds[i + 1 :] if s.word == sounds[i].word]
    entry = _entry_after(after)
    if entry is None:
        return 100.0
    if entry.manner == "tap":
        # a flapped t still leaves a little of the shortening, though the flap itself has voice
        return rates.vowel_before_flapped_t if after[0].phoneme == "t" else 100.0
    if entry.manner == "nasal":
        return rates.vowel_before_nasal
    if not entry.voiced:
        return rates.vowel_before_voiceless
    if entry.manner == "fricative":
        return rates.vowel_before_voiced_fricative
    if entry.is_stop:
        return rates.vowel_before_voiced_stop
    return 100.0


def _entry_after(after: list[Sound]) -> SoundEntry | None:
    if not after or after[0].is_vowel:
        return None
    first = entry_of(after[0].target)
    passes = first.manner in ("nasal", "lateral approximant")
    if passes and len(after) > 1 and not after[1].is_vowel and after[1].syllable == after[0].syllable:
        return entry_of(after[1].phoneme if after[1].phoneme in entries() else after[1].target)
    return entries()[after[0].phoneme] if after[0].target != "ɾ" and after[0].phoneme in entries() else first


def _in_cluster(sounds: tuple[Sound, ...], i: int) -> bool:
    beside = [sounds[j] for j in (i - 1, i + 1) if 0 <= j < len(sounds) and sounds[j].word == sounds[i].word]
    return any(not s.is_vowel and "syllabic" not in s.features for s in beside)


def voice_onset_s(sounds: tuple[Sound, ...], i: int, style: str = "citation", rate: float = 1.0) -> float:
    """Time from the release of a stop to the start of voice, in seconds (data table by style).

    Long lags go with the tempo, short ones do not.
    """
    own = timing().voice_onset
    sound = sounds[i]
    entry = entry_of(sound.target)
    voiced = entry.voiced
    lags = own.lag_ms["connected" if style == "connected" else "citation"]
    place = sound.target if sound.target in lags else timing().like.of_organ[organ(entry) or "dorsal"][voiced]
    if voiced:
        return lags[place] / 1000
    if "aspirated" in sound.features or "weakly_aspirated" in sound.features:
        value = lags[place]
        if "weakly_aspirated" in sound.features:
            value *= own.weak_share
        if i + 1 < len(sounds) and sounds[i + 1].target in ("l", "ɹ", "w", "j"):
            value += own.devoiced_approximant_ms
        return value * at_tempo(timing().tempo.lag, rate) / 1000
    after_s = i > 0 and sounds[i - 1].target == "s"
    return (own.after_s_ms if after_s else own.unaspirated_ms)[place] / 1000
