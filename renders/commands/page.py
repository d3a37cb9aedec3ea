"""`vocaltract page`: a learner page of one or two texts, in one file."""

from __future__ import annotations

import argparse

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.destinations import default_name, file_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report
from renders.commandline.speech import with_recordings
from renders.files.formats import PAGE_ENDINGS

NAME = "page"
ORDER = 50
WHAT = "a page to play, step through and compare, in one file"
EXAMPLE = "vocaltract page ticket desk --out t-and-d.html"


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    parser.add_argument(
        "text",
        metavar="TEXT",
        nargs="+",
        help="one text or two: sounds such as t d, words, phrases in quotes, or IPA between [ ]",
    )
    arguments.add_speaker(parser)
    arguments.add_recording(parser, two=True)
    arguments.add_language(parser)
    arguments.add_output(parser, file_of(NAME, PAGE_ENDINGS))


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.files.outputs import choose_path

    out = choose_path(args.out, default_name(NAME, " ".join(args.text), ".html"), PAGE_ENDINGS, args.force)
    from renders.page.build import write_page
    from vocaltract.speech import Speech

    if len(args.text) == 1 and (args.recording_b is not None or args.boundaries_b is not None):
        raise BadInput("--recording-b goes with a second text; this page has one, whose recording is --recording-a")
    speech = with_recordings(args, Speech(**arguments.given(args, "speaker")))
    made = write_page(args.text, out, speech=speech, language=args.language, force=args.force)
    taken = "; ".join(made.get("taken", ()))
    return {"texts": args.text, "out": out, **made, "notes": [taken] if taken else []}
