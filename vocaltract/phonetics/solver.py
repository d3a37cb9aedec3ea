"""From constraints to a posture: the tongue shape on a given head that meets a target with least effort.

Least squares over the tongue's shape modes. What is asked: the clearance at the place, open air elsewhere,
the tongue's area kept, a free throat; what is preferred: small amplitudes and a smooth surface.
"""

from __future__ import annotations

import numpy as np
import shapely
from scipy.optimize import least_squares

from articulators import contact, tongue
from articulators.curves import Array, arc_length, resample
from articulators.head import Head
from articulators.posture import Posture, parts, posture_from, posture_of
from articulators.section import section
from vocaltract.phonetics.targets import Target, quantity

VERSION = 2
MODES = ("root_mm", "rear_mm", "back_mm", "front_mm", "blade_mm", "body_forward_mm", "tip_up_mm", "tip_forward_mm")
STATION_MM = 1.0

# How much one unit of each wish counts. Design choices of the solver, not phonetic facts.
PLACE_WEIGHT = 3.0
AREA_WEIGHT_PER_CENT = 1.5
AREA_FREE_PER_CENT = 2.6
CLEAR_WEIGHT = 1.2
BEND_WEIGHT = 9.0
EFFORT_MM = {"rear_mm": 5.0, "body_forward_mm": 4.5, "tip_forward_mm": 5.5}
EFFORT_DEFAULT_MM = 14.0
ROOT_WEIGHT = 0.25
ROOT_ASKED_WEIGHT = 0.30
CLEARANCE_ELSEWHERE_MM = 2.2
THROAT_MM = 15.0
LOW_TIP_BELOW_RIM_MM = -1.0
LOW_TIP_X_MM = 12.5
TIP_WEIGHT = 0.9


def roof(head: Head, velum: float) -> Array:
    """Upper surface of the mouth (n, 2) in mm, from the upper incisor's edge along palate and soft palate to the uvula."""
    one = posture_of(velum=velum, jaw_mm=8.0)
    soft = section(head, one)["velum"]
    tip = int(np.argmin(soft[:, 1]))
    tooth = np.array([[0.4, 0.2], [2.2, 1.5], [4.3, 4.6]])
    palate = section(head, one)["palate"]
    line = np.concatenate([tooth, palate[1:], soft[1:tip]])
    return resample(line, int(arc_length(line)[-1] / STATION_MM))


def clearance_mm(head: Head, posture: Posture, stations: Array) -> Array:
    """Distance (..., n) from the roof stations to the tongue before contact; negative inside it."""
    raw = contact.polygons(tongue.mass(head, posture))
    shape = contact.rounded(raw, head.number("tongue", "fill_mm"), head.number("tongue", "round_mm"))
    points = shapely.points(stations)
    shape = np.asarray(shape, dtype=object)[..., None]
    outside = shapely.distance(shape, points)
    inside = shapely.distance(shapely.boundary(shape), points)
    return np.where(shapely.contains(shape, points), -inside, outside)


def fixed_parts(target: Target) -> dict[str, float]:
    """What the target states outright: lips, jaw, velum, sides. The glottis is the timeline's."""
    lips = quantity("lips", target.lips)
    return {
        **lips,
        "jaw_mm": target.jaw_mm,
        "velum": quantity("velum", target.velum),
        "sides_open": 1.0 if target.sides == "open" else 0.0,
    }


def solve(target: Target, head: Head) -> Posture:
    """The posture that meets a target; the tongue is neutral where the target leaves it free.

    Deterministic: the same target, head and library versions give the same numbers.
    """
    if "tongue" in target.free:
        return _solve(target, head, windows=[])
    windows = [_window(head, target.place, target.degree)]
    if target.second_place:
        windows.append(_window(head, target.second_place, "closed"))
    return _solve(target, head, windows)


def _window(head: Head, place: str, degree: str) -> tuple[float, float, float]:
    first, last = quantity(head.name, place)
    return first, last, quantity("degree", degree)


