"""`vocaltract lesson`: a folder that teaches two sounds."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from renders.commandline import arguments
from renders.commandline.destinations import default_name, folder_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, progress_bar
from renders.commandline.sounds import taken, two_sounds
from renders.files.formats import USUAL_FILM_PX

if TYPE_CHECKING:
    from vocaltract.phonetics.inventory import SoundEntry

NAME = "lesson"
ORDER = 60
WHAT = "a folder that teaches two sounds: stills, comparison, strips, films, page"
EXAMPLE = """vocaltract lesson v w --word valet --word window --out v-and-w
  vocaltract lesson t d --recording-sheet                    what to record
  vocaltract lesson t d --recordings voices --out t-and-d    led by your recordings"""


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
    parser.add_argument(
        "--recordings", metavar="FOLDER",
        help="a person's recordings of its words, one file each (ticket.wav or 01-ticket.wav); rights.txt: whose voice",
    )  # fmt: skip
    parser.add_argument(
        "--recording-sheet", action="store_true", help="print what to say and what to call the files, and write nothing"
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
    if args.recording_sheet:
        return _sheet(args, a, b)
    out = folder_of(args.out, default_name("lesson", f"{args.a} {args.b}", ""))
    from renders.course.lesson import write_lesson
    from renders.films.shot import Shot
    from vocaltract.naming.named import name_of
    from vocaltract.speech import Speech

    shot = Shot(**arguments.given(args, "speed", "fps", "size", "style", "language"))
    settings: dict[str, Any] = {"words": args.word, "shot": shot, "speech": Speech(**arguments.given(args, "speaker"))}
    if args.recordings is not None:
        from renders.course.recordings import recordings_folder

        settings["recordings"] = recordings_folder(args.recordings)
    with progress_bar(args, "lesson") as progress:
        made = write_lesson(name_of(a), name_of(b), out, force=args.force, progress=progress, **settings)
    made["notes"] = [taken(a, b), *made.get("notes", ())]
    about = {"size_px": shot.size, "speed": shot.speed, "fps": shot.rate}
    return {"sounds": [a.symbol, b.symbol], "out": out, **about, **made}


def _sheet(args: argparse.Namespace, a: SoundEntry, b: SoundEntry) -> Report:
    """What to record for the lesson, printed."""
    from renders.course.plan import plan_lesson
    from renders.course.recordings import recording_names, recording_sheet
    from vocaltract.naming.named import name_of

    words = [word.text for word in plan_lesson(name_of(a), name_of(b), args.word).words]
    if args.json:
        return {"words": words, "files": recording_names(words)}
    print(recording_sheet(words))
    return {"printed": True}
