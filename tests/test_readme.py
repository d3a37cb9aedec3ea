"""The README's examples are understood by the command line, and the quick ones do what it shows.

In a console block a line that starts with "$ " is typed; the lines under it are what it prints.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from renders import cli

README = (Path(__file__).resolve().parent.parent / "README.md").read_text(encoding="utf-8")
QUICK = ("still", "strip", "pair", "sounds")


@dataclass(frozen=True)
class Example:
    """A typed line and what it prints."""

    typed: str
    shown: str

    @property
    def argv(self) -> list[str]:
        """The words after the program's name."""
        return shlex.split(self.typed)[1:]


def examples(text: str) -> list[Example]:
    """All examples of a Markdown text."""
    found = []
    for block in re.findall(r"^```console\n(.*?)^```$", text, re.DOTALL | re.MULTILINE):
        for part in re.split(r"^\$ ", block, flags=re.MULTILINE)[1:]:
            typed, _, shown = part.partition("\n")
            found.append(Example(typed, shown))
    return found


EXAMPLES = examples(README)
ERRORS = [example for example in EXAMPLES if example.shown.startswith("vocaltract: ")]
WORKING = [example for example in EXAMPLES if example not in ERRORS]


def test_examples_are_found() -> None:
    assert examples("```console\n$ vocaltract a\nb\n$ vocaltract c\n```\n") == [
        Example("vocaltract a", "b\n"),
        Example("vocaltract c", ""),
    ]
    assert {example.argv[0] for example in WORKING} >= {"still", "strip", "film", "pair", "lesson"}
    assert len(ERRORS) >= 3
    assert {example.argv[0] for example in WORKING if example.shown} >= {"still", "strip", "pair"}


@pytest.mark.parametrize("example", WORKING, ids=lambda example: example.typed)
def test_example_is_understood(example: Example) -> None:
    assert example.typed.startswith("vocaltract ")
    assert cli.build_parser().parse(example.argv).command == example.argv[0]


@pytest.mark.parametrize(
    "example", [e for e in WORKING if e.argv[0] in QUICK and e.shown], ids=lambda example: example.typed
)
def test_quick_example_does_what_is_shown(
    example: Example, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(example.argv) == 0
    assert capsys.readouterr() == (example.shown, "")
    written = re.match(r"wrote (.+)\n", example.shown)
    assert written is not None
    assert [file.name for file in tmp_path.iterdir()] == [written[1]]
    assert (tmp_path / written[1]).stat().st_size > 1000


@pytest.mark.parametrize("example", ERRORS, ids=lambda example: example.typed)
def test_error_is_as_shown(
    example: Example, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(example.argv) == 2
    assert capsys.readouterr() == ("", example.shown)
    assert list(tmp_path.iterdir()) == []


def test_every_command_stands_in_the_table() -> None:
    table = set(re.findall(r"^\| `vocaltract (\w+)", README, re.MULTILINE))
    assert table == set(cli.build_parser().commands)


def test_two_commands_are_whole() -> None:
    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv .venv && ")]
    assert [line.split(" && ")[-1] for line in lines] == [
        ".venv/bin/vocaltract lesson t d --out front-desk",
        ".venv/bin/python -m pytest",
    ]
    for line in lines:
        assert re.search(r"&& \.venv/bin/pip install (-e )?'?\.", line)


def test_the_lines_of_python_do_what_they_say(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (code,) = re.findall(r"^```python\n(.*?)^```$", README, re.DOTALL | re.MULTILINE)
    assert len(code.splitlines()) <= 20
    monkeypatch.chdir(tmp_path)
    names: dict[str, Any] = {}
    exec(compile(code, "README.md", "exec"), names)
    assert {path.name for path in tmp_path.iterdir()} == {"t.svg", "luggage.mp4", "vest-west.pdf", "vest-west.html"}
    assert names["heights"] == {360}
    printed = capsys.readouterr().out.splitlines()
    assert cli.main(["strip", "[qx7]"]) == 2
    assert capsys.readouterr().err == f"vocaltract: {printed[-1]}\n"


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_paths_that_are_named_exist(name: str, root: Path) -> None:
    """What is written like a path of the repository is one."""
    text = (root / name).read_text(encoding="utf-8")
    named = set(re.findall(r"`((?:articulators|vocaltract|renders|tests|\.ci)/[\w./-]+)`", text))
    assert len(named) > 2
    assert sorted(path for path in named if not (root / path).exists()) == []
