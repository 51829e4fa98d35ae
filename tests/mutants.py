"""Small faults put into modules one at a time, to see whether the tests of those modules find them.

    python tests/mutants.py --count 300 --seed 1 --jobs 2

Each fault is made in a copy of its module, which a fresh pytest loads in the module's place (this file is its plugin): the
project itself is never touched, so several may run at once. What survives is listed for reading. Ends with 1 where too many do.
"""

import argparse
import ast
import copy
import importlib.util
import os
import random
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from importlib.machinery import SourceFileLoader
from itertools import repeat
from pathlib import Path

ROOT = Path(__file__).parent.parent
VARIABLE = "MAKERS_WORKBOOK_MUTANT"  # "workbook.grind.bevel=/tmp/.../bevel.py"
WANTED = 0.85  # share of the faults that must be found
LONGEST = 240  # seconds; what runs on and on is found too
LEAST = 1e-3  # smaller numbers only guard against rounding

# Modules, and the tests that are theirs beside those that import them by name.
GROUPS = (
    (("workbook/grind/*.py",), ("tests/grind", "tests/sheets/test_bench_card.py", "tests/external/test_grind_*.py")),
    (
        ("workbook/shop/*.py",),
        ("tests/shop", "tests/external/test_shop_*.py", "tests/document/test_orders.py", "tests/document/test_fields.py"),
    ),
    (
        ("workbook/template/checks.py", "workbook/template/hole_checks.py", "workbook/template/holes.py"),
        ("tests/template/test_checks.py", "tests/template/test_holes.py", "tests/template/test_hole_edits.py"),
    ),
    (
        ("workbook/sheets/bench_*.py", "workbook/sheets/bar_sheet.py", "workbook/sheets/bar.py"),
        ("tests/sheets/test_bar_sheets.py", "tests/sheets/test_bench_card.py", "tests/sheets/test_stencil.py"),
    ),
    (("workbook/nesting/verify.py",), ("tests/nesting/test_verify.py",)),
)
SLOW = ("tests/app", "tests/journeys", "tests/bench", "tests/cli", "tests/storage", "tests/nesting/engine")

# Faults that change nothing anyone could see, by module, function, and what was changed; with the reason.
EQUIVALENT: dict[str, str] = {
    "workbook/grind/solid.py:: 140 -> 154": "more stations, whose sum is the same far within what is shown",
    "workbook/grind/solid.py:: 600 -> 660": "more places in a table, between which nothing bends that would show",
    "workbook/grind/solid.py:: 0.001 -> 0.0011": "a chord's stray that stays a ten thousandth of the area",
    "workbook/shop/worked.py:one_of: count > 1 -> count >= 1": "one of one is the amount, which is in whole cents",
    "workbook/sheets/bar.py:: 0.02 -> 0.022": "two thousandths of a millimetre by which a saw line may be drawn off the middle",
    "workbook/grind/solid.py:_widths: 0.0 -> 1.0": "the first and the last station: where the plunge begins and at the point",
    "workbook/sheets/bar.py:spine_up: cos(self.placement.angle) * (-1 if self.placement.mirrored else 1) > 0 -> "
    "cos(self.placement.angle) * (-1 if self.placement.mirrored else 1) >= 0": "no angle that a float holds has a cosine of 0",
    "workbook/sheets/bench_card.py:_pictures: 1.0 -> 1.1": "the sections stand a tenth of a millimetre lower",
    "workbook/sheets/bench_card.py:card_page: 1.0 -> 1.1": "the cautions stand a tenth of a millimetre higher",
    "workbook/template/checks.py:handle_for_a_hand: 0 -> 1": "no hand is a millimetre broad",
    "workbook/template/checks.py:hollow_edge: steps[:-1, 1] * steps[1:, 0] - 1e-09 -> steps[:-1, 1] * steps[1:, 0] + 1e-09": (
        "straight edges are looked at too, and bow in nowhere"
    ),
    "workbook/template/checks.py:scales_for_contour: 0.01 -> 0.011": "a thousandth of a millimetre of tolerance",
}

