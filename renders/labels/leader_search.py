"""The search for good places of labels: a start without crossed leaders, then better places one by one.

Every label has the same starts, a fine grid of heights in two columns, and one or more ends. What a leader costs by
itself (its length, its slant, what it crosses) is known beforehand; what two leaders cost each other is counted as they
are moved. No move that raises the sum is made, so that leaders which start uncrossed stay so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from articulators.curves import Array, Bools, Indices
from renders.labels.assignment import assigned
from renders.labels.table import label_table

Crossed = Callable[[int, Array, Array], Array]
FINE = 4  # heights of the grid in one pitch
POLISH_PX = (-12.0, -6.0, 6.0, 12.0)
REGRETTED, RANKED, TRIED_ON, REORDERED = 5, 40, 4, 8  # labels; of their moves so many ranked, worked out; how often


@dataclass(frozen=True, eq=False)
class Spots:
    """What can be chosen: ends (n, k, 2), nan where a label has fewer; heights of starts; x of the two columns."""

    ends: Array
    heights: Array
    start_x: Array
    apart: Array  # (n, n) least distance of two labels of one column
    clear: float
    crossed: Crossed

    def costs(self, label: int, starts: Array) -> tuple[Array, Indices]:
        """Least cost (m,) of leaders from starts (m, 2) to an end of the label, and which end that is."""
        ends = self.ends[label]
        known = np.flatnonzero(np.isfinite(ends[:, 0]))
        one, other = np.repeat(starts, len(known), axis=0), np.tile(ends[known], (len(starts), 1))
        run, leader = other - one, label_table().leader
        cost = np.hypot(run[:, 0], run[:, 1]) + leader.slant_px_per_px * np.abs(run[:, 1])
        cost = cost + self.crossed(label, one, other)
        cost = cost.reshape(len(starts), len(known)) + leader.second_choice_px * (known > 0)
        best = np.argmin(cost, axis=1)
        return cost[np.arange(len(starts)), best], known[best]


@dataclass(eq=False)
class Chosen:
    """Where labels are in the course of a search: column (n,), height (n,), end (n, 2), own cost (n,)."""

    side: Indices
    y: Array
    end: Array
    own: Array

    def copy(self) -> Chosen:
        return Chosen(self.side.copy(), self.y.copy(), self.end.copy(), self.own.copy())


def crossing(a: Array, b: Array, c: Array, d: Array) -> Bools:
    """Whether segments a-b and c-d (..., 2) cross properly; a shared end is no crossing."""

    def turn(p: Array, q: Array, r: Array) -> Array:
        across: Array = (q[..., 0] - p[..., 0]) * (r[..., 1] - p[..., 1])
        return across - (q[..., 1] - p[..., 1]) * (r[..., 0] - p[..., 0])

    return (turn(a, b, c) * turn(a, b, d) < 0.0) & (turn(c, d, a) * turn(c, d, b) < 0.0)


def distance(start: Array, end: Array, point: Array) -> Array:
    """Distance (...) of points from segments start-end (..., 2); inf where a point is the segment's own end."""
    run, to = end - start, point - start
    along = np.clip((to * run).sum(axis=-1) / np.maximum((run**2).sum(axis=-1), 1e-12), 0.0, 1.0)
    off = to - along[..., None] * run
    far = np.hypot(off[..., 0], off[..., 1])
    return np.where((point == end).all(axis=-1), np.inf, far)


