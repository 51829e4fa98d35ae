"""Which blanks come off the bar along which gaps, as lines are sawn one after another and parts come free."""

from collections.abc import Iterator, Sequence

Pair = tuple[str, str]


def parted(names: Sequence[str], lines: Sequence[Pair]) -> Iterator[tuple[list[Pair], list[list[str]]]]:
    """Runs of lines, in their order within each part, and the smaller parts that are free once a run is sawn.

    Two blanks are joined while a line between them is not sawn yet. A part of several blanks is parted by later lines.
    """
    remaining = list(lines)
    groups = sorted(parts(names, remaining), key=len)
    if len(groups) > 1:  # some are joined by no line: they come off as the bar is sawn across
        yield [], groups[:-1]
    runs: list[tuple[list[str], list[Pair]]] = [(part, []) for part in groups]
    for line in lines:
        remaining.remove(line)
        run = next(entry for entry in runs if line[0] in entry[0])
        run[1].append(line)
        pieces = sorted(parts(run[0], remaining), key=len)
        if len(pieces) > 1:
            yield run[1], pieces if len(pieces[-1]) == 1 else pieces[:-1]
            runs.remove(run)
            runs += [(piece, []) for piece in pieces]


def parts(names: Sequence[str], lines: Sequence[Pair]) -> list[list[str]]:
    """Groups of blanks joined by lines, each in the order of their names."""
    groups: list[list[str]] = []
    for name in names:
        joined = [part for part in groups if any({name, other} == set(line) for line in lines for other in part)]
        merged = [other for part in joined for other in part] + [name]
        groups = [part for part in groups if part not in joined] + [merged]
    return [sorted(part, key=names.index) for part in groups]
