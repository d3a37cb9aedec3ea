"""The command line: one table of commands, what each passes on, help.

What draws is replaced here by recorders; test_cli_whole.py runs the commands for real.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from renders import cli
from renders.commandline import arguments
from renders.commands import (
    film,
    lesson,
    measure,
    page,
    pair,
    sounds,
    speak,
    speakers,
    still,
    strip,
    styles,
    timing,
    words,
)
from renders.films.shot import Hold, Shot
from renders.pairs.layout import pair_layout
from renders.paper import style
from renders.stills.layout import still_layout
from renders.tracks.layout import tracks_layout
from tests.test_renders.test_commands.makers import Makers
from vocaltract.phonetics.speaker import SPEAKERS
from vocaltract.speech import USUAL, Speech

# A smallest good use of every command.
GOOD = {
    still.NAME: ["still", "t"],
    strip.NAME: ["strip", "towel"],
    film.NAME: ["film", "towel"],
    pair.NAME: ["pair", "t", "d"],
    page.NAME: ["page", "towel"],
    lesson.NAME: ["lesson", "t", "d"],
    sounds.NAME: ["sounds"],
    timing.NAME: ["timing", "towel"],
    words.NAME: ["words", "t"],
    measure.NAME: ["measure", "ee"],
    styles.NAME: ["styles"],
    speakers.NAME: ["speakers"],
    speak.NAME: ["speak", "towel"],
}

# The whole picture, as the speaker of a still faces left.
WHOLE = {
    "show": None, "hide": (), "mirrored": False, "transparent": False, "language": "en", "speaker": None,
    "force": False,
}  # fmt: skip


def test_table_has_every_command() -> None:
    courses = {"plan", "course"}  # tests of renders.coursework
    assert set(GOOD) | courses == set(cli.build_parser().commands)


def test_help_names_every_speaker() -> None:
    """Help must not load what reads the speakers; no outside reference."""
    assert f"who speaks: {', '.join(SPEAKERS)}, or a .toml file" in arguments.SPEAKERS_HELP


def test_what_is_printed_as_the_usual_size_is_that_of_the_picture() -> None:
    """Help must not load what reads the layouts, so that sizes are written out there; no outside reference."""
    stills, pairs, timed = still_layout(), pair_layout(), tracks_layout().timing
    assert (stills.strip.width_px, stills.strip.height_px) == strip.SIZE_PX
    assert pair.SIZES_PX["picture"] == (pairs.picture.width_px, pairs.picture.height_px)
    assert pair.SIZES_PX["strip"] == (pairs.strip.width_px, pairs.strip.height_px)
    assert (timed.width_px, timed.height_px) == timing.SIZE_PX


def test_help_lists_every_module_of_the_folder_in_its_order() -> None:
    modules = cli.modules()
    folder = Path(still.__file__).parent
    assert {module.NAME for module in modules} == {file.stem for file in folder.glob("*.py")} - {"__init__"}
    assert len({module.ORDER for module in modules}) == len(modules)
    assert list(cli.build_parser().commands) == [module.NAME for module in sorted(modules, key=lambda m: m.ORDER)]


@pytest.mark.parametrize("command", GOOD)
def test_good_use_ends_with_0_and_a_quiet_stderr(
    command: str, makers: Makers, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(GOOD[command]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert out != ""


@pytest.mark.parametrize("command", GOOD)
def test_json_report_is_one_object(command: str, makers: Makers, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main([*GOOD[command], "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert report["command"] == command


@pytest.mark.parametrize(
    ("argv", "args", "settings"),
    [
        (
            ["still", "sh", "--labels", "technical", "--style", "dark", "--size", "800x600"],
            ("ʃ", Path("still-sh.png")),
            {"labels": "technical", "style": "dark", "size": (800, 600), **WHOLE},
        ),
        (
            ["still", "[t]", "--out", "a.SVG"],
            ("t", Path("a.SVG")),
            {"labels": "plain", "style": "light", "size": (1600, 1200), **WHOLE},
        ),
        (
            ["still", "r"],
            ("ɹ", Path("still-r.png")),
            {"labels": "plain", "style": "light", "size": (1600, 1200), **WHOLE},
        ),
        (
            ["still", "t", "--show", "tongue, palate,contact", "--hide", "palate", "--mirror", "--transparent"],
            ("t", Path("still-t.png")),
            {"labels": "plain", "style": "light", "size": (1600, 1200), "show": ("tongue", "palate", "contact"),
             "hide": ("palate",), "mirrored": True, "transparent": True, "language": "en", "speaker": None,
             "force": False},
        ),
        (
            ["strip", "hot", "tub"],
            ("hot tub", Path("strip-hot-tub.png")),
            {"style": "light", "size": (1600, 660), "speech": USUAL, "language": "en", "wave": False, "force": False},
        ),
        (
            ["film", "front desk", "--speed", "0.25", "--fps", "50", "--dwell", "--out", "x.gif", "--careful",
             "--rate", "0.8", "--emphasis", "desk", "--final-unreleased"],
            ("front desk", Path("x.gif"), Shot(speed=0.25, fps=50.0, dwell=True)),
            {"speech": Speech(True, True, 0.8, ("desk",)), "force": False, "progress": None},
        ),
        (
            ["film", "towel", "--out", "x.webm", "--shape", "tall", "--captions", "none", "--transparent", "--loop",
             "--hold", "closure:0.5", "--hold", "steady", "--force"],
            ("towel", Path("x.webm"),
             Shot(size=(1080, 1920), captions=False, transparent=True, loop=True,
                  holds=(Hold("closure", 0.5), Hold("steady")))),
            {"speech": USUAL, "force": True, "progress": None},
        ),
        (
            ["film", "--", "-ly"],
            ("-ly", Path("film-ly.mp4"), Shot()),
            {"speech": USUAL, "force": False, "progress": None},
        ),
        (
            ["pair", "g", "k", "--force"],
            ("g", "k", Path("pair-g-k.png")),
            {"event": "", "speech": USUAL, "style": "light", "size": (1600, 1100), "language": "en",
             "force": True},
        ),
        (
            ["lesson", "t", "d", "--out", "front-desk", "--word", "towel", "--word", "hot tub", "--force"],
            ("t", "d", Path("front-desk")),
            {"words": ["towel", "hot tub"], "shot": Shot(), "speech": USUAL, "force": True, "progress": None},
        ),
        (
            ["lesson", "t", "d"],
            ("t", "d", Path("lesson-t-d")),
            {"words": [], "shot": Shot(), "speech": USUAL, "force": False, "progress": None},
        ),
    ],
)  # fmt: skip
def test_what_is_typed_is_passed_on(
    argv: list[str], args: tuple[Any, ...], settings: dict[str, Any], makers: Makers
) -> None:
    assert cli.main(argv) == 0
    assert makers.calls == [(argv[0], args, settings)]


def test_progress_is_shown_when_asked_for(
    makers: Makers, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def draw() -> dict[str, Any]:
        progress = makers.calls[-1][2]["progress"]
        progress(1, 4)
        progress(4, 4)
        return {}

    makers.then = draw
    assert cli.main(["film", "towel", "--progress"]) == 0
    assert "4/4" in capsys.readouterr().err


def test_every_bundled_style_is_named_in_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["still", "--help"]) == 0
    shown = capsys.readouterr().out
    assert f"{', '.join(style.names()[:-1])} or {style.names()[-1]}" in shown
    assert style.names()[0] == cli.build_parser().parse(["still", "t"]).style


@pytest.mark.parametrize("command", ["", *GOOD])
def test_help_carries_an_example_and_the_caution(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main([*command.split(), "--help"]) == 0
    shown = capsys.readouterr().out
    assert f"  vocaltract {command}" in shown
    assert "does not diagnose or treat" in shown
    assert "speech-language pathologist" in shown


def test_help_examples_can_be_parsed() -> None:
    parser = cli.build_parser()
    for of in (parser, *parser.commands.values()):
        lines = [line.strip() for line in (of.epilog or "").splitlines() if line.startswith("  vocaltract ")]
        assert lines
        for line in lines:
            words = arguments_of(line.split("   ")[0])
            assert parser.parse(words).command == words[0]


def arguments_of(line: str) -> list[str]:
    """Words of an example line without the program's name."""
    import shlex

    return shlex.split(line)[1:]


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    import vocaltract as package

    assert cli.main(["--version"]) == 0
    assert capsys.readouterr().out == f"vocaltract {package.__version__}\n"


