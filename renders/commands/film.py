"""`vocaltract film`: a slowed film."""

from __future__ import annotations

import argparse

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.destinations import default_name, file_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, progress_bar
from renders.commandline.speech import add_speech_options, as_phrase, speech_of, with_recording
from renders.files.formats import FILM_ENDINGS, USUAL_FILM_PX

NAME = "film"
ORDER = 30
WHAT = "a slowed film of a text"
EXAMPLE = """vocaltract film luggage --out luggage.gif            for a slide; plays by itself
  vocaltract film ticket --shape tall --speed 0.25     upright, for a telephone, at quarter speed
  vocaltract film "front desk" --hold closure:1.5      stands still while the air is stopped
  vocaltract film desk --transparent --out desk.mov    to lay over footage in an editor
  vocaltract film t --loop --out t.webp                ends as it begins
  vocaltract film receipt --fps 50 --intro 2           begins with a card of two seconds"""
SHAPES = ("wide", "tall", "square", "classic")


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_text(parser)
    add_speech_options(parser)
    arguments.add_recording(parser)
    arguments.add_look(parser, USUAL_FILM_PX)
    arguments.add_language(parser)
    parser.add_argument("--shape", choices=SHAPES, help="16:9, 9:16, 1:1 or 4:3 at a usual size, instead of --size")
    parser.add_argument("--captions", choices=("bar", "none"), default="bar", help="text beside the picture, or none")
    parser.add_argument("--transparent", action="store_true", help="no paper, to lay over other pictures")
    arguments.add_pace(parser)
    arguments.add_dwell(parser)
    arguments.add_track(parser)
    arguments.add_hearing(parser)
    arguments.add_wave(parser)
    parser.add_argument(
        "--hold", action="append", default=[], metavar="PHASE[:S]",
        help="stand still at closure, approach, release, steady or every phase, for 1 s or S (repeatable)",
    )  # fmt: skip
    parser.add_argument("--intro", type=_seconds, default=0.0, metavar="S", help="begin with a card of S seconds")
    parser.add_argument("--loop", action="store_true", help="end as it begins, for players that repeat")
    arguments.add_output(parser, file_of(NAME, FILM_ENDINGS))
    arguments.add_progress(parser)


def _seconds(text: str) -> float:
    try:
        return float(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"'{text}' is not a number of seconds; write for example 2") from None


def _size(args: argparse.Namespace) -> tuple[int, int]:
    if args.shape is None:
        return args.size or USUAL_FILM_PX
    if args.size is not None:
        raise BadInput("--shape and --size both say how large the film is; leave one out")
    from renders.films.layouts import SHAPES_PX

    return SHAPES_PX[args.shape]


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.files.outputs import choose_path

    text = " ".join(args.text)
    out = choose_path(args.out, default_name("film", text, ".mp4"), FILM_ENDINGS, args.force)
    speech = with_recording(args, speech_of(args))
    from renders.films.film import write_film
    from renders.films.shot import Shot
    from vocaltract.sound.hearing import Hearing

    shot = Shot(
        **arguments.given(args, "speed", "fps"),
        size=_size(args),
        style=args.style,
        dwell=args.dwell,
        captions=args.captions == "bar",
        transparent=args.transparent,
        loop=args.loop,
        intro_s=args.intro,
        holds=tuple(args.hold),
        language=args.language,
        sound=args.sound,
        hearing=Hearing(args.pitch, args.loudness),
        wave=args.wave,
    )
    with progress_bar(args, "film") as progress:
        made = write_film(text, out, shot, speech=speech, force=args.force, progress=progress)
    notes = [*made.get("notes", ()), *as_phrase(text)]
    return {"text": text, "out": out, "size_px": shot.size, "speed": shot.speed, **made, "notes": notes}
