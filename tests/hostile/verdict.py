"""What is wrong with what a case came to; the first word or two of a fault say its kind."""

from __future__ import annotations

import json
import posixpath
import re
from collections.abc import Iterator

from tests.hostile.box import Snapshot
from tests.hostile.case import Case
from tests.hostile.inside import THEIRS
from tests.hostile.run import Outcome, Played
from tests.hostile.usage import usages
from vocaltract.phonetics.cache_folder import VARIABLE

_BAR = re.compile(r"^.*\r", re.MULTILINE)
_OVERS = re.compile(r"^[^\n]*\|[^\n]*\[\d\d:\d\d[^\n]*\]\n?|^\w+: 0it \[[^\n]*\]\n?", re.MULTILINE)
_OURS = "vocaltract: "
INTERRUPTED = 130
Fault = str


def faults(played: Played) -> list[Fault]:
    """Everything that is wrong, each in a line that begins with its kind."""
    outcome = played.outcome
    if outcome is None:
        return []
    found = [*_ended(outcome), *_said(outcome), *_processes(outcome)]
    event = outcome.case.event
    if played.second is not None:
        return [*found, *_ended(played.second), *_said(played.second), *_one_winner(outcome, played.second)]
    if event is None:
        return [*found, *_disk(outcome)]
    assert played.undisturbed is not None
    if event.what == "appears":
        return [*found, *_not_replaced(outcome)]
    return [*found, *_whole(played.undisturbed, outcome, played.following)]


def kind_of(fault: Fault) -> str:
    """The kind of a fault."""
    return fault.split(":")[0]


def _ended(o: Outcome) -> Iterator[Fault]:
    event = o.case.event
    if o.status is None:
        yield f"hang: nothing after {o.seconds:.0f} s"
    elif o.status < 0 and not (event and event.what == "SIGKILL"):
        yield f"crash: ended by signal {-o.status}"
    elif o.status == INTERRUPTED:
        if event is None or not event.what.startswith("SIG"):
            yield "status: 130 without an interrupt"
    elif o.status not in (0, 2) and o.status >= 0 and not (o.status == 1 and o.case.adverse):
        yield f"status: {o.status}"


def _said(o: Outcome) -> Iterator[Fault]:
    out, err = (stream.decode("utf-8", "replace") for stream in (o.out, o.err))
    if "Traceback" in err or "Traceback" in out:
        yield f"traceback: {err.strip().splitlines()[-1][:200]}"
        return
    if "a fault of this program" in err:
        yield f"own fault: {err.strip()[:300]}"
        return
    if "--progress" in o.case.argv:
        err = _OVERS.sub("", _BAR.sub("", err))
    if o.status == 0:
        if err:
            yield f"warning: {err.strip()[:300]!r}"
        if o.case.around.out == "file" and not out:
            yield "silence: nothing is said of what was done"
        if o.case.around.out == "file" and ("--json",) in o.case.read and not _helped(o.case):
            yield from _json(out)
    elif o.status in (1, 2, INTERRUPTED) and o.case.around.err == "file" and not _cut(o.case):
        lines = err.split("\n")
        if len(lines) != 2 or lines[1] or not lines[0].startswith(_OURS) or len(lines[0]) < len(_OURS) + 5:
            yield f"message: not one line: {err[:300]!r}"


def _cut(case: Case) -> bool:
    """Whether what is printed is cut too: it goes to a file."""
    return case.around.limit is not None and case.around.limit[0] == "RLIMIT_FSIZE"


def _helped(case: Case) -> bool:
    return bool({("-h",), ("--help",)} & set(case.read))


def _json(out: str) -> Iterator[Fault]:
    try:
        json.loads(out)
    except ValueError as error:
        yield f"json: {error}"


def _processes(o: Outcome) -> Iterator[Fault]:
    if o.lingering:
        yield "process: one was left at work"


def targets(case: Case) -> tuple[str, ...]:
    """Where the command was told to write, within the box; the folder of frames of a film is one of them."""
    usage = next((usage for usage in usages() if usage.command == case.command), None)
    named = []
    for argument in case.read:
        name, equals, value = argument[0].partition("=")
        slot = usage.slot(name) if usage else None
        if slot and slot.writes and (equals or len(argument) > 1):
            named.append(value if equals else argument[1])
    found = []
    for path in named:
        place = _led(posixpath.normpath(posixpath.join("work", path)), case)
        stem, ending = posixpath.splitext(place)
        found += [place, f"{stem}-png"] if ending.lower() == ".png" else [place]
    return tuple(found)


