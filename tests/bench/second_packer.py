"""A second general packer (packingsolver), which needs a newer Python than the program: it runs in an environment of its own.

`environment(python)` makes that environment once, with an interpreter of 3.12 or newer. Run by its interpreter, this file reads
a job as JSON and prints where the packer puts the items; elsewhere `packed` runs it.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

PACKER = "packingsolver==0.1.1233"
TURNS = [(0, 0, False), (180, 180, False), (0, 0, True), (180, 180, True)]


def environment(python: str) -> str:
    """The interpreter of the packer's environment, which is made with the one given if it is not there yet."""
    cache = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache"))
    made = cache / "makers-workbook-bench" / "bin" / "python"
    if not made.exists():
        subprocess.run([python, "-m", "venv", made.parent.parent], check=True)
        subprocess.run([made, "-m", "pip", "install", "--quiet", PACKER], check=True)
    return str(made)


def packed(interpreter: str, asked: dict[str, object]) -> list[tuple[int, list[list[float]]]]:
    """The bars used, each with its kind and its items: part, x, y, angle in degrees, mirrored.

    `asked`: "parts" (outline, count), "bars" (length, width, cost, count), "strip" (one bar as short as possible) and "seconds".
    """
    done = subprocess.run([interpreter, __file__], input=json.dumps(asked), capture_output=True, text=True, check=True)
    return [(kind, items) for kind, items in json.loads(done.stdout.splitlines()[-1])]


def main() -> None:
    """Packs what is read and prints it."""
    import packingsolver.irregular as irregular
    from packingsolver import Objective

    asked = json.load(sys.stdin)
    builder = irregular.InstanceBuilder()
    builder.set_objective(Objective.OpenDimensionX if asked["strip"] else Objective.VariableSizedBinPacking)
    for outline, count in asked["parts"]:
        builder.add_item_type(irregular.build_shape(outline), copies=count, allowed_rotations=TURNS)
    for length, width, cost, count in asked["bars"]:
        bar = irregular.build_shape([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]])
        builder.add_bin_type(bar, cost=cost, copies=count)
    parameters = irregular.OptimizeParameters()
    parameters.time_limit, parameters.verbosity_level = asked["seconds"], 0
    found = irregular.optimize(builder.build(), parameters).solution
    bars = (found.bin(k) for k in range(found.number_of_different_bins()))
    used = [
        (bar.bin_type_id, [[i.item_type_id, i.bl_corner.x, i.bl_corner.y, i.angle, i.mirror] for i in bar.items])
        for bar in bars
        for _ in range(bar.copies)
    ]
    print(json.dumps(used))


if __name__ == "__main__":
    main()
