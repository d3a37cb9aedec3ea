"""What of a source is heard outside: the tract from the windpipe to lips, nostrils and skin, at many moments at once.

Flows and pressures go from the lips back to the folds section by section, so that they are known at every place; what
lies behind a place is gone through the other way. Units are cgs, as in `vocaltract.airway.losses`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from articulators.curves import Array, Bools, Indices
from vocaltract.airway import losses as lossy
from vocaltract.airway.air import speech_air
from vocaltract.airway.losses import ALL, Complex, Losses, acoustics
from vocaltract.airway.nose import nasal_tract
from vocaltract.sound.sound_rules import sound_rules
from vocaltract.sound.sources import DYN_CM2_PER_PA


@dataclass(frozen=True)
class Tract:
    """The tract at moments (m,), in n sections of equal length from the folds to the lips.

    section_cm   (m,) length of a section          area_cm2   (m, n), above 0
    glottis_cm2  (m,) opening between the folds    across_pa  (m,) pressure across them
    port_at      (m,) section that begins where the nose branches off     port_cm2  (m,) opening to the nose
    hiss_at      (m,) section at whose beginning air hisses, 1..n; n is the opening of the lips
    lips_at      (m, n) True between the lips
    """

    section_cm: Array
    area_cm2: Array
    glottis_cm2: Array
    across_pa: Array
    port_at: Indices
    port_cm2: Array
    hiss_at: Indices
    lips_at: Bools


@dataclass(frozen=True)
class Responses:
    """Flow outside (m, k) for one unit of flow at the folds, of pressure there, of pressure and of flow at the hiss."""

    voice: Complex
    breath: Complex
    hiss: Complex
    let_go: Complex


@dataclass(frozen=True)
class _Sections:
    """Per section (m, k, n) of the tract: cosh and sinh of its spread, the latter times and over its impedance."""

    same: Complex
    by: Complex
    over: Complex

    def towards_the_folds(self, i: int, p: Complex, u: Complex) -> tuple[Complex, Complex]:
        """Pressure and flow (m, k) at the near end of section i from those at its far end."""
        same = self.same[..., i]
        return same * p + self.by[..., i] * u, self.over[..., i] * p + same * u


def responses(tract: Tract, s: Complex) -> Responses:
    """How each source is heard at complex frequencies s (k,), in 1/s."""
    air = lossy.medium()
    parts = _sections(tract, s)
    count = tract.area_cm2.shape[1]
    nose_in, nose_out = _nose(tract.port_cm2, s)
    p = lossy.opening(s, tract.area_cm2[:, -1:], air, ALL)
    u = np.ones_like(p)
    skin, nose = np.zeros_like(p), np.zeros_like(p)
    wall = _wall(tract, s)
    for i in range(count - 1, -1, -1):
        p, u = parts.towards_the_folds(i, p, u)
        skin += p * wall[..., i]
        branches = tract.port_at == i
        if branches.any():
            nose[branches] = p[branches] * nose_out[branches]
            u[branches] += p[branches] * nose_in[branches]
    below = _below(tract, s)
    ahead, onward = _ahead(tract, s, parts)
    behind = _behind(tract, parts, nose_in, below)
    out = 1 + nose + sound_rules().walls.skin_share * skin
    breath = out / (p + below * u)
    return Responses(below * breath, breath, 1 / (ahead + behind * onward), 1 / onward)


def _sections(tract: Tract, s: Complex) -> _Sections:
    series, shunt = lossy.series_and_shunt(s[:, None], tract.area_cm2[:, None, :], lossy.medium(), ALL)
    spread = np.sqrt(series * shunt)
    grown = np.exp(spread * tract.section_cm[:, None, None])
    back = 1 / grown
    impedance = series / spread
    change = (grown - back) / 2
    same = np.asarray((grown + back) / 2, dtype=np.complex128)
    return _Sections(same, change * impedance, change / impedance)


def _wall(tract: Tract, s: Complex) -> Complex:
    """Admittance (m, k, n) of the walls of each section."""
    own = acoustics().walls
    around = 2 * np.sqrt(np.pi * tract.area_cm2) * tract.section_cm[:, None]
    return np.asarray(around[:, None, :] / (own.mass_g_cm2 * s + own.resistance)[:, None])


def _nose(port_cm2: Array, s: Complex) -> tuple[Complex, Complex]:
    """Flow into the nose and flow out of the nostrils (m, k), each for one unit of pressure at the port."""
    length, area = nasal_tract(1.0)
    rubbed = replace(ALL, friction=sound_rules().nose.folded)
    p = lossy.opening(s, area[-1:], lossy.medium(), ALL)
    u = np.ones_like(p)
    for i in range(len(area) - 1, 0, -1):
        p, u = _across(p, u, s, float(length[i]), area[i : i + 1], rubbed)
    p, u = _across(p, u, s, float(length[0]), np.maximum(port_cm2, sound_rules().tube.shut_cm2)[:, None], rubbed)
    return u / p, 1 / p


def _across(
    p: Complex, u: Complex, s: Complex, length: Array | float, area: Array, losses: Losses = ALL
) -> tuple[Complex, Complex]:
    """Pressure and flow at the near end of a section from those at its far end."""
    series, shunt = lossy.series_and_shunt(s, area, lossy.medium(), losses)
    spread = np.sqrt(series * shunt)
    same, change, impedance = np.cosh(spread * length), np.sinh(spread * length), series / spread
    return same * p + change * impedance * u, change / impedance * p + same * u


def _below(tract: Tract, s: Complex) -> Complex:
    """Impedance (m, k) of the folds' opening and the windpipe behind it."""
    own, air = sound_rules().below, lossy.medium()
    meeting = np.minimum(tract.glottis_cm2, speech_air().glottis.voicing_area_cm2)
    area = np.maximum(tract.glottis_cm2 - own.unloading_share * meeting, sound_rules().tube.shut_cm2)[:, None]
    speed = np.sqrt(2 * np.abs(tract.across_pa)[:, None] * DYN_CM2_PER_PA / air.density)
    resistance = air.density * speed / area + air.density * air.speed / own.windpipe_cm2
    return np.asarray(resistance + s * air.density * own.folds_thick_cm / area)


