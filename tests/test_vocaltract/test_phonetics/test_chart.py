"""Every symbol of the chart as it is drawn: shut, narrow or open at the place that its letter names.

Nothing here reads a rule or a target: places are measured on outlines and areas. Sources beside the checks.
"""

from __future__ import annotations

import unicodedata

import numpy as np
import pytest
import shapely

from articulators.errors import BadInput
from articulators.posture import stack
from articulators.section import Section, rest_tongue_area_mm2, section
from tests.reference.published import size
from tests.test_articulators.tissues import AREA_SHARE, crossing, folded_mm2
from tests.test_vocaltract.spoken import STRICTURE_MM, by_itself, place
from tests.test_vocaltract.test_ipa.test_symbol import distinctive
from tests.test_vocaltract.test_phonetics.charted import (
    CONSONANTS,
    FRICTION_CM2,
    HEAD,
    LETTERS,
    MORE,
    STOPS,
    VOWELS,
    Drawn,
    highest,
    narrowest,
    of,
    throat_gap_mm,
    whole,
)
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.gaps import gaps
from vocaltract.airway.passage import airway
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics.inventory import by_rule, sound
from vocaltract.phonetics.postures import posture


@pytest.mark.parametrize("symbol", [*STOPS, "pʼ", "tʼ", "kʼ", "t̪", "n̪", "k̟", "tʲ", "tˠ", "tˤ", "k͡p", "ŋ͡m", "t̼", "t͡s"])
def test_closures_cut_the_airway(symbol: str) -> None:
    """Plosives, nasals, clicks, and for a moment trills and taps, shut the mouth (Handbook of the IPA 1999)."""
    assert not whole()[symbol].airway.mouth


OPEN = of("fricative", "approximant")


@pytest.mark.parametrize("symbol", [*OPEN, *VOWELS, "sʼ", "w̃", "ɹ̝", "β̞", "õ", "aˤ"])
def test_open_sounds_leave_a_way_through(symbol: str) -> None:
    assert whole()[symbol].airway.mouth


LATERALS = of("lateral approximant", "lateral fricative", "lateral tap")  # a lateral click opens only as it is let go


@pytest.mark.parametrize("symbol", [*LATERALS, "l̪", "ɫ"])
def test_laterals_shut_the_midline_and_open_the_sides(symbol: str) -> None:
    """Row epg_l: contact in the middle, at least one side open."""
    one = whole()[symbol]
    assert not one.airway.mouth
    assert float(one.section.posture["sides_open"]) > 0


@pytest.mark.parametrize("symbol", [*CONSONANTS, *VOWELS, "ŋ͡m", "w̃", "õ", "ĩ", "ɑ̃", "ŋ͡ǃ"])
def test_port_is_open_for_nasal_sounds_alone(symbol: str) -> None:
    """Port above 0.2 cm2 for nasals, below 0.05 cm2 for oral sounds (Warren et al. 1989); 1.6 cm wide."""
    one = whole()[symbol]
    area = 1.6 * float(one.gaps.port) / 10
    assert area > 0.2 if one.features.nasal else area < 0.05
    assert bool(one.airway.nose) == one.features.nasal


@pytest.mark.parametrize("symbol", [*of("fricative", "lateral fricative"), "sʼ", "s̪", "s̺", "s̻", "ɹ̝"])
def test_fricatives_are_narrow_enough_to_hiss(symbol: str) -> None:
    least, _ = narrowest(whole()[symbol])
    assert FRICTION_CM2[0] <= least <= FRICTION_CM2[1]


@pytest.mark.parametrize("symbol", [*of("approximant"), *of("lateral approximant"), "w̃", "β̞"])
def test_approximants_do_not_hiss(symbol: str) -> None:
    """Above 0.15 cm2 (Stevens 1998, from memory); open sides are counted for laterals."""
    least, _ = narrowest(whole()[symbol])
    assert least > 0.15


@pytest.mark.parametrize("symbol", VOWELS)
def test_vowels_are_wider_than_fricatives(symbol: str) -> None:
    """Close vowels have about 0.3 to 0.6 cm2 at their narrowest (Fant 1960, from memory), more than a fricative has.

    The tip of the uvula is left out: it is about a third as wide as the passage, and air goes beside it (anatomy).
    """
    assert narrowest(whole()[symbol], beside_uvula=True)[0] > 0.15


