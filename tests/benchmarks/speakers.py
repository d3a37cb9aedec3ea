"""A speaker's own file: read, and every sound of English solved on its head, with nothing kept before."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.figures import ROOT, Figure, limited

SMALLER = 0.85  # than the man


def measure() -> Iterator[Figure]:
    """Both figures of a speaker, in a process of its own with an empty cache."""
    with tempfile.TemporaryDirectory() as folder:
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "VOCALTRACT_CACHE": folder}
        command = [sys.executable, "-m", "tests.benchmarks.speakers", folder]
        done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, timeout=600, encoding="utf-8")
    if done.returncode:
        raise RuntimeError(done.stderr.strip())
    loaded, solved = map(float, done.stdout.split())
    yield limited("speaker_loaded", loaded)
    yield limited("speaker_solved", solved)


def _measured(folder: Path) -> tuple[float, float]:
    from tests.scaled_speaker import as_toml, scaled_values
    from vocaltract.phonetics.solve_all import solve_english
    from vocaltract.phonetics.speaker_file import read_speaker

    (folder / "first.toml").write_text(as_toml(scaled_values(1.05)), encoding="utf-8")
    read_speaker(folder / "first.toml")  # imports and the package's own tables
    (folder / "guest.toml").write_text(as_toml(scaled_values(SMALLER)), encoding="utf-8")
    start = time.process_time()
    guest = read_speaker(folder / "guest.toml")
    loaded = time.process_time()
    solve_english(guest)
    return loaded - start, time.process_time() - loaded


if __name__ == "__main__":
    print(*_measured(Path(sys.argv[1])))
