"""Resonances of the shape of a tract in a table, against handbooks; tables that do not fit are refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from articulators.errors import BadInput
from renders.tables import tract_shape


def _table(folder: Path, text: str) -> Path:
    file = folder / "shape.csv"
    file.write_text(text, encoding="utf-8")
    return file


def test_uniform_tube_from_a_table(tmp_path: Path) -> None:
    """(2n-1) c / 4L (any handbook); remarks, spaces, other columns and a byte-order mark do not matter."""
    file = _table(tmp_path, "\ufeff# glottis first\nname, area_cm2 ,length_cm\na,5, 10\n\nb,5,7.5\n")
    values = tract_shape.resonances_of(file, lossless=True)
    assert values["resonances_hz"] == pytest.approx([500, 1500, 2500, 3500, 4500], rel=1e-3)
    assert values["sections"] == 2 and "bandwidths_hz" not in values
    faster = tract_shape.resonances_of(file, lossless=True, sound_speed_cm_s=70000)
    assert faster["resonances_hz"][0] == pytest.approx(1000, rel=1e-3)
    assert "resonance 1" in tract_shape.resonances_text(values)


def test_losses_print_as_in_the_book(tmp_path: Path) -> None:
    """Rabiner & Schafer (1978) ch. 3, uniform tube with all losses (row U5 of area_functions_resonances.csv)."""
    values = tract_shape.resonances_of(_table(tmp_path, "length_cm,area_cm2\n17.5,5\n"))
    assert values["resonances_hz"] == pytest.approx([473.5, 1423.6, 2372.3, 3322.1, 4274.5], rel=0.015)
    assert values["bandwidths_hz"] == pytest.approx([62.3, 80.5, 114.5, 158.7, 201.7], rel=0.08)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "empty"),
        ("# only remarks\n", "empty"),
        ("length_cm,area_cm2\n", "no sections"),
        ("length_cm,areas_cm2\n1,2\n", "line 1: column area_cm2 is missing.*nearest: areas_cm2"),
        ("length_cm,area_cm2\n1,2\n1,-3\n", "line 3: area_cm2 is -3"),
        ("# x\nlength_cm,area_cm2\n0,2\n", "line 3: length_cm is 0"),
        ("length_cm,area_cm2\n1,wide\n", "line 2: area_cm2 is 'wide'"),
        ("length_cm,area_cm2\n1\n", "line 2: area_cm2 is ''"),
        ("length_cm,area_cm2\n1,inf\n", "line 2: area_cm2 is inf"),
        ("length_cm,area_cm2\nnan,3\n", "line 2: length_cm is nan"),
        ("length_cm,area_cm2\n1e300,3\n", "line 2: length_cm is 1e300; allowed is 0.001 to 100"),
        ("length_cm,area_cm2\n17.5,1e-9\n", "line 2: area_cm2 is 1e-9; allowed is 0.001 to 1000"),
        ("length_cm,area_cm2\n1,3\n1,0\n", "line 3: area_cm2 is 0; the tract is shut there"),
    ],
)
def test_bad_tables_are_told_with_their_line(tmp_path: Path, text: str, part: str) -> None:
    with pytest.raises(BadInput, match=part) as caught:
        tract_shape.resonances_of(_table(tmp_path, text))
    assert "\n" not in str(caught.value)


def test_missing_file_folder_and_binary(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such file"):
        tract_shape.resonances_of(tmp_path / "none.csv")
    with pytest.raises(BadInput, match="folder"):
        tract_shape.resonances_of(tmp_path)
    (tmp_path / "x.csv").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(BadInput, match="UTF-8"):
        tract_shape.resonances_of(tmp_path / "x.csv")
