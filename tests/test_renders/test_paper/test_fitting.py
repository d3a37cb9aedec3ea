"""Texts and pictures keep to the room that they are given. Outside: the widths of the typeface, and arithmetic."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from renders.paper.fitting import block, broken, even_lines, fitted, pieces, size_for
from renders.paper.picture import Fill, Group, Layer, Path, Picture
from renders.paper.typeface import width

WORDS = st.lists(st.text("abcdefgh", min_size=1, max_size=9), min_size=1, max_size=9)


@given(WORDS, st.floats(40.0, 400.0))
def test_broken_lines_keep_words_and_room(words: list[str], room: float) -> None:
    lines = broken(" ".join(words), room, 20.0)
    assert " ".join(lines).split() == words
    assert all(width(line, 20.0) <= room or " " not in line for line in lines)


def test_a_line_is_not_broken_sooner_than_it_must() -> None:
    lines = broken("towel and key at the front desk", 150.0, 20.0)
    for line, after in itertools.pairwise(lines):
        assert width(f"{line} {after.split()[0]}", 20.0) > 150.0


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("tongue tip (apex)", ("tongue tip (apex)",)),
        ("soft palate (velum), raised", ("soft palate", "(velum), raised")),
        ("pharyngoepiglotticfolds", ("pharyngoepiglotticfolds",)),
        ("", ("",)),
    ],
)
def test_even_lines_above_21_letters(text: str, lines: tuple[str, ...]) -> None:
    assert even_lines(text, 21) == lines


@given(WORDS)
def test_even_lines_are_as_short_as_any_other_way_to_part_them(words: list[str]) -> None:
    found = even_lines(" ".join(words), 12)
    assert " ".join(found).split() == words
    for cuts in itertools.combinations(range(1, len(words)), len(found) - 1):
        other = [" ".join(words[i:j]) for i, j in itertools.pairwise((0, *cuts, len(words)))]
        assert max(map(len, found)) <= max(map(len, other))


def test_a_size_is_made_smaller_only_where_it_must_be() -> None:
    assert size_for("key", 500.0, 20.0) == 20.0
    small = size_for("front desk", 50.0, 20.0)
    assert width("front desk", small) == pytest.approx(50.0)


def test_a_block_has_no_more_lines_than_it_may_and_none_too_wide() -> None:
    lines, size = block("towel and key at the front desk of the hotel", 120.0, 30.0, 2)
    assert len(lines) <= 2 and size < 30.0
    assert all(width(line, size) <= 120.0 for line in lines)
    assert block("towel", 120.0, 30.0, 2) == (["towel"], 30.0)


def test_a_fitted_picture_is_scaled_and_centred() -> None:
    square = Picture(100.0, 100.0, "paper", (Layer("a", (Fill(Path.rectangle(0, 0, 100, 100), "ink"),)),))
    (group,) = fitted(square, (400, 200)).layers[0].ops
    assert isinstance(group, Group) and group.transform is not None
    corners = np.array([[0.0, 0.0], [100.0, 100.0]]) @ group.transform[:, :2].T + group.transform[:, 2]
    assert corners.tolist() == [[100.0, 0.0], [300.0, 200.0]]
    assert fitted(square, (100, 100)) is square


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        # source: W3C, Requirements for Chinese Text Layout, 3.1.3: where no line may begin or end
        ("舌尖（软腭）。", ["舌", "尖", "（软", "腭）。"]),
        ("发 l 时，舌尖", ["发 l 时，", "舌", "尖"]),
        ("“light”中", ["“light”中"]),
        ("the tip alike", ["the", " tip", " alike"]),
        ("", []),
    ],
)
def test_chinese_may_be_broken_between_characters(text: str, parts: list[str]) -> None:
    assert pieces(text) == parts


@given(st.text("舌尖抵住齿龈，。（）la ", min_size=1, max_size=40), st.floats(60.0, 300.0))
def test_broken_chinese_keeps_every_character_and_its_room(text: str, room: float) -> None:
    lines = broken(text, room, 20.0)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(width(line, 20.0) <= room or len(pieces(line)) == 1 for line in lines)


def test_even_lines_count_a_chinese_character_twice() -> None:
    assert even_lines("卷起的舌尖在此接触", 13) == ("卷起的舌", "尖在此接触")
    assert even_lines("舌尖在此", 13) == ("舌尖在此",)
