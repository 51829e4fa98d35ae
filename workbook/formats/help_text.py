"""The texts of a help page: headings, list items, cells of tables and paragraphs, each one translated by itself."""

import re
from collections.abc import Callable, Iterator

_BEFORE = re.compile(r"#+ |- |\d+\. ")  # the mark of a heading or of an item of a list
_RULE = re.compile(r"[|\s:-]+")  # the line between a table's head and its rows
_CELLS = re.compile(r"(?<!\\)\|")


def translated(markdown: str, translate: Callable[[str], str]) -> str:
    """A page with each of its texts translated, without line breaks within a text."""
    return "\n".join(_told(line, translate) for line in _lines(markdown))


def texts_of(markdown: str) -> list[str]:
    """The texts of a page."""
    found: list[str] = []

    def keep(text: str) -> str:
        found.append(text)
        return text

    translated(markdown, keep)
    return found


def _told(line: str, translate: Callable[[str], str]) -> str:
    if not line or line.startswith("    ") or _RULE.fullmatch(line):
        return line
    if line.startswith("|"):
        cells = (cell.strip() for cell in _CELLS.split(line)[1:-1])
        return f"| {' | '.join(translate(cell) if cell else cell for cell in cells)} |"
    mark = _BEFORE.match(line)
    before = mark[0] if mark else ""
    return before + translate(line[len(before) :])


def _lines(markdown: str) -> Iterator[str]:
    """The lines of a page, the broken lines of a paragraph or an item put together."""
    whole = ""
    for line in markdown.splitlines():
        own = not line or line.startswith(("    ", "|")) or bool(_BEFORE.match(line))
        if own and whole:
            yield whole
            whole = ""
        if not line or line.startswith(("    ", "|", "#")):
            yield line
        else:
            whole = f"{whole} {line.strip()}" if whole else line
    if whole:
        yield whole
