"""Voice, pressure and felt vibration of every English consonant at the start of a stressed syllable, as simulated.

Outside: panphon's feature table (D. R. Mortensen et al. 2016, COLING; MIT) and the rows of air_of_speech.csv.
"""

from __future__ import annotations

import numpy as np
import pytest

from articulators.errors import BadInput
from tests.reference.published import CMH2O_PA, air
from tests.test_vocaltract.spoken import said
from tests.test_vocaltract.test_ipa.test_symbol import table
from vocaltract.motion.schedule import Span
from vocaltract.motion.timeline import Signals, Timeline, timeline
from vocaltract.words.text.transcribe import read

PLAIN = "p b t d k ɡ f v θ ð s z ʃ ʒ h m n l ɹ w j".split()
AFFRICATES = ("tʃ", "dʒ")
CONSONANTS = (*PLAIN, *AFFRICATES)
STOPS = ("p", "b", "t", "d", "k", "ɡ", *AFFRICATES)
PLACES = (("p", "b"), ("t", "d"), ("k", "ɡ"), ("tʃ", "dʒ"))
FRICATIVES = (("f", "v"), ("θ", "ð"), ("s", "z"), ("ʃ", "ʒ"))
BEFORE_S = 0.003  # the last moment of a hold that is clear of its edge


def onset(symbol: str, after_vowel: bool) -> tuple[Timeline, Span]:
    """The consonant in the stressed syllable with ɑ, at the start or after an unstressed vowel."""
    made = said(f"/{'ə' if after_vowel else ''}ˈ{symbol}ɑ/")
    return made, next(s for s in made.spans if s.entry.kind != "vowel")


def hold(made: Timeline, span: Span, first: float = 0.0, last: float = 1.0) -> Signals:
    start, end = span.hold_s
    return made.moment(np.linspace(start + first * (end - start), start + last * (end - start), 101))


def lag_ms(made: Timeline, span: Span) -> float:
    """From the release to the first vibration; negative where the folds vibrate before it."""
    end = span.hold_s[1]
    t = np.arange(end - 0.03, end + 0.3, 0.0005)
    return float(1000 * (t[np.argmax(made.moment(t).voicing > 0)] - end))


def voiced(symbol: str) -> bool:
    """Whether the simulated consonant is heard as voiced: by its lag for a stop at the start, else in its hold.

    The voice of English b d ɡ dʒ starts within 30 ms of the release, that of p t k tʃ after 50 ms and more
    (Lisker & Abramson 1964, by Raphael et al. 1995).
    """
    made, span = onset(symbol, after_vowel=False)
    if symbol in STOPS:
        lag = lag_ms(made, span)
        assert lag <= 30 or lag >= 50, f"{symbol}: between the categories"
        return lag <= 30
    return float(hold(made, span).voicing.mean()) > 0.5


def table_says(symbol: str) -> bool:
    return table()[symbol if len(symbol) == 1 else f"{symbol[0]}͡{symbol[1]}"]["voi"] == "+"


def disagreeing(found: dict[str, bool]) -> list[str]:
    return [symbol for symbol, voice in found.items() if voice != table_says(symbol)]


@pytest.mark.parametrize("symbol", CONSONANTS)
def test_voice_in_a_stressed_onset_is_that_of_the_table(symbol: str) -> None:
    """panphon's `voi`, every consonant of English that begins a syllable; no exceptions."""
    assert disagreeing({symbol: voiced(symbol)}) == []


@pytest.mark.parametrize("symbol", [c for c in CONSONANTS if c != "h"])
def test_after_a_vowel_the_hold_itself_has_voice_or_not(symbol: str) -> None:
    """panphon's `voi`. Left out: h, voiced between vowels (Ladefoged & Johnson, from memory)."""
    made, span = onset(symbol, after_vowel=True)
    share = float(hold(made, span).voicing.mean())
    assert share > 0.9 if table_says(symbol) else share < 0.1


def test_that_comparer_sees_a_wrong_voice() -> None:
    assert disagreeing({"p": True, "b": True, "dʒ": False, "s": False}) == ["p", "dʒ"]


def end_share(symbol: str, after_vowel: bool = True) -> float:
    """Mouth pressure over lung pressure just before the closure is let go."""
    made, span = onset(symbol, after_vowel)
    now = made.moment(np.array([span.hold_s[1] - BEFORE_S]))
    return float(now.mouth_pressure_pa[0] / now.lung_pa[0])


def peak_pa(symbol: str) -> float:
    made, span = onset(symbol, after_vowel=True)
    return float(hold(made, span).mouth_pressure_pa.max())


@pytest.mark.parametrize("symbol", ["p", "t", "k", "tʃ"])
@pytest.mark.parametrize("after_vowel", [False, True])
def test_a_voiceless_closure_ends_at_the_pressure_of_the_lungs(symbol: str, after_vowel: bool) -> None:
    """Row pio_ratio_vl (Netsell): 0.9 to 1.0."""
    low, high = air("pio_ratio_vl").range
    assert low <= end_share(symbol, after_vowel) <= high + 1e-6


