"""Air behind and through the openings: pressure by the gas law with wall give, flow by the orifice law.

One cavity between the folds and the openings of mouth and nose; how much air it takes up per pressure depends on
which organ shuts it. Holds for the slow pressures and flows of speech (below about 50 Hz); sound itself is not
modelled here.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from articulators.curves import Array, Bools
from vocaltract.airway.air import Organ, speech_air
from vocaltract.airway.gaps import Gaps
from vocaltract.airway.limits import airway_limits

CM2_TO_M2 = 1e-4
CM3_TO_M3 = 1e-6
M3_TO_ML = 1e6
CLOSE_PA = 1e-7


@dataclass(frozen=True)
class Openings:
    """Areas in cm2, each (n,): glottis, mouth (its narrowest place) and port to the nose."""

    glottis: Array
    mouth: Array
    port: Array


@dataclass(frozen=True)
class Air:
    """Air at times (n,).

    pressure_pa      above the folds, over the outside          mouth_ml_s, nose_ml_s   flows out
    share            pressure over lung pressure, 0..1          glottis_ml_s            flow through the folds
    glottis_cm2      opening between the folds, as far as the air blows them apart
    """

    pressure_pa: Array
    share: Array
    mouth_ml_s: Array
    nose_ml_s: Array
    glottis_ml_s: Array
    glottis_cm2: Array


def beside_tongue_cm2(sides_open: Array) -> Array:
    """Area of both ways beside the tongue together, for how far its sides are lowered (0..1).

    Sides that are hardly lowered still touch the teeth: a midline contact is airtight until then.
    """
    shut = airway_limits().sides.open_from
    parted = np.clip((np.asarray(sides_open) - shut) / (1 - shut), 0, 1)
    return np.asarray(speech_air().opening.beside_tongue_cm2 * parted)


def openings(gaps: Gaps, glottis_mm: Array, sides_open: Array) -> Openings:
    """Areas from the gaps measured on the section (see data/air.toml for the rules and their sources)."""
    table = speech_air().opening
    beside = beside_tongue_cm2(sides_open)
    coronal = table.coronal_width_cm * gaps.coronal / 10 + beside
    dorsal = table.dorsal_alpha * (gaps.dorsal / 10) ** 1.5 + beside
    lips = table.lips_width_cm * np.minimum(gaps.lips, gaps.teeth) / 10
    throat = table.throat_width_cm * np.minimum(gaps.throat, gaps.leaf) / 10 * np.pi / 4
    mouth = np.minimum(np.minimum(coronal, dorsal), np.minimum(lips, throat))
    folds = speech_air().glottis
    area = np.maximum(folds.voicing_area_cm2, glottis_mm * folds.length_mm / 2 / 100)
    return Openings(area, mouth, table.port_width_cm * gaps.port / 10)


def flow_ml_s(area_cm2: Array | float, drop_pa: Array | float) -> Array:
    """Orifice law: flow through an area at a pressure drop, signed as the drop."""
    density = speech_air().air.density_kg_m3
    speed = np.sqrt(2 * np.abs(drop_pa) / density)
    return np.sign(drop_pa) * np.asarray(area_cm2) * CM2_TO_M2 * speed * M3_TO_ML


def compliance_m3_pa(organ: Organ, hard: bool = False, enlarged: float = 1.0) -> float:
    """How much more air the cavity behind a closure holds per pressure, in m3 / Pa: the gas law and the walls' give.

    organ     which organ shuts the mouth: "lips", "coronal" or "dorsal" (the farther back, the smaller the cavity)
    hard      walls that do not give: the gas law alone
    enlarged  factor on the walls' give, above 1 where the cavity is enlarged on purpose
    """
    law, cavity = speech_air().air, speech_air().cavity.behind[organ]
    gas = cavity.volume_cm3 * CM3_TO_M3 / (law.density_kg_m3 * law.sound_m_s**2)
    if hard:
        return float(gas)
    stiffness = speech_air().walls.stiffness_pa_m
    return float(gas + enlarged * cavity.yielding_cm2 * CM2_TO_M2 / stiffness)


def breathe(times_s: Array, areas: Openings, lung_pa: Array, compliance: Array | float | None = None) -> Air:
    """Pressure and flows (n,) at rising times (n,) for openings and lung pressure given at those times.

    compliance   (n,) or one value, in m3 / Pa (see `compliance_m3_pa`); by default that of a mouth shut by the tip

    Backward Euler on the cavity's volume balance, so that wide openings need no small steps. Folds that touch are
    blown apart less far by less pressure: their mean opening goes with its root, so that their flow goes with it.
    """
    law = speech_air().air
    if compliance is None:
        compliance = compliance_m3_pa("coronal")
    give = np.broadcast_to(np.asarray(compliance, dtype=float), (len(times_s),))
    root = np.sqrt(2 / law.density_kg_m3) * CM2_TO_M2
    n = len(times_s)
    pressure = np.zeros(n)
    out_area = areas.mouth + areas.port
    steps = np.diff(times_s, prepend=times_s[0]) / give
    touching = areas.glottis <= speech_air().glottis.voicing_area_cm2
    full = law.lung_pressure_pa
    blown = np.ones(n)
    p = _balance(lung_pa[0], areas.glottis[0], out_area[0])
    columns = steps, areas.glottis * root, out_area * root, lung_pa, touching
    for i, (step, inlet, outlet, lung, touch) in enumerate(zip(*(c.tolist() for c in columns), strict=True)):
        if touch:
            blown[i] = min(abs(lung - p) / full, 1.0) ** 0.5
        p = _implicit(p, step, inlet * blown[i], outlet, lung)
        pressure[i] = p
    glottis = areas.glottis * blown
    return Air(
        pressure_pa=pressure,
        share=np.clip(pressure / full, 0, 1),
        mouth_ml_s=flow_ml_s(areas.mouth, pressure),
        nose_ml_s=flow_ml_s(areas.port, pressure),
        glottis_ml_s=flow_ml_s(glottis, lung_pa - pressure),
        glottis_cm2=glottis,
    )


def phonation(able: Bools, across_pa: Array) -> Bools:
    """Whether the folds vibrate (n,): set for it, and the pressure across them suffices.

    able        (n,) folds set for voice and near enough
    across_pa   (n,) pressure below them less pressure above

    Voice starts above one pressure and goes on down to a lower one (data/air.toml, [glottis]).
    """
    limits = speech_air().glottis
    state = np.where(able & (across_pa > limits.starts_pa), 1, 0)
    state[~able | (across_pa <= limits.threshold_pa)] = -1
    known = np.where(state != 0, np.arange(len(state)), 0)
    return np.asarray(state[np.maximum.accumulate(known)] > 0)


def felt(voice: Array, pressure_pa: Array, areas: Openings) -> tuple[Array, Array]:
    """Vibration as a hand feels it, each (n,) in 0..1: on the throat, and at the contact or narrow place of the mouth.

    It goes with the voice and grows with the pressure that builds up behind a closure, so that in a voiced stop it is
    strongest late in the hold. At an open mouth no contact is felt.
    """
    table = speech_air().felt
    built = np.clip(pressure_pa / table.full_pa, 0, 1)
    throat = voice * (table.throat_open + (1 - table.throat_open) * built)
    near = np.clip(1 - areas.mouth / table.open_cm2, 0, 1)
    return throat, voice * near * (table.contact_least + (1 - table.contact_least) * built)


def _balance(lung: float, inlet: float, outlet: float) -> float:
    """Steady pressure between two orifices in series."""
    return float(lung * inlet**2 / max(inlet**2 + outlet**2, 1e-12))


def _implicit(old: float, step: float, inlet: float, outlet: float, lung: float) -> float:
    """The p that solves p = old + step * (inlet sqrt(lung - p) - outlet sqrt(p)): a rising residual, found by Newton
    steps, and by halving where one of them would leave the bracket."""
    low, high = min(0.0, old, lung), max(old, lung, 0.0)
    p = old
    for _ in range(60):
        above, below = abs(lung - p) ** 0.5, abs(p) ** 0.5
        flow = inlet * math.copysign(above, lung - p) - outlet * math.copysign(below, p)
        rest = p - old - step * flow
        if rest > 0:
            high = p
        else:
            low = p
        if high - low < CLOSE_PA or rest == 0:
            break
        slope = 1 + 0.5 * step * (inlet / max(above, 1e-9) + outlet / max(below, 1e-9))
        following = p - rest / slope
        if not low < following < high:
            following = (low + high) / 2
        if abs(following - p) < CLOSE_PA:
            return following
        p = following
    return p
