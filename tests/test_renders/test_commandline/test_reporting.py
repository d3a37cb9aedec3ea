"""What a command tells of its work, and where it writes to."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import pytest

from articulators.errors import BadInput
from renders.commandline import destinations, reporting


def test_ipa_and_paths_are_readable_in_json() -> None:
    text = reporting.as_json({"sound": "ʃ", "out": Path("still-sh.png")})
    assert "ʃ" in text and json.loads(text) == {"sound": "ʃ", "out": "still-sh.png"}


def test_a_bar_counts_what_is_done(capsys: pytest.CaptureFixture[str]) -> None:
    with reporting.progress_bar(argparse.Namespace(progress=True), "film") as show:
        assert show is not None
        show(1, 4)
        show(4, 4)
    assert "film" in (said := capsys.readouterr().err) and "4/4" in said
    with reporting.progress_bar(argparse.Namespace(progress=False), "film") as quiet:
        assert quiet is None, "nobody watches"


def test_places_have_a_name_where_none_is_given() -> None:
    assert destinations.default_name("film", "Front desk!", ".mp4") == "film-front-desk.mp4"
    assert destinations.file_of("film", (".mp4", ".gif")) == "file to write (.mp4, .gif); default: ./film-NAME.mp4"
    assert destinations.folder_of(None, "lesson-t-d") == Path("lesson-t-d")
    assert destinations.folder_of("desk", "lesson-t-d") == Path("desk")
    with pytest.raises(BadInput, match="has no name; write for example --out front-desk"):
        destinations.folder_of("", "lesson-t-d")