def _led(place: str, case: Case) -> str:
    """Where a path leads whose folder is a link: whoever names it wants to write there."""
    for planted in case.planted:
        if planted.kind == "link" and place.startswith(f"{planted.path}/"):
            folder = posixpath.normpath(posixpath.join(posixpath.dirname(planted.path), planted.target))
            return folder + place.removeprefix(planted.path)
    return place


def _kept_in(path: str, case: Case) -> bool:
    """Whether a path lies in the cache that the case names."""
    named = dict(case.around.environment).get(VARIABLE)
    return named is not None and _within(path, posixpath.normpath(posixpath.join("work", named)))


def _may_be_made(path: str, case: Case, told: tuple[str, ...]) -> bool:
    if any(_within(path, place) for place in told):
        return True
    return not told and path.startswith(f"work/{case.command}-")


def _disk(o: Outcome) -> Iterator[Fault]:
    """Nothing lost, nothing changed, nothing outside, nothing left."""
    told = targets(o.case)
    unread = o.status == 1 and o.case.around.out != "file"  # all was done, but it could not be told
    done = o.status == 0 or unread or (o.status == 1 and b" not made: " in o.err)
    for path in sorted(o.after.keys() - o.before.keys()):
        if _kept_in(path, o.case):
            continue
        if not _may_be_made(path, o.case, told):
            yield f"outside: {path} was made"
        elif not done:
            yield f"leftover: {path}"
    ours = {f"{planted.path}" for planted in o.case.planted if planted.ours}
    for path, was in o.before.items():
        now = o.after.get(path)
        if now == was:
            continue
        replaced = done and o.case.forced and (path in ours or (path in told and was[0] != "folder"))
        if not replaced:
            yield f"{'lost' if now is None else 'changed'}: {path} {_change(was, now)}"
        elif now is not None and was[0] == now[0] == "file" and was[1] != now[1]:
            yield f"mode: {path} {_change(was, now)}"
    if o.status == 0 and told and not any(path in o.after for path in told) and not _helped(o.case):
        yield f"nothing made: {told[0]}"


def _change(was: tuple[object, ...], now: tuple[object, ...] | None) -> str:
    return f"{was[0]} {was[1]!s:.30}" + ("" if now is None else f" -> {now[0]} {now[1]!s:.30}")


def _not_replaced(o: Outcome) -> Iterator[Fault]:
    """A file of somebody else's that appeared while the work went on is there at the end."""
    if not o.appeared or o.case.event is None:
        return
    place = posixpath.join("work", o.case.event.where)
    found = o.after.get(place) or ("nothing",)
    if found[0] == "folder":
        place += "/index.html"
        found = o.after.get(place) or ("nothing",)
    if found[-1] != THEIRS and not o.case.forced:
        yield f"lost: {place}, which appeared meanwhile"
    if o.appeared == "nothing" and o.status == 0 and not o.case.forced:
        yield f"status: 0 though {place} appeared before the end"
    yield from _hidden(o.after)


def _one_winner(first: Outcome, second: Outcome) -> Iterator[Fault]:
    """Of two commands with one --out one is done and the other is told that something exists."""
    allowed = [0, 0] if first.case.forced else [0, 2]
    statuses = sorted(o.status if o.status is not None else -1 for o in (first, second))
    if statuses != allowed:
        yield f"two writers: ended with {statuses}, not {allowed}"
    yield from _hidden(first.after)


def _whole(alone: Outcome, ended: Outcome, following: Outcome | None) -> Iterator[Fault]:
    """After an end from outside everything is as before or as after, and the next run ends as if nothing had been."""
    killed = ended.status is not None and ended.status < 0
    left = {path for path in ended.after if killed and _is_hidden(path)}
    seen = {path: what for path, what in ended.after.items() if not any(_within(path, hidden) for hidden in left)}
    if seen not in (dict(ended.before), dict(alone.after)):
        yield f"half done: {', '.join(_differences(ended.before, seen))[:300]}"
    if following is None:
        return
    if killed and alone.status == 0 and following.status not in (0, 2):
        yield f"next run: ended with {following.status}: {following.err.decode(errors='replace')[:200]}"
    yield from _hidden(following.after)
    if following.status == 0 and dict(following.after) != dict(alone.after):
        yield f"next run: {', '.join(_differences(alone.after, following.after))[:300]}"


def _within(path: str, folder: str) -> bool:
    return path == folder or path.startswith(folder + "/")


def _is_hidden(path: str) -> bool:
    return posixpath.basename(path).startswith(".")


def _hidden(found: Snapshot) -> Iterator[Fault]:
    for path in found:
        if _is_hidden(path):
            yield f"leftover: {path}"


def _differences(was: Snapshot, now: Snapshot) -> list[str]:
    return [path for path in sorted(was.keys() | now.keys()) if was.get(path) != now.get(path)]
