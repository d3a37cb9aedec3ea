"""The command line: one table of commands, what each passes on, exit statuses, one-line errors.

What draws is replaced here by recorders; test_cli_whole.py runs the commands for real. Exit statuses 0, 1, 2
and 130: common practice of command shells, no source.
"""

from __future__ import annotations

import errno
import json
import subprocess
import sys
import types
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from articulators.errors import BadInput, SurroundingsError
from renders import cli
from renders.commands import film, lesson, measure, page, pair, sounds, still, strip, styles, timing, words
from renders.films.shot import Hold, Shot
from renders.paper import style
from vocaltract.speech import USUAL, Speech

MAKERS = {
    "still": ("renders.stills.still", "write_still", 1),
    "strip": ("renders.stills.strip", "write_strip", 1),
    "film": ("renders.films.film", "write_film", 1),
    "pair": ("renders.pairs.picture", "write_pair", 2),
    "lesson": ("renders.course.lesson", "write_lesson", 2),
    "page": ("renders.page.build", "write_page", 1),
}
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
    measure.NAME: ["measure", "i"],
    styles.NAME: ["styles"],
}

# The whole picture, as the speaker of a still faces left.
WHOLE = {"show": None, "hide": (), "mirrored": False, "transparent": False, "language": "en"}

Call = tuple[str, tuple[Any, ...], dict[str, Any]]


class Makers:
    """Stands in for the functions that draw: records each call, then does ``then``."""

    def __init__(self) -> None:
        self.calls: list[Call] = []
        self.then: Callable[[], dict[str, Any] | None] = dict

    def maker(self, name: str) -> Callable[..., Any]:
        def make(*args: Any, **settings: Any) -> Any:
            self.calls.append((name, args, settings))
            return self.then()

        return make


