"""Where libraries keep what they make, seen from the environment that they read."""

from __future__ import annotations

import logging
import os
from pathlib import Path

import pytest

from renders.commandline.libraries import keep_libraries_apart
from vocaltract.phonetics import cache_folder


def test_what_matplotlib_keeps_lies_in_our_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MPLCONFIGDIR", "")
    monkeypatch.setenv(cache_folder.VARIABLE, str(tmp_path / "ours"))
    keep_libraries_apart()
    assert Path(os.environ["MPLCONFIGDIR"]).parent == tmp_path / "ours"
    assert list(tmp_path.iterdir()) == []
    assert not logging.getLogger("matplotlib.font_manager").isEnabledFor(logging.WARNING)


def test_a_folder_that_the_user_names_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MPLCONFIGDIR", str(tmp_path))
    keep_libraries_apart()
    assert os.environ["MPLCONFIGDIR"] == str(tmp_path)
