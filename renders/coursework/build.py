"""A course built into a folder: what changed, and nothing else."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from articulators.errors import BadInput, SurroundingsError
from renders.coursework.built import course_folder, given_to, put_item, why_to_build
from renders.coursework.items import course_items
from renders.coursework.plan_file import CoursePlan
from renders.coursework.workers import outcomes
from renders.files.outputs import Progress
from renders.lesson_items.item import Files, LessonItem


def what_changes(plan: CoursePlan, out: str | os.PathLike[str]) -> dict[str, str]:
    """What would be built, and why: "new", "changed", "interrupted", "a file is missing", or that what it reads is."""
    return _changes(course_items(plan), Path(out))


def build_course(
    plan: CoursePlan, out: str | os.PathLike[str], *, jobs: int = 0, cluster: str = "",
    progress: Progress | None = None,
) -> dict[str, Any]:  # fmt: skip
    """Build what changed; see `build_items`. BadInput, before anything is written, for words that do not fit."""
    return build_items(course_items(plan), out, jobs=jobs, cluster=cluster, progress=progress)


def build_items(
    items: Sequence[LessonItem], out: str | os.PathLike[str], *, jobs: int = 0, cluster: str = "",
    progress: Progress | None = None,
) -> dict[str, Any]:  # fmt: skip
    """Build the items that changed; what was built before an interruption stays.

    jobs      processes; 0: one for each core        cluster   address of a Dask scheduler, in place of processes here
    progress  called with items done and items in all
    Returns `built` and `kept`, names of items, and `failed`, those that could not be made with their reasons.
    """
    if jobs < 0:
        raise BadInput(f"{jobs} jobs are not possible; allowed: 1 and more, or 0 for one a core")
    folder, todo = course_folder(Path(out)), _changes(items, Path(out))
    total, made, failed = len(todo), list[str](), list[str]()
    rounds = ([i for i in items if not i.reads], [i for i in items if i.reads])
    for these in rounds:
        work = [(item, given_to(folder, item)) for item in these]
        work = [(item, given) for item, given in work if why_to_build(folder, item, item.key(given))]
        for outcome in outcomes(work, jobs or os.cpu_count() or 1, cluster) if work else ():
            item, given = work[outcome.number]
            reason = outcome.reason or _placed(folder, item, given, outcome.files or {})
            if reason:
                failed.append(f"{item.name} ({reason})")
            else:
                made.append(item.name)
            if progress is not None:
                progress(len(made) + len(failed), max(total, len(made) + len(failed)))
    kept = [
        item.name for item in items if item.name not in made and not any(f.startswith(f"{item.name} (") for f in failed)
    ]
    return {"built": sorted(made), "kept": kept, "failed": sorted(failed)}


def _placed(folder: Path, item: LessonItem, given: Files, files: Files) -> str:
    """Nothing, or why the files could not be put into their places."""
    try:
        put_item(folder, item, item.key(given), files)
    except SurroundingsError as error:
        return str(error)
    return ""


def _changes(items: Sequence[LessonItem], out: Path) -> dict[str, str]:
    found: dict[str, str] = {}
    for item in items:
        found[item.name] = why_to_build(out, item, item.key(given_to(out, item)))
    for item in items:
        if item.reads and not found[item.name] and any(found[name] for name in _makers(item, items)):
            found[item.name] = "what it shows is built anew"
    return {name: why for name, why in found.items() if why}


def _makers(item: LessonItem, items: Sequence[LessonItem]) -> list[str]:
    """Items whose files it reads: those of the same lesson."""
    lesson = item.name.partition(": ")[0]
    return [one.name for one in items if not one.reads and one.name.partition(": ")[0] == lesson]
