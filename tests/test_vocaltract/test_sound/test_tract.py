"""What is heard of a source, against the acoustics of plain tubes."""

from __future__ import annotations

import numpy as np
import pytest

from articulators.curves import Array
from vocaltract.sound.tract import Tract, exits, met_share, responses

HZ = np.arange(50.0, 9000.0, 10.0)
C_CM_S = 35000.0


def tube(area_cm2: Array, hiss_at: int, *, port_cm2: float = 0.0, lips: int = 1) -> Tract:
    """One tract of 40 sections, 17.5 cm long, with its folds nearly shut."""
    one = np.ones(1)
    lips_at = np.arange(40)[None] >= 40 - lips
    return Tract(
        one * 17.5 / 40,
        area_cm2[None],
        one * 0.001,
        one * 800.0,
        np.array([20]),
        one * port_cm2,
        np.array([hiss_at]),
        lips_at,
    )


def peaks_hz(response: Array) -> Array:
    level = np.abs(response)
    return HZ[1:-1][(level[1:-1] > level[:-2]) & (level[1:-1] > level[2:])]


def test_an_even_tube_sounds_at_odd_quarters() -> None:
    """A tube shut at one end and open at the other: c (2n - 1) / 4 L, lowered by the air in front of its opening."""
    found = peaks_hz(responses(tube(np.full(40, 3.0), 40), 2j * np.pi * HZ).voice[0])[:4]
    length = 17.5 + 0.8 * np.sqrt(3 / np.pi)  # end correction, Rayleigh (1896)
    assert found == pytest.approx(C_CM_S * (2 * np.arange(1, 5) - 1) / (4 * length), rel=0.04)


def test_a_hiss_sounds_in_the_cavity_in_front_of_it() -> None:
    """Noise behind a narrow place is coloured by what lies ahead: c / 4 L of the front cavity (Stevens 1998)."""
    area = np.full(40, 3.0)
    area[30:32] = 0.05
    found = responses(tube(area, 32), 2j * np.pi * HZ).hiss[0]
    ahead = 8 * 17.5 / 40 - 0.6 * 17.5 / 40 + 0.8 * np.sqrt(3 / np.pi)  # of the lips' section 40 % count
    looked = (HZ > 1000) & (HZ < 4000)  # below, the whole tract behind sounds through the narrow place
    strongest = HZ[looked][np.argmax(np.abs(found[looked]))]
    assert strongest == pytest.approx(C_CM_S / (4 * ahead), rel=0.12)


def test_a_shut_mouth_lets_next_to_nothing_out_but_a_hum() -> None:
    area = np.full(40, 3.0)
    open_mouth = responses(tube(area, 40), 2j * np.pi * HZ).voice[0]
    shut = area.copy()
    shut[30:32] = 2e-4
    hum = responses(tube(shut, 32), 2j * np.pi * HZ).voice[0]
    low, high = HZ < 300, HZ > 1500
    assert np.mean(np.abs(hum[high])) < 0.01 * np.mean(np.abs(open_mouth[high]))
    assert np.mean(np.abs(hum[low])) > 0.01 * np.mean(np.abs(open_mouth[low]))


def test_an_open_port_sounds_through_the_nose_of_a_shut_mouth() -> None:
    """A nasal has its first resonance near 300 Hz (Fant 1960) and far more sound than a stop."""
    area = np.full(40, 3.0)
    area[38:] = 2e-4
    stop, nasal = (responses(tube(area, 40, port_cm2=port), 2j * np.pi * HZ).voice[0] for port in (0.0, 1.0))
    assert 200 < peaks_hz(nasal)[0] < 500
    assert np.abs(nasal).max() > 10 * np.abs(stop[HZ > 250]).max()


def test_nothing_jumps_as_a_place_shuts() -> None:
    area, heard = np.full(40, 3.0), []
    for least in np.geomspace(0.3, 2e-4, 40):
        area[30] = least
        heard.append(20 * np.log10(np.abs(responses(tube(area, 31), 2j * np.pi * HZ[::50]).voice[0])))
    assert np.abs(np.diff(heard, axis=0)).max() < 12


def test_air_hisses_where_the_narrowest_place_ends() -> None:
    areas = np.full((3, 10), 2.0)
    areas[0, 4:6], areas[1, 8:], areas[2, 1] = 0.1, 0.1, 0.01
    assert exits(areas, 0).tolist() == [6, 10, 2]
    assert exits(areas, 3)[2] != 2  # below the third section no place counts


def test_a_jet_that_meets_the_teeth_is_the_louder() -> None:
    """Shadle (1990): an obstacle 1 to 3 cm ahead adds 10 to 20 dB; at the teeth, as for θ, there is none."""
    at_teeth, behind = (met_share(tube(np.full(40, 3.0), at, lips=4))[0] for at in (37, 33))
    assert 10 <= 20 * np.log10(behind / at_teeth) <= 28
