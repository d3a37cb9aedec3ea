"""The command line: every command parses what was typed, calls one function, and reports.

Exit status: 0 done, 1 the surroundings failed or part of the work was not done, 2 bad input, 130 interrupted.
An error is one line on standard error. What draws and computes is imported by the command that needs it, so
that help is instant.
"""

from __future__ import annotations

import argparse
import contextlib
import gc
import importlib
import json
import os
import pkgutil
import sys
from collections.abc import Sequence
from typing import Any

from articulators.errors import SurroundingsError, TractError
from renders import commands
from renders.commandline.parser import Parser, add_version
from renders.commandline.reporting import Report, as_json
from renders.files import interrupts

_OBJECTS_BETWEEN_LOOKS = 100_000  # all that a still makes; a film is looked through every few frames
_CAUTION = (
    "This teaches; it does not diagnose or treat. For that see a licensed speech-language pathologist.\n"
    "Times and shapes are typical of American English; people vary."
)
_NO_MEMORY = ("bad_alloc", "failed to map segment", "cannot allocate memory")
_EXAMPLES = """examples, from a hotel front-desk course:
  vocaltract lesson t d --out front-desk       everything a lesson on two sounds needs, in one folder
  vocaltract still t --labels technical        a labelled side view of the mouth
  vocaltract film "front desk"                 a film at half speed
  vocaltract strip backpack                    the key moments of a word side by side
  vocaltract pair v w --out v-and-w.svg        two sounds compared
  vocaltract sounds                            every sound you can name
"""


def modules(typed: str = "") -> list[Any]:
    """The modules of the commands, in the order in which help lists them; of the command that is typed, that alone."""
    names = [found.name for found in pkgutil.iter_modules(commands.__path__)]
    if typed in names:
        names = [typed]
    return sorted((importlib.import_module(f"{commands.__name__}.{name}") for name in names), key=lambda m: m.ORDER)


def build_parser(typed: str = "") -> Parser:
    """The parser of every command, or of the one that is typed; a parsed namespace holds its function as ``run``."""
    parser = Parser(
        prog="vocaltract",
        description="Shows what the mouth does in the sounds of English: diagrams, slow films, comparisons.",
        epilog=f"{_EXAMPLES}\n{_CAUTION}",
    )
    add_version(parser)
    added = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)

    for module in modules(typed):
        made: Parser = added.add_parser(
            module.NAME,
            help=module.WHAT,
            description=f"{module.NAME}: {module.WHAT}.",
            epilog=f"example{'s' * ('  ' in module.EXAMPLE)}:\n  {module.EXAMPLE}\n\n{_CAUTION}",
        )
        module.add(made)
        made.set_defaults(run=module.run)
        parser.commands[module.NAME] = made
    return parser


def _be_brief() -> None:
    """A command ends soon: it need not look for circles of objects after every few hundred that an import makes, nor
    wake a thread for each core to multiply small matrices. To be called before numpy is imported.
    """
    gc.set_threshold(_OBJECTS_BETWEEN_LOOKS)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


# Reporting


def _print_json(value: Any) -> None:
    """JSON has an escape of its own for what standard output cannot encode."""
    text = as_json(value)
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


def _says_no_memory(error: Exception) -> bool:
    """Libraries of other languages, and the loader of libraries, have no MemoryError and say it in words."""
    said = str(error).lower()
    return isinstance(error, MemoryError) or any(words in said for words in _NO_MEMORY)


def _drop_stdout() -> None:
    """Nobody reads standard output any more: what is left in its buffer must not raise again at exit."""
    with contextlib.suppress(AttributeError, OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def _keep_numbers() -> None:
    """A stream that was closed before the start gives its number to the next file opened, to which libraries that write
    to standard error by number would write; the number is taken instead.
    """
    for number in (0, 1, 2):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)  # takes the lowest number that is free


def _run(argv: Sequence[str], asked: list[int]) -> int:
    try:
        args = build_parser(argv[0] if argv else "").parse(argv)
        from renders.commandline.libraries import keep_libraries_apart

        keep_libraries_apart()
        return _tell(args, args.run(args))
    except SystemExit as done:  # help and version
        return int(done.code or 0)
    except Exception as error:
        if asked:  # whatever an interrupt has turned into
            raise KeyboardInterrupt from error
        raise


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command and gives its exit status; ``argv`` is without the program's name."""
    _be_brief()
    _keep_numbers()
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError):
            stream.reconfigure(errors="backslashreplace")  # type: ignore[union-attr]
    try:
        with interrupts.as_interrupts() as asked:
            status = _run(sys.argv[1:] if argv is None else argv, asked)
        if sys.stdout is not None:  # None where it was closed before the start
            sys.stdout.flush()
    except KeyboardInterrupt:
        return _fail("interrupted; nothing was left half-written", 130)
    except TractError as error:
        return _fail(str(error), error.exit_status)
    except BrokenPipeError:
        _drop_stdout()
        return 0
    except OSError as error:
        _drop_stdout()
        where = f": {error.filename}" if error.filename else ""
        return _fail(f"{error.strerror or error}{where}", SurroundingsError.exit_status)
    except Exception as error:
        if _says_no_memory(error):
            return _fail("out of memory; a smaller --size needs less", SurroundingsError.exit_status)
        if sys.flags.dev_mode:
            raise
        fault = f"a fault of this program ({type(error).__name__}: {error})"
        return _fail(f"{fault}; `python -X dev -m renders ...` shows where", SurroundingsError.exit_status)
    return status
