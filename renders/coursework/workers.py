"""Items run by worker processes: the cores of this machine, or a Dask cluster. Bytes come back; nothing is shared."""

from __future__ import annotations

import contextlib
import importlib
from collections.abc import Generator, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from articulators.errors import BadInput, SurroundingsError
from renders.lesson_items.item import Files, LessonItem, project_digest
from vocaltract import __version__

MISSING_LOCAL = "a course on several cores needs joblib: pip install 'vocaltract[course]', or give --jobs 1"
MISSING_CLUSTER = "--cluster needs Dask: pip install 'vocaltract[cluster]'"
_TRIES = 3  # of what is left over when a worker is killed or a scheduler is lost
_CONNECT_S = 30


@dataclass(frozen=True)
class Outcome:
    """What became of an item: its files, or why there are none."""

    number: int
    files: Files | None
    reason: str = ""


def run_item(number: int, item: LessonItem, given: Files, wanted: str) -> Outcome:
    """An item made in this process; never raises, but for what ends the process itself."""
    if version() != wanted:
        return Outcome(number, None, f"a worker runs another version ({version()}, wanted {wanted})")
    try:
        return Outcome(number, dict(item.make(given)))
    except Exception as error:
        return Outcome(number, None, " ".join(str(error).split()) or type(error).__name__)


def version() -> str:
    """The version, and the digest of code and tables: what two processes must share to make the same bytes."""
    return f"{__version__} {project_digest()[:12]}"


def outcomes(work: Sequence[tuple[LessonItem, Files]], jobs: int = 1, cluster: str = "") -> Iterator[Outcome]:
    """What becomes of each item, as they are done. Those that a killed worker or a lost scheduler left are run again.

    jobs     processes on this machine      cluster  address of a Dask scheduler, "tcp://..." or "tls://..."
    BadInput for a cluster that does not answer or runs another version; SurroundingsError without the extra.
    """
    left = dict(enumerate(work))
    if not cluster and (jobs == 1 or len(left) < 2):
        yield from (run_item(number, item, given, version()) for number, (item, given) in left.items())
        return
    for _ in range(_TRIES):
        with contextlib.closing(_parallel(left, jobs, cluster)) as done:
            try:
                for outcome in done:
                    del left[outcome.number]
                    yield outcome
            except (BadInput, SurroundingsError):
                raise
            except Exception as error:  # joblib and Dask each have their own for a worker or scheduler that is gone
                reason = " ".join(str(error).split()) or type(error).__name__
        if not left:
            return
    yield from (Outcome(number, None, f"its worker was lost {_TRIES} times: {reason}") for number in left)


def _parallel(left: dict[int, tuple[LessonItem, Files]], jobs: int, cluster: str) -> Generator[Outcome, None, None]:
    try:
        joblib: Any = importlib.import_module("joblib")
    except ImportError:
        raise SurroundingsError(MISSING_CLUSTER if cluster else MISSING_LOCAL) from None
    calls = [joblib.delayed(run_item)(n, item, given, version()) for n, (item, given) in left.items()]
    with contextlib.ExitStack() as stack:
        if cluster:
            stack.enter_context(_client(cluster))
            stack.enter_context(joblib.parallel_config(backend="dask"))
            yield from joblib.Parallel(return_as="generator_unordered", pre_dispatch="all")(calls)
        else:
            yield from joblib.Parallel(n_jobs=jobs, return_as="generator_unordered", pre_dispatch="2*n_jobs")(calls)


@contextlib.contextmanager
def _client(address: str) -> Iterator[Any]:
    """A client of the scheduler; certificates for "tls://" are those of Dask's own configuration."""
    try:
        distributed: Any = importlib.import_module("distributed")
    except ImportError:
        raise SurroundingsError(MISSING_CLUSTER) from None
    try:
        client = distributed.Client(address, timeout=_CONNECT_S)
    except (OSError, ValueError, TypeError) as error:
        reason = " ".join(str(error).split())
        raise BadInput(f"cluster '{address}' does not answer ({reason}); give it as tcp://HOST:PORT") from None
    with client:
        found = client.run(version)
        if not found:
            raise BadInput(f"cluster '{address}' has no workers")
        for worker, runs in found.items():
            if runs != version():
                raise BadInput(f"worker {worker} runs another version ({runs}); wanted: {version()}")
        yield client
