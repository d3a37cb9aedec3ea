"""The sheets of the inventory: every sound once, each where the chart of the IPA (revised to 2020) has it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from matplotlib.colors import to_rgb

from articulators.errors import BadInput
from renders.ink.recording import recorded_calls
from renders.paper.picture import Picture, Text
from renders.paper.style import load
from renders.stills import chart
from renders.stills.look import StillLook
from renders.stills.still import still_picture
from renders.wording.languages import language_of
from tests.picture_text import collisions, outside, text_boxes
from vocaltract.phonetics.inventory import entries, narrow_variants
from vocaltract.phonetics.speakers import speaker_of
from vocaltract.speech import say_alone

ENGLISH = language_of()


@cache
def drawn(kind: str) -> Picture:
    return chart.sheet(kind, load("light"), ENGLISH)


def symbols(kind: str) -> dict[str, tuple[float, float]]:
    """Each symbol and where its tile is written, in px."""
    found: dict[str, tuple[float, float]] = {}
    for layer in drawn(kind).layers:
        if layer.name == "symbols":
            op = next(op for op in layer.ops if isinstance(op, Text))
            for symbol in op.string.split():
                assert symbol not in found
                found[symbol] = (op.x, op.y)
    return found


def test_every_allophone_stands_on_its_sheet_once() -> None:
    assert set(symbols("allophones")) == set(narrow_variants())


def test_allophones_of_one_mouth_share_a_tile() -> None:
    at = symbols("allophones")
    tiles = [layer for layer in drawn("allophones").layers if layer.name == "symbols"]
    assert len({*at}) > len(tiles)
    # one posture: voiced and voiceless dental stops; two: plain and fronted k
    texts = [next(op for op in t.ops if isinstance(op, Text)).string.split() for t in tiles]
    assert ["t\u032a", "d\u032a"] in texts
    assert not any({"k\u02b0", "k\u031f"} <= set(text) for text in texts)


@pytest.mark.parametrize("kind", ["consonants", "vowels"])
def test_every_sound_stands_on_its_sheet_once(kind: str) -> None:
    wanted = {e.symbol for e in entries().values() if (e.kind == "vowel") == (kind == "vowels")}
    assert set(symbols(kind)) == wanted


@pytest.mark.parametrize("kind", chart.KINDS)
def test_texts_keep_apart_and_inside(kind: str) -> None:
    boxes = text_boxes(recorded_calls(drawn(kind), load("light")))
    assert outside(boxes, drawn(kind).width, drawn(kind).height) == []
    assert collisions(boxes) == []


# the order of the chart of the IPA, columns from the lips back, vowels from front to back and close to open
@pytest.mark.parametrize("row", ["pb t tʃ k ʔ", "f θ s ʃ h", "m n ŋ", "w l ɹ j"])
def test_consonants_stand_in_the_order_of_their_places(row: str) -> None:
    at = symbols("consonants")
    first = [at[s if s in at else s[0]] for s in row.split()]
    assert [x for x, _ in first] == sorted(x for x, _ in first)
    assert len({y for _, y in first}) == 1


@pytest.mark.parametrize("column", ["i ɪ ɛ æ", "u ʊ ɔ ɑ"])
def test_vowels_stand_in_the_order_of_their_heights(column: str) -> None:
    at = symbols("vowels")
    heights = [at[s][1] for s in column.split()]
    assert heights == sorted(heights) and len(set(heights)) == len(heights)


def test_front_stands_left_of_central_left_of_back() -> None:
    at = symbols("vowels")
    assert at["ɛ"][0] < at["ə"][0] < at["ɔ"][0]


def test_no_mark_of_voice_on_a_sheet() -> None:
    voice = to_rgb(load("light").hex("voice"))
    ours = [c for kind in ("consonants", "vowels") for c in recorded_calls(drawn(kind), load("light"))]
    assert not any(c.edge is not None and c.edge[:3] == pytest.approx(voice, abs=0.01) for c in ours)
    picture = still_picture(entries()["m"], say_alone(entries()["m"]), StillLook(load("light")))
    still = recorded_calls(picture, load("light"))
    assert any(c.edge is not None and c.edge[:3] == pytest.approx(voice, abs=0.01) for c in still)


def test_another_kind_is_refused() -> None:
    with pytest.raises(BadInput, match="sheet 'clicks' is not known"):
        chart.sheet("clicks", load("light"), ENGLISH)


def test_stills_and_sheets_of_all_sounds_are_written_and_counted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of one sound in place of all, and one sheet; no outside reference."""
    monkeypatch.setattr(chart, "entries", lambda: {"t": entries()["t"]})
    monkeypatch.setattr(chart, "narrow_variants", dict)
    monkeypatch.setattr(chart, "KINDS", ("consonants",))
    counts: list[tuple[int, int]] = []
    look = StillLook(load("light"), "none")
    made = chart.write_all(tmp_path / "all", look, ending=".svg", progress=lambda *done: counts.append(done))
    assert made == {"stills": 1, "sheets": 1}
    assert sorted(file.name for file in (tmp_path / "all").iterdir()) == ["sheet-consonants.svg", "still-t.svg"]
    assert counts == [(1, 2), (2, 2)]


def test_a_sheet_is_drawn_of_the_speaker_asked_for() -> None:
    woman = chart.sheet("vowels", load("light"), ENGLISH, speaker_of("woman"))
    assert {layer.name for layer in woman.layers} == {layer.name for layer in drawn("vowels").layers}
    assert recorded_calls(woman, load("light")) != recorded_calls(drawn("vowels"), load("light"))
