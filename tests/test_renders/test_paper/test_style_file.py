"""A coach's own style file: what it changes, and every fault told with its line. Outside: none, a rule of ours."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from articulators.errors import BadInput, SurroundingsError
from renders.paper import style, style_file

REFERENCE = Path(__file__).resolve().parents[2] / "reference"
GOOD = """\
based_on = "dark"
title = "for the lobby screen"
shading = 0.5
hatched = false

[colours]
mover = "#774069"

[line]
tongue = 3

[type.film]
sound = 90.0
"""


def test_what_a_file_says_is_changed_and_the_rest_stays(tmp_path: Path) -> None:
    file = tmp_path / "lobby.toml"
    file.write_text(GOOD, encoding="utf-8")
    look, dark = style.load(str(file)), style.load("dark")
    assert (look.name, look.title, look.shading, look.hatched) == ("lobby", "for the lobby screen", 0.5, False)
    assert look.line("tongue") == 3.0 and look.size("sound") == 90.0
    assert look.colours == dark.colours
    assert {k: v for k, v in look.lines_px.items() if k != "tongue"} == {
        k: v for k, v in dark.lines_px.items() if k != "tongue"
    }


def test_mixed_colours_follow_what_they_are_mixed_from() -> None:
    found = style.changed(style_file.changes('[colours]\nmover = "#000000"\nmover_line = "#FFFFFF"\n', "a.toml"), "a")
    assert found.colours["lip"] == "#575757"  # 0.34 of the way from black to white: 87 of 255
    named = style_file.changes('[colours]\nmover = "#000000"\nlip = "#123456"\n', "a.toml")
    assert style.changed(named, "a").colours["lip"] == "#123456"


@pytest.mark.parametrize("name", style.names())
def test_a_copy_says_nothing_else_than_its_style(name: str) -> None:
    found, look = style.changed(style_file.changes(style.copy_of(name), "a.toml"), name), style.load(name)
    assert (found.colours, found.shading, found.hatched) == (look.colours, look.shading, look.hatched)
    assert found.lines_px == look.lines_px and found.sizes_px == look.sizes_px


# what stands in GOOD, what stands there instead, and what is said after the name of the file
FAULTS = {
    "unknown key": ('title = "for', 'subject = "for', ", line 2: key 'subject' is unknown; allowed: based_on, title, "),
    "misspelt key": ("shading", "shadding", ", line 3: key 'shadding' is unknown; allowed: {tables} (nearest: sh"),
    "misspelt role": ("mover", "moover", ", line 7: key 'colours.moover' is unknown; allowed: paper, panel, "),
    "misspelt part": ("tongue", "tong", ", line 10: key 'line.tong' is unknown; allowed: {lines} (nearest: tongue)"),
    "misspelt kind": ("[type.film]", "[type.flim]", ", line 12: key 'type.flim' is unknown; allowed: film, vertical, "),
    "misspelt text": ("sound", "sond", ", line 13: key 'type.film.sond' is unknown; allowed: sound, word, "),
    "unknown base": ('"dark"', '"drak"', ", line 1: based_on = 'drak': allowed: {names} (nearest: dark)"),
    "base no text": ('"dark"', "5", ", line 1: based_on = 5: a text is needed"),
    "text for number": ("0.5", '"half"', ", line 3: shading = 'half': a number from 0 to 1 is needed"),
    "flag for number": ("= 3\n", "= true\n", ", line 10: line.tongue = true: a number above 0"),
    "number for flag": ("false", "0", ", line 4: hatched = 0: true or false is needed"),
    "number for text": ('"for the lobby screen"', "1.5", ", line 2: title = 1.5: a text is needed"),
    "number for table": ("[line]\ntongue = 3", "line = 3", ", line 9: key 'colours.line' is unknown; allowed: "),
    "text for table": ("[type.film]\nsound = 90.0", '[type]\nfilm = "big"', ", line 13: type.film = 'big': a table"),
    "word for colour": ('"#774069"', '"plum"', ", line 7: colours.mover = 'plum': a colour of the form \"#RRGGBB"),
    "short colour": ('"#774069"', '"#746"', ", line 7: colours.mover = '#746': a colour of the form"),
    "colour no text": ('"#774069"', "774069", ", line 7: colours.mover = 774069: a colour of the form"),
    "below range": ("0.5", "-0.1", ", line 3: shading = -0.1: a number from 0 to 1"),
    "above range": ("0.5", "1.01", ", line 3: shading = 1.01: a number from 0 to 1"),
    "size of nothing": ("90.0", "0", ", line 13: type.film.sound = 0: a number above 0 and up to 1000"),
    "size too large": ("90.0", "1000.5", ", line 13: type.film.sound = 1000.5: a number above 0 and up to 1000"),
    "huge number": ("90.0", "1e300", ", line 13: type.film.sound = 1e+300: a number above 0"),
    "infinite": ("90.0", "inf", ", line 13: type.film.sound = inf: a number above 0"),
    "not a number": ("90.0", "nan", ", line 13: type.film.sound = nan: a number above 0"),
    "many digits": ("90.0", "9" * 300, f", line 13: type.film.sound = {'9' * 60}…: a number above 0"),
    "endless digits": ("90.0", "9" * 5000, ": not TOML: a number has more digits than can be read"),
    "twice": ("shading", "hatched", ", line 4: not TOML: cannot overwrite a value"),
    "not closed": ('"#774069"', '"#774069', ", line 7: not TOML: illegal character '\\n'"),
    "cut off": ("90.0", "[1, 2", ", line 13: not TOML: unclosed array"),
    "nested deeply": ('"for the lobby screen"', "[" * 1500 + "]" * 1500, ": not TOML: lists within lists without end"),
    "nested without end": ("90.0", "[" * 5000, ": not TOML: lists within lists without end"),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_told_with_file_line_key_value_and_what_is_allowed(fault: str, tmp_path: Path) -> None:
    old, new, said = FAULTS[fault]
    assert GOOD.count(old) == 1
    file = tmp_path / "lobby.toml"
    file.write_text(GOOD.replace(old, new), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        style.load(str(file))
    look = style.load()
    whole = said.format(
        tables=", ".join(style_file.STYLE_TABLES), names=", ".join(style.names()), lines=", ".join(look.lines_px)
    ) if "{" in said else said  # fmt: skip
    assert str(caught.value).startswith(f"style file lobby.toml{whole}")


def test_other_ways_to_write_a_key_are_found_too() -> None:
    text = 'colours.ink = "#000"\n'
    assert style_file.line_number(text, ("colours", "ink")) == 1
    assert style_file.line_number('[ "type" . film ]\n\n"sound" = 0', ("type", "film", "sound")) == 3
    assert style_file.line_number("x = 1\nline = { tongue = 0 }", ("line", "tongue")) == 2
    assert style_file.line_number("x = 1", ("line", "tongue")) is None


def test_bytes_that_are_no_text_are_told_with_their_line(tmp_path: Path) -> None:
    file = tmp_path / "lobby.toml"
    file.write_bytes(GOOD.replace("lobby screen", "caf\xe9").encode("latin-1"))
    with pytest.raises(BadInput, match=r"^style file lobby\.toml, line 2: byte 0xE9 is not UTF-8; save "):
        style.load(str(file))


def test_a_mark_of_byte_order_is_no_fault(tmp_path: Path) -> None:
    """Common practice, no source: some editors put one before UTF-8."""
    file = tmp_path / "lobby.toml"
    file.write_text(GOOD, encoding="utf-8-sig")
    assert style.load(str(file)).title == "for the lobby screen"


def test_a_file_that_is_not_there_is_told_with_its_neighbour(tmp_path: Path) -> None:
    (tmp_path / "lobby.toml").write_text(GOOD, encoding="utf-8")
    with pytest.raises(BadInput, match=r"loby\.toml: no such file; .* \(nearest: .*lobby\.toml\)$"):
        style.load(str(tmp_path / "loby.toml"))
    with pytest.raises(BadInput, match=r"no such file"):
        style.load(str(tmp_path / "lobby.toml" / "lobby.toml"))
    (tmp_path / "folder.toml").mkdir()
    with pytest.raises(BadInput, match=r"folder\.toml is a folder; a file is needed"):
        style.load(str(tmp_path / "folder.toml"))


def test_a_file_that_the_disk_does_not_give_is_not_the_coachs_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(path: Path, what: str) -> bytes:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("articulators.given_file._bytes_of", broken)
    with pytest.raises(SurroundingsError, match=r"style file cannot be read: Input/output error: lobby\.toml"):
        style.load("lobby.toml")


def test_a_faint_style_is_refused_unless_it_is_only_looked_at(tmp_path: Path) -> None:
    file = tmp_path / "faint.toml"
    file.write_text('[colours]\nink2 = "#9AA5AE"\n', encoding="utf-8")
    with pytest.raises(BadInput, match=r"style file faint\.toml: too little contrast: ink2 on paper .*; \d more"):
        style.load(str(file))
    assert style.load(str(file), checked=False).hex("ink2") == "#9AA5AE"


@pytest.mark.parametrize("file", sorted((REFERENCE / "older").glob("style-*.toml")), ids=lambda file: file.stem)
def test_a_file_of_an_older_release_is_taken_and_means_the_same(file: Path) -> None:
    """The rule stands in DEVELOPERS.md; each file was written by the release that it is named after, then changed."""
    look = style.load(str(file))
    said = tomllib.loads(file.read_text(encoding="utf-8"))
    assert said["colours"]
    assert {role: look.hex(role) for role in said["colours"]} == said["colours"]
    assert {part: look.lines_px[part] for part in said["line"]} == said["line"]