Run = Callable[..., subprocess.CompletedProcess[str]]


def test_module_does_what_the_command_does(vocaltract: Run) -> None:
    done = vocaltract("sounds", "--json")
    assert done.returncode == 0
    assert done.stderr == ""
    sounds = json.loads(done.stdout)["sounds"]
    # 24 consonants of General American: P. Ladefoged & K. Johnson, A Course in Phonetics (from memory).
    assert sum(row["kind"] == "consonant" for row in sounds) == 24


def test_help_imports_nothing_heavy() -> None:
    code = (
        "import sys\nfrom renders.cli import main\nmain(['--help'])\n"
        "heavy = {'numpy', 'scipy', 'shapely', 'matplotlib', 'av', 'PIL', 'tqdm'} & set(sys.modules)\n"
        "sys.exit(f'imported: {heavy}' if heavy else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr


def test_sound_list_reads_back(makers: Makers, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import csv

    from vocaltract.naming.listing import listing

    for ending in ("txt", "csv", "json"):
        assert cli.main(["sounds", "--out", f"sounds.{ending}"]) == 0
    symbols = [row["symbol"] for row in listing()]
    read = (tmp_path / "sounds.csv").read_text(encoding="utf-8").splitlines()
    assert [row["symbol"] for row in csv.DictReader(read)] == symbols
    assert [row["symbol"] for row in json.loads((tmp_path / "sounds.json").read_text(encoding="utf-8"))] == symbols
    words = (tmp_path / "sounds.txt").read_text(encoding="utf-8").split()
    assert {row["type"] for row in listing()} <= set(words)
