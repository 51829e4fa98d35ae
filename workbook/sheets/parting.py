"""Which blanks come off the bar along which gaps: lines are sawn one after another, and parts come free."""

from collections.abc import Iterator, Sequence

Pair = tuple[str, str]


def parted(names: Sequence[str], lines: Sequence[Pair]) -> Iterator[tuple[list[Pair], list[list[str]]]]:
    """Runs of lines, in their order within each part, and the smaller parts that are free once a run is sawn.

    Two blanks hang together while a line between them is not sawn yet. A part of several blanks comes apart by later lines.
    """
    left = list(lines)
    whole = sorted(parts(names, left), key=len)
    if len(whole) > 1:  # some hang by no line: they come off as the bar is sawn across
        yield [], whole[:-1]
    runs: list[tuple[list[str], list[Pair]]] = [(part, []) for part in whole]
    for line in lines:
        left.remove(line)
        now = next(entry for entry in runs if line[0] in entry[0])
        now[1].append(line)
        pieces = sorted(parts(now[0], left), key=len)
        if len(pieces) > 1:
            yield now[1], pieces if len(pieces[-1]) == 1 else pieces[:-1]
            runs.remove(now)
            runs += [(piece, []) for piece in pieces]


def parts(names: Sequence[str], lines: Sequence[Pair]) -> list[list[str]]:
    """Blanks that hang together by lines, in the order of their names."""
    found: list[list[str]] = []
    for name in names:
        joined = [part for part in found if any({name, other} == set(line) for line in lines for other in part)]
        merged = [other for part in joined for other in part] + [name]
        found = [part for part in found if part not in joined] + [merged]
    return [sorted(part, key=names.index) for part in found]
