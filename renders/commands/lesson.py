"""`vocaltract lesson`: a folder that teaches two sounds."""

from __future__ import annotations

import argparse

from renders.commandline import arguments
from renders.commandline.destinations import default_name, folder_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, progress_bar
from renders.commandline.sounds import taken, two_sounds
from renders.files.formats import USUAL_FILM_PX

NAME = "lesson"
ORDER = 60
WHAT = "a folder that teaches two sounds: stills, comparison, strips, films, page"
EXAMPLE = "vocaltract lesson v w --word valet --word window --out v-and-w"


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_two_sounds(parser)
    parser.add_argument(
        "--word",
        action="append",
        default=[],
        metavar="WORD",
        help="a word or short phrase to use (repeatable; default: chosen from the dictionary)",
    )
    arguments.add_look(parser, USUAL_FILM_PX)
    arguments.add_speaker(parser)
    arguments.add_language(parser)
    arguments.add_pace(parser)
    arguments.add_output(parser, "folder to write; default: ./lesson-A-B")
    arguments.add_progress(parser)


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    a, b = two_sounds(args)
    out = folder_of(args.out, default_name("lesson", f"{args.a} {args.b}", ""))
    from renders.course.lesson import write_lesson
    from renders.films.shot import Shot
    from vocaltract.naming.named import name_of
    from vocaltract.speech import Speech

    shot = Shot(**arguments.given(args, "speed", "fps", "size", "style", "language"))
    settings = {"words": args.word, "shot": shot, "speech": Speech(**arguments.given(args, "speaker"))}
    with progress_bar(args, "lesson") as progress:
        made = write_lesson(name_of(a), name_of(b), out, force=args.force, progress=progress, **settings)
    made["notes"] = [taken(a, b), *made.get("notes", ())]
    about = {"size_px": shot.size, "speed": shot.speed, "fps": shot.rate}
    return {"sounds": [a.symbol, b.symbol], "out": out, **about, **made}
