"""Every moment that texts may be aligned at has a name, in every language."""

from __future__ import annotations

import pytest

from renders.wording.event_words import event_label, event_title
from renders.wording.languages import language_of
from renders.wording.shipped import languages
from vocaltract.pairs.event import NAMES


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", NAMES)
def test_every_event_has_a_title_and_a_label(name: str, language: str) -> None:
    say = language_of(language).say
    assert say(event_title(name)) and say(event_label(name))
    assert event_title(name) != event_label(name)
