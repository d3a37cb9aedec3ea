"""From constraints to a posture: the tongue shape on a given head that meets a target with least effort.

Least squares over the tongue's shape modes. What is asked: the clearance at each place, open air elsewhere,
the tongue's area kept, a free throat; what is preferred: small amplitudes and a smooth surface. Clearances are
first taken on the plain outline, then corrected to what the rounded outline, which is drawn, really has.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from msgspec.structs import asdict
from scipy.optimize import least_squares

from articulators import jaw, tongue
from articulators.curves import Array, Bools
from articulators.head import Head
from articulators.outlines import fixed
from articulators.posture import Posture, parts, posture_from, posture_of
from vocaltract.phonetics.places import degree_mm, lip_posture, places, stretch
from vocaltract.phonetics.shipped import starting
from vocaltract.phonetics.sized import consonant_wishes, parts_on, target_on
from vocaltract.phonetics.sonorants import sonorant_rows
from vocaltract.phonetics.surfaces import Surfaces, clearance_mm, near_clearance_mm, surfaces, thinned
from vocaltract.phonetics.targets import Target

SOLVER_VERSION = 6
MODES = ("root_mm", "rear_mm", "back_mm", "front_mm", "blade_mm", "body_forward_mm", "tip_up_mm", "tip_forward_mm")
THIN_EVERY = 3  # of the stations outside windows
SLOPE_STEP_MM, HEARD_STEP_MM = 0.02, 0.04
TRIAL_ROUNDS, LAST_ROUNDS, CORRECTIONS = 9, 40, 3
HEARD_ROUNDS = 40  # of a search that asks for formants, which costs some fifty times as much a round


@dataclass(frozen=True)
class Window:
    """A stretch of the still side that the tongue is to come near: stations (n,) and the clearance asked there."""

    stations: Bools
    degree_mm: float
    surface: str
    first: float
    last: float


def stated_parts(target: Target, size: float) -> dict[str, float]:
    """What a target of a head states outright in a mouth of a size: lips, jaw, velum, sides, curl, larynx.

    The glottis is the timeline's.
    """
    return {
        **asdict(lip_posture(target.lips, size)),
        "jaw_mm": target.jaw_mm,
        "velum": places().velum.lowered_by[target.velum],
        "sides_open": places().sides.lowered_by[target.sides],
        "curl_deg": target.curl_deg,
        "larynx_mm": target.larynx_mm,
        "epiglottis": places().epiglottis.folded_by[target.degree] if target.active == "epiglottis" else 0.0,
    }


def solve(target: Target, head: Head) -> Posture:
    """The posture that meets a target; the tongue is neutral where the target leaves it free.

    Deterministic: the same target, head and library versions give the same numbers.
    """
    target = target_on(target, head)
    still = surfaces(head, places().velum.lowered_by[target.velum])
    windows: list[Window] = []
    if "tongue" not in target.free:
        windows.append(_window(head, still, target.place, target.degree, target.shift_mm))
    if target.second_place:
        windows.append(_window(head, still, target.second_place, target.second_degree, 0.0))
    return _solve(target, head, still, windows)


def _window(head: Head, still: Surfaces, place: str, degree: str, shift_mm: float) -> Window:
    at = stretch(head, place)
    moved = shift_mm if at.surface == "roof" else 0.0
    first, last = at.first + moved, at.last + moved
    return Window(still.within(at.surface, first, last), degree_mm(degree, head.size), at.surface, first, last)


def _solve(target: Target, head: Head, still: Surfaces, windows: list[Window]) -> Posture:
    own = consonant_wishes(head)
    base = posture_of(**stated_parts(target, head.size)).values
    yields = {name: own.sonorant.allowance_of[name] for name in target.yields}
    columns = [i for i, p in enumerate(parts()) if p.name in MODES or p.name in yields]
    names = [parts()[i].name for i in columns]
    modes = [k for k, name in enumerate(names) if name in MODES]
    beside = [k for k, name in enumerate(names) if name in yields]
    allowance = np.array([yields[names[k]] for k in beside])
    low = np.array([parts()[i].low for i in columns])
    high = np.array([parts()[i].high for i in columns])
    if "aperture_mm" in names:
        low[names.index("aperture_mm")] = lip_posture("near", head.size).aperture_mm  # lips that yield do not hiss
    kept, groups, others = _chosen(still, windows, own.window_edge_mm)
    stations = still.points[kept]
    correction = np.zeros(len(stations))
    shift = np.zeros(len(windows))
    asked = _asked(target, head, windows)
    def met(over: Array) -> Array:
        """A window is met all along; where formants shape the rest of the tongue, at its nearest point."""
        if target.formants_hz:
            return own.place * own.sonorant.place * over.min(axis=-1, keepdims=True)
        return own.place * over / np.sqrt(over.shape[-1])

    nearest = max((w.degree_mm for w in windows), default=0.0) + own.sonorant.elsewhere_mm
    on_roof = np.isnan(still.wall_y_mm[kept][others])
    heard_rows = sonorant_rows(target, head) if target.formants_hz else None

    def postures(amplitudes: Array) -> Posture:
        values = np.broadcast_to(base, (*amplitudes.shape[:-1], base.shape[-1])).copy()
        values[..., columns] = amplitudes
        return Posture(values)

    def residuals(amplitudes: Array, listening: bool) -> Array:
        posture = postures(amplitudes)
        ring = tongue.unyielding(head, posture)
        if listening:
            clear = clearance_mm(head, posture, stations)
        else:
            clear = near_clearance_mm(thinned(ring), stations) + correction
        wish = [met(clear[..., g] - w.degree_mm - s) for g, w, s in zip(groups, windows, shift, strict=True)]
        wish.append(own.clear * np.minimum(clear[..., others] - own.clear_mm, 0))
        wish += asked(amplitudes[..., modes], ring)
        wish.append((amplitudes - base[columns])[..., beside] / allowance)
        if listening and heard_rows:
            wish.append(own.sonorant.elsewhere * np.minimum(clear[..., others][..., on_roof] - nearest, 0))
            wish.append(heard_rows(posture))
        return np.concatenate(wish, axis=-1)

    def jacobian(x: Array, listening: bool) -> Array:
        step = HEARD_STEP_MM if listening else SLOPE_STEP_MM
        steps = np.where(x + step > high, -step, step)
        values = residuals(np.concatenate([x[None], x + steps[:, None] * np.eye(len(x))]), listening)
        return ((values[1:] - values[0]) / steps[:, None]).T

    def improved(start: Array, rounds: int, listening: bool = False) -> tuple[Array, float]:
        fine = {"xtol": 1e-4, "ftol": 1e-4} if listening else {"xtol": 1e-5, "ftol": 1e-6}
        found = least_squares(
            residuals, start, jac=jacobian, bounds=(low, high), x_scale=4.0 * head.size, max_nfev=rounds,
            args=(listening,), **fine,
        )  # fmt: skip
        return found.x, float(found.cost)

    if target.start:
        begun = [posture_of(**parts_on(starting(target.start), head)).values[columns]]
    else:
        begun = [_placed(s, [names.index(n) for n in MODES], base[columns]) for s in _starts(windows, MODES, head.size)]
    starts = [np.clip(start, low + 1e-6, high - 1e-6) for start in begun]
    best = starts[0]
    if not target.start:
        rounds = TRIAL_ROUNDS if len(starts) > 1 else LAST_ROUNDS
        best = min((improved(s, rounds) for s in starts), key=lambda f: f[1])[0]
        best = improved(best, LAST_ROUNDS)[0]
    if target.formants_hz:
        best = improved(best, HEARD_ROUNDS, listening=True)[0]
    for _ in range(CORRECTIONS if windows and not target.formants_hz else 0):
        # what the rounding of the drawn outline adds or takes, and what the narrowest point of a window still lacks
        drawn = clearance_mm(head, postures(best), stations)
        correction = drawn - near_clearance_mm(thinned(tongue.unyielding(head, postures(best))), stations)
        shift += [_lack(drawn[g], w.degree_mm) for g, w in zip(groups, windows, strict=True)]
        best = improved(best, LAST_ROUNDS // 2)[0]
    values = base.copy()
    values[columns] = np.round(best, 3)
    return posture_from(values)


def _placed(amplitudes: Array, at: list[int], base: Array) -> Array:
    """A start in all that yields: the modes' amplitudes at their columns, the rest as the target states it."""
    out = base.copy()
    out[at] = amplitudes
    return out


