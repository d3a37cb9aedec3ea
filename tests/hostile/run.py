"""Runs a case: in a child of this loaded process or in a new one, alone, disturbed, or beside a second command."""

from __future__ import annotations

import contextlib
import gc
import os
import pickle
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, replace
from pathlib import Path

from tests.hostile import inside
from tests.hostile.box import STREAMS, Skipped, Snapshot, box, snapshot
from tests.hostile.case import Case
from tests.hostile.inside import Task

HANG_S = 120.0
_GRACE_S = 3.0
_LOOK_S = 0.004
_ROOT = Path(__file__).resolve().parent.parent.parent


@dataclass(frozen=True)
class Outcome:
    """What one run of a case came to.

    status    as the shell has it; minus the signal's number where one ended it; None: it hung and was ended
    before, after   everything in the box       lingering  whether processes of it were left
    steps     how often it changed files        appeared   what stood where somebody else's file appeared, "": none did
    """

    case: Case
    status: int | None
    out: bytes
    err: bytes
    before: Snapshot
    after: Snapshot
    lingering: bool
    seconds: float
    cpu_s: float
    steps: int
    appeared: str = ""


@dataclass(frozen=True)
class Played:
    """All runs of a case: the one that is judged; where it was disturbed the undisturbed one and the next one; where
    there were two the second.
    """

    outcome: Outcome | None
    undisturbed: Outcome | None = None
    following: Outcome | None = None
    second: Outcome | None = None
    skipped: str = ""


def played(case: Case) -> Played:
    """Runs a case in a box of its own."""
    try:
        if case.event is None:
            with box(case) as place:
                return Played(_ended(_begun(case, place)))
        if case.event.what == "twin":
            return _two(case)
        return _disturbed(case)
    except Skipped as reason:
        return Played(None, skipped=str(reason))


def _two(case: Case) -> Played:
    assert case.event is not None
    one, two = replace(case, event=None), replace(case, event=None)
    with box(case) as place:
        running = _begun(one, place), _begun(two, place, case.event.twin, streams=STREAMS[1])
        first, second = (_ended(each) for each in running)
        return Played(replace(first, after=snapshot(place)), second=second)


def _disturbed(case: Case) -> Played:
    event = case.event
    assert event is not None
    usual = replace(case, event=None)
    with box(case) as place:
        alone = _ended(_begun(usual, place))
    with box(case) as place:
        if event.timed:
            running = _begun(usual, place)
            if not running.wait(event.share * alone.seconds):
                os.kill(running.process, getattr(signal, event.what))
            ended = _ended(running)
        else:
            ended = _ended(_begun(case, place, step=1 + round(event.share * (alone.steps - 1))))
        forced = usual if usual.forced else replace(usual, arguments=(*usual.arguments, ("--force",)))
        following = _ended(_begun(forced, place)) if event.what.startswith("SIG") else None
    return Played(replace(ended, case=case), undisturbed=alone, following=following)


@dataclass
class _Running:
    """A command at work."""

    task: Task
    before: Snapshot
    process: int
    begun_s: float
    status: int | None = None
    cpu_s: float = 0.0

    def wait(self, seconds: float) -> bool:
        """Waits for its end, at most so long; whether it has ended."""
        end = time.monotonic() + seconds
        while self.status is None:
            found, status, used = os.wait4(self.process, os.WNOHANG)
            if found:
                self.status = os.waitstatus_to_exitcode(status)
                self.cpu_s = used.ru_utime + used.ru_stime
            elif time.monotonic() > end:
                return False
            else:
                time.sleep(_LOOK_S)
        return True


def _begun(
    case: Case, place: Path, argv: tuple[str, ...] = (), *, step: int = 0, streams: str = STREAMS[0]
) -> _Running:
    task = Task(case, place, argv or case.argv, place / streams, step)
    for file in task.streams.iterdir():
        file.unlink()
    before = snapshot(place)
    begun_s = time.monotonic()
    return _Running(task, before, _new(task) if case.new else _forked(task), begun_s)


def _forked(task: Task) -> int:
    gc.freeze()
    process = os.fork()
    if process == 0:
        status = 1
        try:
            status = inside.in_child(task)
        finally:
            os._exit(status)
    return process


def _new(task: Task) -> int:
    told = task.streams / "task"
    told.write_bytes(pickle.dumps(task))
    around = task.case.around
    streams = {name: inside.opened(getattr(around, name), name, task.streams) for name, _ in inside.STREAMS}

    def close() -> None:
        for name, number in inside.STREAMS:
            if streams[name] is None:
                os.close(number)

    environment = {**os.environ, **inside.environment(task), "PYTHONPATH": str(_ROOT)}
    running = subprocess.Popen(
        [sys.executable, "-m", "tests.hostile.inside", str(told)],
        stdin=streams["inp"], stdout=streams["out"], stderr=streams["err"],
        cwd=task.box / "work", env=environment, start_new_session=True, preexec_fn=close,
    )  # fmt: skip
    for number in streams.values():
        if number is not None:
            os.close(number)
    running.returncode = 0  # it is waited for here
    return running.pid


def _ended(running: _Running) -> Outcome:
    hung = not running.wait(HANG_S)
    seconds = time.monotonic() - running.begun_s
    lingering = not hung and _lingers(running.process)
    with contextlib.suppress(ProcessLookupError):
        os.killpg(running.process, signal.SIGKILL)
    running.wait(HANG_S)
    streams = running.task.streams
    out, err, steps, appeared = (_read(streams / name) for name in ("out", "err", inside.STEPS, inside.APPEARED))
    return Outcome(
        case=running.task.case, status=None if hung else running.status, out=out, err=err,
        before=running.before, after=snapshot(running.task.box), lingering=lingering,
        seconds=seconds, cpu_s=running.cpu_s, steps=int(steps or 0), appeared=appeared.decode(),
    )  # fmt: skip


def _read(path: Path) -> bytes:
    return path.read_bytes() if path.exists() else b""


def _lingers(group: int) -> bool:
    """Whether processes of the group are still there after a while."""
    end = time.monotonic() + _GRACE_S
    while time.monotonic() < end:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return False
        time.sleep(_LOOK_S)
    return True
