"""What a page knows of one item: events in order, states without a gap, and one teller's words for both."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from renders.page import item_data
from renders.page.item_data import NumberedLines, event_s, usual_event
from renders.page.settings import settings
from renders.page.subject import Item, Subject, subject_of
from renders.wording.teller import Teller


@pytest.fixture(scope="module")
def item() -> Item:
    return subject_of(("ticket",)).items[0]


@pytest.fixture(scope="module")
def data(item: Item) -> dict[str, Any]:
    return item_data.item_data(item, NumberedLines())


def test_events_of_a_stop_follow_one_another(data: dict[str, Any]) -> None:
    # a stop is shut, let go, and voiced after that (any handbook)
    events = data["spans"][0]["events"]
    assert events["closure"] < events["release"] < events["voice"] <= events["vowel"] + 0.01
    assert event_s(data, "start") == pytest.approx(data["speech"][0])


def test_states_follow_one_another_and_none_is_too_short_to_be_read(data: dict[str, Any]) -> None:
    starts = np.array([row[0] for row in data["states"]])
    assert starts[0] == 0.0
    assert (np.diff(starts) >= settings().states.least_s - settings().states.step_s).all()
    assert all(a[1:] != b[1:] for a, b in zip(data["states"], data["states"][1:], strict=False))


def test_one_teller_says_all_states_of_an_item(item: Item, monkeypatch: pytest.MonkeyPatch) -> None:
    made = []
    begin = Teller.__init__

    def counted(self: Teller, *given: Any, **named: Any) -> None:
        made.append(self)
        begin(self, *given, **named)

    monkeypatch.setattr(Teller, "__init__", counted)
    item_data._states(item.timeline, NumberedLines())
    assert len(made) == 1


def test_two_items_are_lined_up_at_the_first_event_that_both_have(voiced_pair: Subject, nasal_pair: Subject) -> None:
    rows = [item_data.item_data(item, NumberedLines()) for item in voiced_pair.items]
    assert usual_event(rows) == "release"
    vowels = [item_data.item_data(item, NumberedLines()) for item in subject_of(("[i]", "\u026a")).items]
    assert usual_event(vowels) == "vowel"


def test_the_transcription_is_cut_at_its_sounds(item: Item, data: dict[str, Any]) -> None:
    assert "".join(text for text, _ in data["pieces"]) == item.timeline.utterance.transcription
    assert [number for _, number in data["pieces"] if number is not None] == list(range(len(data["spans"])))
