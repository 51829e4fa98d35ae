"""The shipped tables of facts in resources/data, each row with its source."""

import csv
from functools import cache

from workbook.paths import resource
from workbook.shop.facts import Facts, Rows


def rows(name: str) -> Rows:
    """The rows of a table by its name, such as "look_up/steels"."""
    with resource("data", *f"{name}.csv".split("/")).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def facts() -> Facts:
    """The facts shipped with the program."""
    return Facts(rows)