REAR_OF_PALATE = float(HEAD.palate.surface[-1, 0])
UVULA = float(HEAD.velum.raised[:, 0].max())
RIDGE = size("alv").range
# Where each place lies on the roof, mm behind the edge of the upper incisor. Ridge: row alv of sizes_of_the_mouth.csv.
# The others by what they name: teeth before the ridge, behind the ridge to the vault, hard palate to its rear edge,
# soft palate behind it (division of the roof as in Ladefoged & Johnson, from memory).
PLACES = {
    "dental": (-1.0, RIDGE[0] + 1.0),
    "alveolar": RIDGE,
    "postalveolar": (RIDGE[1] - 2.0, 20.0),
    "retroflex": (RIDGE[1] - 1.0, 24.0),
    "alveolo-palatal": (RIDGE[1] - 1.0, 26.0),
    "palatal": (20.0, REAR_OF_PALATE - 6.0),
    "velar": (REAR_OF_PALATE - 10.0, REAR_OF_PALATE + 10.0),
    "uvular": (REAR_OF_PALATE + 10.0, UVULA),
}


def touched_x_mm(one: Section) -> float:
    """Middle of where the tongue touches the roof, or the roof's point that it comes nearest to."""
    roof = shapely.union_all(
        [shapely.LineString(one[o]) for o in ("palate", "velum")]
        + [shapely.Polygon(one[o]) for o in ("upper_incisor", "upper_gum")]
    )
    points = shapely.points(one["tongue"])
    away = np.asarray(shapely.distance(roof, points))
    on = one["tongue"][away <= max(0.1, float(away.min()))]
    near = shapely.get_coordinates(shapely.shortest_line(roof, shapely.multipoints(on)))
    return float(on[:, 0].mean()) if len(on) > 1 else float(near[0, 0])


SINGLE = [s for s in CONSONANTS if len(LETTERS[s].places) == 1 and LETTERS[s].places[0] in PLACES]


@pytest.mark.parametrize("symbol", [*SINGLE, "t̪", "d̪", "n̪", "l̪", "tʼ", "kʼ", "s̺", "s̻"])
def test_tongue_is_where_the_letter_says(symbol: str) -> None:
    one = whole()[symbol]
    low, high = PLACES[one.features.places[0]]
    assert low <= touched_x_mm(one.section) <= high


def test_places_follow_one_another_from_teeth_to_uvula() -> None:
    """The order of the chart's columns."""
    for row in (unicodedata.normalize("NFD", "θ s ʃ ç x χ"), "t̪ t ʈ c k q", "n̪ n ɳ ɲ ŋ ɴ", "l̪ l ɭ ʎ ʟ"):
        at = [touched_x_mm(whole()[s].section) for s in row.split()]
        assert at == sorted(at), row


@pytest.mark.parametrize("symbol", ["ħ", "ʕ", "ʜ", "ʢ", "ʡ"])
def test_throat_sounds_are_narrowest_in_the_throat(symbol: str) -> None:
    one = whole()[symbol]
    assert throat_gap_mm(one.section) < 2.5
    _, at = narrowest(one)
    assert at[0] > 70.0
    assert at[1] < 0.0


def test_epiglottal_sounds_are_made_below_pharyngeal_ones() -> None:
    assert narrowest(whole()["ʜ"])[1][1] < narrowest(whole()["ħ"])[1][1]
    assert throat_gap_mm(whole()["ʡ"].section) == 0.0


LIPS = [s for s in CONSONANTS if LETTERS[s].places[0] in ("bilabial", "labiodental")]


@pytest.mark.parametrize("symbol", LIPS)
def test_lip_sounds_are_made_with_the_lips_their_letters_say(symbol: str) -> None:
    """Labiodentals: the lower lip meets the upper teeth and never the upper lip (Ladefoged & Johnson, from memory)."""
    f, near = whole()[symbol].features, whole()[symbol].gaps
    if f.places[0] == "labiodental":
        assert float(near.teeth) < 2.5
        assert float(near.lips) > 1.0
    elif f.closes:
        assert float(near.lips) == 0.0
    else:
        assert 0.2 < float(near.lips) < 4.0


@pytest.mark.parametrize(("closure", "plain"), [("k͡p", "k"), ("ŋ͡m", "ŋ"), ("ʘ", "k")])
def test_double_articulations_are_shut_twice(closure: str, plain: str) -> None:
    near = whole()[closure].gaps
    assert float(near.lips) == 0.0
    assert float(near.dorsal) == 0.0
    assert abs(touched_x_mm(whole()[closure].section) - touched_x_mm(whole()[plain].section)) < 3.0