@pytest.mark.parametrize(("voiceless", "voice"), [*PLACES, *FRICATIVES])
def test_voiceless_above_voiced(voiceless: str, voice: str) -> None:
    """Row ord_p1 (Arkebauer, Hixon & Hardy 1967)."""
    assert peak_pa(voiceless) > 1.2 * peak_pa(voice)


def test_pressures_of_stops_are_those_measured() -> None:
    """Rows pio_vl (5 to 9 cmH2O) and pio_vd (2 to 6)."""
    for pair in PLACES:
        for symbol, row in zip(pair, ("pio_vl", "pio_vd"), strict=True):
            low, high = air(row).range
            assert low <= peak_pa(symbol) / CMH2O_PA <= high, symbol


def test_stops_above_fricatives() -> None:
    """Row ord_p1: stops above continuants. Voiced ones not compared: the slit of ð is as narrow as a stop's is shut."""
    assert min(peak_pa(c) for c in "ptk") > max(peak_pa(c) for c in "fθsʃ")


@pytest.mark.parametrize("symbol", ["m", "n", "l", "ɹ", "w", "j"])
def test_nasals_and_approximants_are_near_nothing(symbol: str) -> None:
    """Row pio_nas: at most 1 cmH2O."""
    assert peak_pa(symbol) / CMH2O_PA <= air("pio_nas").range[1]


@pytest.mark.parametrize("symbol", ["b", "d", "ɡ", "dʒ"])
def test_vibration_is_felt_most_late_in_a_voiced_hold(symbol: str) -> None:
    """Common practice, no source. At the throat and at the contact, and more than in the vowel after it."""
    made, span = onset(symbol, after_vowel=True)
    early, late = hold(made, span, 0.1, 0.4), hold(made, span, 0.6, 0.95)
    vowel = made.moment(np.array([sum(made.spans[-1].hold_s) / 2]))
    for name in ("felt_throat", "felt_contact"):
        assert getattr(late, name).min() > getattr(early, name).max(), name
        assert getattr(late, name).min() > getattr(vowel, name)[0]
    assert vowel.felt_throat[0] > 0.3
    assert vowel.felt_contact[0] == 0.0


@pytest.mark.parametrize("symbol", ["p", "t", "k", "f", "s"])
def test_no_vibration_is_felt_in_a_voiceless_hold(symbol: str) -> None:
    made, span = onset(symbol, after_vowel=True)
    now = hold(made, span, 0.3, 0.9)
    assert now.felt_throat.max() == now.felt_contact.max() == 0.0


def test_fields_of_a_moment_agree_with_each_other() -> None:
    """By definition: pressures add up, voice is on exactly where the folds vibrate, no voice with folds far apart."""
    for text in ("doctor", "city", "/əˈdɑ/"):
        made = said(text)
        m = made.moment(np.arange(0, made.duration_s, 0.0007))
        np.testing.assert_allclose(m.across_folds_pa + m.mouth_pressure_pa, m.lung_pa)
        assert np.array_equal(m.voicing == 1, m.voice >= 0.5)
        assert set(np.unique(m.voicing)) == {0.0, 1.0}
        assert m.glottis_cm2[m.voicing == 1].max() < 0.12
        assert m.across_folds_pa[m.voicing == 1].min() > 0.9 * air("ptg_min").mean * CMH2O_PA
        for share in (m.felt_throat, m.felt_contact):
            assert np.all((share >= 0) & (share <= 1))
            assert share[m.voice == 0].max() == 0


@pytest.mark.parametrize("symbol", ["v", "z", "ð", "ʒ"])
def test_voiced_fricatives_are_felt_where_they_are_made(symbol: str) -> None:
    made, span = onset(symbol, after_vowel=True)
    assert float(hold(made, span, 0.4, 0.6).felt_contact.min()) > 0.2


def dies_ms(symbol: str, walls: str) -> float | None:
    """When voice stops in the hold of a voiced stop after a vowel, counted from the closure; None: it does not."""
    made = timeline(read(f"/əˈ{symbol}ɑ/"), walls=walls)
    span = next(s for s in made.spans if s.entry.kind != "vowel")
    t = np.arange(span.hold_s[0] - 0.02, span.hold_s[1], 0.0005)
    off = t[made.moment(t).voicing == 0]
    return float(1000 * (off[0] - span.hold_s[0])) if len(off) else None


def test_how_long_voice_lasts_depends_on_the_walls() -> None:
    """Ohala & Riordan (1979), row t_passive: 30 to 100 ms with walls that give, labial longest. Hard ones: row t_rigid,
    at most 15 ms; the lower limit of 3 ms holds for a mouth that shuts at once (test_breath): here it narrows first.
    Enlarged cavities: through the whole hold of a citation form (Westbury & Keating 1986, from memory).
    """
    lasts = [dies_ms(c, "passive") for c in "bdɡ"]
    assert all(ms is not None and 30 <= ms <= 100 for ms in lasts), lasts
    assert lasts == sorted(lasts, reverse=True)  # type: ignore[type-var]
    for symbol in "bdɡ":
        hard = dies_ms(symbol, "hard")
        assert hard is not None
        assert -5 <= hard <= 15
        assert dies_ms(symbol, "active") is None
    with pytest.raises(BadInput, match="nearest: hard"):
        timeline(read("bay"), walls="hart")
