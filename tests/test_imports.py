"""No module of the program needs, by whatever way, one that needs it: also where the import stands in a function, or is for types
only. What knows each other can be neither read nor changed apart.
"""

import ast

from tests.trees import ROOT, nodes


def name_of(file):
    return ".".join(file.relative_to(ROOT.parent).with_suffix("").parts).removesuffix(".__init__")


def imports():
    """For each module those of the program that it imports anywhere."""
    modules = {name_of(file) for file in nodes()}
    packages = {name.rpartition(".")[0] for name in modules}
    found = {}
    for file, all_nodes in nodes().items():
        wanted = set()
        for node in all_nodes:
            if isinstance(node, ast.ImportFrom) and node.module:
                wanted |= {f"{node.module}.{alias.name}" for alias in node.names} | {node.module}
            elif isinstance(node, ast.Import):
                wanted |= {alias.name for alias in node.names}
        own = name_of(file)
        whole = {name for name in wanted & packages if any(other.startswith(f"{name}.") for other in wanted & modules)}
        found[own] = (wanted & modules) - {own} - whole  # of a package only what is taken from it
    return found


def rings(graph):
    """Modules that reach each other, by Tarjan's algorithm (1972)."""
    number, low, stack, found = {}, {}, [], []

    def visit(node):
        number[node] = low[node] = len(number)
        stack.append(node)
        for other in graph.get(node, ()):
            if other not in number:
                visit(other)
                low[node] = min(low[node], low[other])
            elif other in stack:
                low[node] = min(low[node], number[other])
        if low[node] == number[node]:
            ring = stack[stack.index(node) :]
            del stack[stack.index(node) :]
            if len(ring) > 1:
                found.append(frozenset(ring))

    for node in graph:
        if node not in number:
            visit(node)
    return found


def test_rings_are_found():
    assert rings({"a": {"b"}, "b": {"c"}, "c": {"a", "d"}, "d": set()}) == [frozenset("abc")]
    assert rings({"a": {"b"}, "b": {"c"}, "c": set()}) == []


def test_no_modules_need_each_other():
    found = [", ".join(sorted(ring)) for ring in rings(imports())]
    assert not found, f"Let one ask the other through what both know:\n{found}"
