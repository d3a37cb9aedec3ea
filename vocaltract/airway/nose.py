"""The tract with the way to the nose open: throat, mouth and nose meet where the soft palate hangs.

Without losses the three branches' susceptances at the meeting all rise with frequency, so between two
neighbouring infinities of any of them there is exactly one resonance: again none is missed. One shape at a time.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from articulators.curves import Array
from articulators.errors import BadInput
from vocaltract.airway import losses as lossy
from vocaltract.airway import resonance
from vocaltract.airway.losses import Complex, Losses, Medium
from vocaltract.airway.resonance import Formants

LOWEST_HZ = 1.0
SCAN_HZ = 4.0  # infinities of one branch lie hundreds of Hz apart


@dataclass(frozen=True)
class Branched:
    """Lengths (cm) and areas (cm2), each (n,), of throat (glottis to port), mouth and nose (port to opening).

    mouth_shut   the mouth is closed at its far end (a nasal consonant); its sections end at the closure
    """

    throat: tuple[Array, Array]
    mouth: tuple[Array, Array] | None
    nose: tuple[Array, Array]
    mouth_shut: bool


def nasal_tract(port_area_cm2: float, size: float = 1.0) -> tuple[Array, Array]:
    """Lengths and areas of the nose from the port to the nostrils, both sides together, of a head of a size.

    data/acoustics.toml has them for the adult man.
    """
    own = lossy.acoustics().nose
    area = np.array([port_area_cm2, *(size**2 * np.array(own.area_cm2[1:]))])
    return np.full(len(area), own.length_cm * size / len(area)), area


def branched(
    length_cm: ArrayLike, area_cm2: ArrayLike, port_cm: float, port_area_cm2: float, size: float = 1.0
) -> Branched:
    """A tract (n,) of two sections or more with a port to the nose about `port_cm` above the glottis.

    size: of the head beside the adult man's, by which the nose is larger.
    The port lies at the nearest end of a section. Where the mouth is shut (area 0) its part in front of the
    closure is left out. BadInput where the tract is shut below the port, the port is shut, or `port_cm` lies
    outside the tract.
    """
    length, area = resonance.checked_tract(length_cm, area_cm2)
    ends = np.cumsum(length)
    if not 0 < port_cm < ends[-1]:
        raise BadInput(f"the port lies {port_cm:g} cm above the glottis; allowed is between 0 and {ends[-1]:.2f} cm")
    if port_area_cm2 <= 0:
        raise BadInput(f"port area is {port_area_cm2:g} cm2; a way to the nose needs more than 0")
    at = int(np.clip(np.abs(ends - port_cm).argmin() + 1, 1, len(area) - 1))
    if np.any(area[:at] <= 0):
        raise BadInput("the tract is shut between the glottis and the port: nothing sounds above")
    closed = np.flatnonzero(area[at:] <= 0)
    stop = at + int(closed[0]) if len(closed) else len(area)
    mouth = (length[at:stop], area[at:stop]) if stop > at else None
    return Branched((length[:at], area[:at]), mouth, nasal_tract(port_area_cm2, size), bool(len(closed)))


def _ends(
    s: Complex, branch: tuple[Array, Array] | None, is_shut: bool, air: Medium, losses: Losses
) -> tuple[Complex, Complex]:
    """Pressure and flow at the port for one unit at the far end: of flow if open, of pressure if shut."""
    if branch is None:
        return np.ones_like(s), np.zeros_like(s)
    length, area = branch
    a, b, c, d = resonance.chain(s, length, area, air, losses)
    if is_shut:
        return a, c
    load = lossy.opening(s, area[-1:], air, losses)
    return a * load + b, c * load + d


def _parts(s: Complex, tract: Branched, air: Medium, losses: Losses) -> tuple[Complex, Complex, Complex]:
    """The denominator (flow at the glottis), and the pressures at the port of mouth and nose for unit ends."""
    _, _, c, d = resonance.chain(s, *tract.throat, air, losses)
    mouth_p, mouth_u = _ends(s, tract.mouth, tract.mouth_shut, air, losses)
    nose_p, nose_u = _ends(s, tract.nose, False, air, losses)
    return c * mouth_p * nose_p + d * (mouth_u * nose_p + nose_u * mouth_p), mouth_p, nose_p


def branched_transfer(
    frequency_hz: ArrayLike, tract: Branched, *, losses: Losses = lossy.ALL, sound_speed_cm_s: float | None = None
) -> Complex:
    """Flow that leaves mouth and nose together over flow at the glottis, (k,) at frequencies (k,) above 0 Hz."""
    s = 2j * np.pi * np.atleast_1d(np.asarray(frequency_hz, dtype=float))
    below, mouth_p, nose_p = _parts(s, tract, lossy.medium(sound_speed_cm_s), losses)
    out = mouth_p if tract.mouth_shut or tract.mouth is None else mouth_p + nose_p
    return out / below


def branched_formants(
    tract: Branched, *, losses: Losses = lossy.ALL, sound_speed_cm_s: float | None = None, count: int = 5
) -> Formants:
    """Resonances of the three branches together, (count,), with their bandwidths."""
    air = lossy.medium(sound_speed_cm_s)
    start = _hard_hz(tract, air, count + 2)
    found = resonance.followed(lambda s, share: _parts(s, tract, air, losses.scaled(share))[0], start)
    return Formants(found.frequency_hz[:count], found.bandwidth_hz[:count])


def _hard_hz(tract: Branched, air: Medium, count: int) -> Array:
    """Lossless resonances (count,) between the infinities of the branches' susceptances."""
    from scipy.optimize import brentq

    quiet = Losses(0.0, 0.0, 0.0, 1.0)

    def branches(hz: float | Array) -> list[tuple[Complex, Complex]]:
        s = 2j * np.pi * np.atleast_1d(hz)
        _, _, c, d = resonance.chain(s, *tract.throat, air, quiet)
        mouth = _ends(s, tract.mouth, tract.mouth_shut, air, quiet)
        return [(d, c), mouth, _ends(s, tract.nose, False, air, quiet)]

    def pressure(hz: float | Array, which: int) -> Array:
        value = branches(hz)[which][0]
        return np.asarray(value.real + value.imag)  # without losses it is real or imaginary throughout

    def susceptance(hz: float) -> float:
        return float(sum((flow / at).imag[0] for at, flow in branches(hz)))

    top = air.speed / (2 * tract.throat[0].sum()) * (count + 2)
    scan = np.arange(SCAN_HZ, top, SCAN_HZ)
    infinities = list(resonance.hard_hz(*tract.throat, air, count + 2))
    for which in (1, 2):
        values = pressure(scan, which)
        for i in np.flatnonzero(values[1:] * values[:-1] < 0):
            infinities.append(brentq(lambda f, w=which: float(pressure(f, w)[0]), scan[i], scan[i + 1]))
    borders = np.concatenate([[LOWEST_HZ], np.sort(infinities)])
    found: list[float] = []
    for low, high in pairwise(borders):
        inset = (high - low) * 1e-6
        a, b = low + inset, high - inset
        # the sum rises from minus to plus infinity; where it seems not to, its zero lies closer to a border than a or b
        if high - low < 1e-6 or susceptance(a) >= 0:
            found.append(a)
        elif susceptance(b) <= 0:
            found.append(b)
        else:
            found.append(brentq(susceptance, a, b))
        if len(found) == count:
            break
    return np.array(found)
