"""The woman and the child: sizes, vowels and manners against what was measured of women and children.

G. E. Peterson & H. L. Barney (1952), women and children; J. Hillenbrand et al. (1995); W. T. Fitch & J. Giedd (1999);
P.-E. Nordstroem (1977); rows of sizes_of_the_mouth.csv. Consonants as for the man: test_measured_inventory.
"""

from __future__ import annotations

from functools import cache
from itertools import permutations

import numpy as np
import pytest

from articulators.posture import Posture
from articulators.section import rest_tongue_area_mm2, section
from tests.reference.published import size
from tests.test_vocaltract.spoken import features
from tests.test_vocaltract.test_phonetics.test_measured_inventory import ALL, HISS_CM2, MOUTH, wrong
from tests.test_vocaltract.test_phonetics.test_targets_features import SOUNDS, expected
from tests.test_vocaltract.test_phonetics.test_vowels import VOWELS, published
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.measure import measure_sound
from vocaltract.airway.passage import airway
from vocaltract.phonetics.build import inputs_hash
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.shipped import solved_postures
from vocaltract.phonetics.solver import solve
from vocaltract.phonetics.speaker import Speaker, shipped_speaker
from vocaltract.phonetics.targets import target_of
from vocaltract.phonetics.vowels import formants_of

GROUP = {"man": "men", "woman": "women", "child": "children"}
OTHERS = ("woman", "child")

# Not ɪ: hers is as narrow behind the ridge as under the palate, to 0.01 cm2.
WOOD = {
    "i": "palatal", "u": "velar", "ʊ": "velar", "ɔ": "upper pharyngeal", "ɑ": "lower pharyngeal",
    "æ": "lower pharyngeal",
}  # fmt: skip


@cache
def measured(name: str, symbol: str) -> np.ndarray:
    speaker = shipped_speaker(name)
    return np.asarray(formants_of(speaker.head, posture(symbol, speaker), 3))


@pytest.mark.parametrize("symbol", VOWELS)
@pytest.mark.parametrize("name", OTHERS)
def test_vowels_reach_the_printed_means(name: str, symbol: str) -> None:
    # Peterson & Barney (1952), Table II. The fit took these in: this shows that such a head can reach them.
    row = published("PB1952", GROUP[name])[symbol]
    off = measured(name, symbol) / [float(row[f"F{i}_printed"]) for i in (1, 2, 3)] - 1
    near = 0.08 if (name, symbol) == ("child", "ɑ") else 0.04
    assert np.all(np.abs(off) <= [near, near, 0.08]), off


# J. Hillenbrand, L. A. Getty, M. J. Clark & K. Wheeler (1995), J. Acoust. Soc. Am. 97, 3099-3111, Table V, F1 and F2,
# from memory: another dialect and decade, not fitted. Not æ and ɛ: their order in F1 is another in each study.
HILLENBRAND = {
    "woman": {
        "i": (437, 2761), "ɪ": (483, 2365), "ɑ": (936, 1551), "ɔ": (781, 1136), "ʊ": (519, 1225), "u": (459, 1105),
        "ʌ": (753, 1426), "ɝ": (523, 1588),
    },
    "child": {
        "i": (452, 3081), "ɪ": (511, 2552), "ɑ": (1002, 1688), "ɔ": (803, 1210), "ʊ": (568, 1490), "u": (494, 1345),
        "ʌ": (749, 1546), "ɝ": (586, 1719),
    },
}  # fmt: skip
APART = 1.12  # Peterson & Barney's and Hillenbrand's groups differ by up to this where they agree in order


@pytest.mark.parametrize("name", OTHERS)
@pytest.mark.parametrize("number", [0, 1], ids=["F1", "F2"])
def test_vowels_that_others_have_well_apart_are_in_their_order(name: str, number: int) -> None:
    rows = HILLENBRAND[name]
    pairs = [(a, b) for a, b in permutations(rows, 2) if rows[a][number] > APART * rows[b][number]]
    assert len(pairs) > 15
    assert [(a, b) for a, b in pairs if measured(name, a)[number] <= measured(name, b)[number]] == []