def _lack(drawn_mm: Array, degree_mm: float) -> float:
    """How much the whole window has to move for its narrowest point to be as near as asked."""
    return float(np.clip(degree_mm - drawn_mm.min(), -1.5, 1.5))


def _chosen(still: Surfaces, windows: list[Window], edge_mm: float) -> tuple[Bools, list[Bools], Bools]:
    """Which stations are looked at: all in windows, every third elsewhere; then windows and elsewhere among these."""
    taken = np.zeros(len(still.points), dtype=bool)
    near = taken.copy()
    for window in windows:
        taken |= window.stations
        apart = np.linalg.norm(still.points[:, None] - still.points[window.stations][None], axis=-1).min(axis=1)
        near |= apart <= edge_mm
    thin = np.zeros_like(taken)
    thin[::THIN_EVERY] = True
    kept = taken | (thin & ~near)
    return kept, [w.stations[kept] for w in windows], (thin & ~near)[kept]


def _asked(target: Target, head: Head, windows: list[Window]) -> Callable[[Array, Array], list[Array]]:
    """What a target asks besides its places: (amplitudes (..., modes), outline (..., m, 2)) -> rows (..., k)."""
    own = consonant_wishes(head)
    rest_area = tongue.rest_mass_area_mm2(head)
    rest_line = tongue.rest_surface(head).surface
    wall = fixed(head, "rear_wall")
    far_back = any(w.surface != "roof" for w in windows)
    efforts = {**own.effort_of_mm, **(own.effort_far_back_mm if far_back else {})}
    effort = np.array([efforts.get(n, own.effort_mm) for n in MODES])
    free_area = own.area_free_per_cent
    rim = float(jaw.carry(head, fixed_jaw(head), np.asarray(target.jaw_mm))[:, 1].max())
    low_tip = np.array([own.low_tip_x_mm, rim + own.low_tip_above_rim_mm])
    roof = surfaces(head, places().velum.lowered_by[target.velum])
    drops = [roof.points[int(np.nanargmin(np.abs(roof.x_mm - x)))] for x in own.drop_at_mm]
    asked, throat = target.throat_mm or own.throat_mm, own.throat_asked if target.throat_mm else own.throat
    in_throat = any(w.surface == "wall" for w in windows)
    levels = () if in_throat else throat.levels_mm

    def rows(amplitudes: Array, ring: Array) -> list[Array]:
        line = ring[..., : tongue.SURFACE_POINTS, :]
        wish = []
        if target.body_drop_mm:
            for at, drop in zip(drops, target.body_drop_mm, strict=False):
                wish.append(own.drop * (near_clearance_mm(thinned(ring), at[None]) - drop))
        off = (_area(ring) / rest_area - 1)[..., None] * 100
        wish.append(own.area_per_cent * (off - np.clip(off, -free_area, free_area)))
        bend = np.diff((line - rest_line)[..., ::8, :], n=2, axis=-2)
        wish.append(own.bend * target.smooth * bend.reshape(*bend.shape[:-2], -1))
        wish.append(own.effort * amplitudes / effort)
        for y in levels:
            i = np.argmin(np.abs(line[..., : tongue.SURFACE_POINTS // 2, 1] - y), axis=-1)
            x = np.take_along_axis(line[..., 0], i[..., None], -1)
            wish.append(throat.weight * (float(np.interp(y, wall[::-1, 1], wall[::-1, 0])) - x - asked))
        tip = line[..., -1, :]
        if target.tip == "low":
            wish.append((tip - low_tip) * np.array(own.low_tip))
        if target.tip_at_mm:
            wish.append(own.tip * (tip - np.array(target.tip_at_mm)))
        turned = np.abs(tongue.turns_deg(line, own.corner_span_mm, own.corner_tip_mm))
        wish.append(own.corner * np.maximum(turned - own.corner_deg, 0))
        return wish

    return rows


def fixed_jaw(head: Head) -> Array:
    """Landmarks (n, 2) of the lower incisor with the jaw shut."""
    return head.jaw.lower_incisor


def _area(ring: Array) -> Array:
    x, y = ring[..., 0], ring[..., 1]
    return np.abs((x * np.roll(y, -1, -1) - y * np.roll(x, -1, -1)).sum(axis=-1)) / 2


def _starts(windows: list[Window], names: tuple[str, ...], size: float) -> list[Array]:
    """Where to begin in a mouth of a size, one for each basin that a place may have."""

    def vector(**amplitudes: float) -> Array:
        return size * np.array([amplitudes.get(n, 0.0) for n in names])

    if not windows:
        return [vector()]
    if len(windows) == 2:
        return [vector(root_mm=8, back_mm=12, front_mm=-4, blade_mm=6, tip_up_mm=10)]
    window = windows[0]
    if window.surface == "wall":
        return [vector(root_mm=-8, rear_mm=4), vector(root_mm=-6, rear_mm=8, body_forward_mm=-4, back_mm=-4)]
    if window.surface == "velum":
        return [vector(root_mm=2, rear_mm=6, back_mm=16), vector(rear_mm=8, back_mm=12, body_forward_mm=-6)]
    if window.first > 40 * size:
        return [vector(root_mm=8, back_mm=12, front_mm=4), vector(root_mm=4, back_mm=15)]
    if window.first > 20 * size:
        return [vector(root_mm=10, front_mm=9, back_mm=3), vector(root_mm=8, back_mm=8, front_mm=8)]
    return [
        vector(root_mm=4, blade_mm=6, tip_up_mm=8),
        vector(root_mm=4, front_mm=-4, blade_mm=6, tip_up_mm=11, tip_forward_mm=2),
    ]
