"""A measurement as a figure: section, area function and response side by side."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from renders.anatomy import layers as anatomy
from renders.anatomy.pen import PlatePen
from renders.ink import painter
from renders.paper.canvas import Canvas
from renders.paper.fitting import fitted
from renders.paper.picture import Box, Dots, Fill, Group, Layer, Op, Picture, Stroke, Text
from renders.paper.picture import Path as Shape
from renders.paper.style import Style, load
from renders.paper.view import View
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.measure import Measurement
from vocaltract.airway.passage import airway

WIDTH, HEIGHT = 1800, 760
VIEW = View((40, 104, 560, 604), 4.15, (31.0, -22.0))
AREA_BOX = (700.0, 140.0, 460.0, 490.0)
SOUND_BOX = (1280.0, 140.0, 460.0, 490.0)
TOP_HZ, SPAN_DB = 5000.0, 80.0


def write_plot(
    measurement: Measurement,
    out: Path,
    *,
    title: str = "",
    style: str = "light",
    size: tuple[int, int] = (WIDTH, HEIGHT),
) -> None:
    """Write the figure to .svg, .pdf or .png. BadInput for an unknown style or ending."""
    look = load(style)
    painter.save(fitted(plot_picture(measurement, look, title), size), out, look)


def plot_picture(measurement: Measurement, style: Style, title: str = "") -> Picture:
    """The figure at 1800 x 760 px."""
    canvas = Canvas(VIEW, style)
    layers = [
        Layer("ground", (Fill(anatomy.card(VIEW), "panel"),)),
        anatomy.fixed_layer(measurement.shown.head, canvas),
        anatomy.moving_layer(measurement.shown, airway(measurement.shown), PlatePen(canvas)),
        _midline(measurement, style),
        _areas(measurement, style),
        _response(measurement, style),
        Layer("title", (Text(title, 40, 66, style.size("title", "still"), "ink", "bold"),)),
    ]
    return Picture(WIDTH, HEIGHT, "paper", tuple(layers), title=title, description=_described(measurement))


def _described(measurement: Measurement) -> str:
    narrow = measurement.constriction
    known = [f"{f:.0f}" for f in measurement.formants_hz if math.isfinite(f)]
    sound = f"formants at {', '.join(known)} Hz" if known else "no formants, the tract is shut"
    where = f"{narrow.place}, {narrow.area_cm2:.2f} cm2"
    return f"Side view, areas from glottis to lips, and response. Narrowest: {where}; {sound}."


def _midline(measurement: Measurement, style: Style) -> Layer:
    line = VIEW.px(tract_areas(measurement.shown).midline_mm)
    thin = style.line("air")
    narrow = measurement.constriction
    spot = VIEW.px(np.array([[narrow.x_mm, narrow.y_mm]]))
    ops = (
        Stroke(Shape.line(line), "air", thin, dash=(7.0, 5.0), casing=("airway", thin + 3)),
        Dots(spot, 8.5, "contact_edge"),
        Dots(spot, 6.0, "contact"),
    )
    edge = Stroke(anatomy.card(VIEW), "rule", style.line("rule"))
    return Layer("midline", (Group(ops, clip=anatomy.card(VIEW)), edge))


def _axes(
    box: Box,
    style: Style,
    heading: str,
    x_name: str,
    x_ticks: list[tuple[float, str]],
    y_ticks: list[tuple[float, str]],
) -> list[Op]:
    x, y, width, height = box
    small = style.size("small", "still")
    ops: list[Op] = [Fill(Shape.rectangle(*box), "panel")]
    for at, text in y_ticks:
        ops.append(Stroke(Shape.line([(x, at), (x + width, at)]), "rule", style.line("rule") * 0.6, opacity=0.35))
        ops.append(Text(text, x - 12, at, small, "ink2", family="figures", anchor="end", baseline="middle"))
    for at, text in x_ticks:
        ops.append(Stroke(Shape.line([(at, y + height), (at, y + height + 7)]), "rule", style.line("rule")))
        ops.append(Text(text, at, y + height + 22, small, "ink2", family="figures", anchor="middle", baseline="middle"))
    ops.append(Text(heading, x, y - 22, style.size("second", "still"), "ink", "bold", baseline="middle"))
    ops.append(Text(x_name, x + width / 2, y + height + 52, small, "ink2", anchor="middle", baseline="middle"))
    return ops


def _areas(measurement: Measurement, style: Style) -> Layer:
    x, y, width, height = AREA_BOX
    edges = np.concatenate([[0.0], np.cumsum(measurement.section_length_cm)])
    top = next((s for s in (2, 4, 6, 8, 10, 12, 16, 20) if s >= 1.05 * measurement.area_cm2.max()), 30)
    step = top / 4
    to_x = width / (math.ceil(edges[-1] / 2) * 2)
    to_y = height / top
    x_ticks = [(x + cm * to_x, f"{cm}") for cm in range(0, int(edges[-1]) + 2, 4)]
    y_ticks = [(y + height - k * step * to_y, f"{k * step:g}") for k in range(5)]
    ops = _axes(AREA_BOX, style, "Area, cm²", "from the glottis to the lips, cm", x_ticks, y_ticks)
    upper = y + height - np.repeat(measurement.area_cm2, 2) * to_y
    along = x + np.repeat(edges, 2)[1:-1] * to_x
    steps = np.stack([along, upper], axis=-1)
    ring = np.concatenate([[[along[0], y + height]], steps, [[along[-1], y + height]]])
    ops += [Fill(Shape.polygon(ring), "airtint"), Stroke(Shape.line(steps), "air", style.line("tongue"), join="miter")]
    narrow = measurement.constriction
    at = np.array([[x + narrow.from_glottis_cm * to_x, y + height - narrow.area_cm2 * to_y]])
    ops += [Dots(at, 8.5, "contact_edge"), Dots(at, 6.0, "contact")]
    how = "shut" if narrow.area_cm2 <= 0 else f"{narrow.area_cm2:.2f} cm²"
    small = style.size("small", "still")
    ops.append(Dots(np.array([[x + 18, y + 22]]), 8.5, "contact_edge"))
    ops.append(Dots(np.array([[x + 18, y + 22]]), 6.0, "contact"))
    ops.append(Text(f"narrowest: {narrow.place}, {how}", x + 36, y + 22, small, "ink", baseline="middle"))
    ops.append(Stroke(Shape.rectangle(*AREA_BOX), "rule", style.line("rule")))
    return Layer("areas", tuple(ops))


def _response(measurement: Measurement, style: Style) -> Layer:
    x, y, width, height = SOUND_BOX
    shown = measurement.frequency_hz <= TOP_HZ
    hz, level = measurement.frequency_hz[shown], measurement.level_db[shown]
    known = np.isfinite(level)
    top = 20 * math.ceil((level[known].max() + 16) / 20) if known.any() else 40
    to_x, to_y = width / TOP_HZ, height / SPAN_DB
    x_ticks = [(x + k * 1000 * to_x, f"{k}") for k in range(6)]
    y_ticks = [(y + k * 20 * to_y, f"{top - 20 * k}") for k in range(5)]
    ops = _axes(SOUND_BOX, style, "Response, dB", "frequency, kHz", x_ticks, y_ticks)
    small = style.size("small", "still")
    if not known.any():
        ops.append(
            Text(
                "the tract is shut: no formants",
                x + width / 2,
                y + height / 2,
                small,
                "ink",
                anchor="middle",
                baseline="middle",
            )
        )
    else:
        curve = np.stack([x + hz * to_x, y + (top - level) * to_y], axis=-1)[known]
        ops += _formant_lines(measurement, style)
        ops.append(Group((Stroke(Shape.line(curve), "voice", style.line("tongue")),), clip=Shape.rectangle(*SOUND_BOX)))
    ops.append(Stroke(Shape.rectangle(*SOUND_BOX), "rule", style.line("rule")))
    return Layer("response", tuple(ops))


def _formant_lines(measurement: Measurement, style: Style) -> list[Op]:
    """A dashed line and a name at each formant; the names step down where two are close."""
    x, y, width, height = SOUND_BOX
    small = style.size("small", "still")
    ops: list[Op] = []
    last, row = -1e9, 0
    for i, hz in enumerate(measurement.formants_hz, 1):
        if not math.isfinite(hz) or hz > TOP_HZ:
            continue
        at = x + hz / TOP_HZ * width
        row = row + 1 if at - last < 62 else 0
        last = at
        start = y + 30 + 46 * row
        ops.append(
            Stroke(Shape.line([(at, start + 32), (at, y + height)]), "rule", style.line("rule"), dash=(5.0, 5.0))
        )
        casing = ("panel", 3.0)
        place = min(max(at, x + 30), x + width - 30)
        ops.append(
            Text(
                f"F{i}",
                place,
                start - 10,
                small * 0.9,
                "ink",
                "bold",
                anchor="middle",
                baseline="middle",
                casing=casing,
            )
        )
        ops.append(
            Text(
                f"{hz:.0f}",
                place,
                start + 14,
                small * 0.9,
                "ink2",
                family="figures",
                anchor="middle",
                baseline="middle",
                casing=casing,
            )
        )
    return ops
