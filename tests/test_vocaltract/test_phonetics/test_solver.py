"""The shipped table of solved postures: solving again gives the same, and the tongue is where it was asked."""

from __future__ import annotations

import unicodedata

import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.head import adult_male
from articulators.section import section
from tests.reference.published import size
from tests.test_vocaltract.spoken import place
from vocaltract.phonetics.build import inputs_hash
from vocaltract.phonetics.places import degree_mm, stretch
from vocaltract.phonetics.postures import posture
from vocaltract.phonetics.rule_table import rule_table
from vocaltract.phonetics.shipped import solved_postures
from vocaltract.phonetics.solver import solve
from vocaltract.phonetics.targets import target_of, targets
from vocaltract.phonetics.vowel_targets import vowel_targets

AGAIN_MM = 0.02  # the table is rounded to 0.001 of each mode; eight modes add up to less than this in an outline


OWN = [t.symbols[0] for t in targets()]


def test_shipped_table_was_made_from_the_shipped_inputs() -> None:
    assert solved_postures("man").inputs_sha256 == inputs_hash("man"), "run python -m vocaltract.phonetics.build"


@pytest.mark.parametrize("symbol", OWN)
def test_solving_again_equals_the_shipped_table(symbol: str) -> None:
    a = section(adult_male(), solve(target_of(symbol), adult_male()))
    b = section(adult_male(), posture(symbol))
    assert max(float(np.abs(a[organ] - b[organ]).max()) for organ in a.moving) < AGAIN_MM


def test_comparison_would_see_a_moved_tongue() -> None:
    one = posture("t")
    moved = section(adult_male(), one.with_parts(tip_up_mm=float(one["tip_up_mm"]) + 0.05))
    assert float(np.abs(moved["tongue"] - section(adult_male(), one)["tongue"]).max()) > AGAIN_MM


def test_hash_changes_with_its_inputs(monkeypatch: pytest.MonkeyPatch) -> None:
    before = inputs_hash("man")
    monkeypatch.setattr("vocaltract.phonetics.build.SOLVER_VERSION", -1)
    assert inputs_hash("man") != before


def test_a_sound_solved_as_another_takes_its_tongue_and_lips() -> None:
    for nasal, stop in (("m", "p"), ("n", "t")):
        a, b = posture(nasal), posture(stop)
        changed = [n for n in ("jaw_mm", "aperture_mm", "tip_up_mm", "back_mm", "root_mm") if a[n] != b[n]]
        assert changed == []
        assert float(a["velum"]) > 0.5 > float(b["velum"])


@pytest.mark.parametrize("symbol", ["p", "m", "f"])
def test_a_free_tongue_stays_away_from_the_roof(symbol: str) -> None:
    """The lips make these sounds; the tongue is free for its neighbours (Ladefoged & Johnson, from memory)."""
    assert "tongue" in target_of(symbol).free
    assert place(section(adult_male(), posture(symbol).with_parts(velum=0.0))).gap_mm > 5.0


@pytest.mark.parametrize("symbol", ["s", "z", "ʃ", "ʒ"])
def test_sibilants_are_made_with_the_teeth_near_each_other(symbol: str) -> None:
    """Row jaw_s of sizes_of_the_mouth.csv: closest speaking space 1 to 3 mm."""
    low, high = size("jaw_s").range
    assert low <= float(posture({"z": "s", "ʒ": "ʃ"}.get(symbol, symbol))["jaw_mm"]) <= high


def test_jaw_is_higher_for_close_than_for_open_vowels() -> None:
    """Rows ord_jaw2, jaw_i and jaw_a: sibilants highest, close above mid above open vowels."""
    jaw = {key: float(posture(key)["jaw_mm"]) for key in ("s", "i", "u", "ɛ", "ʌ", "æ", "ɑ")}
    assert jaw["s"] < min(jaw["i"], jaw["u"]) <= max(jaw["i"], jaw["u"]) < min(jaw["ɛ"], jaw["ʌ"])
    assert max(jaw["ɛ"], jaw["ʌ"]) < min(jaw["æ"], jaw["ɑ"])
    for key, row in (("i", "jaw_i"), ("u", "jaw_i"), ("æ", "jaw_a"), ("ɑ", "jaw_a")):
        low, high = size(row).range
        assert low <= jaw[key] <= high, key


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: target_of("q"), "no target for 'q'"),
        (lambda: target_of(""), "no target for ''"),
        (lambda: degree_mm("closd"), "nearest: closed"),
        (lambda: stretch(adult_male(), "pharyngeal"), "place 'pharyngeal' is unknown; allowed: alveolar, "),
        (lambda: posture("zz"), "no posture for 'zz'"),
        (lambda: posture("i+"), "no posture for ''"),
    ],
)
def test_what_is_not_known_is_said_in_one_line(call: object, said: str) -> None:
    with pytest.raises(BadInput) as caught:
        call()  # type: ignore[operator]
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_table_holds_every_target_once() -> None:
    rows = [row.symbols for row in solved_postures("man").posture]
    variants = [tuple(unicodedata.normalize("NFD", s) for s in row) for row in rule_table().variant.shipped]
    fitted = [(t.symbol,) for t in vowel_targets()]
    assert rows == [s for t in targets() for s in (t.symbols, t.nasals) if s] + fitted + variants
