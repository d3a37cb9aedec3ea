"""A fixed slice of the generated cases ends without a fault, and each kind of fault is seen where it is planted."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from random import Random
from typing import Any

import pytest

from renders import cli
from tests.hostile import machines, values
from tests.hostile.__main__ import Judged, table
from tests.hostile.case import Around, Case, Event, Planted
from tests.hostile.classes import CLASSES, case_of
from tests.hostile.inside import THEIRS
from tests.hostile.run import Outcome, Played, played
from tests.hostile.shrink import shrunk
from tests.hostile.usage import WHOLE_COURSES, usages
from tests.hostile.verdict import faults, kind_of, targets

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="cases are split off and limited as Linux does")

FIXED, BATCHES, SEED = 300, 6, 13
BEFORE = {"work/notes.txt": ("file", 0o644, b"MINE\n")}
MADE = {**BEFORE, "work/t.png": ("file", 0o644, b"picture")}
TOLD = b"vocaltract: sound 'tt' is not in the inventory\n"


@pytest.mark.long
@pytest.mark.parametrize("batch", range(BATCHES))
def test_generated_cases_have_no_fault(batch: int, root: Path) -> None:
    size = FIXED // BATCHES
    line = ["--seed", str(SEED), "--first", str(batch * size), "--cases", str(size), "--processes", "1"]
    done = subprocess.run(
        [sys.executable, "-m", "tests.hostile", *line], cwd=root, capture_output=True, encoding="utf-8", timeout=1200
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert f"\n{size} cases, " in done.stdout


def ended(*arguments: str, **more: Any) -> Outcome:
    """A case that ended well, but for what is told otherwise."""
    case = Case(0, "planted", "still", tuple((word,) if word != "--out" else ("--out", "t.png") for word in arguments),
                **{name: more.pop(name) for name in ("around", "event", "planted") if name in more})  # fmt: skip
    usual = {"status": 0, "out": b"wrote t.png\n", "err": b"", "before": BEFORE, "after": MADE, "lingering": False}
    return Outcome(case, **{**usual, "seconds": 1.0, "cpu_s": 1.0, "steps": 3, **more})


def kinds(played: Played) -> set[str]:
    return {kind_of(fault) for fault in faults(played)}


def test_what_ends_well_has_no_fault() -> None:
    assert kinds(Played(ended("t", "--out"))) == set()
    assert kinds(Played(ended("tt", status=2, out=b"", err=TOLD, after=BEFORE))) == set()
    usual = ended("t", after={**BEFORE, "work/still-t.png": ("file", 0o644, b"picture")})
    assert kinds(Played(usual)) == set()


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        ({"status": None}, "hang"),
        ({"status": -11}, "crash"),
        ({"status": 1, "out": b"", "err": TOLD, "after": BEFORE}, "status"),
        ({"status": 130, "out": b"", "err": TOLD, "after": BEFORE}, "status"),
        ({"status": 1, "err": b"Traceback (most recent call last):\nKeyError: 1\n"}, "traceback"),
        ({"status": 1, "err": b"vocaltract: a fault of this program (KeyError: 1)\n"}, "own fault"),
        ({"err": b"x.py:1: RuntimeWarning: divide by zero\n"}, "warning"),
        ({"out": b""}, "silence"),
        ({"status": 2, "after": BEFORE, "err": TOLD * 2}, "message"),
        ({"status": 2, "after": BEFORE, "err": b""}, "message"),
        ({"lingering": True}, "process"),
        ({"after": BEFORE}, "nothing made"),
        ({"after": {**MADE, "home/.config": ("folder", 0o755)}}, "outside"),
        ({"after": {**MADE, "work/.part-1.png": ("file", 0o600, b"")}}, "outside"),
        ({"status": 2, "err": TOLD}, "leftover"),
        ({"after": {"work/t.png": MADE["work/t.png"]}}, "lost"),
        ({"after": {**MADE, "work/notes.txt": ("file", 0o600, b"MINE\n")}}, "changed"),
        ({"before": {**BEFORE, "work/t.png": ("file", 0o644, b"MINE\n")}}, "changed"),
    ],
)  # fmt: skip
def test_each_fault_is_seen(more: dict[str, Any], fault: str) -> None:
    assert fault in kinds(Played(ended("t", "--out", **more)))


def test_what_is_forced_may_change_but_keeps_its_mode() -> None:
    private = {**BEFORE, "work/t.png": ("file", 0o600, b"MINE\n")}
    assert kinds(Played(ended("t", "--out", "--force", before=private))) == {"mode"}
    kept = {**MADE, "work/t.png": ("file", 0o600, b"picture")}
    assert kinds(Played(ended("t", "--out", "--force", before=private, after=kept))) == set()


def test_json_that_is_none_is_seen() -> None:
    assert kinds(Played(ended("t", "--out", "--json", out=b"{'a': 1}\n"))) == {"json"}
    assert kinds(Played(ended("t", "--out", "--json", out=b'{"a": 1}\n'))) == set()


def test_surroundings_that_fail_allow_status_1() -> None:
    failed = {"status": 1, "out": b"", "err": TOLD, "after": BEFORE}
    assert kinds(Played(ended("t", "--out", around=Around(limit=("RLIMIT_AS", 1)), **failed))) == set()
    disk = Planted("work/stick", "disk", target="size=4k")
    assert kinds(Played(ended("t", "--out", planted=(disk,), **failed))) == set()


def test_what_is_half_done_is_seen() -> None:
    event = Event("SIGKILL")
    alone, next_run = ended("t", "--out"), ended("t", "--out", before=BEFORE)
    part = {**BEFORE, "work/.part-1.png": ("file", 0o600, b"pic")}

    def seen(after: Any, following: Any = MADE, status: int = -9) -> set[str]:
        killed = ended("t", "--out", event=event, status=status, out=b"", after=after)
        return kinds(Played(killed, alone, replace(next_run, after=following)))

    assert seen(BEFORE) == seen(MADE) == seen(part) == set()
    assert seen({**BEFORE, "work/t.png": ("file", 0o644, b"pic")}) == {"half done"}
    assert seen(part, {**MADE, **part}) == {"leftover", "next run"}
    assert seen(BEFORE, BEFORE) == {"next run"}
    assert "half done" in seen(part, status=130)


def test_what_appears_meanwhile_must_be_there_at_the_end() -> None:
    event = Event("appears", where="t.png")
    theirs = {**BEFORE, "work/t.png": ("file", 0o644, THEIRS)}

    def seen(**more: Any) -> set[str]:
        return kinds(Played(ended("t", "--out", event=event, appeared="nothing", **more), ended("t", "--out")))

    assert seen(status=2, out=b"", err=TOLD, after=theirs) == set()
    assert seen() == {"lost", "status"}
    assert seen(after=theirs) == {"status"}


def test_one_of_two_writers_is_done() -> None:
    one, other = ended("t", "--out"), ended("t", "--out", status=2, out=b"", err=TOLD)
    assert kinds(Played(one, second=other)) == set()
    assert kinds(Played(one, second=one)) == {"two writers"}


def test_every_command_and_option_is_read_from_the_parser() -> None:
    parser = cli.build_parser()
    assert {usage.command for usage in usages()} == set(parser.commands) - set(WHOLE_COURSES)
    for usage in usages():
        typed = {slot.name for slot in usage.slots if slot.option}
        assert typed == set(parser.commands[usage.command].options) - {"-h", "--help"}
        for example in usage.examples:
            assert parser.parse([usage.command, *(word for part in example for word in part)]).command == usage.command


def test_what_reads_and_what_writes_is_told_apart() -> None:
    """Which option names a file to read and which one to write, as the README has it."""
    writes = {slot.name for usage in usages() for slot in usage.slots if slot.writes}
    reads = {slot.name for usage in usages() for slot in usage.slots if slot.reads}
    assert {"--out", "--plot", "--csv"} <= writes
    assert {"--style", "--areas", "STYLE"} <= reads
    assert not reads & writes
    lesson = next(usage for usage in usages() if usage.command == "lesson")
    assert targets(Case(0, "", "lesson", (("--out", "a/../b"),))) == ("work/b",)
    link = Planted("work/link", "link", target="../outside")
    assert targets(Case(0, "", "words", (("--csv=link/a.csv",),), (link,))) == ("outside/a.csv",)
    assert lesson.examples


def test_a_case_is_its_seed_and_number() -> None:
    some = [case_of(1, number) for number in range(200)]
    assert some == [case_of(1, number) for number in range(200)]
    assert some != [case_of(2, number) for number in range(200)]
    assert {case_of(1, 7, only).kind for only in CLASSES} == set(CLASSES)
    assert len({case.kind for case in some}) > 8
    for case in some:
        assert not any("\0" in word for word in case.argv)  # no system can pass one on


def test_values_can_be_typed() -> None:
    """What is typed reaches a program as bytes: POSIX, and PEP 383 for those that are no UTF-8."""
    rng = Random(1)
    for _ in range(3000):
        for value in (values.text(rng), values.number(rng), values.file_name(rng, (".png",))):
            assert value.encode("utf-8", "surrogateescape") is not None


def test_cases_are_made_smaller() -> None:
    arguments = (("t",), ("--style", "dark"), ("--out", "a long name with x.png"))
    case = Case(0, "texts", "still", arguments, (Planted("a"),))
    small = shrunk(case, lambda smaller: "x" in "".join(smaller.argv))
    assert small.argv == ("still", "--out", "x")
    assert small.planted == ()


def test_the_name_of_a_device_is_refused_elsewhere() -> None:
    """ "Naming Files, Paths, and Namespaces", Microsoft Learn, from memory."""
    for name in ("con", "NUL.png", "com1.tar.gz", "a:b", "a?", "a.", "a ", "a\nb", "a\\b", "x" * 260):
        assert machines.refused(name), name
    for name in ("console", "a b.png", "front-desk/index.html", "..", ".hidden", "ʃ.png"):
        assert not machines.refused(name), name


@pytest.mark.parametrize("machine", machines.MACHINES)
def test_other_machines_do_what_is_good_and_refuse_what_is_not(machine: str) -> None:
    argv = (("t",), ("--size", "96x64"), ("--out", "con.svg"))
    case = Case(0, "other machines", "still", argv, around=Around(machine=machine), new=True)
    told = played(case)
    assert faults(told) == []
    assert told.outcome is not None
    assert told.outcome.status == {"windows": 2, "fat": 2, "macos": 0, "busy": 1}[machine], told.outcome.err


def test_a_campaign_is_counted_by_class() -> None:
    lost = Judged(1, "texts", "2", ("lost: a", "lost: b"))
    found = [Judged(0, "texts", "0", ()), lost, Judged(2, "paths", "hung", ())]
    rows = {line.split()[0]: line.split() for line in table(found).splitlines()}
    assert rows["texts"][1:4] == ["2", "1", "1"]
    assert rows["texts"][-2:] == ["lost", "2"]
    assert rows["all"][1] == "3"
