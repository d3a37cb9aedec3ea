"""One case: what is typed, what stands on the disk, what the surroundings are, and what happens meanwhile."""

from __future__ import annotations

import shlex
from dataclasses import dataclass
from itertools import takewhile
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # the process of a case loads no more than the command does
    from tests.hostile.usage import Argument


@dataclass(frozen=True)
class Planted:
    """Something that stands in the folder before the command begins.

    path     within the box; the command runs in `work`
    kind     file, folder, link, pipe, or disk (a file system of its own)
    target   of a link; of a disk its options, as mount takes them
    ours     stands for what an earlier run has made, and may be replaced where --force is typed
    """

    path: str
    kind: str = "file"
    data: bytes = b"MINE\n"
    mode: int = 0o644
    target: str = ""
    ours: bool = False


@dataclass(frozen=True)
class Around:
    """Streams, environment, limits and the system that a command finds itself in.

    out, err, inp   file, closed, full (a disk without room), left (nobody reads)
    limit           name of a limit of the system and its value; address space counts from what is in use
    machine         "" or one of `machines.MACHINES`
    """

    out: str = "file"
    err: str = "file"
    inp: str = "file"
    environment: tuple[tuple[str, str], ...] = ()
    limit: tuple[str, int] | None = None
    machine: str = ""


USUAL = Around()


@dataclass(frozen=True)
class Event:
    """What happens while the command is at work.

    what    a signal's name; "appears": a file of somebody else's where the result is to go; "twin": a second command
    share   how far the work is, 0 to 1, counted in steps that change files, or in time
    timed   whether it is counted in time
    where   where somebody else's file appears, within `work`
    twin    what the second command is given
    """

    what: str
    share: float = 0.0
    timed: bool = False
    where: str = ""
    twin: tuple[str, ...] = ()


@dataclass(frozen=True)
class Case:
    """One case; `new` runs it in a new process, in place of a child of the loaded one."""

    number: int
    kind: str
    command: str
    arguments: tuple[Argument, ...]
    planted: tuple[Planted, ...] = ()
    around: Around = USUAL
    event: Event | None = None
    new: bool = False

    @property
    def argv(self) -> tuple[str, ...]:
        """What is typed after the program's name."""
        return (self.command, *(word for argument in self.arguments for word in argument))

    @property
    def read(self) -> tuple[Argument, ...]:
        """The arguments before "--", after which nothing is an option."""
        return tuple(takewhile(lambda argument: argument != ("--",), self.arguments))

    @property
    def forced(self) -> bool:
        """Whether what exists may be replaced."""
        return ("--force",) in self.read

    @property
    def adverse(self) -> bool:
        """Whether the surroundings may fail, so that exit status 1 is right."""
        streams = {self.around.out, self.around.err} != {"file"}
        disks = any(planted.kind == "disk" for planted in self.planted)
        return streams or disks or self.around.limit is not None or self.around.machine == "busy"

    def __str__(self) -> str:
        lines = [f"{self.kind} {self.number}: vocaltract {' '.join(_shown(word) for word in self.argv)}"]
        lines += [f"    {planted}" for planted in self.planted]
        lines += [f"    {part}" for part in (self.around, self.event) if part not in (USUAL, None)]
        return "\n".join(lines)


def _shown(word: str) -> str:
    quoted = shlex.quote(word) if word.isprintable() else ascii(word)
    return quoted if len(quoted) < 300 else f"{quoted[:200]}...({len(word)} characters)"
