"""`vocaltract pair`: two sounds, words or phrases compared, as a picture, a strip or a film."""

from __future__ import annotations

import argparse
from pathlib import Path

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.destinations import default_name, file_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, progress_bar
from renders.commandline.speech import add_speech_options, speech_of, with_recordings
from renders.commandline.values import event, typed
from renders.files.formats import FILM_ENDINGS, PICTURE_ENDINGS, USUAL_FILM_PX

NAME = "pair"
ORDER = 40
WHAT = "two sounds, words or phrases compared: a picture, a strip or a film in step"
EXAMPLE = """vocaltract pair l r --style print
  vocaltract pair ticket desk --out ticket-desk.mp4 --align closure
  vocaltract pair "two keys" "do keys" --strip"""
SIZES_PX = {"picture": (1600, 1100), "strip": (1600, 1010), "film": USUAL_FILM_PX}
OF_A_FILM = ("speed", "fps", "sound", "pitch", "loudness")
FILMS = tuple(e for e in FILM_ENDINGS if e not in PICTURE_ENDINGS)  # .png is the picture here


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_two_texts(parser)
    parser.add_argument("--strip", action="store_true", help="key moments in two rows, one time a column")
    parser.add_argument(
        "--align", type=typed(event), default="", metavar="EVENT",
        help="what coincides in time: closure, release or vowel (default: what suits the two sounds)",
    )  # fmt: skip
    add_speech_options(parser)
    arguments.add_recording(parser, two=True)
    arguments.add_look(parser, SIZES_PX["picture"])
    arguments.add_language(parser)
    arguments.add_pace(parser)
    arguments.add_track(parser)
    arguments.add_hearing(parser)
    arguments.add_output(parser, file_of(NAME, (*PICTURE_ENDINGS, *FILMS)))
    arguments.add_progress(parser)


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.files.outputs import choose_path

    what = "strip" if args.strip else "picture"
    if not args.strip and args.out is not None and args.out.lower().endswith(FILMS):
        what = "film"
    asked = [f"--{name}" for name in OF_A_FILM if getattr(args, name) is not None]
    if what != "film" and asked:
        raise BadInput(f"{', '.join(asked)}: only a film has this; name one with --out, such as {args.a}-{args.b}.mp4")
    endings = {"strip": PICTURE_ENDINGS, "picture": (*PICTURE_ENDINGS, *FILMS), "film": FILMS}[what]
    name = default_name("pair-strip" if args.strip else "pair", f"{args.a} {args.b}", ".png")
    out = choose_path(args.out, name, endings, args.force)
    size = args.size or SIZES_PX[what]
    made = _film(args, out, size) if what == "film" else _picture(args, out, size)
    spoken = [
        "; ".join(made.get("taken", ())),
        *(made.get(part, "") for part in ("title", "statement", "unseen")),
        *made.get("notes", ()),
    ]
    return {"a": args.a, "b": args.b, "out": out, "size_px": size, **made, "notes": [line for line in spoken if line]}


def _picture(args: argparse.Namespace, out: Path, size: tuple[int, int]) -> Report:
    way = {
        "event": args.align, "speech": with_recordings(args, speech_of(args)), "style": args.style, "size": size,
        "language": args.language, "force": args.force,
    }  # fmt: skip
    if args.strip:
        from renders.pairs.pair_strip import write_pair_strip

        return write_pair_strip(args.a, args.b, out, **way)
    from renders.pairs.picture import write_pair

    return write_pair(args.a, args.b, out, **way)


def _film(args: argparse.Namespace, out: Path, size: tuple[int, int]) -> Report:
    from renders.films.shot import Shot
    from renders.pairs.pair_film import write_pair_film
    from vocaltract.sound.hearing import Hearing

    hearing = Hearing(args.pitch, args.loudness)
    look = arguments.given(args, "speed", "fps", "style", "language")
    speech = with_recordings(args, speech_of(args))
    shot = Shot(**look, size=size, sound=args.sound, hearing=hearing)
    with progress_bar(args, "film") as progress:
        return write_pair_film(
            args.a, args.b, out, shot, event=args.align, speech=speech, force=args.force, progress=progress
        )