@pytest.mark.parametrize("name", OTHERS)
def test_orders_that_hold_in_every_group(name: str) -> None:
    # Order checks of both data sets (head of vowels_formants.csv)
    f = {key: measured(name, key) for key in VOWELS}
    assert f["i"][0] < f["ɪ"][0] < f["ɛ"][0] < f["ɑ"][0]
    assert f["u"][0] < f["ʊ"][0] < f["ʌ"][0]
    assert f["i"][1] > f["ɪ"][1] > f["ɛ"][1] > f["ʌ"][1] > f["ɔ"][1]
    assert f["ɝ"][2] < 0.8 * min(v[2] for key, v in f.items() if key != "ɝ")


@pytest.mark.parametrize("symbol", VOWELS)
def test_a_child_has_the_highest_formants_and_a_man_the_lowest(symbol: str) -> None:
    # holds for F1 to F3 of every vowel of Peterson & Barney (head of vowels_formants.csv)
    low, middle, high = (measured(name, symbol) for name in ("man", "woman", "child"))
    assert np.all(low < middle) and np.all(middle < high)


def length_cm(name: str) -> float:
    """Of the tract of a neutral vowel."""
    speaker = shipped_speaker(name)
    return float(tract_areas(section(speaker.head, posture("ə", speaker))).total_cm)


def test_tracts_are_as_long_as_measured() -> None:
    """Rows vtl_m, vtl_f, vtl_c."""
    for name, row in (("man", "vtl_m"), ("woman", "vtl_f"), ("child", "vtl_c")):
        low, high = size(row).range
        assert low <= length_cm(name) <= high, name
    assert length_cm("child") < length_cm("woman") < length_cm("man")


def throat_mm(speaker: Speaker) -> float:
    """From the folds to the level of the hard palate's rear edge."""
    return float(speaker.head.palate.surface[-1, 1]) - speaker.head.larynx.vocal_fold_height


def test_the_throat_is_the_shorter_in_proportion_the_smaller_the_head() -> None:
    """Rows ord_fg and ord_v05 (Fitch & Giedd 1999; Vorperian et al. 2005); ph_ratio and or_ratio (Nordstroem 1977)."""
    man, woman, child = (shipped_speaker(name) for name in ("man", "woman", "child"))
    mouth = [float(one.head.palate.surface[-1, 0]) for one in (man, woman, child)]
    throat = [throat_mm(one) for one in (man, woman, child)]
    assert throat[2] / mouth[2] < throat[1] / mouth[1] < throat[0] / mouth[0]
    for ratio, row in ((throat[1] / throat[0], "ph_ratio"), (mouth[1] / mouth[0], "or_ratio")):
        low, high = size(row).range
        assert low <= ratio <= high + 0.01, row


def test_palates_are_as_long_as_measured() -> None:
    """Rows sp_m and sp_f, soft palate to the uvula's tip; hp_m and hp_f, hard palates in proportion."""
    for name, row in (("man", "sp_m"), ("woman", "sp_f")):
        soft = shipped_speaker(name).head.velum.lowered
        low, high = size(row).range
        assert low <= float(np.hypot(*(soft[np.argmin(soft[:, 1])] - soft[0]))) <= high, name
    hard = [shipped_speaker(name).head.palate.surface[-1, 0] for name in ("man", "woman")]
    published_mm = [size(row).value or 0.0 for row in ("hp_m", "hp_f")]
    assert hard[1] / hard[0] == pytest.approx(published_mm[1] / published_mm[0], abs=0.03)


def test_a_womans_folds_are_drawn_shorter_than_a_mans() -> None:
    """Row vf_ratio: men's are 1.6 times as long (Titze 1989), 1.4 to 1.8 where cartilage is counted in."""
    man, woman, child = (shipped_speaker(name).head.folds_above.fold_mm for name in ("man", "woman", "child"))
    assert 1.4 <= man / woman <= 1.8 and child < woman


@pytest.mark.parametrize("symbol", MOUTH)
@pytest.mark.parametrize("name", OTHERS)
def test_a_consonant_keeps_place_and_manner(name: str, symbol: str) -> None:
    speaker = shipped_speaker(name)
    made = posture(ALL[symbol].posture[0], speaker)
    assert wrong(ALL[symbol], measure_sound(made, head=speaker.head)) == []
    if symbol in SOUNDS:
        assert features(section(speaker.head, made)) == expected(symbol)


def test_the_comparison_sees_another_sounds_mouth() -> None:
    child = shipped_speaker("child")
    assert wrong(ALL["s"], measure_sound(posture("t", child), head=child.head)) != []
    assert features(section(child.head, posture("t", child))) != expected("s")


