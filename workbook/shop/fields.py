"""What the fields of bars, materials, saw, rules and rates may hold."""

from collections.abc import Iterator

from workbook.fields import (
    NOTE,
    Field,
    Kind,
    Rule,
    Table,
    angle,
    choice,
    count,
    length,
    money,
    name,
    number,
    part,
    parts,
    share,
    switch,
    text,
)
from workbook.shop.charges import Charges, Outside
from workbook.shop.job import MOST_SLANT, TOO_SLANTED, Bar, Make, Measured, Saw, Settings
from workbook.shop.labour import Stage
from workbook.shop.materials import Material
from workbook.shop.pricing import Pricing
from workbook.shop.quote import Option

MOST_COUNTED = 100_000  # bars of a kind that lie there, or come or go at once
MOST_BLANKS = 2000  # of a job
MOST_ORDERED = 10_000  # of a line of an order
_NOT_READ = "not read"
TAX, DEPOSIT = (0.0, 0.6), (0.0, 1.0)


def _read(key: str, low: float, high: float) -> Field:
    return length(key, low, high, Kind.READING, none=_NOT_READ)


FIELDS: dict[type, Table] = {
    Saw: (
        length("kerf", 0, 20), length("clean_up", 0, 20), length("bar_end", 0, 100),
        length("bar_edge", 0, 100, none="as clean_up"),
        length("sawn_edge", 0, 100, none="as bar_edge"), length("sheared_edge", 0, 100),
        switch("spine_on_edge"),
        angle("tilt", 0, 15), choice("cutting"), length("band", 0.2, 60, none="not known"),
        length("tightest_radius", 0, 1000, none="as the band has it"),
    ),
    Settings: (
        length("keep_offcut", 0, 5000), switch("credit_offcuts"), switch("offcuts_first"), switch("use_openings"),
        length("under", 0, 5, Kind.FINE), length("over", 0, 10, Kind.FINE), length("tang_clearance", 0, 3, Kind.FINE),
        length("smallest_radius", 0, 50), length("web", 0, 50), length("hand_breadth", 0, 150), choice("quench"),
        number("heat", 600, 1300, unit="degrees Celsius"), number("soak", 0, 600, unit="minutes"),
    ),
    Measured: (
        _read("thickness", 0.1, 100), _read("middle", 0.1, 100), _read("far", 0.1, 100), _read("bow", 0, 100),
        _read("width", 1, 2500), _read("length", 5, 15_000),
    ),
    Bar: (
        name(), name("steel"), length("thickness", 0.2, 60), length("width", 3, 1500), length("length", 10, 10_000),
        money("price"), choice("per"), money("shipping"), money("cut_charge"),
        count("have", 0, MOST_COUNTED), switch("buy"), switch("offcut"),
        choice("edges"), switch("hot_rolled"), part("measured"), length("slant", 0, 1000), text("heat"), text("origin"),
        text("kept_at"),
    ),
    Make: (name("template"), name("steel"), count("quantity", 1, MOST_BLANKS)),
    Material: (
        name(), choice("kind"), text("per"), money("price"), number("have", 0, 1_000_000), number("low", 0, 1_000_000),
        number("knife", 0, 1000), length("size", 0, 200), length("width", 0, 3000), length("length", 0, 10_000), text("kept_at"),
    ),
    Stage: (
        name(), number("set_up", 0, 10_000, unit="minutes"), number("minutes", 0, 10_000, unit="minutes"), choice("by"),
        share("good", 0.1),
    ),
    Outside: (name(), money("batch"), money("piece")),
    Option: (name("words"), money("price"), money("cost")),
    Pricing: (choice("way"), share("share", 0, 5), money("target")),
    Charges: (
        money("hour"), share("overhead", 0, 4), share("allowance"), share("learning", 0.5), parts("stages", 100),
        parts("outside", 100), share("confidence", 0.5, 0.999), part("pricing"), money("step"),
        share("tax", *TAX), share("deposit", *DEPOSIT), count("valid", 1, 730), text("included", NOTE), text("terms", NOTE),
    ),
}  # fmt: skip


def _of_bar(bar: Bar) -> Iterator[tuple[str, str]]:
    if bar.slant > MOST_SLANT * bar.length or bar.true_length <= 0:
        yield "slant", TOO_SLANTED


RULES: dict[type, Rule] = {Bar: _of_bar}