def _ahead(tract: Tract, s: Complex, parts: _Sections) -> tuple[Complex, Complex]:
    """Pressure and flow (m, k) at the place of the hiss for one unit of flow out of the lips.

    Open lips end the tract the farther back the shorter the wave; nothing but hiss has waves so short.
    """
    share = np.where(tract.lips_at, sound_rules().lips.hiss_share, 1.0)
    p = lossy.opening(s, tract.area_cm2[:, -1:], lossy.medium(), ALL)
    u = np.ones_like(p)
    found = p.copy(), u.copy()
    for i in range(tract.area_cm2.shape[1] - 1, int(tract.hiss_at.min()) - 1, -1):
        if tract.lips_at[:, i].any():
            p, u = _across(p, u, s, (tract.section_cm * share[:, i])[:, None], tract.area_cm2[:, i : i + 1])
        else:
            p, u = parts.towards_the_folds(i, p, u)
        here = tract.hiss_at == i
        found[0][here], found[1][here] = p[here], u[here]
    return found


def _behind(tract: Tract, parts: _Sections, nose_in: Complex, below: Complex) -> Complex:
    """Impedance (m, k) that the place of the hiss sees towards the folds."""
    p, u = below, -np.ones_like(below)  # flow counts towards the lips
    found = below.copy()
    for i in range(int(tract.hiss_at.max())):
        branches = tract.port_at == i
        if branches.any():
            u[branches] -= p[branches] * nose_in[branches]
        p, u = (
            parts.same[..., i] * p - parts.by[..., i] * u,
            parts.same[..., i] * u - parts.over[..., i] * p,
        )
        here = tract.hiss_at == i + 1
        if here.any():
            found[here] = -p[here] / u[here]
    return found


def met_share(tract: Tract) -> Array:
    """How much of the noise (m,) a jet makes that meets an obstacle in full."""
    behind_cm = (np.argmax(tract.lips_at, axis=1) - tract.hiss_at) * tract.section_cm
    return np.interp(behind_cm, *np.transpose(sound_rules().obstacle.share_at_cm))


def exits(least_cm2: Array, from_section: int) -> Indices:
    """Section (m,) that begins where the narrowest part of areas (m, n) ends; what lies below a section is no place."""
    count = least_cm2.shape[1]
    from_there = np.where(np.arange(count) < from_section, np.inf, least_cm2)
    narrowest = np.argmin(from_there, axis=1)
    own, least = sound_rules().tube, from_there.min(axis=1)
    wider = (from_there > (own.as_narrow * least + own.shut_cm2)[:, None]) & (np.arange(count) > narrowest[:, None])
    return np.asarray(np.where(wider.any(axis=1), np.argmax(wider, axis=1), count))
