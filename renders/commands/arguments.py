"""What may be typed on the command line: checked values, and the options that commands share.

Every check raises BadInput with one line that says what was given and what is allowed.
"""

from __future__ import annotations

import argparse
import math
import re
from collections.abc import Callable, Sequence
from typing import Any, NoReturn

from articulators.errors import BadInput, nearest

LABELS = ("none", "plain", "technical")
# written out, since help must not load what reads the style files; a test compares
STYLES_HELP = "light, dark, print, line, contrast or safe, or a .toml file, see `vocaltract styles` (default: light)"
PARTS_EXAMPLE = {"--show": "tongue,palate,teeth,lips", "--hide": "spine,nose,air"}


class Parser(argparse.ArgumentParser):
    """Raises BadInput where argparse would print its usage and exit; knows its options and its commands."""

    def __init__(self, **settings: Any) -> None:
        self.options: list[str] = []
        self.commands: dict[str, Parser] = {}
        super().__init__(formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False, **settings)

    def add_argument(self, *names: str, **settings: Any) -> argparse.Action:
        action = super().add_argument(*names, **settings)
        self.options += action.option_strings
        return action

    def error(self, message: str) -> NoReturn:
        option, _, reason = message.removeprefix("argument ").partition(": ")
        if "; " in reason:  # one of the checks below, which names what was given itself
            raise BadInput(reason)
        raise BadInput(f"{option}: {reason}; see `{self.prog} --help`")

    def parse(self, argv: Sequence[str]) -> argparse.Namespace:
        """Reads a whole command line; BadInput for whatever is not understood."""
        known = ", ".join(self.commands)
        name = next((word for word in argv if not word.startswith("-")), None)
        if name is None and not set(argv) & set(self.options):
            raise BadInput(f"no command given; allowed: {known}; see `{self.prog} --help`")
        if name is not None and name not in self.commands:
            raise BadInput(f"command '{name}' is unknown; allowed: {known}{nearest(name, self.commands)}")
        args, surplus = self.parse_known_args(argv)
        if surplus:
            see = f"`{self.prog} {args.command} --help`"
            given = surplus[0].split("=")[0]
            if given.startswith("-"):
                close = nearest(given, self.commands[args.command].options)
                raise BadInput(f"option '{given}' is unknown; {see} lists them{close}")
            raise BadInput(f"'{surplus[0]}' is one argument too many; see {see}")
        return args


def _typed(check: Callable[[str], Any]) -> Callable[[str], Any]:
    """A check that raises BadInput, as an argparse type (argparse would drop the message of a ValueError)."""

    def converted(text: str) -> Any:
        try:
            return check(text)
        except BadInput as error:
            raise argparse.ArgumentTypeError(str(error)) from None

    return converted


