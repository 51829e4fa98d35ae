"""Texts in the program's code that stand outside the catalogue of texts, found in its trees.

`python -m tests.texts` writes both lists of them anew once some have gone; it takes no new ones.
"""

import ast
import re
from functools import cache
from pathlib import Path

from tests.trees import ROOT, nodes

OLD = Path(__file__).with_name("texts_outside.txt")  # that stood outside when the catalogue was begun, and still may
OF_NOBODY = Path(__file__).with_name("texts_of_nobody.txt")  # that no user reads: of a database, a key, a file's format
CALLS = ("_", "ngettext")
_WORDS = re.compile(r"[^\W\d_]{2,}.*\s.*[^\W\d_]{2,}", re.DOTALL)  # two words, whatever stands between them
_FIELD = "{}"


def _documentation(all_nodes):
    """Strings that stand alone: docstrings, and what explains an attribute; and types in quotes."""
    annotations = {getattr(node, name, None) for node in all_nodes for name in ("annotation", "returns")}
    alone = {node.value for node in all_nodes if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)}
    return alone.union(*(ast.walk(each) for each in annotations if each is not None))


def _within(node):
    return set(ast.walk(node)) - {node}


def _known(all_nodes):
    """Strings in the catalogue already, those of types, and parts of others."""
    for node in all_nodes:
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in CALLS:
            for argument in node.args:
                yield from ast.walk(argument)
        elif isinstance(node, ast.JoinedStr):
            for part in node.values:
                yield from ast.walk(part if isinstance(part, ast.Constant) else part.format_spec or ast.Pass())
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and ast.unparse(node.func) == "re.compile":
            yield from _within(node)


def _text_of(node):
    """A string as it is read, with a mark for each of its fields; "" for what is none."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if isinstance(node, ast.JoinedStr):
        return "".join(part.value if isinstance(part, ast.Constant) else _FIELD for part in node.values)
    return ""


def _is_text(text):
    """Whether it has two words, or one beside a field: "{} blanks"."""
    words = re.search(r"[^\W\d_]{3,}", text.replace(_FIELD, ""))
    return bool(words and _WORDS.search(text.replace(_FIELD, "Xx")))


@cache
def outside():
    """Module and text of each that stands outside."""
    return outside_in(nodes())


def outside_in(code):
    """The same of the nodes of some files."""
    found = set()
    for file, all_nodes in code.items():
        passed_over = {*_documentation(all_nodes), *_known(all_nodes)}
        module = file.relative_to(ROOT).as_posix()
        texts = (_text_of(node) for node in all_nodes if node not in passed_over)
        found |= {(module, text) for text in texts if _is_text(text)}
    return found


def listed(*lists):
    """Module and text of each that stands in lists."""
    lines = [line for each in lists for line in each.read_text(encoding="utf-8").splitlines()]
    return {(module, ast.literal_eval(text)) for module, text in (line.split(": ", 1) for line in lines)}


def write():
    """Takes from both lists what stands outside no more."""
    found = outside()
    for each in (OLD, OF_NOBODY):
        kept = sorted(found & listed(each))
        each.write_text("".join(f"{module}: {text!r}\n" for module, text in kept), encoding="utf-8")


if __name__ == "__main__":
    write()
