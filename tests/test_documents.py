"""What the documents name is there, and DEVELOPERS.md draws the house as it stands."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests import layers
from tests.documents import missing
from vocaltract import __version__

ROOT = Path(layers.__file__).resolve().parent.parent
DEVELOPERS = ROOT / "DEVELOPERS.md"


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_what_a_document_names_is_there(document: str) -> None:
    assert missing(ROOT, ROOT / document) == []


def test_what_is_not_there_is_found(tmp_path: Path) -> None:
    there = "`renders.Film` `renders/cli.py` `renders.films.film.write_film` `python -m tests.layers` renders/none.py"
    gone = "`renders.Opera` `renders/none.py` `renders.films.none` `renders.cli.none` `see tests/none/`"
    document = tmp_path / "page.md"
    document.write_text(there, encoding="utf-8")
    assert missing(ROOT, document) == []
    document.write_text(f"{there}\n{gone}", encoding="utf-8")
    assert missing(ROOT, document) == [
        "renders.Opera", "renders.cli.none", "renders.films.none", "renders/none.py", "tests/none/",
    ]  # fmt: skip


def test_the_log_of_changes_begins_with_this_version() -> None:
    log = DEVELOPERS.read_text(encoding="utf-8").split("\n## Changes\n")[1]
    assert re.findall(r"^### (.+)$", log, flags=re.MULTILINE)[0] == __version__


def drawn(text: str) -> dict[str, list[set[str]]]:
    """Package -> rooms of each floor from the ground, as the block of text in a document draws them."""
    block = text.split("```text\n", 1)[1].split("```", 1)[0]
    found: dict[str, list[set[str]]] = {}
    package = ""
    for line in block.splitlines():
        head = re.match(r"(\w*) +\d+  (.+)", line)
        if head:
            package = head[1] or package
            rooms = re.sub(r"\(.*?\)", "", head[2]).split()
            full = {room if room in layers.PACKAGES else f"{package}.{room}" for room in rooms}
            found.setdefault(package, []).insert(0, full)
    return found


def test_the_floors_are_drawn_as_they_are() -> None:
    floors = {package: [set(row.split()) for row in rows] for package, rows in layers.FLOORS.items()}
    text = DEVELOPERS.read_text(encoding="utf-8")
    assert drawn(text) == floors
    assert drawn(text.replace("  insets\n", "\n", 1)) != floors


def test_each_room_has_a_line() -> None:
    rows = re.findall(r"^\| `([\w.]+)` \| \S.*\|$", DEVELOPERS.read_text(encoding="utf-8"), flags=re.MULTILINE)
    wanted = set(layers.floors()) - {"vocaltract", "renders", "renders.__main__"}
    assert sorted(room for room in rows if room in layers.floors()) == sorted(wanted)