def _number(text: str, what: str, example: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise BadInput(f"{what} '{text}' is not a number; write for example {example}")
    return value


def size(text: str) -> tuple[int, int]:
    """ "1280x720" as (1280, 720) px; both even and within what a film can have."""
    from renders.files.formats import check_size

    match = re.fullmatch(r"(\d{1,6})[xX×](\d{1,6})", text, re.ASCII)
    if match is None:
        raise BadInput(f"size '{text}' is not WIDTHxHEIGHT in px; write for example 1280x720")
    return check_size(int(match[1]), int(match[2]))


def speed(text: str) -> float:
    """Playback speed, 1 is natural; the range is that of `vocaltract.motion.playback`."""
    from vocaltract.motion.playback import constant

    value = _number(text, "speed", "0.5 for half speed")
    constant(1.0, value)
    return value


def fps(text: str) -> float:
    """Frames a second; the range is that of `renders.files.encode`."""
    from renders.files.formats import check_fps

    value = _number(text, "frame rate", "30")
    check_fps(value)
    return value


def style(text: str) -> str:
    """Name of a bundled style, or of a style file."""
    from renders.paper.style import load

    load(text)
    return text


def labels(text: str) -> str:
    """Kind of labels: one of LABELS."""
    if text not in LABELS:
        raise BadInput(f"labels '{text}' are unknown; allowed: {', '.join(LABELS)}{nearest(text, LABELS)}")
    return text


def parts(text: str) -> tuple[str, ...]:
    """Names of organs and marks, with commas between them."""
    from renders.anatomy.layers import ALL, MARKS, ORGANS, chosen

    given = tuple(part.strip() for part in text.split(",") if part.strip())
    if not given:
        raise BadInput(f"no part is named in '{text}'; allowed: {', '.join((*ORGANS, *MARKS))}")
    chosen([*ALL, *given])
    return given


class _Version(argparse.Action):
    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        from vocaltract import __version__

        print(f"vocaltract {__version__}")
        parser.exit()


def add_version(parser: Parser) -> None:
    """--version"""
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and exit")


def add_text(parser: Parser) -> None:
    """TEXT, which need not stand in quotes."""
    parser.add_argument("text", metavar="TEXT", nargs="+", help="English words, or IPA between [ ]")


def add_sound(parser: Parser, optional: bool = False) -> None:
    """SOUND: a symbol, an alias, or any IPA symbol in brackets."""
    what = "a symbol or listed alias, such as t, ʃ or sh; in brackets any IPA symbol, as [ʈ]"
    parser.add_argument("sound", metavar="SOUND", nargs="?" if optional else None, help=what)


def add_areas(parser: Parser) -> None:
    """--areas FILE and what goes with it."""
    parser.add_argument("--areas", metavar="FILE", help="a shape instead: CSV with length_cm, area_cm2, glottis first")
    parser.add_argument(
        "--lossless",
        action="store_true",
        help="with --areas: hard walls, closed glottis, zero pressure at the lips, no end correction",
    )
    parser.add_argument(
        "--sound-speed", type=_typed(sound_speed), metavar="CM_S", help="speed of sound in cm/s; default 35000"
    )


def add_plot(parser: Parser) -> None:
    """--plot FILE, --json and --force of a measurement."""
    parser.add_argument("--plot", metavar="FILE", help="a figure of section, areas and response (.png, .svg, .pdf)")
    parser.add_argument("--force", action="store_true", help="replace what exists")
    parser.add_argument("--json", action="store_true", help="report in JSON")


def sound_speed(text: str) -> float:
    """Speed of sound in cm/s: 30000 to 40000 covers air from freezing to body heat, helium left out."""
    value = _number(text, "speed of sound", "35000")
    if not 30000 <= value <= 40000:
        raise BadInput(f"speed of sound {text} cm/s is not possible; allowed is 30000 to 40000")
    return value


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
    parser.add_argument("--labels", type=_typed(labels), default="plain", help=f"{', '.join(LABELS)} (default: plain)")


def add_parts(parser: Parser) -> None:
    """--show and --hide"""
    for option, what in (("--show", "draw only these parts"), ("--hide", "leave these parts out")):
        example = f"{what}, such as {PARTS_EXAMPLE[option]}"
        parser.add_argument(option, type=_typed(parts), metavar="PARTS", help=example)


def add_facing(parser: Parser) -> None:
    """--mirror and --transparent"""
    parser.add_argument("--mirror", action="store_true", help="the speaker faces right")
    parser.add_argument("--transparent", action="store_true", help="no background, to lie on a picture of yours")


def add_look(parser: Parser, default: tuple[int, int]) -> None:
    """--style and --size, with the size that is used where none is given."""
    parser.add_argument("--style", type=_typed(style), default="light", metavar="NAME|FILE", help=STYLES_HELP)
    parser.add_argument(
        "--size",
        type=_typed(size),
        default=default,
        metavar="WxH",
        help=f"width and height in px, even (default: {default[0]}x{default[1]})",
    )


def language(text: str) -> str:
    """Name of a language that ships."""
    from renders.wording.shipped import checked

    return checked(text)


def add_language(parser: Parser) -> None:
    """--language"""
    from renders.wording.shipped import FIRST, languages

    known = ", ".join(languages())
    parser.add_argument(
        "--language",
        type=_typed(language),
        default=FIRST,
        metavar="CODE",
        help=f"language of what is said: {known} (default: {FIRST})",
    )


def add_pace(parser: Parser) -> None:
    """--speed and --fps"""
    parser.add_argument("--speed", type=_typed(speed), default=0.5, help="0.05 to 2; 1 is natural (default: 0.5)")
    parser.add_argument("--fps", type=_typed(fps), default=30.0, help="frames a second, 5 to 60 (default: 30)")


def add_dwell(parser: Parser) -> None:
    """--dwell and --no-dwell"""
    parser.add_argument(
        "--dwell",
        action=argparse.BooleanOptionalAction,
        default=False,
        help="slow down further at closure, release and flap (default: one speed throughout)",
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
