"""The comparison of two sounds: what it says, and that its texts keep their room in every style."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from articulators.errors import BadInput
from renders.anatomy.larynx import folds_height_mm
from renders.ink.recording import recorded_calls
from renders.pairs.compared import ComparedPair, compared_sounds, pair_report
from renders.pairs.layout import pair_layout
from renders.pairs.look import PairLook
from renders.pairs.picture import pair_picture, view_in, write_pair
from renders.paper.fitting import block, broken, size_for
from renders.paper.picture import Layer, Picture, Text
from renders.paper.style import load
from renders.paper.typeface import width
from renders.wording.languages import language_of
from tests.picture_text import collisions, outside, text_boxes
from tests.spoken import said
from vocaltract.pairs import occurrences
from vocaltract.phonetics.inventory import entries, sound

PAIRS = "t d,p b,k ɡ,s z,f v,b m,d n,ɡ ŋ,s ʃ,θ s,l ɹ,i ɪ,æ ɛ,t k".split(",")
STYLES = ("light", "dark", "print")


@pytest.fixture(autouse=True)
def shared_timelines(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(occurrences, "say", said)
    yield


@cache
def pair(names: str) -> ComparedPair:
    a, b = names.split()
    return compared_sounds(sound(a), sound(b))


def said_of(shown: ComparedPair) -> dict[str, str]:
    """What a pair says in English: title, statement, technical, unseen."""
    return pair_report(shown, language_of("en"))


@pytest.mark.parametrize("names", PAIRS)
def test_every_pair_draws_in_every_style_with_its_texts_apart(names: str) -> None:
    for name in STYLES:
        style = load(name)
        picture = pair_picture(pair(names), PairLook(style))
        boxes = text_boxes(recorded_calls(picture, style))
        assert len(boxes) > 15
        assert outside(boxes, picture.width, picture.height) == []
        assert collisions(boxes) == []


def test_the_checkers_find_text_that_collides_and_text_that_runs_out() -> None:
    style = load("light")

    def shown(*texts: Text) -> Picture:
        return Picture(400, 100, "paper", (Layer("texts", texts),))

    apart = shown(Text("tongue", 10, 30, 20, "ink"), Text("lips", 10, 70, 20, "ink"))
    assert collisions(text_boxes(recorded_calls(apart, style))) == []
    near = shown(Text("tongue", 10, 30, 20, "ink"), Text("lips", 30, 34, 20, "ink"))
    assert collisions(text_boxes(recorded_calls(near, style))) == [("tongue", "lips")]
    far = shown(Text("soft palate", 380, 30, 20, "ink"))
    assert outside(text_boxes(recorded_calls(far, style)), 400, 100) == ["soft palate"]


@pytest.mark.parametrize(
    ("names", "organs", "silent"),
    [
        # what differs by textbook (Ladefoged & Johnson, IPA Handbook 1999, from memory), what must not be said
        ("t d", ["voice starts", "d, about", "later for t"], ["for d the", "higher"]),
        ("p b", ["voice starts", "later for p"], ["soft palate hangs"]),
        ("k ɡ", ["voice starts", "later for k"], ["soft palate hangs"]),
        ("s z", ["on while z is held", "off for s"], ["release"]),
        ("f v", ["on while v is held", "off for f"], ["release"]),
        ("b m", ["m the soft palate hangs down", "through the nose"], ["gum ridge"]),
        ("d n", ["n the soft palate hangs down", "through the nose"], ["lips are"]),
        ("ɡ ŋ", ["ŋ the soft palate hangs down", "same place"], ["voice"]),
        ("s ʃ", ["s the tongue", "gap is behind the gum ridge", "rounded for ʃ"], ["voice"]),
        ("θ s", ["upper teeth", "gum ridge"], ["voice", "nose"]),
        ("l ɹ", ["beside the tongue", "touches nothing", "rounded for ɹ"], ["voice", "nose"]),
        ("i ɪ", ["higher for i", "i is tense", "ɪ is lax", "shorter"], ["voice", "lips shut"]),
        ("æ ɛ", ["higher for ɛ", "lower for æ"], ["voice"]),
        ("t k", ["tip touches the gum ridge", "back of the tongue touches the soft palate"], ["voice", "hangs"]),
    ],
)
def test_the_statement_names_what_differs(names: str, organs: list[str], silent: list[str]) -> None:
    plain = said_of(pair(names))["statement"]
    for part in organs:
        assert part in plain
    for part in silent:
        assert part not in plain


@pytest.mark.parametrize("names", ["t d", "p b", "k ɡ", "s z", "f v"])
def test_what_is_the_same_shows_no_folds(names: str) -> None:
    """A 'same' picture must not show the folds of one of the two (the design's correction by a phonetician)."""
    shown = pair(names)
    assert shown.difference.moved == ()
    layers = pair_picture(shown, PairLook(load("light"))).layers
    first = [layer.name for layer in layers[: [layer.name for layer in layers].index("inset")]]
    assert first.count("voice") == 1  # of the second card alone
    symbols = [op.string for layer in layers if layer.name == "card" for op in layer.ops if isinstance(op, Text)]
    assert "  ".join(names.split()) in symbols


@pytest.mark.parametrize(
    ("names", "small"),
    [
        ("t d", "folds"),
        ("f v", "folds"),
        ("l ɹ", "palate"),
        ("θ s", "palate"),
        ("s ʃ", "lips"),
        ("n ŋ", ""),
        ("i ɪ", ""),
    ],
)
def test_the_small_view_shows_what_differs(names: str, small: str) -> None:
    shown = pair(names)
    layers = pair_picture(shown, PairLook(load("light"))).layers
    titles = [
        op.string
        for layer in layers
        if layer.name == "inset"
        for op in layer.ops
        if isinstance(op, Text) and op.size < 16
    ]
    assert titles == ([language_of("en").text(f"view.{small}")] * 2 if small else [])


def test_l_and_r_differ_by_touch_and_open_sides() -> None:
    # Ladefoged & Johnson (from memory): l central contact with open sides; ɹ no contact anywhere
    title = said_of(pair("l ɹ"))["title"]
    assert "touches" in title and "sides" in title and "no touch of the tip for ɹ" in title


@pytest.mark.parametrize("names", ["i ɪ", "æ ɛ"])
def test_vowels_have_no_row_of_contact_and_no_bars_of_neighbours(names: str) -> None:
    calls = recorded_calls(pair_picture(pair(names), PairLook(load("light"))), load("light"))
    layers = pair_picture(pair(names), PairLook(load("light"))).layers
    strings = [op.string for layer in layers for op in layer.ops if isinstance(op, Text)]
    assert "contact" not in strings and "narrow gap" not in strings and "air out" in strings
    assert not any(c.groups[-1:] in (("contact",), ("narrow",)) and "tracks" in c.groups for c in calls)


def test_nasals_have_a_lane_of_air_through_the_nose() -> None:
    layers = pair_picture(pair("n ŋ"), PairLook(load("light"))).layers
    strings = [op.string for layer in layers for op in layer.ops if isinstance(op, Text)]
    assert strings.count("air, nose") == 2 and "nose" not in strings


def test_air_in_what_is_the_same_ends_above_the_folds() -> None:
    shown = pair("t d")
    picture = pair_picture(shown, PairLook(load("light")))
    calls = [c for c in recorded_calls(picture, load("light")) if "air" in c.groups and c.box is not None]
    view = view_in(pair_layout().picture.card_box(0))
    folds = view.px([0.0, folds_height_mm(shown.held[0].section)])[1]
    first = [c for c in calls if c.box is not None and c.box[2] < sum(pair_layout().picture.card_box(0)[::2]) + 25]
    assert first
    assert all(c.box is not None and c.box[3] < folds for c in first)


def test_pairs_are_shown_in_a_minimal_pair_at_the_start_of_a_word_where_there_is_one() -> None:
    shown = pair("t d")
    assert shown.position == "initial"
    assert [s.span.entry.symbol for s in shown.said] == ["t", "d"]
    assert "at the start of a word" in said_of(shown)["title"]
    assert pair("ɡ ŋ").position == "final"  # ŋ never begins an English word (Ladefoged & Johnson, from memory)
    assert "at the end of a word" in said_of(pair("ɡ ŋ"))["title"]


def test_each_is_shown_where_they_differ() -> None:
    shown = pair("t d")
    for i, onset in enumerate((shown.difference.first.voice_onset_s, shown.difference.second.voice_onset_s)):
        release = shown.measures[i].release_s
        assert release is not None and onset is not None
        after = shown.shown[i].time_s - release
        assert after == pytest.approx(0.030, abs=0.001)
        assert shown.shown[i].instant.vibrates == (after > onset)


def test_what_a_side_view_cannot_show_is_said() -> None:
    assert "sides of the tongue" in said_of(pair("l ɹ"))["unseen"]
    assert "groove" in said_of(pair("θ s"))["unseen"]
    assert said_of(pair("t d"))["unseen"] == ""


def test_two_sounds_without_a_minimal_pair_are_shown_by_themselves(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(occurrences, "example_pairs", lambda *_: ())
    assert occurrences.example_occurrences(entries()["t"], entries()["d"])[2] == "vowel"
    first, second, position = occurrences.example_occurrences(entries()["t"], entries()["n"])
    assert position == "alone"
    assert (first.word, second.word) == ("", "")
    assert first.timeline.alone and second.timeline.alone


def test_every_place_of_the_inventory_has_its_words() -> None:
    clauses, nouns = (language_of("en").rows(f"pair_{kind}") for kind in ("place", "noun"))
    for entry in entries().values():
        if entry.kind == "vowel" or entry.place == "glottal":
            continue
        assert any(key.startswith(f"{entry.place} ") for key in clauses), entry.symbol
    assert clauses.keys() == nouns.keys()


def test_written_to_a_file(tmp_path: Path) -> None:
    out = tmp_path / "t-d.svg"
    report = write_pair("t", "d", out, size=(800, 550))
    assert out.read_bytes().lstrip().startswith(b"<?xml")
    assert report["words"] == [s.word for s in pair("t d").said]
    assert report["statement"] == said_of(pair("t d"))["statement"]


def test_twice_the_same_sound_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="same sound"):
        write_pair("t", "t", tmp_path / "t-t.png")
    assert list(tmp_path.iterdir()) == []


def test_lines_are_broken_within_their_room() -> None:
    text = "The voice starts soon after the release for d, about 65 ms later for t."
    lines = broken(text, 300, 24)
    assert " ".join(lines) == text
    assert all(width(line, 24) <= 300 for line in lines)
    fitted, size = block(text, 300, 24, 2)
    assert len(fitted) <= 2
    assert size < 24
    assert all(width(line, size) <= 300 for line in fitted)
    assert width(text, size_for(text, 200, 24)) == pytest.approx(200, abs=0.5)
    assert size_for("t", 200, 24) == 24


def test_outlines_that_are_the_same_are_drawn_once() -> None:
    """b and m differ in the soft palate alone: no dashed outline anywhere else."""
    picture = pair_picture(pair("b m"), PairLook(load("light")))
    view = view_in(pair_layout().picture.card_box(0))
    dashed = [c for c in recorded_calls(picture, load("light")) if c.groups == ("two-outlines", "second-outline")]
    assert dashed
    points = np.concatenate([c.vertices for c in dashed])
    left, _ = view.px([45.0, 0.0])
    assert points[:, 0].min() > left  # the soft palate begins at x 50 mm of the head
