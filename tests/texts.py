"""The texts of the program, found in the trees of its code and in its files, and those that stand outside the catalogue.

`python -m tests.texts` prints every text, each once, under the module or file that has it; with `--write` it takes from the list
of texts that nobody reads those that have gone.
"""

import ast
import re
import sys
from functools import cache
from pathlib import Path

from tests.trees import ROOT, nodes
from workbook.app.help_topics import TOPICS
from workbook.formats.family import family, family_ids
from workbook.formats.help_text import texts_of
from workbook.formats.look_up import fact_tables
from workbook.formats.tables import rows
from workbook.paths import resource
from workbook.tasks.demo import demo_words

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


def listed():
    """Module and text of each that nobody reads."""
    lines = OF_NOBODY.read_text(encoding="utf-8").splitlines()
    return {(module, ast.literal_eval(text)) for module, text in (line.split(": ", 1) for line in lines)}


def write():
    """Takes from the list what stands outside no more."""
    kept = sorted(outside() & listed())
    OF_NOBODY.write_text("".join(f"{module}: {text!r}\n" for module, text in kept), encoding="utf-8")


def of_code():
    """The texts of each module; of one that differs by a number, both forms."""
    for file, all_nodes in nodes().items():
        calls = (node for node in all_nodes if isinstance(node, ast.Call) and isinstance(node.func, ast.Name))
        for node in (call for call in calls if call.func.id in CALLS):
            forms = node.args[: 1 + (node.func.id == "ngettext")]
            yield file.relative_to(ROOT).as_posix(), tuple(ast.literal_eval(form) for form in forms)


def of_files():
    """The texts of shipped files that are shown in the language of the program."""
    for name, _title in TOPICS:
        for text in texts_of(resource("help", f"{name}.md").read_text(encoding="utf-8")):
            yield f"help/{name}.md", (text,)
    for table in fact_tables():
        yield from (("look_up/index.toml", (text,)) for text in (table.title, table.caution, *table.heads) if text)
    yield from (("look_up/working.csv", (row["words"],)) for row in rows("look_up/working"))
    yield from (("demo", (words,)) for words in demo_words() if re.search("[a-z]{3}", words))
    yield from ((f"templates/{each}.toml", (family(each).name,)) for each in family_ids())


def everything():
    """Every text, with the module or file that has it first."""
    found = {}
    for place, forms in (*of_code(), *of_files()):
        found.setdefault(forms, place)
    return found


def show():
    """Prints every text under its place."""
    last = ""
    for forms, place in sorted(everything().items(), key=lambda item: item[1]):
        if place != last:
            print(f"\n## {place}")
        print(" | ".join(forms).replace("\n", "\\n"))
        last = place


if __name__ == "__main__":
    write() if "--write" in sys.argv[1:] else show()