@pytest.fixture
def makers(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Makers:
    made = Makers()
    for command, (module, function, _) in MAKERS.items():
        fake = types.ModuleType(module)
        setattr(fake, function, made.maker(command))
        monkeypatch.setitem(sys.modules, module, fake)
    monkeypatch.chdir(tmp_path)
    return made


def one_line(capsys: pytest.CaptureFixture[str]) -> str:
    """The one line on standard error; fails where there is another number of lines or anything on stdout."""
    out, err = capsys.readouterr()
    assert out == ""
    assert err.endswith("\n"), err
    assert err.count("\n") == 1, err
    assert err.startswith("vocaltract: ")
    return err.removeprefix("vocaltract: ").rstrip("\n")


def test_table_has_every_command() -> None:
    assert set(GOOD) == set(cli.build_parser().commands)


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
             "hide": ("palate",), "mirrored": True, "transparent": True, "language": "en"},
        ),
        (
            ["strip", "hot", "tub"],
            ("hot tub", Path("strip-hot-tub.png")),
            {"style": "light", "size": (1600, 620), "speech": USUAL, "language": "en"},
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
            ["pair", "g", "k"],
            ("g", "k", Path("pair-g-k.png")),
            {"event": "", "speech": USUAL, "style": "light", "size": (1600, 1100), "language": "en"},
        ),
        (
            ["lesson", "t", "d", "--out", "front-desk", "--word", "towel", "--word", "hot tub", "--force"],
            ("t", "d", Path("front-desk")),
            {"words": ["towel", "hot tub"], "shot": Shot(), "force": True, "progress": None},
        ),
        (
            ["lesson", "t", "d"],
            ("t", "d", Path("lesson-t-d")),
            {"words": [], "shot": Shot(), "force": False, "progress": None},
        ),
    ],
)  # fmt: skip
def test_what_is_typed_is_passed_on(
    argv: list[str], args: tuple[Any, ...], settings: dict[str, Any], makers: Makers
) -> None:
    assert cli.main(argv) == 0
    assert makers.calls == [(argv[0], args, settings)]


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        ([], "no command given; allowed: still, strip, film"),
        (["--json"], "no command given"),
        (["stil", "t"], "command 'stil' is unknown; allowed: still,"),
        (["stil", "t"], "(nearest: still)"),
        (["still"], "SOUND"),
        (["still", ""], "no sound given"),
        (["still", "  "], "no sound given"),
        (["still", "tt"], "sound 'tt' is not in the inventory"),
        (["still", "т"], "sound 'т' is not in the inventory"),  # Cyrillic
        (["still", "t\nd"], "sound 't\\nd' is not"),
        (["still", "t", "d"], "'d' is one argument too many"),
        (["still", "t", "--stile", "dark"], "option '--stile' is unknown"),
        (["still", "t", "--stile=dark"], "(nearest: --style)"),
        (["still", "t", "--sty", "dark"], "option '--sty' is unknown"),
        (["still", "t", "--style", "drak"], f"allowed: {', '.join(style.names())} (nearest: dark)"),
        (["still", "t", "--labels", "plane"], "allowed: none, plain, technical (nearest: plain)"),
        (["still", "t", "--size"], "--size: expected one argument"),
        (["still", "t", "--size", "big"], "size 'big' is not WIDTHxHEIGHT in px; write for example 1280x720"),
        (["still", "t", "--size", "-4x4"], "--size"),
        (["still", "t", "--size", "1281x720"], "size 1281x720: width 1281 px is odd; it must be even (nearest: 1282)"),
        (["still", "t", "--size", "1280x721"], "height 721 px is odd"),
        (["still", "t", "--size", "0x0"], "allowed: 64 to 3840"),
        (["still", "t", "--size", "62x64"], "allowed: 64 to 3840"),
        (["still", "t", "--size", "99999x720"], "allowed: 64 to 3840"),
        (["still", "t", "--out", "t.mp4"], "ending of 't.mp4' is .mp4; allowed: .png, .svg, .pdf"),
        (["still", "t", "--out", "t"], "allowed: .png, .svg, .pdf"),
        (["still", "t", "--out", ""], "is not a file name"),
        (["still", "t", "--out", "no-such-folder/t.png"], "no-such-folder does not exist"),
        (["still", "t", "--out", "there.png"], "there.png exists; give --force"),
        (["still", "t", "--out", "there.png/t.png"], "there.png is not a folder"),
        (["film"], "TEXT"),
        (["film", "towel", "--speed", "0"], "speed 0 is not possible; allowed is 0.05 to 2"),
        (["film", "towel", "--speed", "-0.5"], "speed -0.5 is not possible; allowed is 0.05 to 2"),
        (["film", "towel", "--speed", "3"], "allowed is 0.05 to 2"),
        (["film", "towel", "--speed", "nan"], "speed 'nan' is not a number"),
        (["film", "towel", "--speed", "inf"], "speed 'inf' is not a number"),
        (["film", "towel", "--speed", "half"], "speed 'half' is not a number; write for example 0.5"),
        (["film", "towel", "--fps", "4"], "allowed: 5 to 60 frames a second"),
        (["film", "towel", "--fps", "61"], "allowed: 5 to 60 frames a second"),
        (["film", "towel", "--fps", "fast"], "frame rate 'fast' is not a number"),
        (["film", "towel", "--out", "towel.avi"], "allowed: .mp4, .gif"),
        (["film", "towel", "--shape", "round"], "round"),
        (["film", "towel", "--shape", "tall", "--size", "640x360"], "leave one out"),
        (["film", "towel", "--shape", "tall", "--size", "1280x720"], "leave one out"),  # the usual size, but typed
        (["still", "--all", "--size", "1600x1200"], "leave --size out"),
        (["film", "towel", "--hold", "closur"], "phase 'closur' is unknown"),
        (["film", "towel", "--intro", "x"], "'x' is not a number of seconds"),
        (["film", "towel", "--intro", "1", "--loop"], "cannot loop without a jump"),
        (["pair", "t"], "B"),
        (["pair", "t", "d", "--align", "x"], "event 'x' is unknown; allowed: closure, release, vowel"),
        (["pair", "t", "d", "--speed", "0.5"], "go with a film; name one with --out, such as t-d.mp4"),
        (["pair", "t", "d", "--strip", "--out", "x.mp4"], "allowed: .png, .svg, .pdf"),
        (["lesson", "t", "q"], "sound 'q' is not in the inventory"),
        (["lesson", "t", "d", "--out", ""], "has no name"),
        (["sounds", "all"], "'all' is one argument too many"),
        (["measure"], "measure needs a SOUND"),
        (["measure", "tt"], "sound 'tt' is not in the inventory"),
        (["measure", "--areas", "none.csv"], "there is no file none.csv"),
        (["measure", "i", "--areas", "none.csv"], "leave SOUND and --plot out"),
        (["measure", "i", "--lossless"], "--lossless goes with --areas"),
        (["measure", "i", "--sound-speed", "1"], "allowed is 30000 to 40000"),
        (["measure", "i", "--plot", "i.gif"], "allowed: .png, .svg, .pdf"),
        (["still", "t", "--all"], "leave 't' out"),
        (["still", "--all", "--mirror"], "leave --show, --hide, --mirror and --transparent out"),
        (["still", "t", "--show", "tong"], "part 'tong' is unknown"),
        (["still", "t", "--show", "tong"], "(nearest: tongue)"),
        (["still", "t", "--hide", ","], "no part is named in ','"),
        (["still", "t", "--show", "air"], "no organ is left to draw"),
        (["still", "t", "--show", "tongue", "--hide", "tongue"], "no organ is left to draw"),
        (["styles", "lihgt"], "style 'lihgt' is unknown"),
        (["styles", "--out", "x.toml"], "Name one: light, dark"),
        (["styles", "light", "--out", "x.css"], "allowed: .toml"),
        (["styles", "light", "--out", "there.png"], "allowed: .toml"),
        (["still", "--all", "--size", "800x600"], "leave --size out"),
        (["still", "[ʘʘ]"], "ʘ"),
        (["sounds", "--out", "sounds.xml"], "allowed: .txt, .csv, .json"),
    ],
)
def test_bad_input_ends_with_2_and_one_line(
    argv: list[str], said: str, makers: Makers, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "there.png").write_text("mine", encoding="utf-8")
    assert cli.main(argv) == 2
    assert said in one_line(capsys)
    assert makers.calls == []
    assert [p.name for p in tmp_path.iterdir()] == ["there.png"]
    assert (tmp_path / "there.png").read_text(encoding="utf-8") == "mine"


