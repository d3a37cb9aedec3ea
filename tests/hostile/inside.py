"""What happens within the process of a case: streams, limits, another machine, what is done meanwhile, the command."""

from __future__ import annotations

import io
import os
import pickle
import resource
import signal
import sys
import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TextIO

from tests.hostile import machines
from tests.hostile.case import Case
from tests.hostile.steps import watch

THEIRS = b"SOMEBODY ELSE'S\n"
STEPS, APPEARED = "steps", "appeared"
"""Files among the streams: how many steps there were; whether something stood where theirs appeared."""
STREAMS = (("inp", 0), ("out", 1), ("err", 2))


@dataclass(frozen=True)
class Task:
    """A case to be run: the box, what is typed, the folder for its streams, the step of its event (0: at none)."""

    case: Case
    box: Path
    argv: tuple[str, ...]
    streams: Path
    step: int = 0


def opened(state: str, name: str, streams: Path) -> int | None:
    """A descriptor for a stream in the state that `case.Around` names; None: closed."""
    if state == "closed":
        return None
    if state == "left":
        read, write = os.pipe()
        os.close(read)
        return write
    if state == "full":
        return os.open("/dev/full", os.O_RDWR)
    if name == "inp":
        return os.open(os.devnull, os.O_RDONLY)
    return os.open(streams / name, os.O_WRONLY | os.O_CREAT | os.O_APPEND)


def in_child(task: Task) -> int:
    """Runs the command in a child that was split off, as if it had been started; its exit status."""
    os.setsid()
    for name in ("SIGTERM", "SIGHUP"):
        signal.signal(getattr(signal, name), signal.SIG_DFL)
    signal.signal(signal.SIGINT, signal.default_int_handler)
    around = task.case.around
    for name, number in STREAMS:
        found = opened(getattr(around, name), name, task.streams)
        if found is None:
            os.close(number)
        elif found != number:
            os.dup2(found, number)
            os.close(found)
    os.environ.update(environment(task))
    os.chdir(task.box / "work")
    encoding = os.environ.get("PYTHONIOENCODING", "utf-8")
    streams: Any = sys
    streams.stdin = None if around.inp == "closed" else _text(0, encoding, "strict")
    streams.stdout = None if around.out == "closed" else _text(1, encoding, "strict")
    streams.stderr = None if around.err == "closed" else _text(2, encoding, "backslashreplace")
    try:
        return _flushed(run(task))
    except BaseException:
        if sys.stderr is not None:
            traceback.print_exc()
            sys.stderr.flush()
        return 1


def _text(number: int, encoding: str, errors: str) -> TextIO:
    raw = io.FileIO(number, "r" if number == 0 else "w", closefd=False)
    buffered: Any = io.BufferedReader(raw) if number == 0 else io.BufferedWriter(raw)
    return io.TextIOWrapper(buffered, encoding=encoding, errors=errors, line_buffering=number == 2)


def _flushed(status: int) -> int:
    """As the interpreter ends: output that cannot be written makes the status 120."""
    try:
        if sys.stdout is not None:
            sys.stdout.flush()
    except OSError as error:
        print(f"Exception ignored while flushing sys.stdout: {error}", file=sys.stderr, flush=True)
        return 120
    return status


def environment(task: Task) -> dict[str, str]:
    """What a case changes in the environment."""
    places = {"HOME": "home", "TMPDIR": "passing", "PWD": "work"}
    return {**{name: str(task.box / place) for name, place in places.items()}, **dict(task.case.around.environment)}


def run(task: Task) -> int:
    """Sets limits, machine and event, then runs the command; its exit status."""
    if task.case.around.limit is None:  # which the notes of the watch would meet too
        watch(task.box / "work", lambda count: _happens(task, count))
    machines.enter(task.case.around.machine)
    _limit(task.case)
    from renders import cli

    return cli.main(task.argv)


def _limit(case: Case) -> None:
    if case.around.limit is None:
        return
    name, most = case.around.limit
    if name == "RLIMIT_AS":
        most += int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    if name == "RLIMIT_NOFILE":
        most += max(int(number) for number in os.listdir("/proc/self/fd"))
    resource.setrlimit(getattr(resource, name), (most, most))


def _happens(task: Task, count: int) -> None:
    (task.streams / STEPS).write_text(str(count))
    event = task.case.event
    if count != task.step or event is None:
        return
    if event.what.startswith("SIG"):
        os.kill(os.getpid(), getattr(signal, event.what))
        return
    target = task.box / "work" / event.where
    (task.streams / APPEARED).write_text("something" if os.path.lexists(target) else "nothing")
    if not target.suffix:
        target.mkdir(exist_ok=True)
        target /= "index.html"
    target.write_bytes(THEIRS)


def main() -> None:
    """In a new process: the streams are there already."""
    sys.exit(run(pickle.loads(Path(sys.argv[1]).read_bytes())))


if __name__ == "__main__":
    main()
