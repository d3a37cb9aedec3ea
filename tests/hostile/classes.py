"""The classes of cases, how often each comes, and the case of a number: the same for the same seed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath
from random import Random

from tests.hostile import given, values
from tests.hostile.case import USUAL, Around, Case, Event, Planted
from tests.hostile.machines import MACHINES
from tests.hostile.usage import LONG, Argument, Slot, Usage, usages

NEW_EVERY = 33
"""Of so many cases one runs in a new process: 300 of 10,000."""
_RARE = {"lesson": 0.12}
"""Commands whose work takes seconds come less often."""
_QUICK = ("still", "strip", "film", "pair")
_FOLDER_WORDS = ("folder",)
_ENVIRONMENTS = (
    ("PYTHONIOENCODING", "ascii"), ("PYTHONIOENCODING", "cp1252"), ("PYTHONIOENCODING", "latin-1"), ("LC_ALL", "C"),
    ("LANG", "xx_XX"), ("SOURCE_DATE_EPOCH", "x"), ("SOURCE_DATE_EPOCH", "9" * 30), ("SOURCE_DATE_EPOCH", "-1"),
    ("SOURCE_DATE_EPOCH", "0"), ("TMPDIR", "/nowhere"), ("HOME", "/nowhere"), ("HOME", ""), ("COLUMNS", "1"),
    ("COLUMNS", "0"), ("COLUMNS", "x"), ("VOCALTRACT_CACHE", "/proc/nowhere"), ("VOCALTRACT_CACHE", "/dev/full"),
    ("VOCALTRACT_CACHE", "../outside"), ("TERM", "dumb"), ("TZ", "x"), ("NO_COLOR", "1"), ("MPLBACKEND", "nowhere"),
    ("PYTHONWARNINGS", "default"),
)  # fmt: skip
_LIMITS = (
    *(("RLIMIT_AS", megabytes << 20) for megabytes in (1, 5, 20, 60, 150)),
    *(("RLIMIT_FSIZE", size) for size in (0, 1, 100, 4096, 20_000)),
    *(("RLIMIT_NOFILE", more) for more in (1, 2, 4, 8)),
)  # fmt: skip
_DISKS = (*(f"size={size}" for size in ("4k", "16k", "64k", "256k", "64m")), "size=64m,nr_inodes=2", "ro")

_DEVICES = ("/dev/zero", "/dev/full", "/dev/tty", "/dev/stdin", "/proc/self/mem")

Make = Callable[[Random], Case]


def case_of(seed: int, number: int, only: str = "") -> Case:
    """The case of a number; ``only``: of that class."""
    rng = Random(f"{seed}/{number}")
    kind = rng.choices(list(CLASSES), [weight for _, weight in CLASSES.values()])[0]
    kind = only or kind
    made = CLASSES[kind][0](rng)
    new = number % NEW_EVERY == 0
    return Case(number, kind, made.command, made.arguments, made.planted, made.around, made.event, new)


# What the classes are made of


def _usage(rng: Random, among: tuple[str, ...] = ()) -> Usage:
    known = [usage for usage in usages() if not among or usage.command in among]
    return rng.choices(known, [_RARE.get(usage.command, 1.0) for usage in known])[0]


def _start(rng: Random, usage: Usage) -> list[Argument]:
    return list(rng.choice(usage.examples))


def _case(
    usage: Usage, arguments: list[Argument], *planted: Planted, around: Around = USUAL, event: Event | None = None
) -> Case:
    return Case(0, "", usage.command, tuple(arguments), planted, around, event)


def _put(arguments: list[Argument], slot: Slot, value: str, rng: Random) -> None:
    """Gives an option that value, in place of what it had; a positional takes the place of one of its kind."""
    if not slot.option:
        free = [at for at, argument in enumerate(arguments) if len(argument) == 1 and not argument[0].startswith("-")]
        if free:
            arguments[rng.choice(free)] = (value,)
        else:
            arguments.insert(0, (value,))
        return
    arguments[:] = [argument for argument in arguments if argument[0] != slot.name]
    if value.startswith("-") or rng.random() < 0.2:
        arguments.append((f"{slot.name}={value}",))
    else:
        arguments.append((slot.name, value))


def _place(rng: Random, usage: Usage, value: str, arguments: list[Argument]) -> bool:
    """Tells the command where to write; whether it can be told."""
    slots = [slot for slot in usage.slots if slot.writes]
    if slots:
        _put(arguments, rng.choice(slots), value, rng)
    return bool(slots)


def _is_folder(usage: Usage) -> bool:
    out = usage.slot("--out")
    return out is not None and out.words[:1] == _FOLDER_WORDS


def _result(usage: Usage, arguments: list[Argument]) -> str:
    """A good name for what the command writes, with the ending of the example."""
    if _is_folder(usage):
        return "front-desk"
    typed = dict(argument for argument in arguments if len(argument) == 2).get("--out")
    out = next(slot for slot in usage.slots if slot.writes)
    return "front-desk" + (PurePath(typed).suffix if typed else (out.endings or (".txt",))[0])


# The classes


def texts(rng: Random) -> Case:
    """Texts, sounds and words of options as nobody types them."""
    usage = _usage(rng)
    arguments = _start(rng, usage)
    positionals = [slot for slot in usage.slots if not slot.option]
    named = [s for s in usage.slots if s.option and not s.flag and not s.reads and not s.writes and s.name != "--size"]
    slots = positionals if positionals and (not named or rng.random() < 0.75) else named
    if slots:
        _put(arguments, rng.choice(slots), values.text(rng), rng)
    return _case(usage, arguments)


def numbers(rng: Random) -> Case:
    """Numbers and sizes in and out of range."""
    usage = _usage(rng)
    arguments = _start(rng, usage)
    slots = [s for s in usage.slots if s.option and not s.flag and not s.reads and not s.writes]
    for slot in rng.sample(slots, min(len(slots), rng.choice((1, 1, 2)))):
        _put(arguments, slot, values.number(rng), rng)
    return _case(usage, arguments)


def options(rng: Random) -> Case:
    """Options by chance: good words, bad ones, none, twice, unknown, too many."""
    usage = _usage(rng)
    arguments = _start(rng, usage)
    for _ in range(rng.randint(1, 4)):
        slot = rng.choice(usage.slots)
        if slot.flag:
            if slot.name not in LONG:
                arguments.append((slot.name,))
        elif slot.name != "--size":
            _put(arguments, slot, values.value(rng, slot), rng)
        kind = rng.randrange(12)
        if kind == 0:
            arguments.append((slot.name,))
        elif kind == 1:
            arguments.append((values.spoiled(rng, slot.name),))
        elif kind == 2:
            arguments.append(rng.choice(arguments))
        elif kind == 3 and arguments:
            arguments.pop(rng.randrange(len(arguments)))
        elif kind == 4:
            arguments.insert(0, ("--",))
    if rng.random() < 0.3:
        rng.shuffle(arguments)
    return _case(usage, arguments)


def paths(rng: Random) -> Case:
    """Names of results, with files, folders and links that stand there already."""
    usage = _usage(rng)
    arguments = _start(rng, usage)
    out = next((slot for slot in usage.slots if slot.writes), None)
    _place(rng, usage, values.file_name(rng, out.endings if out else ()), arguments)
    if rng.random() < 0.4:
        arguments.append(("--force",))
    planted = (
        Planted("work/folder", "folder"), Planted("work/link", "link", target="../outside"),
        Planted("work/link-to-file", "link", target="../outside/theirs.png"),
        Planted("work/loop", "link", target="loop"), Planted("work/dangling", "link", target="nowhere"),
        Planted("work/folder/a.png"),
    )  # fmt: skip
    return _case(usage, arguments, *planted)


def links(rng: Random) -> Case:
    """The result is to go where a file, a folder, a link or a pipe stands."""
    usage = _usage(rng)
    arguments = _start(rng, usage)
    result = _result(usage, arguments)
    _place(rng, usage, result, arguments)
    if rng.random() < 0.6:
        arguments.append(("--force",))
    there = f"work/{result}"
    kinds = (
        (Planted(there, mode=rng.choice((0o600, 0o644, 0o400, 0o777))),),
        (Planted(there, "link", target="../outside/theirs.png"),),
        (Planted(there, "link", target="nowhere"),),
        (Planted(there, "link", target=result),),
        (Planted(there, "pipe"),),
        (Planted(there, "folder"),),
        (Planted(f"{there}/notes.txt"),),
        (Planted(there, "link", target="../outside"),),
        (Planted(f"{there}/films", "link", target="../../outside"), Planted(f"{there}/notes.txt")),
        (Planted(f"{there}/stills", data=b"a file where a folder goes"), Planted(f"{there}/notes.txt")),
        (Planted(f"{there}/index.html", ours=True), Planted(f"{there}/strips", "link", target="../../outside")),
        (Planted(f"{there}/index.html", "link", target="../../outside/theirs.png"),),
    )
    return _case(usage, arguments, *rng.choice(kinds))


def given_files(rng: Random) -> Case:
    """Files that a command reads: spoiled contents, pipes, devices, folders, what is not there."""
    read = [(usage, slot) for usage in usages() for slot in usage.slots if slot.reads]
    usage, slot = rng.choices(read, [_RARE.get(usage.command, 1.0) for usage, _ in read])[0]
    arguments = _start(rng, usage)
    kind, usual = rng.randrange(12), "given.csv" if "CSV" in slot.words else "given.toml"
    name = usual
    if kind == 0:
        name = rng.choice(("folder", "pipe.toml", "", *_DEVICES))
    elif kind == 1:
        name = values.file_name(rng, (".toml", ".csv"))
    if not slot.option:
        arguments = [argument for argument in arguments if len(argument) > 1]
    _put(arguments, slot, name, rng)
    if slot.name == "--areas":
        arguments = [argument for argument in arguments if argument[0].startswith("--") and argument[0] != "--plot"]
    what = slot.name.strip("-").lower()
    planted = (
        Planted(f"work/{usual}", data=given.content(rng, what)),
        Planted("work/folder", "folder"),
        Planted("work/pipe.toml", "pipe"),
    )
    return _case(usage, arguments, *planted)


def cache(rng: Random) -> Case:
    """What stands in the cache is spoiled, or no file at all."""
    usage = _usage(rng, _QUICK)
    arguments = [("[ʈ]",) if argument == rng.choice(usage.examples)[0] else argument for argument in _start(rng, usage)]
    arguments = [argument for argument in arguments if not argument[0].startswith("--e")]
    folder = rng.choice(("cache", "cache/x"))
    kind = rng.choice(("file", "folder", "pipe", "link"))
    planted = Planted("home/cache", kind, given.content(rng, ""), target="../outside/nowhere")
    return _case(usage, arguments, planted, around=Around(environment=(("VOCALTRACT_CACHE", f"../home/{folder}"),)))


def streams(rng: Random) -> Case:
    """Streams that are closed, full or read by nobody, encodings, an odd environment."""
    usage = _usage(rng)
    arguments = _start(rng, usage)
    flags = [slot.name for slot in usage.slots if slot.name in ("--json", "--progress")]
    arguments += [(flag,) for flag in flags if rng.random() < 0.5]
    if rng.random() < 0.3:
        arguments = [(values.text(rng),), *arguments]
    states = ("file", "file", "closed", "full", "left")
    odd = tuple(rng.sample(_ENVIRONMENTS, rng.choice((0, 1, 1, 2))))
    inp = rng.choice(("file", "closed"))
    return _case(usage, arguments, around=Around(rng.choice(states), rng.choice(states), inp, odd))


def limits(rng: Random) -> Case:
    """Little memory, small files, few open files."""
    usage = _usage(rng)
    return _case(usage, _start(rng, usage), around=Around(limit=rng.choice(_LIMITS)))


def mounts(rng: Random) -> Case:
    """The result goes onto a disk that is full, small or read-only, or is the place where one is mounted."""
    usage = _usage(rng)
    arguments = _start(rng, usage)
    result = _result(usage, arguments)
    at_the_mount = _is_folder(usage) and rng.random() < 0.5
    _place(rng, usage, "stick" if at_the_mount else f"stick/{result}", arguments)
    if rng.random() < 0.4:
        arguments.append(("--force",))
    return _case(usage, arguments, Planted("work/stick", "disk", target=rng.choice(_DISKS)))


def other_machines(rng: Random) -> Case:
    """File systems that refuse names, links and renames, plain encodings, no fork, long paths."""
    usage = _usage(rng)
    arguments = _start(rng, usage)
    name = values.file_name(rng, (".png", ".svg", ".csv", ".html", ".mp4"))
    planted: tuple[Planted, ...] = ()
    if rng.random() < 0.5:
        name = _result(usage, arguments)
    elif rng.random() < 0.3:
        deep = "d" * 50 + "/" + "e" * rng.randint(90, 190)
        name, planted = f"{deep}/{_result(usage, arguments)}", (Planted(f"work/{deep}", "folder"),)
    if rng.random() < 0.8:
        _place(rng, usage, name, arguments)
    if rng.random() < 0.4:
        arguments.append(("--force",))
    encoding = rng.choice(((), (("PYTHONIOENCODING", "cp1252"),), (("PYTHONIOENCODING", "ascii"),)))
    return _case(usage, arguments, *planted, around=Around(environment=encoding, machine=rng.choice(MACHINES)))


def writers(rng: Random) -> Case:
    """Somebody else writes to the same place meanwhile: another command, or a file that appears."""
    usage = _usage(rng, (*_QUICK, "page", "lesson"))
    arguments = _start(rng, usage)
    result = _result(usage, arguments)
    arguments = [argument for argument in arguments if argument[0] != "--out"] + [("--out", result)]
    if rng.random() < 0.2:
        arguments.append(("--force",))
    if rng.random() < 0.5:
        argv = (usage.command, *(word for argument in arguments for word in argument))
        return _case(usage, arguments, event=Event("twin", twin=argv))
    film = usage.command == "film" and result.endswith(".png")
    where = result.removesuffix(".png") + "-png" if film else result
    return _case(usage, arguments, event=Event("appears", rng.random(), where=where))


def kills(rng: Random) -> Case:
    """Asked or made to end at any step, into nothing and over what an earlier run has made."""
    usage = _usage(rng, (*_QUICK, "page", "lesson", "lesson"))
    arguments = _start(rng, usage)
    result = _result(usage, arguments)
    arguments = [argument for argument in arguments if argument[0] not in ("--out", "--force")] + [("--out", result)]
    planted: tuple[Planted, ...] = ()
    if rng.random() < 0.6:
        arguments.append(("--force",))
        planted = (Planted(f"work/{result}", ours=True),)
        if _is_folder(usage):
            ours = ("index.html", "stills/t.svg", "films/t.mp4", "stills/old.svg")
            theirs = ("notes.txt", "stills/mine.png", "own/list.txt")
            planted = tuple(Planted(f"work/{result}/{name}", data=b"OLD\n", ours=True) for name in ours)
            planted += tuple(Planted(f"work/{result}/{name}") for name in theirs)
    what = rng.choice(("SIGKILL", "SIGKILL", "SIGTERM", "SIGINT", "SIGHUP"))
    return _case(usage, arguments, *planted, event=Event(what, rng.random(), timed=rng.random() < 0.4))


CLASSES: dict[str, tuple[Make, float]] = {
    "texts": (texts, 24), "numbers": (numbers, 12), "options": (options, 12), "paths": (paths, 11), "links": (links, 6),
    "given files": (given_files, 13), "cache": (cache, 1), "streams": (streams, 6), "limits": (limits, 4),
    "mounts": (mounts, 2), "other machines": (other_machines, 6), "writers": (writers, 1.5), "kills": (kills, 1.5),
}  # fmt: skip
"""Name -> what makes its cases, and how often it comes."""