@pytest.mark.parametrize("symbol", VOWELS)
@pytest.mark.parametrize("name", OTHERS)
def test_a_vowel_is_open_and_its_tongue_keeps_its_size(name: str, symbol: str) -> None:
    speaker = shipped_speaker(name)
    made = posture(symbol, speaker)
    shown = section(speaker.head, made)
    # the tongue is nearly incompressible (common practice): within 5 % of rest
    assert abs(float(shown.tongue_area_mm2()) / rest_tongue_area_mm2(speaker.head) - 1) <= 0.05
    air = airway(shown)
    assert bool(air.mouth) and not bool(air.nose)
    # wider than where air hisses (Stevens 1971, from memory)
    assert measure_sound(made, head=speaker.head).constriction.area_cm2 > HISS_CM2[1]


@pytest.mark.parametrize("name", OTHERS)
def test_constrictions_lie_where_wood_found_them(name: str) -> None:
    # S. Wood (1979), J. Phonetics 7, 25-43: four places of vowel constriction (from memory)
    speaker = shipped_speaker(name)
    found = {key: measure_sound(posture(key, speaker), head=speaker.head).constriction.place for key in WOOD}
    assert found == WOOD


@pytest.mark.parametrize("name", OTHERS)
def test_the_jaw_is_higher_for_close_than_for_open_vowels(name: str) -> None:
    """Row ord_jaw2: sibilants highest, close above mid above open vowels (Keating et al. 1994)."""
    speaker = shipped_speaker(name)
    jaw = {key: float(posture(key, speaker)["jaw_mm"]) for key in ("s", "i", "u", "ɛ", "ʌ", "æ", "ɑ")}
    assert jaw["s"] < min(jaw["i"], jaw["u"]) <= max(jaw["i"], jaw["u"]) < min(jaw["ɛ"], jaw["ʌ"])
    assert max(jaw["ɛ"], jaw["ʌ"]) < min(jaw["æ"], jaw["ɑ"])


@pytest.mark.parametrize("name", OTHERS)
def test_lips_do_to_the_formants_what_they_do_in_every_tube(name: str) -> None:
    # Chiba & Kajiyama (1941); Fant (1960): a wider mouth raises all formants, a longer and narrower one lowers them
    speaker = shipped_speaker(name)

    def heard(made: Posture) -> np.ndarray:
        return np.asarray(formants_of(speaker.head, made, 3))

    for symbol in ("ə", "u", "ʊ", "ɛ"):
        made = posture(symbol, speaker)
        opened = heard(made.with_parts(aperture_mm=float(made["aperture_mm"]) + 2.5))
        assert np.all(opened >= heard(made) - 0.5) and opened[0] > heard(made)[0], symbol
    for symbol in ("ə", "ɛ", "i"):
        made = posture(symbol, speaker)
        assert np.all(heard(made.with_parts(rounded=0.8, spread=0.0)) < heard(made)), symbol
    assert float(posture("u", speaker)["rounded"]) > 0.6 > 0.3 > float(posture("i", speaker)["rounded"])


def prominence_mm(name: str) -> float:
    """How far the thyroid cartilage stands out before the hyoid bone, in a mouth as large as the man's."""
    head = shipped_speaker(name).head
    return float(head.tongue.hyoid[0] - head.larynx.thyroid[:, 0].min()) / head.size


def test_a_mans_larynx_stands_out_most() -> None:
    # the laryngeal prominence is a man's (Gray's Anatomy, larynx, from memory)
    assert prominence_mm("man") > 1.3 * prominence_mm("woman") > 1.3 * prominence_mm("child")


@pytest.mark.parametrize("name", OTHERS)
def test_the_shipped_postures_are_those_of_the_shipped_head(name: str) -> None:
    assert solved_postures(name).inputs_sha256 == inputs_hash(name), "run python -m vocaltract.phonetics.build"
    speaker = shipped_speaker(name)
    for symbol in ("t", "k", "s"):
        again = section(speaker.head, solve(target_of(symbol), speaker.head))
        shipped = section(speaker.head, posture(symbol, speaker))
        # 0.02 mm: the table is rounded to 0.001 of each of eight modes
        assert max(float(np.abs(again[organ] - shipped[organ]).max()) for organ in again.moving) < 0.02, symbol