SWAPPED = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Mult, ast.Mod: ast.FloorDiv,
    ast.Pow: ast.Mult, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn,
    ast.NotIn: ast.In, ast.And: ast.Or, ast.Or: ast.And,
}  # fmt: skip
# Beside a whole number the boundary moves; of lengths nobody meets it, and the answer is turned round.
MOVED = {ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt}
TURNED = {ast.Lt: ast.GtE, ast.LtE: ast.Gt, ast.Gt: ast.LtE, ast.GtE: ast.Lt}


@dataclass(frozen=True)
class Mutant:
    """One fault. `place`: which node of the module's tree, counted in the order of `nodes`."""

    module: str  # path from the root
    place: int
    line: int
    function: str
    before: str
    after: str

    @property
    def name(self) -> str:
        """How it is left out by name."""
        return f"{self.module}:{self.function}: {self.before} -> {self.after}"


def nodes(tree: ast.AST, function: str = "") -> Iterator[tuple[ast.AST, str]]:
    """Every node where a fault may be put, with the function it stands in: no types, decorators, class options or assertions."""
    for field, value in ast.iter_fields(tree):
        if field in ("annotation", "returns", "decorator_list", "type_params", "format_spec"):
            continue
        if isinstance(tree, ast.ClassDef) and field in ("bases", "keywords"):
            continue
        for child in value if isinstance(value, list) else [value]:
            if not isinstance(child, ast.AST) or isinstance(child, ast.Assert | ast.Raise | ast.Import | ast.ImportFrom):
                continue
            if isinstance(child, ast.keyword) and child.arg in ("strict", "maxsize", "kw_only"):
                continue
            inside = child.name if isinstance(child, ast.FunctionDef | ast.ClassDef) else function
            yield child, inside
            yield from nodes(child, inside)