@pytest.mark.parametrize("symbol", ["ǀ", "ǃ", "ǂ", "ǁ", "ŋ͡ǃ"])
def test_clicks_shut_air_in_between_two_closures(symbol: str) -> None:
    """A velar and a forward closure enclose a pocket (Ladefoged & Maddieson 1996, from memory)."""
    one = whole()[symbol]
    assert float(one.gaps.coronal) == 0.0
    assert float(one.gaps.dorsal) == 0.0
    widths = list(np.asarray(one.areas.least_cm2)[40:70])
    shut = [i for i, w in enumerate(widths) if w < 0.4]
    assert max(widths[shut[0] : shut[-1] + 1]) > 0.05


def test_larynx_goes_down_for_implosives_and_up_for_ejectives() -> None:
    """Ladefoged & Maddieson 1996 (from memory); row lx_rng: 3 to 20 mm in speech."""
    for symbol in [s for s in CONSONANTS if LETTERS[s].airstream == "implosive"]:
        assert -20 <= float(whole()[symbol].section.posture["larynx_mm"]) <= -3
    for symbol in ("pʼ", "tʼ", "kʼ", "sʼ"):
        assert 3 <= float(whole()[symbol].section.posture["larynx_mm"]) <= 20


@pytest.mark.parametrize("symbol", [*CONSONANTS, *VOWELS, *MORE])
def test_tongue_keeps_its_area(symbol: str) -> None:
    area = float(whole()[symbol].section.tongue_area_mm2())
    assert abs(area / rest_tongue_area_mm2(HEAD) - 1) < AREA_SHARE


def test_no_tissue_passes_through_tissue() -> None:
    shown = section(HEAD, stack([d.section.posture for d in whole().values()]))
    assert crossing(shown) == {}
    assert folded_mm2(shown) == {}


def test_vowel_heights_and_depths_are_those_of_the_chart() -> None:
    """Rows of the chart from close to open, columns from front to back."""
    for column in ("i e ɛ a", "y ø œ ɶ", "ɨ ɘ ɜ", "u o ɔ ɒ", "ɯ ɤ ɑ"):
        heights = [highest(whole()[s].section)[1] for s in column.split()]
        assert heights == sorted(heights, reverse=True), column
    for row in ("i ɨ ɯ", "y ʉ u", "e ɘ ɤ", "ø ɵ o", "ɛ ɜ"):
        depths = [highest(whole()[s].section)[0] for s in row.split()]
        assert depths == sorted(depths), row


@pytest.mark.parametrize("pair", ["i y", "ɨ ʉ", "ɯ u", "ɪ ʏ", "e ø", "ɘ ɵ", "ɤ o", "ɛ œ", "ɜ ɞ", "ʌ ɔ", "a ɶ", "ɑ ɒ"])
def test_rounding_is_made_with_the_lips(pair: str) -> None:
    """Pairs of the chart: the right-hand one is rounded. Rounded lips stand farther forward and closer."""
    plain, round_ = (whole()[s].section for s in pair.split())
    assert float(round_["upper_red"][:, 0].min()) < float(plain["upper_red"][:, 0].min()) - 1.0
    if pair != "ʌ ɔ":  # both are English, fitted to American formants, and there ɔ is hardly rounded
        assert float(gaps(round_).lips) < float(gaps(plain).lips)


def test_marks_on_vowels_move_what_they_name() -> None:
    """Meanings of the chart's diacritics."""
    at = {s: highest(whole()[s].section) for s in ("e", "e̝", "e̞", "ë", "e̽", "u", "u̟")}
    assert at["e̝"][1] > at["e"][1] > at["e̞"][1]
    assert at["ë"][0] > at["e"][0]
    assert at["u̟"][0] < at["u"][0]
    root = {s: float(whole()[s].gaps.throat) for s in ("e̘", "e", "e̙", "a", "aˤ")}
    assert root["e̘"] > root["e"] > root["e̙"]
    assert root["aˤ"] < root["a"]
    lips = {s: float(whole()[s].gaps.lips) for s in ("ɔ̹", "ɔ", "ɔ̜")}
    assert lips["ɔ̹"] < lips["ɔ"] < lips["ɔ̜"]


def test_marks_on_consonants_move_what_they_name() -> None:
    """Meanings of the chart's diacritics; dark l narrows the throat (Sproat & Fujimura 1993, from memory)."""
    at = {s: touched_x_mm(whole()[s].section) for s in ("k̟", "k", "k̠", "t̪", "t")}
    assert at["k̟"] < at["k"] - 2.0
    assert at["k"] < at["k̠"]
    assert at["t̪"] < at["t"]
    throat = {s: float(whole()[s].gaps.throat) for s in ("t", "tˤ", "l", "ɫ")}
    assert throat["tˤ"] < throat["t"] - 3.0
    assert throat["ɫ"] < throat["l"] - 3.0
    assert highest(whole()["bʲ"].section)[1] > highest(whole()["b"].section)[1] + 3.0
    assert float(whole()["tʷ"].section["upper_red"][:, 0].min()) < float(whole()["t"].section["upper_red"][:, 0].min())


