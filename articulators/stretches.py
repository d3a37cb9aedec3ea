"""Where on a head the places lie that its tongue can go to: stretches of the roof, soft palate and rear wall."""

from __future__ import annotations

from collections.abc import Mapping

from articulators.records import Pair, Row


class Stretches(Row, frozen=True):
    """Stretches by name, each from and to.

    roof_mm      x of the roof of the mouth      velum_share  share of the soft palate's length, 1 at the uvula's tip
    wall_mm      y of the rear wall of the throat
    """

    roof_mm: Mapping[str, Pair]
    velum_share: Mapping[str, Pair]
    wall_mm: Mapping[str, Pair]

    def __post_init__(self) -> None:
        super().__post_init__()
        for name, (first, last) in self.named().items():
            if not first < last:
                raise ValueError(f"{name} goes from {first:g} to {last:g}; allowed: from the lesser to the greater")

    def named(self) -> Mapping[str, Pair]:
        """All of them by name."""
        return {**self.roof_mm, **self.velum_share, **self.wall_mm}
