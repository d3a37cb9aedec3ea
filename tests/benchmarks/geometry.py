"""From constraints to outlines and areas: solving and loading the inventory, a thousand postures at once, memory.

Measured in a new process with one thread, so that nothing is warm and the peak of memory is this work's own. Times are
the processor's: what this takes on one core that does nothing else.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator

from tests.benchmarks.figures import ROOT, Figure, limited
from vocaltract.speech import say

POSTURES, SINGLE = 1000, 100
INFORMS = {
    "air_both": "air of one frame, through mouth and nose at once",
    "air_shut_in": "outline of the air that is shut in, for its tint",
}
THREADS = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")


def measure() -> Iterator[Figure]:
    """Every row that limits.toml has for solver, geometry and air, and what informs beside them."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), **dict.fromkeys(THREADS, "1")}
    command = [sys.executable, "-m", "tests.benchmarks.geometry"]
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, timeout=300)
    if done.returncode:
        raise RuntimeError(done.stderr.decode(errors="replace").strip())
    for name, value in json.loads(done.stdout).items():
        yield Figure(INFORMS[name], value, "ms") if name in INFORMS else limited(name, value)


def _seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def _measured() -> dict[str, float]:
    import resource

    start = time.process_time()
    from vocaltract.phonetics.inventory import entries
    from vocaltract.phonetics.postures import posture

    keys = [k for e in entries().values() for k in e.posture if k != "next"]
    loaded = [posture(k) for k in keys]
    load_s = time.process_time() - start

    import numpy as np

    from articulators.head import adult_male
    from articulators.posture import Posture, posture_from
    from articulators.section import section
    from vocaltract.airway.areas import tract_areas
    from vocaltract.phonetics import build
    from vocaltract.phonetics.speaker import man

    head = adult_male()
    solve_s = _seconds(lambda: build.solved_targets(man()))

    # between any two sounds of the inventory, as in running speech
    values = np.stack([p.values for p in loaded])
    one, share = np.arange(POSTURES), np.linspace(0.0, 1.0, POSTURES)[:, None]
    first, second = values[one % len(values)], values[(one * 7 + 3) % len(values)]
    many = posture_from(first + share * (second - first))

    def geometry(posture: Posture) -> None:
        tract_areas(section(head, posture))

    geometry(posture_from(many.values[0]))  # what a head needs only once
    batch_s = min(_seconds(lambda: geometry(many)) for _ in range(3))
    some = [posture_from(many.values[i]) for i in range(0, POSTURES, POSTURES // SINGLE)]
    single_s = _seconds(lambda: [geometry(p) for p in some]) * POSTURES / len(some)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return {
        **_air_ms(),
        "inventory_solved": solve_s,
        "inventory_loaded": load_s,
        "thousand_postures": batch_s,
        "batch_over_single": batch_s / single_s,
        "geometry_memory": peak / (1e6 if sys.platform == "darwin" else 1e3),
    }


def _air_ms() -> dict[str, float]:
    """Time in ms of the air of one frame: mean over the frames of words in which it goes one way, best of five rounds.

    What is found once for a section and shared with the drawing of the organs, the outline of the shut-in air, is a
    figure of its own.
    """
    import numpy as np

    from renders.films.layouts import WIDE
    from renders.marks import moments
    from renders.marks.air import air_layer, shut_in
    from renders.marks.moment import Moment
    from renders.paper.canvas import Canvas
    from renders.paper.style import load

    canvas = Canvas(WIDE.view, load("light"))
    frames: dict[str, list[Moment]] = {"mouth": [], "nose": [], "both": [], "held": []}
    for word in ("transportation", "good night", "elevator"):
        timeline = say(word)
        for now in moments.moments(timeline, np.arange(0, timeline.duration_s, 1 / 120)):
            mouth, nose = now.instant.mouth_flows, now.instant.nose_flows
            if shut_in(now):
                frames["held"].append(now)
            elif mouth or nose:
                frames["both" if mouth and nose else "nose" if nose else "mouth"].append(now)
    shut_in_s = _seconds(lambda: [now.airway.shapes for now in frames["held"]])

    def draw(now: Moment) -> object:
        return air_layer(now, canvas, tinted=True)

    def best_ms(some: list[Moment]) -> float:
        return min(_seconds(lambda: [draw(now) for now in some]) for _ in range(5)) * 1e3 / len(some)

    found = {f"air_{way}": best_ms(some) for way, some in frames.items()}
    return found | {"air_shut_in": shut_in_s * 1e3 / len(frames["held"])}


if __name__ == "__main__":
    print(json.dumps(_measured()))
