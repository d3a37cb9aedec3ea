"""Whether the colours of a style can be told apart: by contrast, and in every kind of colour vision."""

from __future__ import annotations

from collections.abc import Mapping

from renders.paper.contrast import ratio, smallest_difference, srgb, vision_kinds
from renders.paper.style_table import Ratio, style_table


def too_faint(colours: Mapping[str, str]) -> list[str]:
    """Pairs of roles (role to "#RRGGBB") whose contrast is less than WCAG 2.2 asks for, in words."""
    rules = style_table().contrast
    found: list[str] = []

    def reached(front: str, ground: str) -> float:
        return float(ratio(srgb(colours[front]), srgb(colours[ground])))

    def judge(what: str, value: float, rule: Ratio) -> None:
        if value < rule.least:
            found.append(f"{what} reaches {value:.2f}:1, {rule.least:g}:1 is needed ({rule.source})")

    for rule in (rules.text, rules.graphics):
        for pair in rule.pairs:
            front, ground = pair.split(" on ")
            judge(pair, reached(front, ground), rule)
    for ground in rules.contact_mark.grounds:
        best = max(reached(mark, ground) for mark in ("contact", "contact_edge"))
        judge(f"contact or contact_edge on {ground}", best, rules.graphics)
    return found


def least_differences(colours: Mapping[str, str]) -> dict[str, float]:
    """How far the colours of signals lie apart at least (CIEDE2000), by kind of colour vision."""
    signals = [colours[role] for role in style_table().difference.roles]
    return {kind: smallest_difference(signals, kind)[0] for kind in vision_kinds()}
