"""Contrast, simulated colour vision and colour difference of sRGB colours.

Colours are arrays (..., 3) of sRGB values 0 to 1. Sources: WCAG 2.2 (relative luminance, contrast ratio);
IEC 61966-2-1 (sRGB to XYZ, D65); Machado, Oliveira & Fernandes 2009, severity 1.0, on linear RGB
(matrices in data/vision.toml); CIE 142-2001 as written out by Sharma, Wu & Dalal 2005 (CIEDE2000).
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import ArrayLike

from articulators.curves import Array
from articulators.errors import BadInput, nearest
from articulators.records import Record, Row, table

_LUMINANCE = np.array([0.2126, 0.7152, 0.0722])
_RGB_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
Triple = tuple[float, float, float]
_HEX = re.compile(r"#[0-9A-Fa-f]{6}\Z")


def srgb(hex_colour: str) -> Array:
    """ "#RRGGBB" as three values 0 to 1; BadInput for anything else."""
    if not isinstance(hex_colour, str) or not _HEX.match(hex_colour):
        raise BadInput(f"colour {hex_colour!r} is not of the form #RRGGBB")
    return np.array([int(hex_colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0


def mixed(first: str, second: str, share: float) -> str:
    """The colour that lies a share 0..1 of the way from one "#RRGGBB" to another, as "#RRGGBB"."""
    one, two = srgb(first), srgb(second)
    return "#" + "".join(f"{round(255 * value):02X}" for value in one + share * (two - one))


def linear_light(colour: ArrayLike) -> Array:
    """sRGB values 0 to 1 made proportional to light (WCAG 2.2: threshold 0.03928)."""
    value = np.asarray(colour, dtype=np.float64)
    return np.where(value <= 0.03928, value / 12.92, ((np.maximum(value, 0.0) + 0.055) / 1.055) ** 2.4)


def luminance(colour: ArrayLike) -> Array:
    """Relative luminance (...,) of sRGB colours (..., 3): 0 black, 1 white (WCAG 2.2)."""
    return linear_light(colour) @ _LUMINANCE


def ratio(first: ArrayLike, second: ArrayLike) -> Array:
    """WCAG 2.2 contrast ratio (...,) of two sRGB colours (..., 3), 1 to 21; order does not matter."""
    one, two = luminance(first), luminance(second)
    return (np.maximum(one, two) + 0.05) / (np.minimum(one, two) + 0.05)


def lab(colour: ArrayLike) -> Array:
    """CIE L*a*b* (..., 3) under D65 of sRGB colours (..., 3)."""
    xyz = linear_light(colour) @ _RGB_TO_XYZ.T / _RGB_TO_XYZ.sum(axis=1)
    edge = 6.0 / 29.0
    f = np.where(xyz > edge**3, np.cbrt(np.maximum(xyz, 0.0)), xyz / (3.0 * edge**2) + 4.0 / 29.0)
    x, y, z = f[..., 0], f[..., 1], f[..., 2]
    return np.stack([116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)], axis=-1)


def colour_difference(first_lab: ArrayLike, second_lab: ArrayLike) -> Array:
    """CIEDE2000 difference (...,) of L*a*b* colours (..., 3), weights 1 (Sharma, Wu & Dalal 2005)."""
    one, two = np.asarray(first_lab, dtype=np.float64), np.asarray(second_lab, dtype=np.float64)
    l1, a1, b1 = one[..., 0], one[..., 1], one[..., 2]
    l2, a2, b2 = two[..., 0], two[..., 1], two[..., 2]
    mean_chroma7 = ((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2.0) ** 7
    g = 0.5 * (1.0 - np.sqrt(mean_chroma7 / (mean_chroma7 + 25.0**7)))
    a1, a2 = (1.0 + g) * a1, (1.0 + g) * a2
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360.0, np.degrees(np.arctan2(b2, a2)) % 360.0
    grey = c1 * c2 == 0.0
    turn = h2 - h1
    turn = np.where(turn > 180.0, turn - 360.0, np.where(turn < -180.0, turn + 360.0, turn))
    turn = np.where(grey, 0.0, turn)
    d_l, d_c = l2 - l1, c2 - c1
    d_h = 2.0 * np.sqrt(c1 * c2) * np.sin(np.radians(turn) / 2.0)
    mean_l, mean_c, h_sum = (l1 + l2) / 2.0, (c1 + c2) / 2.0, h1 + h2
    apart = np.abs(h1 - h2) > 180.0
    mean_h = np.where(apart, np.where(h_sum < 360.0, h_sum + 360.0, h_sum - 360.0), h_sum) / 2.0
    mean_h = np.where(grey, h_sum, mean_h)

    def cos(degrees: Array) -> Array:
        return np.cos(np.radians(degrees))

    t = (
        1.0 - 0.17 * cos(mean_h - 30.0) + 0.24 * cos(2.0 * mean_h)
        + 0.32 * cos(3.0 * mean_h + 6.0) - 0.20 * cos(4.0 * mean_h - 63.0)
    )  # fmt: skip
    s_l = 1.0 + 0.015 * (mean_l - 50.0) ** 2 / np.sqrt(20.0 + (mean_l - 50.0) ** 2)
    s_c, s_h = 1.0 + 0.045 * mean_c, 1.0 + 0.015 * mean_c * t
    swing = 30.0 * np.exp(-(((mean_h - 275.0) / 25.0) ** 2))
    r_t = -2.0 * np.sqrt(mean_c**7 / (mean_c**7 + 25.0**7)) * np.sin(np.radians(2.0 * swing))
    l_term, c_term, h_term = d_l / s_l, d_c / s_c, d_h / s_h
    return np.sqrt(np.maximum(l_term**2 + c_term**2 + h_term**2 + r_t * c_term * h_term, 0.0))


class Matrix(Row, frozen=True):
    """What a kind of colour vision makes of linear red, green and blue."""

    rows: tuple[Triple, Triple, Triple]


class Vision(Record, frozen=True):
    """data/vision.toml."""

    matrix: Mapping[str, Matrix]


@functools.cache
def _vision() -> Mapping[str, Array]:
    matrices: dict[str, Array] = {}
    for kind, row in table(__package__, "vision.toml", Vision).matrix.items():
        matrix = np.array(row.rows, dtype=np.float64)
        matrix.flags.writeable = False
        matrices[kind] = matrix
    return matrices


def vision_kinds() -> tuple[str, ...]:
    """The kinds of colour vision that can be simulated, "normal" first."""
    return tuple(_vision())


def simulate(colour: ArrayLike, kind: str) -> Array:
    """sRGB colours (..., 3) as they look to a viewer of that kind of colour vision, 0 to 1.

    ``kind`` is one of ``vision_kinds()``; BadInput otherwise. The tritan matrix is an approximation.
    """
    if kind not in _vision():
        raise BadInput(
            f"kind of vision {kind!r} is unknown; allowed: {', '.join(_vision())}{nearest(kind, _vision())}"
        )
    light = np.clip(linear_light(colour) @ _vision()[kind].T, 0.0, 1.0)
    return np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1.0 / 2.4) - 0.055)


def smallest_difference(colours: Iterable[str], kind: str) -> tuple[float, tuple[str, str]]:
    """The least CIEDE2000 difference of any two "#RRGGBB" colours to that kind of vision, and the pair."""
    names = list(colours)
    if len(names) < 2:
        raise BadInput(f"two colours at least are needed for a difference, got {len(names)}")
    seen = lab(simulate(np.array([srgb(name) for name in names]), kind))
    first, second = np.triu_indices(len(names), 1)
    apart = colour_difference(seen[first], seen[second])
    least = int(np.argmin(apart))
    return float(apart[least]), (names[first[least]], names[second[least]])
