"""A case that fails, made smaller as long as it still fails in the same way."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import TypeVar

from tests.hostile.case import USUAL, Case, Planted

Part = TypeVar("Part", str, bytes)


def shrunk(case: Case, fails: Callable[[Case], bool], tries: int = 40) -> Case:
    """The smallest case that was found to fail; ``fails`` is asked ``tries`` times at most."""
    found = True
    while found and tries > 0:
        found = False
        for smaller in _smaller(case):
            tries -= 1
            if fails(smaller):
                case, found = smaller, True
                break
            if tries <= 0:
                break
    return case


def _smaller(case: Case) -> Iterator[Case]:
    """Cases with a part less, the large parts first."""
    for at in range(len(case.planted)):
        yield replace(case, planted=case.planted[:at] + case.planted[at + 1 :])
    if case.around != USUAL:
        yield replace(case, around=USUAL)
        yield replace(case, around=replace(case.around, environment=()))
        yield replace(case, around=replace(case.around, err="file"))
        yield replace(case, around=replace(case.around, out="file"))
    for at in range(len(case.arguments)):
        yield replace(case, arguments=case.arguments[:at] + case.arguments[at + 1 :])
    for at, argument in enumerate(case.arguments):
        for word in _parts(argument[-1]):
            yield replace(case, arguments=(*case.arguments[:at], (*argument[:-1], word), *case.arguments[at + 1 :]))
    for at, planted in enumerate(case.planted):
        for data in _parts(planted.data):
            less: Planted = replace(planted, data=data)
            yield replace(case, planted=(*case.planted[:at], less, *case.planted[at + 1 :]))


def _parts(whole: Part) -> Iterator[Part]:
    """What is left where a half, a quarter and so on is taken out."""
    size = len(whole) // 2
    while size:
        for start in range(0, len(whole), size):
            yield whole[:start] + whole[start + size :]
        size //= 2