def searched(spots: Spots, per_column: int, pitch: float, top: float) -> Chosen:
    """The best places found from a start by all costs, or, where its leaders stay crossed, from one by length alone."""
    starts = np.array([(x, y) for x in spots.start_x for y in spots.heights])
    table = [spots.costs(label, starts) for label in range(len(spots.ends))]
    own, which = np.array([row[0] for row in table]), np.array([row[1] for row in table])
    coarse_y = top + pitch * np.arange(per_column)
    coarse = np.array([int(np.argmin(np.abs(spots.heights - y))) for y in coarse_y])
    slots = np.concatenate([coarse, len(spots.heights) + coarse])
    firsts = spots.ends[:, 0]
    length = np.hypot(*np.moveaxis(firsts[:, None] - starts[slots][None], -1, 0))
    rows = np.arange(len(firsts))
    found = []
    for plain in (False, True):
        taken = slots[assigned(length if plain else own[:, slots])]
        ends = firsts.copy() if plain else spots.ends[rows, which[rows, taken]]
        now = Chosen(taken // len(spots.heights), starts[taken, 1].copy(), ends, own[rows, taken].copy())
        if plain:
            now.own = np.array([_cost_to(spots, int(k), starts[taken[k]], ends[k]) for k in rows])
        now = _descended(spots, now, own, which)
        for _ in range(REORDERED):
            better = _reordered(spots, now, own, which)
            if better is None:
                break
            now = better
        found.append(_polished(spots, now))
        if total(spots, found[-1]) < label_table().leader.crossed_px:
            break
    return min(found, key=lambda one: total(spots, one))


def _cost_to(spots: Spots, label: int, start: Array, end: Array) -> float:
    run = end - start
    more = float(spots.crossed(label, start[None], end[None])[0])
    return float(np.hypot(run[0], run[1]) + label_table().leader.slant_px_per_px * abs(run[1])) + more


def _mutual(spots: Spots, start: Array, end: Array, starts: Array, ends: Array) -> Array:
    """What leaders (m, 2) cost with the others (o, 2) and the others with them: crossings, and ends too near."""
    a, b, c, d = start[:, None], end[:, None], starts[None], ends[None]
    cost = label_table().leader.crossed_px * crossing(a, b, c, d).sum(axis=1)
    for far in (distance(a, b, d), distance(c, d, b)):
        cost = cost + _too_near(spots, far).sum(axis=1)
    return cost


def _too_near(spots: Spots, far: Array) -> Array:
    """What leaders cost at distances (...) in px from other leaders' ends."""
    leader, lack = label_table().leader, np.maximum(0.0, 1.0 - far / spots.clear)
    return leader.near_px * lack + leader.nearer_px * (lack > 0.0)


def total(spots: Spots, now: Chosen) -> float:
    """The whole cost of places; each pair of leaders counts once."""
    starts = np.stack([spots.start_x[now.side], now.y], axis=-1)
    a, b = starts[:, None], now.end[:, None]
    crossed = label_table().leader.crossed_px * crossing(a, b, starts[None], now.end[None]).sum() / 2
    others = ~np.eye(len(starts), dtype=bool)
    near = np.where(others, _too_near(spots, distance(a, b, now.end[None])), 0.0)
    return float(now.own.sum() + crossed + near.sum())


def _moved(spots: Spots, now: Chosen, label: int, starts: Array, ends: Array, own: Array) -> bool:
    """Moves a label to the best of its leaders (m, 2) if that is better by more than a hair."""
    others = np.delete(np.arange(len(now.y)), label)
    theirs = np.stack([spots.start_x[now.side[others]], now.y[others]], axis=-1)
    side = (starts[:, 0] != spots.start_x[0]).astype(np.intp)
    near = np.abs(starts[:, 1][:, None] - now.y[others]) < spots.apart[label, others] - 1e-6
    blocked = (near & (side[:, None] == now.side[others])).any(axis=1)
    keep = np.flatnonzero(~blocked)
    here = np.array([[spots.start_x[now.side[label]], now.y[label]]])
    present = now.own[label] + float(_mutual(spots, here, now.end[label][None], theirs, now.end[others])[0])
    keep = keep[own[keep] < present - 0.5]
    if len(keep) == 0:
        return False
    cost = own[keep] + _mutual(spots, starts[keep], ends[keep], theirs, now.end[others])
    k = int(np.argmin(cost))
    if cost[k] >= present - 0.5:
        return False
    best = keep[k]
    now.side[label], now.y[label], now.end[label], now.own[label] = side[best], starts[best, 1], ends[best], own[best]
    return True


def _descended(spots: Spots, now: Chosen, own: Array, which: Indices) -> Chosen:
    starts = np.array([(x, y) for x in spots.start_x for y in spots.heights])
    for _ in range(12):
        moved = [
            _moved(spots, now, label, starts, spots.ends[label][which[label]], own[label])
            for label in range(len(own))
        ]
        if not any(moved):
            break
    return now


def _reordered(spots: Spots, now: Chosen, own: Array, which: Indices) -> Chosen | None:
    """One label that stands badly moved past others, which make room; None where nothing is gained."""
    least = total(spots, now)
    regret = now.own - own.min(axis=1)
    trials: list[tuple[float, int, Indices]] = []
    for label in np.argsort(-regret, kind="stable")[:REGRETTED]:
        if regret[label] < label_table().leader.regret_px:
            break
        order = [int(k) for k in np.argsort(now.y, kind="stable")]
        for columns in _orders(order, now.side, int(label)):
            left, right = (_packed(spots, column, own, side) for side, column in enumerate(columns))
            # leaders by themselves cost no more than all together: what is worse already is left out
            if left is None or right is None or left[0] + right[0] >= least:
                continue
            taken = np.empty(len(now.y), dtype=np.intp)
            taken[columns[0]], taken[columns[1]] = left[1], right[1]
            trials.append((left[0] + right[0], len(trials), taken))
    rows, size = np.arange(len(now.y)), len(spots.heights)
    ranked = []
    for _, number, taken in sorted(trials, key=lambda one: one[:2])[:RANKED]:
        ends = spots.ends[rows, which[rows, taken]]
        trial = Chosen(taken // size, spots.heights[taken % size].copy(), ends, own[rows, taken].copy())
        ranked.append((total(spots, trial), number, trial))
    for _, _, trial in sorted(ranked, key=lambda one: one[:2])[:TRIED_ON]:
        better = _descended(spots, trial, own, which)
        if total(spots, better) < least - 1.0:
            return better
    return None


def _orders(order: list[int], side: Indices, label: int) -> Iterator[tuple[list[int], list[int]]]:
    """Both columns from top to bottom with a label put in at each place, or exchanged with each label opposite."""
    rest = [k for k in order if k != label]
    left, right = ([k for k in rest if side[k] == which] for which in (0, 1))
    for at in range(len(left) + 1):
        yield [*left[:at], label, *left[at:]], right
    for at in range(len(right) + 1):
        yield left, [*right[:at], label, *right[at:]]
    for other in rest:
        if side[other] != side[label]:
            swapped = {label: other, other: label}
            both = ([swapped.get(k, k) for k in order if side[k] == which] for which in (0, 1))
            yield next(both), next(both)


def _packed(spots: Spots, order: list[int], own: Array, side: int) -> tuple[float, Indices] | None:
    """The cheapest starts for labels in a given order in a column, leaders by themselves, and what they cost.

    None where there is no room.
    """
    size = len(spots.heights)
    step = spots.heights[1] - spots.heights[0] if size > 1 else 1.0
    sums: list[Array] = []
    gaps = [0]
    for label in order:
        cost = own[label, side * size : (side + 1) * size]
        if sums:
            gaps.append(int(np.ceil(spots.apart[label, order[len(sums) - 1]] / step - 1e-6)))
            before = np.full(size, np.inf)
            before[gaps[-1] :] = np.minimum.accumulate(sums[-1])[: max(0, size - gaps[-1])]
            cost = cost + before
        sums.append(cost)
    taken = np.empty(len(order), dtype=np.intp)
    if not order:
        return 0.0, taken
    if not np.isfinite(sums[-1]).any():
        return None
    at = int(np.argmin(sums[-1]))
    for k in range(len(order) - 1, -1, -1):
        taken[k] = side * size + at
        if k:
            at = int(np.argmin(sums[k - 1][: at - gaps[k] + 1]))
    return float(sums[-1].min()), taken


def _polished(spots: Spots, now: Chosen) -> Chosen:
    """Each label a little up or down, or level with its end, where that is better."""
    top, bottom = spots.heights[0], spots.heights[-1]
    for _ in range(2):
        moved = []
        for label in range(len(now.y)):
            tried = np.concatenate([now.y[label] + np.array(POLISH_PX), [now.end[label, 1]]])
            tried = tried[(tried >= top) & (tried <= bottom)]
            starts = np.stack([np.full(len(tried), spots.start_x[now.side[label]]), tried], axis=-1)
            own, which = spots.costs(label, starts)
            moved.append(_moved(spots, now, label, starts, spots.ends[label][which], own))
        if not any(moved):
            break
    return now


def free(_: int, starts: Array, __: Array) -> NDArray[Any]:
    """A leader that crosses nothing."""
    return np.zeros(len(starts))
