"""What is typed wrong: exit status 2, one line that says what is allowed, and no file.

Exit status 2: common practice of command shells, no source.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from renders import cli
from renders.paper import style
from tests.test_renders.test_commands.makers import Makers, one_line
from vocaltract.phonetics.speaker import man


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
        (["still", "zzh"], "sound 'zzh' is not in the inventory"),
        (["still", "th"], "'th' can be θ (th in thank) or ð (th in this)"),
        (["still", "seat", "--as-in", "desk"], "'seat' does not stand in 'desk'"),
        (["timing", "long", "e"], "'long e' is the name of a sound"),
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
        (["pair", "t", "d", "--speed", "0.5"], "only a film has this; name one with --out, such as t-d.mp4"),
        (["pair", "t", "d", "--strip", "--out", "x.mp4"], "allowed: .png, .svg, .pdf"),
        (["lesson", "t", "q"], "'q' can be kw (qu in quiet), more than one sound or k (k in key)"),
        (["lesson", "t", "d", "--out", ""], "has no name"),
        (["sounds", "all"], "'all' is one argument too many"),
        (["measure"], "measure needs a SOUND"),
        (["measure", "zzh"], "sound 'zzh' is not in the inventory"),
        (["measure", "--areas", "none.csv"], "table none.csv: no such file"),
        (["measure", "--areas", "a\0b.csv"], "no name of a file holds a NUL"),
        (["measure", "--areas", "/dev/zero"], "is a pipe, a socket or a device; a file is needed"),
        (["measure", "ee", "--areas", "none.csv"], "leave SOUND, --as-in, --plot and --speaker out"),
        (["measure", "ee", "--lossless"], "--lossless goes with --areas"),
        (["measure", "ee", "--sound-speed", "1"], "allowed is 30000 to 40000"),
        (["measure", "ee", "--plot", "i.gif"], "allowed: .png, .svg, .pdf"),
        (["still", "t", "--all"], "leave 't' out"),
        (["still", "--all", "--mirror"], "leave --show, --hide, --mirror and --transparent out"),
        (["still", "t", "--show", "tong"], "part 'tong' is unknown"),
        (["still", "t", "--show", "tong"], "(nearest: tongue)"),
        (["still", "t", "--hide", ","], "no part is named in ','"),
        (["still", "t", "--show", "air"], "no organ is left to draw"),
        (["still", "t", "--show", "tongue", "--hide", "tongue"], "no organ is left to draw"),
        (["still", "t", "--style", "none.toml"], "style file none.toml: no such file"),
        (["film", "towel", "--style", "a\0b.toml"], "no name of a file holds a NUL"),
        (["speakers", "mann"], "speaker 'mann' is unknown; allowed: man"),
        (["speakers", "--out", "x.toml"], "which speaker? Name one: man"),
        (["speakers", "--solve"], "which speaker? Name one: man"),
        (["speakers", "man", "--out", "x.toml", "--solve"], "leave one out"),
        (["speakers", "man", "--out", "x.css"], "allowed: .toml"),
        (["speakers", "mann", "--out", "x.toml"], "speaker 'mann' is unknown; allowed: man"),
        (["still", "t", "--speaker", "mann"], "speaker 'mann' is unknown; allowed: man"),
        (["strip", "towel", "--speaker", "none.toml"], "speaker file none.toml: no such file"),
        (["measure", "--areas", "none.csv", "--speaker", "man"], "--plot and --speaker out"),
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
    "mover = 12": ("mover", "colours.mover = 12: a colour of the form"),
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


BAD_SPEAKERS = {
    "pitch_hz = 20": ("pitch_hz", "guest.toml: voice: pitch_hz 20 is out of range; allowed: 50 to 600"),
    "format = 2": ("format", "guest.toml: speaker.format: 2 is unknown; allowed: 1"),
    "hinges = [88.0, 42.0]": ("hinge", "guest.toml: jaw: key 'hinges' is unknown; allowed: "),
    "[voice": ("[voice]", "guest.toml: not TOML: "),
}


@pytest.mark.parametrize("line", BAD_SPEAKERS)
@pytest.mark.parametrize("command", [["still", "t"], ["film", "towel"], ["page", "towel"], ["lesson", "t", "d"]])
def test_a_bad_speaker_file_ends_with_2_and_one_line(
    command: list[str], line: str, makers: Makers, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["speakers", "man", "--out", "guest.toml"]) == 0
    file = tmp_path / "guest.toml"
    start, said = BAD_SPEAKERS[line]
    good = file.read_text(encoding="utf-8").splitlines()
    at = next(i for i, text in enumerate(good) if text.split(" =")[0] == start)
    file.write_text("\n".join([*good[:at], line, *good[at + 1 :]]), encoding="utf-8")
    capsys.readouterr()
    assert cli.main([*command, "--speaker", "guest.toml"]) == 2
    assert said in one_line(capsys)
    assert makers.calls == []


def test_a_copied_speaker_is_that_speaker(makers: Makers, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["speakers", "man", "--out", "guest.toml"]) == 0
    assert cli.main(["still", "t", "--speaker", "guest.toml"]) == 0
    assert makers.calls[-1][2]["speaker"].solved is man().solved
    capsys.readouterr()
    assert cli.main(["speakers", "guest.toml", "--solve", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["speakers"][0]["pitch_hz"] == man().voice.pitch_hz
