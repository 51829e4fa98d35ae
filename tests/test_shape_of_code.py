"""House rules as code: the size of modules and functions, docstrings, and what is imported when."""

import ast
import subprocess
import sys
from functools import cache
from statistics import median, quantiles

import pytest

from tests.trees import FILES, ROOT, nodes, trees

FUNCTION = (ast.FunctionDef, ast.AsyncFunctionDef)


def name(file):
    return file.relative_to(ROOT.parent).as_posix()


def module_lengths():
    return {name(file): len(file.read_text(encoding="utf-8").splitlines()) for file in FILES}


def is_kernel(node):
    return any(isinstance(mark, ast.Name) and mark.id == "kernel" for mark in node.decorator_list)


@cache
def functions(*, kernels=False):
    """Name and lines of every function and method, with the line it begins at; compiled kernels apart."""
    return [
        (f"{name(file)}:{node.lineno} {node.name}", node.end_lineno - node.lineno + 1)
        for file, all_nodes in nodes().items()
        for node in all_nodes
        if isinstance(node, FUNCTION) and is_kernel(node) == kernels
    ]


def longest(sizes, limit):
    return "\n".join(f"  {where}: {lines} lines" for where, lines in sorted(sizes, key=lambda s: -s[1]) if lines > limit)


def test_no_module_is_longer_than_400_lines():
    found = longest(module_lengths().items(), 400)
    assert not found, f"Split each by subject, so that its name says what is left in it:\n{found}"


def test_nine_of_ten_modules_are_under_250_lines():
    sizes = module_lengths()
    assert quantiles(sizes.values(), n=10)[-1] < 250, f"Split the longest by subject:\n{longest(sizes.items(), 249)}"


def test_the_median_module_has_about_a_hundred_lines():
    sizes = [n for n in module_lengths().values() if n > 5]
    assert median(sizes) <= 110, f"Modules grow: split those that hold two subjects:\n{longest(module_lengths().items(), 180)}"


def test_no_compiled_kernel_is_longer_than_70_lines():
    found = longest(functions(kernels=True), 70)
    assert not found, f"Calls between kernels cost nothing: give a step of each a name and a kernel of its own:\n{found}"


def test_no_function_is_longer_than_40_lines():
    found = longest(functions(), 40)
    assert not found, f"Give a step of each a name and a function of its own:\n{found}"


def test_nine_of_ten_functions_are_under_25_lines():
    sizes = functions()
    assert quantiles([n for _, n in sizes], n=10)[-1] < 25, f"Shorten the longest:\n{longest(sizes, 25)}"


def test_the_median_function_has_about_eight_lines():
    assert median(n for _, n in functions()) <= 10, "Functions grow: name their steps and take them out."


def public(tree):
    """Classes and functions of a module, and methods of its classes, that others may call."""
    for node in tree.body:
        if isinstance(node, (*FUNCTION, ast.ClassDef)) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                yield from (n for n in node.body if isinstance(n, FUNCTION) and not n.name.startswith("_"))


def overrides(node, file):
    """Methods that a window toolkit names itself, such as paintEvent: their meaning is known."""
    return "app" in file.parts and any(c.isupper() for c in node.name) and isinstance(node, FUNCTION)


def test_every_module_says_what_it_is_for():
    found = [name(file) for file, tree in trees().items() if not ast.get_docstring(tree)]
    assert not found, f"Open each with a docstring that says what it is for: {', '.join(found)}"


def test_every_public_name_says_what_it_is():
    found = [
        f"  {name(file)}:{node.lineno} {node.name}"
        for file, tree in trees().items()
        for node in public(tree)
        if not ast.get_docstring(node) and not overrides(node, file)
    ]
    assert not found, "Say in a docstring what each is, with shapes, units and errors:\n" + "\n".join(found)


def test_few_imports_stand_in_functions_and_each_says_why():
    """What comes later is brought by its name (workbook/later.py): who reads a module sees at its head what it needs."""
    found = {
        f"{name(file)}:{inner.lineno} {file.read_text(encoding='utf-8').splitlines()[inner.lineno - 1].strip()}"
        for file, all_nodes in nodes().items()
        for node in all_nodes
        if isinstance(node, FUNCTION)
        for inner in ast.walk(node)
        if isinstance(inner, ast.Import | ast.ImportFrom)
    }
    assert len(found) <= 20, "\n".join(sorted(found))
    assert not [line for line in found if "  # " not in line]


LONG_LIVED = ("workspace", "_workspace", "space", "_space", "application", "window", "_window")


def outliving(nodes_):
    """Connections of what lives long to a function that belongs to nobody: Qt does not end them with whom they speak to."""
    for node in nodes_:
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "connect":
            owner = getattr(node.func.value, "value", None)
            name_ = getattr(owner, "attr", getattr(owner, "id", ""))
            nobodys = isinstance(node.args[0], ast.Lambda) or getattr(getattr(node.args[0], "func", None), "id", "") == "partial"
            if name_ in LONG_LIVED and nobodys:
                yield node.lineno


def test_no_connection_outlives_whom_it_speaks_to():
    found = [f"  {name(file)}:{line}" for file, all_nodes in nodes().items() for line in outliving(all_nodes)]
    assert not found, "Connect a method of a QObject, which Qt forgets with it, in place of a lambda:\n" + "\n".join(found)


@pytest.mark.parametrize(
    ("code", "finds"),
    [
        ("self._space.changed.connect(lambda change: self.close())", True),
        ("space.refused.connect(partial(self.say, 1))", True),
        ("space.refused.connect(self.close); self.go.clicked.connect(lambda: self.close())", False),
    ],
)
def test_the_rule_for_connections_finds_one(code, finds):
    assert bool(list(outliving(ast.walk(ast.parse(code))))) == finds


