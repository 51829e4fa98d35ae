"""The tables beside layout.json: costs and the buying list."""

import csv
from decimal import Decimal

from workbook.model.results import bought, buy_rows, costs_rows, layout_json, taken
from workbook.shop.steel import full_price


def test_costs_rows_add_up_to_their_last_row(laid_demo):
    _, *pieces, total = costs_rows(laid_demo)
    assert total[0] == "total"
    assert sum(Decimal(row[-1]) for row in pieces) == Decimal(total[-1]) == laid_demo.costs.material


def test_costs_rows_name_the_steel_of_each_piece(laid_demo):
    steels = {row[1]: row[2] for row in costs_rows(laid_demo)[1:-1]}
    assert steels == {"Petty": "52100", "Santoku type": "52100", "Paring": "O1"}


def test_what_is_taken_and_bought_are_the_bars_of_the_layout(laid_demo):
    counted = sum(n for _, n in taken(laid_demo)) + sum(n for _, n in bought(laid_demo))
    assert counted == len(laid_demo.layout.bars) == len(layout_json(laid_demo)["bars"])


def test_the_buying_list_costs_what_is_to_be_spent(laid_demo):
    head, *rows = buy_rows(laid_demo)
    assert sum(Decimal(row[head.index("total")]) for row in rows) == laid_demo.costs.bought
    assert sum(n * full_price(bar, 7.85) for bar, n in bought(laid_demo)) == laid_demo.costs.bought


def test_the_files_hold_the_same_serials(lay_out_folder):
    with (lay_out_folder / "costs.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["serial"] for row in rows if row["serial"].startswith("T")] == [f"T{n}" for n in range(1, 7)]