# What a coach may get wrong in a copy of a style: a line, the line it replaces, and what is said.
BAD_STYLES = {
    'mover = "pink"': ("mover", " colours.mover = 'pink': a colour of the form"),
    'mover = 12': ("mover", "colours.mover = 12: a colour of the form"),
    'moover = "#BC86AC"': ("mover", "key 'colours.moover' is unknown; allowed: paper, "),
    'ink = "#C0C0C0"': ("ink", "too little contrast: ink on paper reaches"),
    'shading = "soft"': ("shading", "shading = 'soft': a number from 0 to 1 is needed"),
    "hatched = 1": ("hatched", "hatched = 1: true or false is needed"),
    'based_on = "drak"': ("based_on", "line 3: based_on = 'drak': allowed: light, dark"),
    "tongue = -1": ("tongue", "line.tongue = -1: a number above 0 and up to 1000 is needed"),
    "tung = 2": ("tongue", "key 'line.tung' is unknown"),
    "label = true": ("label", "type.still.label = true: a number above 0"),
    "lable = 30": ("label", "key 'type.still.lable' is unknown"),
    "colour = 1": ("based_on", "key 'colour' is unknown"),
    "[colours": ("[colours]", "not TOML: expected ']' at the end of a table declaration"),
}


@pytest.mark.parametrize("line", BAD_STYLES)
def test_a_bad_style_file_ends_with_2_and_one_line(
    line: str, makers: Makers, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["styles", "light", "--out", "own.toml"]) == 0
    file = tmp_path / "own.toml"
    start, said = BAD_STYLES[line]
    good = file.read_text(encoding="utf-8").splitlines()
    at = next(i for i, text in enumerate(good) if text.split(" =")[0] == start)
    file.write_text("\n".join([*good[:at], line, *good[at + 1 :]]), encoding="utf-8")
    capsys.readouterr()
    assert cli.main(["still", "t", "--style", "own.toml"]) == 2
    assert said in one_line(capsys)
    assert makers.calls == []