def is_plain(node):
    """Whether it is words of our own, from the catalogue too, or shown letter by letter."""
    called = getattr(node.func, "id", "") if isinstance(node, ast.Call) else ""
    return isinstance(node, ast.Constant) or called == "plain" or (called == "_" and not node.keywords)


def obeying(nodes_, where=""):
    """Where Qt would obey tags in words that may come from a stranger."""
    homes = {"QLabel": "workbook/app/elements/basics.py", "QMessageBox": "workbook/app/plain.py"}
    bound = {n.targets[0].id: n.value for n in nodes_ if isinstance(n, ast.Assign) and isinstance(n.targets[0], ast.Name)}
    for node in nodes_:
        if not isinstance(node, ast.Call):
            continue
        called = getattr(node.func, "attr", getattr(node.func, "id", ""))
        owner = getattr(getattr(node.func, "value", None), "id", "")
        words = node.args[-1] if called in ("setToolTip", "setStatusTip", "setWhatsThis") else None
        words = node.args[2] if owner == "QInputDialog" else words
        words = bound.get(words.id, words) if isinstance(words, ast.Name) else words
        box = owner == "QMessageBox" and called in ("about", "critical", "information", "question", "warning")
        made = homes.get(called, where) != where or (
            called in ("setInformativeText", "showText") and where != homes["QMessageBox"]
        )
        if box or made or (words is not None and not is_plain(words)):
            yield node.lineno


def test_words_of_strangers_are_shown_letter_by_letter():
    found = [f"  {name(file)}:{line}" for file, all_nodes in nodes().items() for line in obeying(all_nodes, name(file))]
    wanted = "Make labels with `label`, messages with `message_box`, and give tooltips and questions `plain(words)`"
    assert not found, f"{wanted}:\n" + "\n".join(found)


@pytest.mark.parametrize(
    "code",
    [
        "QLabel(name)",
        "QMessageBox(icon, title, name)",
        "QMessageBox.warning(window, title, name)",
        "field.setToolTip(why)",
        "item.setToolTip(2, f'{name}')",
        "QInputDialog.getText(window, 'Title', f'What is {name}?')",
        "asked = f'{name}'\nQInputDialog.getText(window, 'Title', asked)",
    ],
)
def test_the_rule_for_words_of_strangers_finds_one(code):
    assert list(obeying(list(ast.walk(ast.parse(code)))))


def test_no_two_classes_share_a_name():
    """In an editor's "go to class" there is one answer."""
    homes = {}
    for file, all_nodes in nodes().items():
        for node in (each for each in all_nodes if isinstance(each, ast.ClassDef)):
            homes.setdefault(node.name, []).append(f"{name(file)}:{node.lineno}")
    twice = {each: where for each, where in homes.items() if len(where) > 1}
    assert not twice, f"Say in its name what sets it apart: {twice}"


FORBIDDEN_WORDS = ("Manager", "Helper", "Utils")


def by_the_unit(all_nodes):
    """Lines that choose by which unit of length is shown."""
    return [
        node.lineno
        for node in all_nodes
        if isinstance(node, ast.Compare)
        and any(isinstance(side, ast.Constant) and side.value in ("in", "mm") for side in (node.left, *node.comparators))
    ]


def test_what_goes_by_the_unit_stands_in_its_row():
    found = [f"{name(file)}:{line}" for file, all_nodes in nodes().items() for line in by_the_unit(all_nodes)]
    found = [place for place in found if not place.startswith("workbook/shop/wording.py")]  # which compares what a number is of
    assert not found, f"Ask workbook.units.HABITS: {found}"
    assert by_the_unit(ast.walk(ast.parse('paper = "a4" if unit == "mm" else "letter"'))) == [1]


def test_no_name_says_nothing():
    found = [
        f"  {name(file)}:{node.lineno} {node.name}"
        for file, all_nodes in nodes().items()
        for node in all_nodes
        if isinstance(node, ast.ClassDef) and node.name.endswith(FORBIDDEN_WORDS)
    ]
    assert not found, "Name each by what it is in the shop:\n" + "\n".join(found)


def imported(code):
    """Top-level packages in memory after some code ran in a fresh interpreter."""
    script = f"{code}\nimport sys\nprint(*sorted({{m.split('.')[0] for m in sys.modules}}))"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.splitlines()[-1].split())


def test_a_headless_command_brings_no_window_toolkit(demo_file):
    command = f"from workbook.cli.main import main\nmain(['check', {str(demo_file)!r}, '--quiet'])"
    found = imported(f"import workbook.__main__\n{command}") & {"PySide6", "shiboken6"}
    assert not found, "cli, tasks and formats may not import the window toolkit, not even through others."


def test_asking_for_the_version_brings_no_window_toolkit():
    code = "import sys\nsys.argv = ['makers-workbook', '--version']\nfrom workbook.__main__ import main\n"
    code += "try:\n    main()\nexcept SystemExit:\n    pass"
    assert not imported(code) & {"PySide6", "shiboken6"}


def test_a_command_that_writes_nothing_brings_no_writer(demo_file):
    command = f"from workbook.cli.main import main\nmain(['check', {str(demo_file)!r}, '--quiet'])"
    found = imported(command) & {"ezdxf", "reportlab", "pypdfium2"}
    assert not found, f"{found}: import each inside the function that writes or reads with it."


@pytest.mark.skipif(not (ROOT / "app" / "main.py").exists(), reason="there is no window yet")
def test_the_window_starts_without_readers_and_writers_of_files():
    found = imported("import workbook.app.main") & {"ezdxf", "reportlab", "pypdfium2"}
    assert not found, f"{found}: import each inside the function that writes or reads with it."
