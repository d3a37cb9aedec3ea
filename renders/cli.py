"""The command line: every command parses what was typed, calls one function, and reports.

Exit status: 0 done, 1 the surroundings failed or part of the work was not done, 2 bad input, 130 interrupted.
An error is one line on standard error. What draws and computes is imported by the command that needs it, so
that help is instant.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from articulators.errors import BadInput, SurroundingsError, TractError
from renders import arguments, interrupts

PICTURE_ENDINGS = (".png", ".svg", ".pdf")
FILM_ENDINGS = (".mp4", ".gif")
TABLE_ENDINGS = (".txt", ".csv", ".json")
STILL_PX, STRIP_PX, FILM_PX, PAIR_PX = (1600, 1200), (1600, 620), (1280, 720), (1600, 1100)
MEASURE_PX = (1800, 760)

Report = dict[str, Any]
Run = Callable[[argparse.Namespace], Report]
Progress = Callable[[int, int], None]

_CAUTION = (
    "This teaches; it does not diagnose or treat. For that see a licensed speech-language pathologist.\n"
    "Times and shapes are typical of American English; people vary."
)
_EXAMPLES = """examples, from a hotel front-desk course:
  vocaltract lesson t d --out front-desk       everything a lesson on two sounds needs, in one folder
  vocaltract still t --labels technical        a labelled side view of the mouth
  vocaltract film "front desk"                 a film at half speed
  vocaltract strip backpack                    the key moments of a word side by side
  vocaltract pair v w --out v-and-w.svg        two sounds compared
  vocaltract sounds                            every sound you can name
"""


def build_parser() -> arguments.Parser:
    """The parser of every command; a parsed namespace holds the command's function as ``run``."""
    parser = arguments.Parser(
        prog="vocaltract",
        description="Shows what the mouth does in the sounds of English: diagrams, slow films, comparisons.",
        epilog=f"{_EXAMPLES}\n{_CAUTION}",
    )
    arguments.add_version(parser)
    added = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)

    def command(name: str, run: Run, what: str, example: str) -> arguments.Parser:
        made: arguments.Parser = added.add_parser(
            name, help=what, description=f"{name}: {what}.", epilog=f"example:\n  {example}\n\n{_CAUTION}"
        )
        made.set_defaults(run=run)
        parser.commands[name] = made
        return made

    still = command("still", _still, "a labelled side view of one sound", "vocaltract still ʃ --style dark")
    arguments.add_sound(still, optional=True)
    still.add_argument("--all", action="store_true", help="every sound and two chart sheets, into the folder --out")
    arguments.add_labels(still)
    arguments.add_look(still, STILL_PX)
    arguments.add_output(still, _file_of("still", PICTURE_ENDINGS) + "; with --all a folder")
    arguments.add_progress(still)

    strip = command("strip", _strip, "the key moments of a text side by side", 'vocaltract strip "hot tub"')
    arguments.add_text(strip)
    arguments.add_look(strip, STRIP_PX)
    arguments.add_output(strip, _file_of("strip", PICTURE_ENDINGS))

    film = command("film", _film, "a slowed film of a text", "vocaltract film luggage --out luggage.gif")
    arguments.add_text(film)
    arguments.add_look(film, FILM_PX)
    arguments.add_pace(film)
    arguments.add_dwell(film)
    arguments.add_output(film, _file_of("film", FILM_ENDINGS))
    arguments.add_progress(film)

    pair = command("pair", _pair, "two sounds side by side", "vocaltract pair l r --style print")
    arguments.add_two_sounds(pair)
    arguments.add_look(pair, PAIR_PX)
    arguments.add_output(pair, _file_of("pair", PICTURE_ENDINGS))

    lesson = command(
        "lesson",
        _lesson,
        "a folder that teaches two sounds: stills, comparison, strips, films, page",
        "vocaltract lesson v w --word valet --word window --out v-and-w",
    )
    arguments.add_two_sounds(lesson)
    lesson.add_argument(
        "--word",
        action="append",
        default=[],
        metavar="WORD",
        help="a word or short phrase to use (repeatable; default: chosen from the dictionary)",
    )
    arguments.add_look(lesson, FILM_PX)
    arguments.add_pace(lesson)
    arguments.add_output(lesson, "folder to write; default: ./lesson-A-B")
    arguments.add_progress(lesson)

    measure = command(
        "measure", _measure, "formants, areas and narrowest place of a sound, in numbers", "vocaltract measure i --json"
    )
    arguments.add_sound(measure, optional=True)
    arguments.add_areas(measure)
    arguments.add_plot(measure)
    arguments.add_look(measure, MEASURE_PX)

    sounds = command("sounds", _sounds, "every sound that can be named", "vocaltract sounds --out sounds.csv")
    arguments.add_output(sounds, f"file to write ({', '.join(TABLE_ENDINGS)}); default: print the list")
    return parser


