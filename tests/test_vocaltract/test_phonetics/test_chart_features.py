"""What is drawn for a symbol has the features of another table. Source: panphon (MIT), segments."""

from __future__ import annotations

import numpy as np
import pytest

from tests.test_vocaltract.spoken import BLADE_MM, STRICTURE_MM, by_itself, place
from tests.test_vocaltract.test_ipa.test_symbol import EXCEPTIONS as TABLE_EXCEPTIONS
from tests.test_vocaltract.test_ipa.test_symbol import table
from tests.test_vocaltract.test_phonetics.charted import (
    CONSONANTS,
    LETTERS,
    VOWELS,
    Drawn,
    highest,
    whole,
)
from vocaltract.phonetics.inventory import entries

MOMENT = "the table calls trills, taps and laterals continuant; a moment of their contact is drawn"
# feature: symbol: why the drawing differs from panphon's table
MEASURED_EXCEPTIONS = {
    "cont": dict.fromkeys("ʙ r ʀ ɾ ɽ ɺ l ɭ ʎ ʟ ɬ ɮ ⱱ".split(), MOMENT),
    "cor": {"ʎ": TABLE_EXCEPTIONS["ʎ", "cor"]},
    "lat": {"ǁ": "a moment of its hold is drawn: the sides open only as it is let go"},
}


def measured(one: Drawn) -> dict[str, bool]:
    """Nasal, labial, coronal, continuant and lateral, as they are on outlines and in the air."""
    lips = min(float(one.gaps.lips), float(one.gaps.teeth)) < STRICTURE_MM
    near = place(one.section)
    return {
        "nas": bool(one.airway.nose),
        "lab": lips,
        "cor": float(one.gaps.coronal) == 0 or (near.gap_mm < 1.5 * STRICTURE_MM and near.behind_tip_mm < BLADE_MM),
        "cont": bool(one.airway.mouth),
        "lat": float(one.section.posture["sides_open"]) > 0,
    }


IN_TABLE = [s for s in CONSONANTS if s in table()]


def test_every_single_consonant_of_the_inventory_is_compared() -> None:
    english = {key for key, entry in entries().items() if entry.kind == "consonant" and len(key) == 1}
    assert len(english) > 20 and english <= {*IN_TABLE, "h"}  # h has no place in the mouth


@pytest.mark.parametrize("symbol", IN_TABLE)
def test_drawing_has_the_features_of_the_table(symbol: str) -> None:
    """panphon (Mortensen et al. 2016)."""
    for name, value in measured(whole()[symbol]).items():
        agrees = value == (table()[symbol][name] == "+")
        assert agrees != (symbol in MEASURED_EXCEPTIONS.get(name, {})), name


VOWELS_IN_TABLE = [s for s in VOWELS if s in table()]
FEATURE_OF_VOWELS_EXCEPTIONS = {
    ("ʌ", "lo"): "fitted to American ʌ, whose first formant is near that of ɑ (Peterson & Barney 1952)",
    ("ɜ", "back"): "central on the chart as ɞ is, which the table calls [-back]",
    ("a", "back"): "front on the chart as ɶ is, which the table calls [-back]",
}


def told_apart(name: str, at: dict[str, float], groups: dict[str, list[str]]) -> list[str]:
    """Of vowels in groups, those that have a feature in the table but do not lie above those that have it not."""
    wrong = []
    for symbols in groups.values():
        kept = [s for s in symbols if (s, name) not in FEATURE_OF_VOWELS_EXCEPTIONS]
        has = [s for s in kept if table()[s][name] == "+"]
        none = [at[s] for s in kept if table()[s][name] == "-"]
        wrong += [s for s in has if none and at[s] <= max(none)]
    return wrong


def by(attribute: str) -> dict[str, list[str]]:
    """Vowels by column ("backness", near-front with front and so on) or row ("height") of the chart."""
    found: dict[str, list[str]] = {}
    for s in VOWELS_IN_TABLE:
        found.setdefault(getattr(LETTERS[s], attribute).removeprefix("near-" * (attribute == "backness")), []).append(s)
    return found


def test_drawn_vowels_have_the_features_of_the_table() -> None:
    """panphon: in each column high vowels are above the others and low ones below, in each row back ones behind."""
    top = {s: highest(whole()[s].section) for s in VOWELS_IN_TABLE}
    assert told_apart("hi", {s: float(t[1]) for s, t in top.items()}, by("backness")) == []
    assert told_apart("lo", {s: -float(t[1]) for s, t in top.items()}, by("backness")) == []
    assert told_apart("back", {s: float(t[0]) for s, t in top.items()}, by("height")) == []


def test_that_comparer_sees_a_vowel_out_of_place() -> None:
    top = {s: float(highest(whole()[s].section)[1]) for s in VOWELS_IN_TABLE}
    assert told_apart("hi", {**top, "i": top["a"]}, by("backness")) == ["i"]


@pytest.mark.parametrize("symbol", VOWELS_IN_TABLE)
def test_rounded_vowels_of_the_table_have_lips_forward(symbol: str) -> None:
    """panphon; protrusion of a few mm (anatomy handbooks, from memory)."""
    forward = float(whole()[symbol].section["upper_red"][:, 0].min()) < -18.5
    assert forward == (table()[symbol]["round"] == "+")


@pytest.mark.parametrize("symbol", IN_TABLE)
def test_folds_vibrate_where_the_table_says_voice(symbol: str) -> None:
    """panphon, on the moving sound in the middle of its hold."""
    made = by_itself(symbol)
    middle = np.array([sum(made.spans[0].hold_s) / 2])
    assert (float(made.moment(middle).voice[0]) > 0.5) == (table()[symbol]["voi"] == "+")
