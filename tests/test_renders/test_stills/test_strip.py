"""Key moments side by side: cards, the leaders to their times, and text that keeps its room."""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
import shapely

from articulators.curves import Array
from articulators.errors import BadInput
from renders.ink.recording import recorded_calls
from renders.paper.picture import Picture, Text
from renders.paper.style import load
from renders.stills import strip
from renders.stills.layout import still_layout
from renders.stills.strip import leader_lines, strip_picture, write_strip
from renders.tracks import timestrip
from renders.wording import teller
from renders.wording.languages import language_of
from tests.picture_text import collisions, outside, text_boxes
from tests.spoken import said
from vocaltract.motion.timeline import Timeline
from vocaltract.phonetics.inventory import entries
from vocaltract.speech import say_alone

ENGLISH = language_of()

TEXTS = ("backpack", "two", "room key")


def lines_of(timeline: Timeline) -> list[Array]:
    keys = teller.key_moments(timeline)
    return leader_lines(timeline, strip._boxes(len(keys)), [k.time_s for k in keys])


def crossings(lines: list[Array]) -> int:
    """How many pairs of bent lines cross, judged by shapely."""
    ways = [shapely.LineString(line) for line in lines]
    return sum(one.crosses(other) for one, other in itertools.combinations(ways, 2))


@pytest.mark.parametrize("text", TEXTS)
def test_leaders_do_not_cross_and_end_at_their_times(text: str) -> None:
    timeline = said(text)
    keys = teller.key_moments(timeline)
    lines = lines_of(timeline)
    assert crossings(lines) == 0
    for key, line in zip(keys, lines, strict=True):
        box = still_layout().strip.box_px
        assert line[-1][0] == pytest.approx(timestrip.strip_x(timeline, box, key.time_s), abs=0.5)
        assert line[-1][1] <= box[1]


def test_the_counter_of_crossings_finds_one() -> None:
    lines = lines_of(said("backpack"))
    lines[2], lines[3] = (
        np.concatenate([lines[2][:2], lines[3][2:]]),
        np.concatenate([lines[3][:2], lines[2][2:]]),
    )
    assert crossings(lines) > 0


@pytest.mark.parametrize("text", TEXTS)
@pytest.mark.parametrize("style", ["light", "print"])
def test_texts_stay_in_the_picture_and_apart(text: str, style: str) -> None:
    look = load(style)
    picture = strip_picture(said(text), look, ENGLISH)
    boxes = [b for b in text_boxes(recorded_calls(picture, look)) if b.top < still_layout().strip.box_px[1]]
    assert len(boxes) >= 3 * len(teller.key_moments(said(text)))
    assert outside(boxes, picture.width, picture.height) == []
    assert collisions(boxes) == []


def cards(picture: Picture) -> list[list[str]]:
    return [[op.string for op in layer.ops if isinstance(op, Text)] for layer in picture.layers if layer.name == "card"]


def test_cards_show_the_sounds_in_order_with_real_milliseconds() -> None:
    timeline = said("backpack")
    shown = cards(strip_picture(timeline, load("light"), ENGLISH))
    assert 1 < len(shown) <= 10
    times = [int(next(t for t in card if t.endswith(" ms"))[:-3]) for card in shown]
    assert times == sorted(times)
    keys = teller.key_moments(timeline)
    assert times == [round(1000 * (k.time_s - timeline.speech_s[0])) for k in keys]
    # the held k and the p that is shut before k is let go (Crystal & House 1988: such stops are rarely released)
    assert any("k̚" in card[0] and "p" in card[0] for card in shown)


def test_a_strip_has_no_more_cards_than_asked_for() -> None:
    assert len(cards(strip_picture(said("room key"), load("light"), ENGLISH, most=4))) == 4


def test_a_sound_alone_begins_and_ends_at_rest() -> None:
    timeline = say_alone(entries()["m"])
    picture = strip_picture(timeline, load("dark"), ENGLISH)
    shown = cards(picture)
    assert "at rest" in shown[0] and "at rest" in shown[-1]
    leaders = [op for layer in picture.layers if layer.name == "leaders" for op in layer.ops]
    assert leaders
    # no leader leaves the strip for a moment that it does not show
    for op in leaders:
        low, _, high, _ = op.path.bounds()  # type: ignore[union-attr]
        assert 0 <= low <= high <= still_layout().strip.width_px


def test_the_breath_of_a_stop_is_drawn_as_breath_not_as_a_burst() -> None:
    """A burst lasts about 10 ms, the breath after it about 60 (Lisker & Abramson 1964; common practice)."""
    calls = recorded_calls(strip_picture(said("two"), load("light"), ENGLISH), load("light"))
    names = {name for c in calls for name in c.groups}
    assert {"burst", "breath"} <= names


def test_files_are_written_and_told_about(tmp_path: Path) -> None:
    out = tmp_path / "two.png"
    report = write_strip("two", out, size=(800, 330))
    assert out.read_bytes().startswith(b"\x89PNG")  # PNG specification, W3C
    keys = teller.key_moments(said("two"))
    assert [row["label"] for row in report["moments"]] == [ENGLISH.say(key.label) for key in keys]
    strip.strip(said("two")).save(tmp_path / "two.pdf")
    assert (tmp_path / "two.pdf").read_bytes().startswith(b"%PDF-")  # ISO 32000


def test_a_word_that_is_none_is_refused_and_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        write_strip("", tmp_path / "nothing.png")
    assert list(tmp_path.iterdir()) == []