def _file_of(command: str, endings: tuple[str, ...]) -> str:
    return f"file to write ({', '.join(endings)}); default: ./{command}-NAME{endings[0]}"


# The commands


def _still(args: argparse.Namespace) -> Report:
    if args.all:
        return _every_still(args)
    if args.sound is None:
        raise BadInput("still needs a SOUND, such as t or sh, or --all with --out FOLDER")
    from renders.outputs import choose_path

    symbol = _sound(args.sound)
    out = choose_path(args.out, _default("still", args.sound, ".png"), PICTURE_ENDINGS, args.force)
    from renders.still import write_still

    write_still(symbol, out, labels=args.labels, style=args.style, size=args.size)
    return {"sound": symbol, "out": out, "size_px": args.size}


def _every_still(args: argparse.Namespace) -> Report:
    if args.sound is not None:
        raise BadInput(f"--all draws every sound; leave '{args.sound}' out")
    if args.size != STILL_PX:
        raise BadInput("--all draws at its own sizes; leave --size out")
    out = _folder(args.out, "still-all")
    from renders.contact_sheet import write_all

    with _progress(args, "stills") as progress:
        made = write_all(out, labels=args.labels, style=args.style, force=args.force, progress=progress)
    return {"out": out, **made}


def _measure(args: argparse.Namespace) -> Report:
    from renders import measure

    if args.areas is not None:
        if args.sound is not None or args.plot is not None:
            raise BadInput("--areas measures a given shape; leave SOUND and --plot out")
        values = measure.areas_report(args.areas, lossless=args.lossless, sound_speed_cm_s=args.sound_speed)
        if not args.json:
            print(measure.areas_text(values))
            return {"printed": True}
        return values
    if args.sound is None:
        raise BadInput("measure needs a SOUND, such as i or t, or --areas FILE")
    if args.lossless:
        raise BadInput("--lossless goes with --areas FILE")
    from renders.measured import measured
    from renders.outputs import choose_path

    out = None if args.plot is None else choose_path(args.plot, "", PICTURE_ENDINGS, args.force)
    entry, found = measured(args.sound, args.sound_speed)
    if out is not None:
        from renders.measure_plot import write_plot

        write_plot(found, out, title=f"[{entry.symbol}] {entry.name}", style=args.style, size=args.size)
    values = {"sound": entry.symbol, **measure.measurement_values(found)}
    if not args.json:
        print(measure.report(found))
        return {"printed": True}
    return values


def _strip(args: argparse.Namespace) -> Report:
    from renders.outputs import choose_path

    text = " ".join(args.text)
    out = choose_path(args.out, _default("strip", text, ".png"), PICTURE_ENDINGS, args.force)
    from renders.strip import write_strip

    write_strip(text, out, style=args.style, size=args.size)
    return {"text": text, "out": out, "size_px": args.size}


def _film(args: argparse.Namespace) -> Report:
    from renders.outputs import choose_path

    text = " ".join(args.text)
    out = choose_path(args.out, _default("film", text, ".mp4"), FILM_ENDINGS, args.force)
    from renders.film import write_film_of

    with _progress(args, "film") as progress:
        made = write_film_of(
            text,
            out,
            speed=args.speed,
            size=args.size,
            fps=args.fps,
            style=args.style,
            dwell=args.dwell,
            progress=progress,
        )
    return {"text": text, "out": out, "size_px": args.size, "speed": args.speed, "fps": args.fps, **made}


def _pair(args: argparse.Namespace) -> Report:
    from renders.outputs import choose_path

    a, b = _two_sounds(args)
    out = choose_path(args.out, _default("pair", f"{args.a} {args.b}", ".png"), PICTURE_ENDINGS, args.force)
    from renders.comparison import write_pair

    write_pair(a, b, out, style=args.style, size=args.size)
    return {"sounds": [a, b], "out": out, "size_px": args.size}


def _lesson(args: argparse.Namespace) -> Report:
    a, b = _two_sounds(args)
    out = _folder(args.out, _default("lesson", f"{args.a} {args.b}", ""))
    from renders.course.lesson import write_lesson

    with _progress(args, "lesson") as progress:
        made = write_lesson(
            a,
            b,
            out,
            words=args.word,
            size=args.size,
            fps=args.fps,
            speed=args.speed,
            style=args.style,
            force=args.force,
            progress=progress,
        )
    return {"sounds": [a, b], "out": out, "size_px": args.size, "speed": args.speed, "fps": args.fps, **made}


