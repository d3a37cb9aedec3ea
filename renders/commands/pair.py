"""`vocaltract pair`: two sounds side by side."""

from __future__ import annotations

import argparse

from renders import arguments
from renders.commands.shared import PICTURE_ENDINGS, Report, default_name, file_of, two_sounds

NAME = "pair"
WHAT = "two sounds side by side"
EXAMPLE = "vocaltract pair l r --style print"
SIZE_PX = (1600, 1100)


def add(parser: arguments.Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_two_sounds(parser)
    arguments.add_look(parser, SIZE_PX)
    arguments.add_output(parser, file_of(NAME, PICTURE_ENDINGS))


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.outputs import choose_path

    a, b = two_sounds(args)
    out = choose_path(args.out, default_name("pair", f"{args.a} {args.b}", ".png"), PICTURE_ENDINGS, args.force)
    from renders.comparison import write_pair

    write_pair(a, b, out, style=args.style, size=args.size)
    return {"sounds": [a, b], "out": out, "size_px": args.size}
