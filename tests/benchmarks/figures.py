"""A measured figure beside its limit, and how commands are timed."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent.parent


@dataclass(frozen=True)
class Figure:
    """``value`` in ``unit``; ``limit`` is the most it may be, None where it is only for information."""

    what: str
    value: float
    unit: str
    limit: float | None = None

    @property
    def short(self) -> bool:
        """Whether the figure is worse than its limit."""
        return self.limit is not None and not self.value <= self.limit

    def __str__(self) -> str:
        limit = "" if self.limit is None else f"limit {self.limit:g} {self.unit}"
        verdict = "" if self.limit is None else "  FALLS SHORT" if self.short else "  ok"
        return f"{self.what:<56} {self.value:9.3f} {self.unit:<9} {limit:<14}{verdict}".rstrip()


@cache
def _limits() -> Mapping[str, Mapping[str, Any]]:
    return tomllib.loads((Path(__file__).parent / "limits.toml").read_text(encoding="utf-8"))


def limited(name: str, value: float) -> Figure:
    """The figure of a row of limits.toml."""
    row = _limits()[name]
    return Figure(row["what"], value, row["unit"], row["limit"])


def seconds(work: Callable[[], object]) -> float:
    """How long a call takes by the wall clock."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def command_seconds(*args: str, times: int = 1, timeout_s: float = 300.0) -> float:
    """Median wall-clock time of `vocaltract ARGS` in a new process and an empty folder.

    Raises RuntimeError with what the command said where it fails.
    """
    taken = []
    for _ in range(times):
        with tempfile.TemporaryDirectory() as folder:
            command = [sys.executable, "-m", "renders", *args]
            environment = {**os.environ, "PYTHONPATH": str(ROOT)}
            start = time.perf_counter()
            done = subprocess.run(
                command, cwd=folder, env=environment, capture_output=True, timeout=timeout_s
            )
            taken.append(time.perf_counter() - start)
            if done.returncode:
                raise RuntimeError(done.stderr.decode(errors="replace").strip())
    return statistics.median(taken)


def command_peak_mb(*args: str) -> float:
    """Peak memory in MB of `vocaltract ARGS` in a new process, with the processes it starts (Linux; what they share
    counts once). RuntimeError with what it said where it fails."""
    with tempfile.TemporaryDirectory() as folder, tempfile.TemporaryFile() as said:
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        command = [sys.executable, "-m", "renders", *args]
        running = subprocess.Popen(command, cwd=folder, env=environment, stdout=subprocess.DEVNULL, stderr=said)
        together = 0.0
        while True:
            done, status, usage = os.wait4(running.pid, os.WNOHANG)
            if done:
                break
            together = max(together, _shared_out_mb(running.pid), _high_water_mb(running.pid))
            time.sleep(0.1)
        running.returncode = os.waitstatus_to_exitcode(status)
        if running.returncode:
            said.seek(0)
            raise RuntimeError(said.read().decode(errors="replace").strip())
        # Linux counts what the process that started it held before it became the command
        return together or usage.ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)


def _high_water_mb(process: int) -> float:
    """The most memory a process had so far; 0 where the system does not say."""
    try:
        rows = Path(f"/proc/{process}/status").read_text().splitlines()
        return int(next(row for row in rows if row.startswith("VmHWM:")).split()[1]) / 1e3
    except (OSError, StopIteration):
        return 0.0


def _shared_out_mb(process: int) -> float:
    """Memory of a process and its children now, shared pages shared out among them; 0 where the system does not say."""
    total = 0.0
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            parent = (folder / "stat").read_text().rpartition(")")[2].split()[1]
            if str(process) in (folder.name, parent):
                rows = (folder / "smaps_rollup").read_text().splitlines()
                total += int(next(row for row in rows if row.startswith("Pss:")).split()[1]) / 1e3
        except (OSError, StopIteration):  # it has ended, or the system does not say
            continue
    return total
