"""The arguments and options that several commands have."""

from __future__ import annotations

import argparse
from typing import Any

from renders.commandline import values
from renders.commandline.parser import Parser
from renders.commandline.values import typed
from renders.labels.sets import LABELS, check_labels
from renders.wording.shipped import FIRST, known_language, languages

# written out, since help must not load what reads the style files; a test compares
STYLES_HELP = "light, dark, print, line, contrast or safe, or a .toml file, see `vocaltract styles` (default: light)"
SPEAKERS_HELP = "who speaks: man, woman, child, or a .toml file, see `vocaltract speakers` (default: man)"
PARTS_EXAMPLE = {"--show": "tongue,palate,teeth,lips", "--hide": "spine,nose,air"}


def add_text(parser: Parser) -> None:
    """TEXT, which need not stand in quotes."""
    parser.add_argument("text", metavar="TEXT", nargs="+", help="English words, or IPA between [ ]")


def add_sound(parser: Parser, optional: bool = False) -> None:
    """SOUND and --as-in WORD."""
    what = 'as people name it: t, sh, "long e", "held t", s[ea]t; in brackets any IPA symbol, as [ʈ]'
    parser.add_argument("sound", metavar="SOUND", nargs="?" if optional else None, help=what)
    parser.add_argument("--as-in", metavar="WORD", help="the vowel of a word, or what SOUND's letters stand for in it")


def add_areas(parser: Parser) -> None:
    """--areas FILE and what goes with it."""
    parser.add_argument("--areas", metavar="FILE", help="a shape instead: CSV with length_cm, area_cm2, glottis first")
    parser.add_argument(
        "--lossless",
        action="store_true",
        help="with --areas: hard walls, closed glottis, zero pressure at the lips, no end correction",
    )
    parser.add_argument(
        "--sound-speed", type=typed(values.sound_speed), metavar="CM_S", help="speed of sound in cm/s; default 35000"
    )


def add_plot(parser: Parser) -> None:
    """--plot FILE, --json and --force of a measurement."""
    parser.add_argument("--plot", metavar="FILE", help="a figure of section, areas and response (.png, .svg, .pdf)")
    parser.add_argument("--force", action="store_true", help="replace what exists")
    parser.add_argument("--json", action="store_true", help="report in JSON")


def add_two_sounds(parser: Parser) -> None:
    """A and B."""
    parser.add_argument("a", metavar="A", help="the first sound, such as t")
    parser.add_argument("b", metavar="B", help="the second sound, such as d")


def add_two_texts(parser: Parser) -> None:
    """A and B, each a sound or a text."""
    parser.add_argument("a", metavar="A", help="a sound such as t, a word, a phrase in quotes, or IPA between [ ]")
    parser.add_argument("b", metavar="B", help="what it is compared with")


def add_labels(parser: Parser) -> None:
    """--labels"""
    kinds = ", ".join(LABELS)
    parser.add_argument("--labels", type=typed(check_labels), default="plain", help=f"{kinds} (default: plain)")


def add_parts(parser: Parser) -> None:
    """--show and --hide"""
    for option, what in (("--show", "draw only these parts"), ("--hide", "leave these parts out")):
        example = f"{what}, such as {PARTS_EXAMPLE[option]}"
        parser.add_argument(option, type=typed(values.part_names), metavar="PARTS", help=example)


def add_facing(parser: Parser) -> None:
    """--mirror and --transparent"""
    parser.add_argument("--mirror", action="store_true", help="the speaker faces right")
    parser.add_argument("--transparent", action="store_true", help="no background, to lie on a picture of yours")


def add_look(parser: Parser, usual: tuple[int, int]) -> None:
    """--style and --size; the size is None where it was not typed, and help tells the usual one."""
    parser.add_argument("--style", type=typed(values.style), default="light", metavar="NAME|FILE", help=STYLES_HELP)
    parser.add_argument(
        "--size",
        type=typed(values.size),
        metavar="WxH",
        help=f"width and height in px, even (default: {usual[0]}x{usual[1]})",
    )


def add_speaker(parser: Parser) -> None:
    """--speaker; None where it was not typed."""
    parser.add_argument("--speaker", type=typed(values.speaker), metavar="NAME|FILE", help=SPEAKERS_HELP)


def add_language(parser: Parser) -> None:
    """--language"""
    known = ", ".join(languages())
    help_text = f"language of what is said: {known} (default: {FIRST})"
    parser.add_argument("--language", type=typed(known_language), default=FIRST, metavar="CODE", help=help_text)


def add_pace(parser: Parser) -> None:
    """--speed and --fps; None where they were not typed."""
    parser.add_argument("--speed", type=typed(values.speed), help="0.05 to 2; 1 is natural (default: 0.5)")
    parser.add_argument("--fps", type=typed(values.fps), help="frames a second, 5 to 60 (default: 30)")


def given(args: argparse.Namespace, *names: str) -> dict[str, Any]:
    """Those of the options that were typed, by name: what was not is left to who uses them."""
    return {name: value for name in names if (value := getattr(args, name)) is not None}


def add_dwell(parser: Parser) -> None:
    """--dwell and --no-dwell"""
    parser.add_argument(
        "--dwell",
        action=argparse.BooleanOptionalAction,
        default=False,
        help="slow down further at closure, release and flap (default: one speed throughout)",
    )


def add_hearing(parser: Parser) -> None:
    """--pitch and --loudness; None where they were not typed."""
    parser.add_argument(
        "--pitch", type=typed(values.pitch), metavar="HZ", help="pitch of the voice, 50 to 600 (default: the speaker's)"
    )
    parser.add_argument(
        "--loudness", type=typed(values.loudness), metavar="LUFS",
        help="how loud a voice is made, -36 to -12 (default: -18; broadcast: -23)",
    )  # fmt: skip


def add_recording(parser: Parser, two: bool = False) -> None:
    """--recording, or --recording-a and --recording-b, with the corrections of where its sounds begin."""
    for end, which in (("-a", "A"), ("-b", "B")) if two else (("", "the text"),):
        parser.add_argument(
            f"--recording{end}", metavar="FILE",
            help=f"a recording of {which} by a person (WAV, FLAC, MP3, M4A, WebM), which the mouth follows",
        )  # fmt: skip
        parser.add_argument(
            f"--boundaries{end}", metavar="FILE", help="where its sounds begin, corrected by you (.toml)"
        )


def add_wave(parser: Parser) -> None:
    """--wave"""
    parser.add_argument("--wave", action="store_true", help="the wave of the computed voice under the tracks")


def add_track(parser: Parser) -> None:
    """--sound of a film; None where it was not typed."""
    parser.add_argument(
        "--sound", choices=("model", "none"),
        help="computed voice, or none (default: a recording that leads, else model, where the format has sound)",
    )


def add_output(parser: Parser, place: str) -> None:
    """--out, --force and --json; ``place`` says what --out names and its default."""
    parser.add_argument("--out", metavar="PATH", help=place)
    parser.add_argument("--force", action="store_true", help="replace what exists")
    parser.add_argument("--json", action="store_true", help="report as JSON on standard output")


def add_progress(parser: Parser) -> None:
    """--progress"""
    parser.add_argument(
        "--progress", action="store_true", help="show a progress bar even where standard error is no terminal"
    )
