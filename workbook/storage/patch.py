"""The difference between two JSON values, so that a step of the history need not hold the whole value twice.

A patch is `[path, was, now]`, or `[path, at, out, in]` for a run of a list: the values `out` at `path`, from index `at`, were
replaced by `in`. `path` is the list of keys and indices that lead there. The patches of one difference do not overlap, so their
order is free.
"""

from collections.abc import Iterator, Sequence
from itertools import takewhile
from typing import Any

from workbook.texts import _

_MOST_ALONE = 8  # differing entries of a list patched one by one; more are replaced as one run


class PatchError(ValueError):
    """A patch that does not fit the value."""


def difference(before: Any, after: Any) -> list[list[Any]]:
    """The patches that turn `before` into `after`."""
    return list(_difference(before, after, []))


def _difference(before: Any, after: Any, path: list[str | int]) -> Iterator[list[Any]]:
    if before is after or (type(before) is type(after) and before == after):
        return
    if (
        isinstance(before, dict)
        and isinstance(after, dict)
        and before.keys() == after.keys()
        and before.get("is") == after.get("is")
    ):
        for key, value in before.items():
            yield from _difference(value, after[key], [*path, key])
    elif isinstance(before, list) and isinstance(after, list):
        yield from _of_lists(before, after, path)
    else:
        yield [path, before, after]


def _of_lists(before: list[Any], after: list[Any], path: list[str | int]) -> Iterator[list[Any]]:
    if len(before) == len(after):
        indices = [i for i, (was, now) in enumerate(zip(before, after, strict=True)) if was != now or type(was) is not type(now)]
        if len(indices) <= _MOST_ALONE:
            for i in indices:
                yield from _difference(before[i], after[i], [*path, i])
            return
    start = _same(before, after)
    end = min(_same(before[::-1], after[::-1]), min(len(before), len(after)) - start)
    yield [path, start, before[start : len(before) - end], after[start : len(after) - end]]


def _same(first: Sequence[Any], second: Sequence[Any]) -> int:
    """The number of equal entries at the start."""
    return sum(1 for _ in takewhile(lambda pair: pair[0] == pair[1], zip(first, second, strict=False)))


def forward(value: Any, patches: Sequence[Any]) -> Any:
    """Apply patches to a copy of the value. PatchError where one does not fit."""
    for patch in patches:
        value = _patched(value, patch, back=False)
    return value


def backward(value: Any, patches: Sequence[Any]) -> Any:
    """Reverse patches on a copy of the value. PatchError where one does not fit."""
    for patch in reversed(patches):
        value = _patched(value, patch, back=True)
    return value


def _patched(value: Any, patch: Any, *, back: bool) -> Any:
    if not sound(patch):
        raise PatchError(_("is not a change"))
    path, change = patch[0], patch[1:]
    return _at(value, path, change[:1] + change[1:][:: -1 if back else 1] if len(change) == 3 else change[:: -1 if back else 1])


def _at(value: Any, path: Sequence[str | int], change: Sequence[Any]) -> Any:
    """Change one place of the value, copying only along the path."""
    if not path:
        return change[1] if len(change) == 2 else _respliced(value, *change)
    key = path[0]
    if isinstance(value, dict) and key in value:
        return {**value, key: _at(value[key], path[1:], change)}
    if isinstance(value, list) and isinstance(key, int) and 0 <= key < len(value):
        return [*value[:key], _at(value[key], path[1:], change), *value[key + 1 :]]
    raise PatchError(_("has no place {key!r}", key=str(key)[:60]))


def _respliced(value: Any, at: int, out: list[Any], into: list[Any]) -> list[Any]:
    if not isinstance(value, list) or at + len(out) > len(value):  # not compared: older entries may lack newer fields
        raise PatchError(_("is not the list it was"))
    return [*value[:at], *into, *value[at + len(out) :]]


def sound(patch: Any) -> bool:
    """Whether a JSON value has the form of a patch."""
    if not isinstance(patch, list) or len(patch) not in (3, 4) or not isinstance(patch[0], list):
        return False
    if not all(type(key) in (str, int) for key in patch[0]):
        return False
    return len(patch) == 3 or (
        type(patch[1]) is int and patch[1] >= 0 and isinstance(patch[2], list) and isinstance(patch[3], list)
    )
