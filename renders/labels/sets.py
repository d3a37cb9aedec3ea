"""Which names a picture has: none, those of everyday words, or those of the trade."""

from __future__ import annotations

from articulators.errors import BadInput, nearest

LABELS = ("none", "plain", "technical")


def check_labels(name: str) -> str:
    """One of LABELS; BadInput for another."""
    if name not in LABELS:
        raise BadInput(f"labels '{name}' are unknown; allowed: {', '.join(LABELS)}{nearest(name, LABELS)}")
    return name