def faulty(node: ast.AST) -> ast.AST | None:
    """The node with a fault in it: another operator, comparison or number, no sign, no `not`, nothing returned; or None."""
    made = copy.deepcopy(node)
    match made:
        case ast.BinOp() | ast.BoolOp() if type(made.op) in SWAPPED:
            made.op = SWAPPED[type(made.op)]()
        case ast.AugAssign() if type(made.op) in SWAPPED:
            made.op = SWAPPED[type(made.op)]()
        case ast.Compare() if type(made.ops[0]) in SWAPPED | MOVED:
            whole = any(isinstance(side, ast.Constant) and type(side.value) is int for side in (made.left, made.comparators[0]))
            made.ops[0] = (SWAPPED | (MOVED if whole else TURNED))[type(made.ops[0])]()
        case ast.UnaryOp(op=ast.Not() | ast.USub()):
            return made.operand
        case ast.Constant(value=bool() as truth):
            made.value = not truth
        case ast.Constant(value=int() as number):
            made.value = number + max(1, abs(number) // 10)
        case ast.Constant(value=float() as number) if number == 0 or abs(number) >= LEAST:
            made.value = round(number * 1.1, 9) or 1.0
        case ast.Return(value=ast.AST() as value) if ast.unparse(value) != "None":
            made.value = ast.Constant(None)
        case _:
            return None
    return made


def mutants(module: str) -> list[Mutant]:
    """All faults of a module that are not left out by name."""
    tree = ast.parse((ROOT / module).read_text(encoding="utf-8"))
    found = []
    for place, (node, function) in enumerate(nodes(tree)):
        made = faulty(node)
        if made is not None:
            line = getattr(node, "lineno", 0)
            found.append(Mutant(module, place, line, function, ast.unparse(node), ast.unparse(made)))
    return [mutant for mutant in found if mutant.name not in EQUIVALENT]


def with_fault(mutant: Mutant) -> str:
    """The module's source with the fault in it."""
    tree = ast.parse((ROOT / mutant.module).read_text(encoding="utf-8"))
    target = next(node for place, (node, _) in enumerate(nodes(tree)) if place == mutant.place)
    put = faulty(target)

    class Put(ast.NodeTransformer):
        def visit(self, node: ast.AST) -> ast.AST:
            return put if node is target else self.generic_visit(node)

    return ast.unparse(ast.fix_missing_locations(Put().visit(tree)))


def modules() -> list[str]:
    """Every module that faults are put into."""
    found = [path for patterns, _ in GROUPS for pattern in patterns for path in sorted(ROOT.glob(pattern))]
    return [path.relative_to(ROOT).as_posix() for path in found if path.name != "__init__.py"]


def tests_of(module: str) -> list[str]:
    """The tests of a module: those of its group, and all that import it by name but for slow ones."""
    dotted = module.removesuffix(".py").replace("/", ".")
    own = next(tests for patterns, tests in GROUPS if any((ROOT / module).match(pattern) for pattern in patterns))
    found = [path.relative_to(ROOT).as_posix() for pattern in own for path in sorted(ROOT.glob(pattern))]
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        name = path.relative_to(ROOT).as_posix()
        if dotted in path.read_text(encoding="utf-8") and not name.startswith((*SLOW, *found)):
            found.append(name)
    return found


def survives(mutant: Mutant, tests: Sequence[str] = ()) -> bool:
    """Whether the module's tests, or these, pass with the fault in it."""
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / Path(mutant.module).name
        file.write_text(with_fault(mutant), encoding="utf-8")
        dotted = mutant.module.removesuffix(".py").replace("/", ".")
        kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST_", "MAKERS_WORKBOOK_"))}
        setting = {**kept, VARIABLE: f"{dotted}={file}", "PYTHONPATH": str(ROOT), "QT_QPA_PLATFORM": "offscreen"}
        order = [sys.executable, "-m", "pytest", "-x", "-q", "-p", "tests.mutants", *(tests or tests_of(mutant.module))]
        try:
            done = subprocess.run(order, cwd=ROOT, env=setting, capture_output=True, timeout=LONGEST, check=False)
        except subprocess.TimeoutExpired:
            return False
    said = done.stdout.decode() + done.stderr.decode()
    no_start = done.returncode == 4 and "while loading conftest" in said  # the fault is in what is done at import
    assert no_start or done.returncode in (0, 1, 2), said  # 3: pytest's own error, 4 and 5: no tests were run
    return done.returncode == 0


class _Instead:
    """Finds the faulty copy of one module."""

    def __init__(self, name: str, file: str) -> None:
        self.name, self.file = name, file

    def find_spec(self, name: str, path: object = None, target: object = None) -> object:
        """The copy's place, for that module only."""
        if name != self.name:
            return None
        return importlib.util.spec_from_file_location(name, self.file, loader=SourceFileLoader(name, self.file))


def put_in_place() -> None:
    """Has the faulty copy loaded in its module's place. As a plugin this file is imported before any conftest."""
    name, _, file = os.environ[VARIABLE].partition("=")
    assert name not in sys.modules
    sys.meta_path.insert(0, _Instead(name, file))


def pytest_collection_finish() -> None:
    """As a plugin: makes sure that it is the copy that the tests have."""
    name, _, file = os.environ[VARIABLE].partition("=")
    model = sys.modules.get(name)
    assert model is None or model.__file__ == file


def main(arguments: list[str]) -> int:
    """Carries out the command line; the exit code."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--count", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=max(1, (os.cpu_count() or 2) // 2))
    parser.add_argument("--only", default="", help="modules whose path holds this")
    parser.add_argument("--tests", nargs="*", default=(), help="tests to run, in place of the modules' own")
    asked = parser.parse_args(arguments)
    every = [mutant for module in modules() if asked.only in module for mutant in mutants(module)]
    chosen = random.Random(asked.seed).sample(every, min(asked.count, len(every)))
    tried = found = 0
    with ThreadPoolExecutor(asked.jobs) as pool:
        for mutant, alive in zip(chosen, pool.map(survives, chosen, repeat(asked.tests)), strict=True):
            found += not alive
            tried += 1
            if alive:
                print(
                    f"{tried}: {mutant.module}:{mutant.line} {mutant.function}\n    {mutant.before}\n    {mutant.after}",
                    flush=True,
                )
    share = found / len(chosen)
    print(f"{found} of {len(chosen)} faults found ({share:.1%}), of {len(every)} that could be made; {WANTED:.0%} are wanted")
    return 0 if share >= WANTED else 1


if VARIABLE in os.environ:
    put_in_place()
if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    sys.exit(main(sys.argv[1:]))
