"""How two sounds differ, measured on their timelines, against phonetics textbooks and voice onset tables."""

from __future__ import annotations

import pytest

from tests.spoken import said
from vocaltract.pairs.difference import PARTS, Difference, difference, main_difference
from vocaltract.pairs.least import least_difference


def compared(first: str, second: str, at: int = 0) -> Difference:
    return difference(said(first), said(second), (at, at))


def test_t_and_d_differ_in_the_start_of_the_voice_alone() -> None:
    """Lisker & Abramson 1964, American English citation forms: t about 70 ms, d about 5 ms after the release."""
    d = compared("two", "do")
    assert max(d.tongue_mm, d.lips_mm, d.jaw_mm, d.velum_mm) <= 0.1  # the same hold: common practice
    assert d.same_place
    assert d.moved == ()
    assert d.voice == "onset"
    assert d.later_voice_s is not None
    assert d.later_voice_s > 0.030
    assert d.first.voice_onset_s == pytest.approx(0.070, abs=0.015)
    assert d.second.voice_onset_s == pytest.approx(0.005, abs=0.015)


@pytest.mark.parametrize(("voiceless", "voiced"), [("pay", "bay"), ("card", "guard")])
def test_other_plosives_too(voiceless: str, voiced: str) -> None:
    """Lisker & Abramson 1964: p 58, b 1, k 80, ɡ 21 ms; the two of each place never overlap in citation words."""
    d = compared(voiceless, voiced)
    assert d.moved == ()
    assert d.later_voice_s is not None
    assert d.later_voice_s > 0.030
    # the puff of an aspirated release is the stronger one (Ladefoged & Johnson, from memory)
    assert d.first.peak_flow_ml_s > 1.5 * d.second.peak_flow_ml_s


def test_the_order_of_the_two_turns_every_sign() -> None:
    one, other = compared("two", "do"), compared("do", "two")
    assert one.later_voice_s is not None
    assert one.later_voice_s == pytest.approx(-(other.later_voice_s or 0.0))
    assert one.first == other.second
    assert (one.tongue_mm, one.velum_mm) == (other.tongue_mm, other.velum_mm)


@pytest.mark.parametrize(("oral", "nasal"), [("bay", "may"), ("door", "nor")])
def test_a_nasal_differs_from_its_plosive_in_the_soft_palate(oral: str, nasal: str) -> None:
    """Handbook of the IPA 1999: a nasal is its plosive with the soft palate lowered."""
    d = compared(oral, nasal)
    assert d.moved == ("velum",)
    # a body that comes along is nearer to its place in the longer of the two; 0.8 mm could be told apart
    assert max(d.tongue_mm, d.lips_mm, d.jaw_mm) <= 0.3
    assert d.nose
    assert d.first.port_mm == 0 < d.second.port_mm


def test_the_tongue_follows_the_lowered_soft_palate() -> None:
    """Common practice and Handbook of the IPA 1999: ɡ and ŋ share one place; the contact moves with the palate."""
    d = compared("log", "long", 2)
    assert d.same_place
    assert d.nose
    assert set(d.moved) == {"tongue", "velum"}


@pytest.mark.parametrize(("voiceless", "voiced"), [("sink", "zinc"), ("fan", "van")])
def test_fricatives_of_one_place_differ_in_voice_alone(voiceless: str, voiced: str) -> None:
    """Handbook of the IPA 1999: s z and f v share place and manner."""
    d = compared(voiceless, voiced)
    assert d.moved == ()
    assert d.same_place
    assert d.voice == "hold"
    assert d.first.voiced_share < 0.1 < 0.9 < d.second.voiced_share
    # voiced friction has the smaller flow, for the folds take part of the pressure (Stevens 1998, from memory)
    assert d.second.hiss_flow_ml_s < d.first.hiss_flow_ml_s


@pytest.mark.parametrize(("first", "second"), [("seat", "sheet"), ("think", "sink"), ("tea", "key")])
def test_places_differ(first: str, second: str) -> None:
    """IPA chart: alveolar, postalveolar, dental and velar are places of their own."""
    d = compared(first, second)
    assert not d.same_place
    assert "tongue" in d.moved
    assert d.voice == ""


def test_the_place_of_s_is_in_front_of_that_of_sh_and_th_in_front_of_s() -> None:
    """IPA chart, dental before alveolar before postalveolar; x grows to the back."""
    s_sh, th_s = compared("seat", "sheet"), compared("think", "sink")
    assert s_sh.first.place_mm is not None and s_sh.second.place_mm is not None and th_s.first.place_mm is not None
    assert th_s.first.place_mm[0] < s_sh.first.place_mm[0] < s_sh.second.place_mm[0]


@pytest.mark.parametrize(("high", "low"), [("seat", "sit"), ("bed", "bad")])
def test_the_higher_vowel_has_the_higher_tongue_and_the_closer_jaw(high: str, low: str) -> None:
    """IPA vowel chart: i above ɪ, ɛ above æ."""
    d = compared(high, low, 1)
    assert d.first.tongue_top_mm[1] > d.second.tongue_top_mm[1]
    assert d.first.jaw_mm < d.second.jaw_mm


def test_l_and_d_share_the_tip_and_differ_at_the_sides() -> None:
    """Handbook of the IPA 1999: a lateral is shut in the middle with air passing at the sides."""
    d = compared("door", "light")
    assert d.same_place
    assert d.both_touch
    assert d.sides


def test_nasals_have_no_voice_onset_after_the_release() -> None:
    d = difference(said("may"), said("nor"), (0, 0))
    assert d.later_voice_s is None


def test_a_number_that_is_no_sound_of_the_word() -> None:
    with pytest.raises(IndexError):
        difference(said("two"), said("do"), (0, 9))


@pytest.mark.parametrize(
    ("first", "second", "about", "differs", "same"),
    [
        ("two", "do", "onset", {"voice_onset", "puff"}, {"place", "contact", "nose", "sides", "release"}),
        ("bed", "men", "nose", {"nose"}, {"place", "contact", "sides"}),
        ("door", "light", "sides", {"sides"}, {"place", "contact"}),
        ("room", "look", "touch", {"contact", "sides"}, {"nose"}),
        ("seat", "sheet", "place", {"place"}, {"nose", "sides"}),
        ("tea", "key", "place", {"place"}, {"contact", "nose", "sides", "release"}),
        ("thank", "tank", "place", {"place", "contact", "release"}, {"nose"}),
    ],
)
def test_what_differs_is_what_the_trade_says(
    first: str, second: str, about: str, differs: set[str], same: set[str]
) -> None:
    """Place, manner and voicing of English consonants: any phonetics textbook; common practice."""
    d = compared(first, second)
    a, b = (said(word).spans[0].entry for word in (first, second))
    assert main_difference(d, a, b) == about
    assert differs <= d.parts and not same & d.parts
    assert d.parts <= set(PARTS)


def test_a_sound_does_not_differ_from_itself() -> None:
    d = compared("towel", "towel")
    entry = said("towel").spans[0].entry
    assert d.parts == frozenset() and main_difference(d, entry, entry) == "none"


def test_a_vowel_is_longer_before_a_voiced_stop() -> None:
    """Peterson & Lehiste 1960: about 3 : 2 before voiced and voiceless stops."""
    assert "vowel" in compared("bed", "bet", 1).parts
    assert least_difference().vowel.length_ms > 0