def _solve(target: Target, head: Head, windows: list[tuple[float, float, float]]) -> Posture:
    stations = roof(head, quantity("velum", target.velum))
    stated = fixed_parts(target)
    base = posture_of(**stated).values
    columns = [i for i, p in enumerate(parts()) if p.name in MODES]
    low = np.array([parts()[i].low for i in columns])
    high = np.array([parts()[i].high for i in columns])
    effort = np.array([EFFORT_MM.get(parts()[i].name, EFFORT_DEFAULT_MM) for i in columns])
    area = tongue.rest_mass_area_mm2(head)
    rest_line = tongue.rest(head).surface
    wall_x = section(head, posture_from(base))["rear_wall"]

    def residuals(amplitudes: Array) -> Array:
        values = np.broadcast_to(base, (*amplitudes.shape[:-1], base.shape[-1])).copy()
        values[..., columns] = amplitudes
        posture = Posture(values)
        clear = clearance_mm(head, posture, stations)
        at = np.full(clear.shape, CLEARANCE_ELSEWHERE_MM)
        wish = []
        taken = np.zeros(len(stations), dtype=bool)
        for first, last, degree in windows:
            inside = (stations[:, 0] >= first) & (stations[:, 0] <= last) & (np.arange(len(stations)) < _back_of(stations))
            near = (stations[:, 0] >= first - 3) & (stations[:, 0] <= last + 3)
            taken |= near
            wish.append(PLACE_WEIGHT * (clear[..., inside] - degree) / np.sqrt(inside.sum()) * 2)
        wish.append(CLEAR_WEIGHT * np.minimum(clear[..., ~taken] - at[..., ~taken], 0))
        if target.body_drop_mm:
            for x, drop in zip((27.0, 43.0), target.body_drop_mm, strict=True):
                i = int(np.argmin(np.abs(stations[: _back_of(stations), 0] - x)))
                wish.append(0.8 * (clear[..., i : i + 1] - drop))
        sect = section(head, posture)
        off = (tongue.unyielding_area_mm2(head, posture) / area - 1)[..., None] * 100
        wish.append(AREA_WEIGHT_PER_CENT * (off - np.clip(off, -AREA_FREE_PER_CENT, AREA_FREE_PER_CENT)))
        line = tongue.surface(head, posture)
        free = line - rest_line
        wish.append(BEND_WEIGHT * (np.diff(free[..., ::8, :], n=2, axis=-2).reshape(*free.shape[:-2], -1)) / 12)
        wish.append(0.6 * amplitudes / effort)
        heights = np.array([-42.0, -30.0, -20.0] if target.throat_mm else [-40.0, -25.0, -10.0])
        for y in heights:
            i = np.argmin(np.abs(line[..., : tongue.SURFACE_POINTS // 2, 1] - y), axis=-1)
            x = np.take_along_axis(line[..., 0], i[..., None], -1)
            wall = np.interp(y, wall_x[::-1, 1], wall_x[::-1, 0])
            asked, weight = (target.throat_mm, ROOT_ASKED_WEIGHT) if target.throat_mm else (THROAT_MM, ROOT_WEIGHT)
            wish.append(weight * (wall - x - asked))
        if target.tip == "low":
            rim = sect["lower_incisor"][..., :, 1].max(axis=-1)
            tip = line[..., -1, :]
            wish.append(np.stack([0.6 * (tip[..., 1] - rim - LOW_TIP_BELOW_RIM_MM), 1.1 * (tip[..., 0] - LOW_TIP_X_MM)], axis=-1))
        if target.tip_at_mm:
            wish.append(TIP_WEIGHT * (line[..., -1, :] - np.array(target.tip_at_mm)))
        return np.concatenate(wish, axis=-1)

    def jacobian(x: Array) -> Array:
        step = 0.05
        batch = np.concatenate([x + step * np.eye(len(x)), x - step * np.eye(len(x))])
        values = residuals(batch)
        return ((values[: len(x)] - values[len(x) :]) / (2 * step)).T

    best = None
    for start in _starts(windows, columns):
        found = least_squares(residuals, start, jac=jacobian, bounds=(low, high), x_scale=4.0, max_nfev=120, xtol=1e-6, ftol=1e-7)
        if best is None or found.cost < best.cost:
            best = found
    assert best is not None
    values = base.copy()
    values[columns] = np.round(best.x, 3)
    return posture_from(values)


def _back_of(stations: Array) -> int:
    """How many stations lie before the roof turns down into the uvula."""
    return int(np.argmax(stations[:, 0])) + 1


def _starts(windows: list[tuple[float, float, float]], columns: list[int]) -> list[Array]:
    names = [parts()[i].name for i in columns]

    def vector(**amplitudes: float) -> Array:
        return np.array([amplitudes.get(n, 0.0) for n in names])

    if not windows:
        return [vector()]
    if len(windows) == 2:
        return [vector(root_mm=8, back_mm=12, front_mm=-4, blade_mm=6, tip_up_mm=10)]
    if windows[0][0] > 40:
        return [vector(root_mm=8, back_mm=12, front_mm=4), vector(root_mm=4, back_mm=15)]
    return [vector(root_mm=4, blade_mm=6, tip_up_mm=8), vector(root_mm=4, front_mm=-4, blade_mm=6, tip_up_mm=11, tip_forward_mm=2)]
