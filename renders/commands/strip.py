"""`vocaltract strip`: key moments side by side."""

from __future__ import annotations

import argparse

from renders.commandline import arguments
from renders.commandline.destinations import default_name, file_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report
from renders.commandline.speech import add_speech_options, as_phrase, speech_of, with_recording
from renders.files.formats import PICTURE_ENDINGS

NAME = "strip"
ORDER = 20
WHAT = "the key moments of a text side by side"
EXAMPLE = 'vocaltract strip "hot tub"'
SIZE_PX = (1600, 660)


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_text(parser)
    add_speech_options(parser)
    arguments.add_recording(parser)
    arguments.add_look(parser, SIZE_PX)
    arguments.add_language(parser)
    arguments.add_wave(parser)
    arguments.add_output(parser, file_of(NAME, PICTURE_ENDINGS))


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.files.outputs import choose_path

    text = " ".join(args.text)
    out = choose_path(args.out, default_name("strip", text, ".png"), PICTURE_ENDINGS, args.force)
    speech = with_recording(args, speech_of(args))
    from renders.stills.strip import write_strip

    size = args.size or SIZE_PX
    look = {"style": args.style, "size": size, "language": args.language, "wave": args.wave}
    made = write_strip(text, out, speech=speech, force=args.force, **look)
    notes = [*made.get("notes", ()), *as_phrase(text)]
    return {"text": text, "out": out, "size_px": size, **made, "notes": notes}