def test_a_copied_style_is_that_style(makers: Makers, capsys: pytest.CaptureFixture[str]) -> None:
    for name in style.names():
        assert cli.main(["styles", name, "--out", "own.toml", "--force"]) == 0
        own = style.load("own.toml")
        assert (own.colours, own.shading, own.hatched) == (
            style.load(name).colours, style.load(name).shading, style.load(name).hatched
        )  # fmt: skip
        assert own.lines_px == style.load(name).lines_px
    assert cli.main(["still", "t", "--style", "own.toml"]) == 0
    assert makers.calls[-1][2]["style"] == "own.toml"


def test_a_faint_style_is_told_in_full_when_checked(
    tmp_path: Path, makers: Makers, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "own.toml").write_text('[colours]\nink2 = "#9AA5AE"\n', encoding="utf-8")
    assert cli.main(["styles", "own.toml"]) == 0
    shown = capsys.readouterr().out
    assert "ink2 on paper reaches" in shown and "deutan" in shown


def _raise(error: BaseException) -> Callable[[], dict[str, Any] | None]:
    def raising() -> dict[str, Any] | None:
        raise error

    return raising


@pytest.mark.parametrize("command", MAKERS)
@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        (BadInput("word 'towle' is unknown (nearest: towel)"), 2, "word 'towle' is unknown (nearest: towel)"),
        (SurroundingsError("the disk is gone"), 1, "the disk is gone"),
        (OSError(errno.ENOSPC, "No space left on device", "x.png"), 1, "No space left on device: x.png"),
        (MemoryError(), 1, "out of memory"),
        (KeyboardInterrupt(), 130, "interrupted"),
        (ZeroDivisionError("division\nby zero"), 1, "ZeroDivisionError: division\\nby zero"),
    ],
)
def test_failure_while_drawing_is_one_line(
    command: str,
    error: BaseException,
    status: int,
    said: str,
    makers: Makers,
    capsys: pytest.CaptureFixture[str],
) -> None:
    makers.then = _raise(error)
    assert cli.main(GOOD[command]) == status
    assert said in one_line(capsys)


def test_part_of_the_work_not_done_ends_with_1(makers: Makers, capsys: pytest.CaptureFixture[str]) -> None:
    makers.then = lambda: {"failed": ["towel.mp4"]}
    assert cli.main(["lesson", "t", "d", "--json"]) == 1
    out, err = capsys.readouterr()
    assert json.loads(out)["failed"] == ["towel.mp4"]
    assert err == "vocaltract: 1 not made: towel.mp4\n"


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


@pytest.mark.skipif(sys.platform == "win32", reason="pipes close otherwise there")
def test_a_reader_that_leaves_is_no_error(root: Path) -> None:
    code = "import sys, time\ntime.sleep(0.5)\nfrom renders.cli import main\nsys.exit(main(['sounds']))"
    writer = subprocess.Popen(
        [sys.executable, "-c", code], stdout=subprocess.PIPE, stderr=subprocess.PIPE, cwd=root
    )
    assert writer.stdout is not None
    assert writer.stderr is not None
    writer.stdout.close()
    assert writer.stderr.read() == b""
    assert writer.wait(60) == 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
def test_a_full_disk_behind_stdout_is_one_line(root: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "renders", "sounds"],
            stdout=full,
            stderr=subprocess.PIPE,
            cwd=root,
            timeout=60,
        )
    assert done.returncode == 1
    assert done.stderr.decode() == "vocaltract: No space left on device\n"


def test_sound_list_reads_back(makers: Makers, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import csv

    from vocaltract.phonetics.inventory import listing

    for ending in ("txt", "csv", "json"):
        assert cli.main(["sounds", "--out", f"sounds.{ending}"]) == 0
    symbols = [row["symbol"] for row in listing()]
    read = (tmp_path / "sounds.csv").read_text(encoding="utf-8").splitlines()
    assert [row["symbol"] for row in csv.DictReader(read)] == symbols
    assert [
        row["symbol"] for row in json.loads((tmp_path / "sounds.json").read_text(encoding="utf-8"))
    ] == symbols
    words = (tmp_path / "sounds.txt").read_text(encoding="utf-8").split()
    assert set(symbols) <= set(words)
