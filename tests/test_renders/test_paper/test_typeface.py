"""Two faces as one: what the first lacks comes from the second, glyph by glyph.

Outside: advances of the font files as fontTools reads them; outlines as matplotlib.textpath gives them; the naming
terms of the SIL Open Font License 1.1.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from fontTools.ttLib import TTFont

from articulators.errors import BadInput
from renders.paper import make_typeface, typeface

WEIGHTS = ("regular", "bold")


def advance(file: str, text: str) -> float:
    with TTFont(file) as font:
        return sum(font["hmtx"][font.getBestCmap()[ord(char)]][0] for char in text) / font["head"].unitsPerEm  # type: ignore[no-any-return]


@pytest.mark.parametrize("weight", WEIGHTS)
def test_a_mixed_line_is_as_wide_as_its_parts(weight: str) -> None:
    first, second = typeface.font_files(weight)
    expected = advance(first, "H 2") + advance(second, "舌尖")
    assert typeface.width("H 2舌尖", 1.0, weight) == pytest.approx(expected, rel=2e-3)
    assert typeface.width("舌尖", 10.0, weight) == pytest.approx(20.0)  # ideographs fill their em


@pytest.mark.parametrize("weight", WEIGHTS)
def test_outlines_of_both_faces_follow_one_another(weight: str) -> None:
    latin, han = (typeface.outline(text, weight).vertices for text in ("H", "舌"))
    both = typeface.outline("H舌", weight).vertices
    np.testing.assert_allclose(both[: len(latin)], latin)
    np.testing.assert_allclose(both[len(latin) :] - han, han * 0.0 + (typeface.width("H", 1.0, weight), 0.0), atol=1e-9)


@pytest.mark.parametrize("weight", WEIGHTS)
@pytest.mark.parametrize("text", ["front desk", "t̪ʰ ɹ̺ k͡p", "0.25 s", "fi fl", "two  towels", "", " "])
def test_outlines_are_those_of_the_library_s_own_function(text: str, weight: str) -> None:
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import text_to_path

    size = 100.0  # what the function gives them in
    font = FontProperties(fname=typeface.font_file(weight), size=size)
    vertices, codes = text_to_path.get_text_path(font, text, features=("ss13", "-liga"))
    found = typeface.outline(text, weight)
    np.testing.assert_array_equal(found.vertices, np.reshape(vertices, (-1, 2)) / size)
    np.testing.assert_array_equal([] if found.codes is None else found.codes, codes)


def test_what_neither_face_has_is_told() -> None:
    assert typeface.lacking("H舌龘舌") == "舌龘"
    assert typeface.missing("H舌龘") == "龘"
    with pytest.raises(BadInput, match=r"cannot draw 龘 \(U\+9F98\)"):
        typeface.outline("龘")


@pytest.mark.parametrize("weight", WEIGHTS)
def test_the_cut_holds_what_the_texts_need_and_a_name_of_its_own(weight: str) -> None:
    file = typeface.font_files(weight)[1]
    with TTFont(file) as font:
        assert {chr(code) for code in font.getBestCmap()} == set(make_typeface.characters_wanted(weight))
        names = " ".join(str(row) for row in font["name"].names if row.nameID not in (0, 13, 14))
        names += " ".join(font["CFF "].cff.fontNames) + str(font["CFF "].cff[0].FullName)
        assert make_typeface.FAMILY in names
        # OFL 1.1, condition 3: no reserved name; trademarks are left alone as well
        assert not any(word in names for word in ("Noto", "Source", "Andika", "SIL", "Adobe"))
        assert "Adobe" in font["name"].getDebugName(0) and "Open Font License" in font["name"].getDebugName(13)
    assert Path(file).stat().st_size < 120_000


def test_a_source_without_the_face_is_refused() -> None:
    with pytest.raises(ValueError, match="does not hold Noto Sans CJK SC"):
        make_typeface.cut(Path(typeface.font_file()), "regular")