def _sounds(args: argparse.Namespace) -> Report:
    from renders.sound_table import as_csv, as_text
    from vocaltract.phonetics.inventory import listing

    rows = listing()
    if args.out is None:
        if not args.json:
            print(as_text(rows))
            return {"printed": True}
        return {"sounds": rows}
    from renders.outputs import atomic_path, choose_path

    out = choose_path(args.out, "", TABLE_ENDINGS, args.force)
    made = {".txt": as_text, ".csv": as_csv, ".json": _as_json}[out.suffix.lower()](rows)
    with atomic_path(out) as part:
        part.write_text(made + "\n", encoding="utf-8", newline="\n")
    return {"out": out, "count": len(rows)}


def _sound(name: str) -> str:
    from vocaltract.phonetics.inventory import entries, sound

    entry = sound(name)
    return entry.symbol if entry.symbol in entries() else f"[{entry.symbol}]"


def _two_sounds(args: argparse.Namespace) -> tuple[str, str]:
    a, b = _sound(args.a), _sound(args.b)
    if a == b:
        raise BadInput(f"'{args.a}' and '{args.b}' are the same sound; name two different ones")
    return a, b


def _folder(given: str | None, default: str) -> Path:
    if given == "":
        raise BadInput("the folder given with --out has no name; write for example --out front-desk")
    return Path(given or default)


def _default(command: str, text: str, ending: str) -> str:
    from renders.outputs import slug

    return f"{command}-{slug(text)}{ending}"


@contextlib.contextmanager
def _progress(args: argparse.Namespace, what: str) -> Iterator[Progress | None]:
    """A bar on standard error, told (done, total), after one second; None where nobody watches."""
    if not (args.progress or sys.stderr.isatty()):
        yield None
        return
    from tqdm import tqdm

    delay_s = 0.0 if args.progress else 1.0
    with tqdm(desc=what, delay=delay_s, leave=args.progress, file=sys.stderr) as bar:

        def told(done: int, total: int) -> None:
            bar.total = total
            bar.update(done - bar.n)

        yield told


# Reporting


def _as_json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, indent=2, default=os.fspath)


def _print_json(value: Any) -> None:
    """JSON has an escape of its own for what standard output cannot encode."""
    text = _as_json(value)
    try:
        text.encode(getattr(sys.stdout, "encoding", None) or "utf-8")
    except UnicodeEncodeError:
        text = json.dumps(json.loads(text), indent=2)
    print(text)


def _tell(args: argparse.Namespace, report: Report) -> int:
    """Prints a report; 1 where the report lists parts that failed."""
    if args.json:
        _print_json({"command": args.command, **report})
    elif "out" in report:
        print(f"wrote {report['out']}")
        for note in report.get("notes", ()):
            print(note)
    failed = report.get("failed", ())
    if failed:
        raise SurroundingsError(f"{len(failed)} not made: {', '.join(failed)}")
    return 0


def _one_line(message: str) -> str:
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in message)


def _fail(message: str, status: int) -> int:
    if sys.stderr is not None:  # None where it was closed before the start; print would take standard output then
        with contextlib.suppress(OSError):
            print(f"vocaltract: {_one_line(message)}", file=sys.stderr, flush=True)
    return status


def _drop_stdout() -> None:
    """Nobody reads standard output any more: what is left in its buffer must not raise again at exit."""
    with contextlib.suppress(AttributeError, OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def _run(argv: Sequence[str]) -> int:
    try:
        args = build_parser().parse(argv)
        return _tell(args, args.run(args))
    except SystemExit as done:  # help and version
        return int(done.code or 0)
    except TractError as error:
        return _fail(str(error), error.exit_status)


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command and gives its exit status; ``argv`` is without the program's name."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError):
            stream.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    try:
        with interrupts.as_interrupts():
            status = _run(sys.argv[1:] if argv is None else argv)
        if sys.stdout is not None:  # None where it was closed before the start
            sys.stdout.flush()
    except KeyboardInterrupt:
        return _fail("interrupted; nothing was left half-written", 130)
    except BrokenPipeError:
        _drop_stdout()
        return 0
    except OSError as error:
        _drop_stdout()
        where = f": {error.filename}" if error.filename else ""
        return _fail(f"{error.strerror or error}{where}", SurroundingsError.exit_status)
    except MemoryError:
        return _fail("out of memory; a smaller --size needs less", SurroundingsError.exit_status)
    except Exception as error:
        if sys.flags.dev_mode:
            raise
        fault = f"a fault of this program ({type(error).__name__}: {error})"
        return _fail(f"{fault}; `python -X dev -m renders ...` shows where", SurroundingsError.exit_status)
    return status
