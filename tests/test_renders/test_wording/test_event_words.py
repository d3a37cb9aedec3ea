"""Every moment that texts may be aligned at has a name."""

from __future__ import annotations

import pytest

from renders.wording.event_words import event_label, event_title
from vocaltract.pairs.event import NAMES


@pytest.mark.parametrize("name", NAMES)
def test_every_event_has_a_title_and_a_shorter_label(name: str) -> None:
    assert 0 < len(event_label(name)) <= len(event_title(name))
