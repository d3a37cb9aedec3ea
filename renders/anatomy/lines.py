"""The lines that ink is laid along: outlines of a batch of sections, what is worked out from them, samples by name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from articulators.curves import Array, Indices
from articulators.posture import Posture
from articulators.section import Section
from renders.anatomy import larynx, lips, mouth
from renders.anatomy.ink import LineStretch, line_stretch


@dataclass(frozen=True, eq=False)
class InkLines:
    """InkLines of a batch of moments.

    sections   the moments, batch shape (moments,)
    found      lines by name, (moments, points, 2) in mm; several of one kind (moments, lines, points, 2); nan where a
               moment has none
    samples    numbers (moments,) of the samples that have a name, by line and name: "tongue tip"
    """

    sections: Section
    found: Mapping[str, Array]
    samples: Mapping[str, Indices]

    @property
    def count(self) -> int:
        """How many moments."""
        return len(self.sections.posture.values)

    def __getitem__(self, name: str) -> Array:
        line = self.found.get(name)
        if line is None:
            line = self.sections[name]
        return line if line.ndim > 2 else np.broadcast_to(line, (self.count, *line.shape))

    def alike(self, names: Sequence[str]) -> Iterator[Indices]:
        """Moments (k,) for which samples of these names ("tongue tip") have the same numbers, group by group."""
        if not names or self.count == 1:
            yield np.arange(self.count)
            return
        numbers = np.stack([self.samples[name] for name in names], axis=-1)
        _, group = np.unique(numbers, axis=0, return_inverse=True)
        for number in range(int(group.max()) + 1):
            yield np.flatnonzero(group.ravel() == number)

    def number(self, line: str, sample: str, moment: int) -> int:
        """A sample of a line as a number."""
        return int(sample) if sample.isdigit() else int(self.samples[f"{line} {sample}"][moment])


@dataclass(frozen=True, eq=False)
class Joined:
    """Stretches of lines one after the other, for moments that cut them at the same samples.

    points   (moments, points, 2) in mm
    begins   by line: the number of the first point of its stretch, of its first sample, and the step between samples
    """

    points: Array
    begins: Mapping[str, tuple[int, int, int]]

    def at(self, lines: InkLines, sample: str, moment: int) -> int:
        """The point at a sample such as "tongue tip"."""
        line, name = sample.split()
        begin, first, step = self.begins[line]
        return min(max(begin + step * (lines.number(line, name, moment) - first), 0), self.points.shape[-2] - 1)


def names_of(along: Sequence[str]) -> list[str]:
    """The samples with a name at which stretches are cut."""
    cut = [(piece.line, end) for piece in map(line_stretch, along) for end in (piece.first, piece.last)]
    return [f"{line} {end}" for line, end in cut if end is not None and not end.isdigit()]


def joined_stretches(lines: InkLines, along: Sequence[str], moments: Indices) -> Joined:
    """Stretches of lines of moments that `InkLines.alike` has put together."""
    parts: list[Array] = []
    begins: dict[str, tuple[int, int, int]] = {}
    so_far = 0
    for piece in map(line_stretch, along):
        line = lines[piece.line][moments]
        first, last = _ends(lines, piece, line.shape[-2], int(moments[0]))
        part = line[..., first : last + 1, :]
        if piece.backwards:
            part = part[..., ::-1, :]
        if any(piece.off_mm):
            part = part + np.array(piece.off_mm)
        begins[piece.line] = (so_far, last, -1) if piece.backwards else (so_far, first, 1)
        so_far += part.shape[-2]
        parts.append(part)
    return Joined(parts[0] if len(parts) == 1 else np.concatenate(parts, axis=-2), begins)


def _ends(lines: InkLines, piece: LineStretch, count: int, moment: int) -> tuple[int, int]:
    if piece.first is None or piece.last is None:
        return 0, count - 1
    return lines.number(piece.line, piece.first, moment), lines.number(piece.line, piece.last, moment)


def ink_lines(sections: Section) -> InkLines:
    """The lines of a section or of a batch (moments,) of them."""
    if not sections.posture.shape:
        moving = {organ: line[None] for organ, line in sections.moving.items()}
        sections = Section(sections.head, Posture(sections.posture.values[None]), moving)
    tongue, samples = mouth.tongue_lines(sections)
    found = {**tongue, **mouth.palate_lines(sections), **larynx.larynx_lines(sections)}
    for side in ("upper", "lower"):
        lip, reds = lips.lip_lines(sections, side)
        found |= lip
        samples |= reds
    found |= lips.gap_lines(sections)
    return InkLines(sections, found, samples)