def test_velarized_tongues_are_raised_behind() -> None:
    plain, dark = (whole()[s].section for s in ("t", "tˠ"))
    back = [float(one["tongue"][np.abs(one["tongue"][:, 0] - 48.0) < 3.0, 1].max()) for one in (plain, dark)]
    assert back[1] > back[0] + 2.0


@pytest.mark.parametrize("symbol", [*STOPS, "pʼ", "t̪", "k̟", "k͡p", "t̼"])
def test_stops_leave_no_area(symbol: str) -> None:
    """Closures: 0 cm2 somewhere between larynx and lips (by definition)."""
    assert narrowest(whole()[symbol])[0] == 0.0


@pytest.mark.parametrize("symbol", ["h", "ɦ", "ʔ"])
def test_sounds_of_the_folds_have_no_place_in_the_mouth(symbol: str) -> None:
    """Chart: glottal. The mouth takes its neighbour's shape; alone it is as open as in a neutral vowel."""
    assert sound(f"[{symbol}]").posture == ("next",)
    made = by_itself(symbol)
    shown = section(HEAD, made.posture(np.array(sum(made.spans[0].hold_s) / 2)))
    assert float(place(shown).gap_mm) > 2 * STRICTURE_MM
    assert float(gaps(shown).lips) > STRICTURE_MM


@pytest.mark.parametrize("pair", ["ʂ ʐ", "ɕ ʑ", "ç ʝ", "x ɣ", "χ ʁ", "ħ ʕ", "ɬ ɮ"])
def test_voice_is_heard_in_the_voiced_one_of_a_pair(pair: str) -> None:
    """Rows of the chart: the right-hand one is voiced. Same mouth, folds vibrate or stand apart."""
    for symbol, voiced in zip(unicodedata.normalize("NFD", pair).split(), (False, True), strict=True):
        made = by_itself(symbol)
        middle = np.array([sum(made.spans[0].hold_s) / 2])
        assert (float(made.moment(middle).voice[0]) > 0.5) == voiced, symbol


def test_comparers_see_planted_faults() -> None:
    one = whole()["n"]
    shut = section(HEAD, one.section.posture.with_parts(velum=0.0))
    assert not airway(shut).nose
    opened = section(HEAD, whole()["t"].section.posture.with_parts(tip_up_mm=0.0, blade_mm=0.0))
    assert airway(opened).mouth
    away = touched_x_mm(section(HEAD, whole()["k"].section.posture))
    assert not PLACES["alveolar"][0] <= away <= PLACES["alveolar"][1]
    assert distinctive(parse("n"))["nas"]


def test_bracketed_symbols_are_sounds() -> None:
    assert sound("[ʈ]").kind == "ipa"
    assert sound("[ʈ]").closes
    assert sound("[ʈ]").is_stop
    assert sound("[r]").manner == "trill"
    assert sound("[y]").kind == "vowel"
    assert sound("[t͡s]").posture == ("t͡s", "t͡s>")
    assert sound("[h̃]").posture != ("next",)
    assert sound("[d]") is sound("d")
    with pytest.raises(BadInput, match="brackets, as in"):
        sound("ʘ")


def test_affricates_are_shut_and_then_hiss() -> None:
    for symbol in ("t͡s", "t͡ɕ", "p͡f", "k͡x", "t͡ɬ"):
        closed, hissing = (section(HEAD, posture(k)) for k in by_rule(symbol).posture)
        assert not airway(closed).mouth
        least = narrowest(Drawn(parse(symbol), hissing, airway(hissing), gaps(hissing), tract_areas(hissing)))[0]
        assert FRICTION_CM2[0] <= least <= FRICTION_CM2[1]
        assert float(closed.posture["sides_open"]) == 0.0


def test_the_rules_give_the_shapes_of_the_english_targets() -> None:
    """One hand: where English and the chart mean the same sound, rule and target draw the same tongue.

    Not j, l, w: the English ones are fitted to formants of Americans as well.
    """
    for symbol in ("p", "t", "k", "m", "n", "ŋ", "s", "ʃ", "θ"):
        a, b = whole()[symbol].section["tongue"], section(HEAD, posture(symbol))["tongue"]
        assert float(np.abs(a - b).max()) < 0.3, symbol
