"""`vocaltract speak`: the sound of a text, computed from the mouth that is drawn."""

from __future__ import annotations

import argparse

from renders.commandline import arguments, values
from renders.commandline.destinations import default_name, file_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report
from renders.commandline.speech import add_speech_options, speech_of
from renders.commandline.values import typed
from renders.files.formats import SOUND_ENDINGS

NAME = "speak"
ORDER = 45
WHAT = "the sound of a text, computed from the mouth that is drawn"
EXAMPLE = """vocaltract speak towel --out towel.wav
  vocaltract speak "good night" --speed 0.5             slowly, at natural pitch
  vocaltract speak ticket --pitch 90 --loudness -23 --out ticket.flac"""


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_text(parser)
    add_speech_options(parser)
    parser.add_argument("--speed", type=typed(values.speed), help="0.05 to 2, at natural pitch (default: 1, natural)")
    arguments.add_hearing(parser)
    arguments.add_output(parser, file_of(NAME, SOUND_ENDINGS))


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.files.outputs import choose_path

    text = " ".join(args.text)
    out = choose_path(args.out, default_name(NAME, text, SOUND_ENDINGS[0]), SOUND_ENDINGS, args.force)
    speech = speech_of(args)
    from renders.files.sound_file import write_spoken
    from vocaltract.sound.hearing import Hearing

    hearing = Hearing(args.pitch, args.loudness)
    return {
        "text": text,
        **write_spoken(text, out, hearing, speech=speech, force=args.force, **arguments.given(args, "speed")),
    }
