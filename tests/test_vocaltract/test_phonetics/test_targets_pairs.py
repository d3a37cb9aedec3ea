"""Voiceless and voiced partners, and stops and their nasals: same mouth, another glottis or velum.

Common practice and the Handbook of the International Phonetic Association (1999): p b m, t d n, k ɡ ŋ share a
place; voice and nasality are made elsewhere.
"""

from __future__ import annotations

import numpy as np
import pytest

from articulators.head import adult_male
from articulators.posture import parts
from articulators.section import Section, section
from tests.reference.published import size
from tests.test_vocaltract.spoken import by_itself, contact_x_mm, mid_hold, place
from vocaltract.airway.gaps import gaps
from vocaltract.phonetics.inventory import entries
from vocaltract.phonetics.postures import posture

SAME_MM = 0.1
VOICE_PAIRS = [("p", "b"), ("t", "d"), ("k", "ɡ"), ("f", "v"), ("s", "z")]
NASAL_PAIRS = [("b", "m"), ("d", "n")]


def held(symbol: str, how: str) -> Section:
    if how == "table":
        return section(adult_male(), posture(entries()[symbol].posture[0]))
    return mid_hold(symbol)


def differing(a: Section, b: Section, but: tuple[str, ...] = ()) -> dict[str, float]:
    """Organs whose outlines are farther apart than allowed, with the greatest distance of a point to its partner."""
    apart = {o: float(np.linalg.norm(a[o] - b[o], axis=-1).max()) for o in a.moving if o not in but}
    return {organ: away for organ, away in apart.items() if away > SAME_MM}


@pytest.mark.parametrize("how", ["table", "timeline"])
@pytest.mark.parametrize(("voiceless", "voiced"), VOICE_PAIRS)
def test_voice_changes_nothing_in_the_mouth(voiceless: str, voiced: str, how: str) -> None:
    assert differing(held(voiceless, how), held(voiced, how)) == {}


@pytest.mark.parametrize(("voiceless", "voiced"), VOICE_PAIRS)
def test_voice_is_made_in_the_glottis_alone(voiceless: str, voiced: str) -> None:
    a, b = mid_hold(voiceless).posture.values, mid_hold(voiced).posture.values
    changed = {part.name for part, x, y in zip(parts(), a, b, strict=True) if abs(x - y) > 0.05}
    assert changed == {"glottis_mm"}
    release = {}
    for symbol in (voiceless, voiced):
        made = by_itself(symbol)
        span = made.spans[0]
        at = span.release_s if span.release_s is not None else sum(span.hold_s) / 2
        release[symbol] = float(made.posture(np.array(at))["glottis_mm"])
    assert release[voiceless] > release[voiced] + 1.0


@pytest.mark.parametrize("how", ["table", "timeline"])
@pytest.mark.parametrize(("stop", "nasal"), NASAL_PAIRS)
def test_a_nasal_is_its_stop_with_the_velum_lowered(stop: str, nasal: str, how: str) -> None:
    a, b = held(stop, how), held(nasal, how)
    assert differing(a, b, but=("velum",)) == {}
    assert "velum" in differing(a, b)


@pytest.mark.parametrize("how", ["table", "timeline"])
def test_the_velar_nasal_has_the_place_of_its_stop(how: str) -> None:
    """The tongue follows the lowered velum: same place, contact behind and below that of ɡ by a few mm at most."""
    stop, nasal = held("ɡ", how), held("ŋ", how)
    middle = [sum(contact_x_mm(one)) / 2 for one in (stop, nasal)]
    assert abs(middle[1] - middle[0]) < 6.0  # about half the length of a velar contact (common practice, no source)
    assert place(nasal).gap_mm < 0.1
    assert float(gaps(nasal).dorsal) == 0.0
    assert float(gaps(nasal).port) > 0.0
    assert "tongue" in differing(stop, nasal), "the tongue must move to meet the lowered velum"


def test_contacts_lie_where_anatomy_puts_them() -> None:
    """Alveolar: row alv (ridge 5 to 12 mm behind the incisor's edge). Velar: at or behind the hard palate's end."""
    low, high = size("alv").range
    for symbol in ("t", "d", "n", "l", "ɾ"):
        first, last = contact_x_mm(mid_hold(symbol))
        assert low - 2 <= first, symbol  # the blade also meets the gum of the incisors
        assert low <= (first + last) / 2 <= high, symbol
    rear = float(adult_male().palate.surface[-1, 0])
    for symbol in ("k", "ɡ", "ŋ"):
        first, last = contact_x_mm(mid_hold(symbol))
        assert rear - 12 <= (first + last) / 2 <= rear + 10, symbol
        assert first > 30, symbol


def test_s_leaves_the_midline_open_at_the_ridge() -> None:
    """Row epg_s: sides sealed, no contact in the midline."""
    for symbol in ("s", "z"):
        near = place(mid_hold(symbol))
        assert 0.3 < near.gap_mm < 3.0
        low, high = size("alv").range
        assert low <= near.roof_x_mm <= high


def test_comparer_sees_a_planted_difference() -> None:
    one = posture("p")
    moved = section(adult_male(), one.with_parts(back_mm=float(one["back_mm"]) + 0.3))
    assert "tongue" in differing(section(adult_male(), one), moved)
    assert differing(held("p", "table"), held("m", "table")).keys() >= {"velum"}
    assert differing(held("t", "table"), held("k", "table"))
