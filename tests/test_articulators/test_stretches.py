"""Places on a head: each goes from the lesser to the greater, and has a source."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from articulators.head import adult_male
from articulators.records import record
from articulators.stretches import Stretches

OWN = {"unit": "mm", "source": "here", "status": "estimated", "velum_share": {}, "wall_mm": {}}


def test_stretches_are_found_by_name_on_whatever_surface() -> None:
    own = adult_male().places
    assert {*own.roof_mm, *own.velum_share, *own.wall_mm} == set(own.named())
    assert len(own.named()) == len(own.roof_mm) + len(own.velum_share) + len(own.wall_mm), "no name stands twice"


def test_a_stretch_from_back_to_front_is_refused() -> None:
    assert record({**OWN, "roof_mm": {"velar": [43.0, 53.0]}}, Stretches, "x").named() == {"velar": (43.0, 53.0)}
    with pytest.raises(BadInput, match="velar goes from 53 to 43; allowed: from the lesser to the greater"):
        record({**OWN, "roof_mm": {"velar": [53.0, 43.0]}}, Stretches, "x")
