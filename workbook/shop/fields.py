"""What the fields of bars, materials, saw, rules and rates may hold, and how they are called."""

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
from workbook.shop.job import MOST_SLANT, TOO_SLANTED, Bar, Cutting, Edges, Make, Measured, PricePer, Quench, Rules, Saw
from workbook.shop.labour import Stage
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.pricing import PriceMethod, Pricing
from workbook.shop.quote import Option

MOST_COUNTED = 100_000  # bars of a kind that lie there, or come or go at once
MOST_BLANKS = 2000  # of a job
MOST_ORDERED = 10_000  # of a line of an order
TAX, DEPOSIT = (0.0, 0.6), (0.0, 1.0)
PER_WORDS = (
    (PricePer.BAR, "one bar"),
    (PricePer.FOOT, "a foot"),
    (PricePer.METRE, "a metre"),
    (PricePer.KILOGRAM, "a kilogram"),
)
_CUTTING = (
    (Cutting.LINE, "the saw follows the line"),
    (Cutting.STRAIGHT, "straight cuts only"),
    (Cutting.SERVICE, "jet or laser"),
)
_QUENCHES = (
    (Quench.BY_STEEL, "as the steel's table has it"),
    (Quench.OIL, "oil"),
    (Quench.WATER, "water or brine"),
    (Quench.AIR, "air or plates"),
)
_EDGES = ((Edges.MILL, "as rolled"), (Edges.SAWN, "sawn"), (Edges.SHEARED, "sheared"))
_WAYS = (
    (PriceMethod.MARGIN, "margin, of the price"),
    (PriceMethod.MARKUP, "markup, on the cost"),
    (PriceMethod.TARGET, "a price aimed at"),
)
_KINDS = tuple((kind, kind.value) for kind in MaterialKind)
_HABITS, _HEAT = "Bars and holes", "Heat"
_RACK, _ORIGIN = "On the rack and for sale", "Where from and where"
HOURS, PRICE, ON_QUOTE = "Hours", "Price", "On the quote"  # headings of the rates


def _read(key: str, low: float, high: float, label: str, meaning: str) -> Field:
    return length(key, low, high, Kind.READING, none="not read", zero="not read", label=label, meaning=meaning)


_SAW: Table = (
    length("kerf", 0, 20, label="Saw kerf"),
    length("clean_up", 0, 20, label="Steel left outside the line",
        meaning="steel the saw leaves outside the line; blanks keep kerf + 2 x clean_up apart"),
    length("bar_end", 0, 100, label="Outline to the bar's ends", meaning="finished outline to either end of a bar"),
    length("bar_edge", 0, 100, none="clean_up", label="Outline to the bar's long edges",
        meaning="finished outline to a long edge of a bar"),
    length("sawn_edge", 0, 100, none="bar_edge", label="Outline to a sawn edge",
        meaning="finished outline to a long edge that is sawn"),
    length("sheared_edge", 0, 100, label="Outline to a sheared edge",
        meaning="finished outline to a long edge that is sheared, where bar_edge is not more"),
    switch("spine_on_edge", label="Spines may lie on the bar's edge",
        meaning="a spine may lie on the bar's own edge, which saves a cut (family templates; every bar with mill edges)"),
    angle("tilt", 0, 15, label="Blanks may lean by", meaning="how far a blank may lean"),
    choice("cutting", options=_CUTTING, label="How blanks are cut",
        meaning="straight: any two blanks can be parted by a straight cut"),
    length("band", 0.2, 60, none="not known", zero="not known", label="Width of the band",
        meaning="width of the saw's band: gaps it cannot turn in are named, by the radii that saw charts give"),
    length("tightest_radius", 0, 1000, none="what the band's width says", zero="by the band", label="Tightest turn",
        meaning="least radius your saw really turns in"),
)  # fmt: skip
_RULES: Table = (
    length("keep_offcut", 0, 5000, head=_HABITS, label="Shortest offcut worth keeping",
        meaning="shorter offcuts are worth nothing"),
    switch("credit_offcuts", head=_HABITS, label="Offcuts are worth their steel",
        meaning="what is left of a bar is worth its steel"),
    switch("offcuts_first", head=_HABITS, label="Use up offcuts first",
        meaning="offcuts before whole bars of the rack, whatever they are worth; else by price"),
    switch("use_openings", head=_HABITS, label="Blanks may lie in openings (jet or laser)",
        meaning="for a service only: blanks may lie in the openings of others"),
    length("under", 0, 5, Kind.FINE, named="bar_under", head=_HABITS, label="A bar may be thinner than wanted by",
        meaning="how much thinner than the template a bar may be"),
    length("over", 0, 10, Kind.FINE, named="bar_over", head=_HABITS, label="A bar may be thicker than wanted by",
        meaning="how much thicker than the template a bar may be"),
    length("tang_clearance", 0, 3, Kind.FINE, head=_HABITS, label="Tang hole over its pin",
        meaning="holes in the tang over those in the scales"),
    length("smallest_radius", 0, 50, head=_HABITS, label="Smallest inside radius",
        meaning="inside corner your smallest file or wheel can follow, where no tool says it"),
    length("web", 0, 50, head=_HABITS, label="Steel between holes", meaning="steel beside epoxy and lightening holes"),
    length("hand_breadth", 0, 150, head=_HABITS, zero="any", label="Breadth of the hand they are for",
        meaning="handles too short for that hand are named; not known when 0"),
    choice("quench", options=_QUENCHES, head=_HEAT, label="Quenched in",
        meaning="by steel: as the table of heat treatment has it, by any of its names; "
        "decides how thin an edge may be before hardening"),
    number("heat", 600, 1300, unit="degrees Celsius", head=_HEAT, label="Heat before the quench",
        meaning="the heat before the quench, for the advice on lost carbon"),
    number("soak", 0, 600, unit="minutes", head=_HEAT, label="Time at that heat", meaning="how long it is held at that heat"),
)  # fmt: skip
_MEASURED: Table = (
    _read("thickness", 0.1, 100, "Thickness at end A", "what calipers read there, or the only reading; the least of them counts"),
    _read("middle", 0.1, 100, "Thickness half-way", "what calipers read half-way along"),
    _read("far", 0.1, 100, "Thickness at end B", "what calipers read at the other end"),
    _read("bow", 0, 100, "Bow, flat on a plate", "how far the bar is out of straight, flat on a plate"),
    _read("width", 1, 2500, "Width", "what calipers read across"),
    _read("length", 5, 15_000, "Length", "what the bar really is long"),
)  # fmt: skip
_BAR: Table = (
    name(label="Name"),
    name("steel", label="Steel", meaning="any standard name, as O1, 1.2510 or 100Cr6, finds its density and quench"),
    length("thickness", 0.2, 60, label="Thickness", meaning="nominal"),
    length("width", 3, 1500, label="Width", meaning="nominal"),
    length("length", 10, 10_000, label="Length", meaning="nominal"),
    length("slant", 0, 1000, zero="square", label="End B out of square by",
        meaning="end B is out of square by this, at most half the length; the bar counts along its shorter edge"),
    choice("edges", options=_EDGES, label="Long edges", meaning="what its long edges are, for the margin along them"),
    switch("hot_rolled", label="It is hot-rolled",
        meaning="its faces have lost carbon; a blank that needs more than the steel below them is a warning"),
    part("measured", head="Calipers read",
        meaning="what calipers read: thickness at one end, half-way and at the other (the least counts), bow on a flat plate; "
        "used for what is on the rack"),
    count("have", 0, MOST_COUNTED, head=_RACK, label="On the rack", meaning="how many are on the rack"),
    switch("offcut", head=_RACK, label="It is an offcut", meaning="what is on the rack is an offcut"),
    switch("buy", head=_RACK, label="More can be bought", meaning="more of it can be bought"),
    money("price", head=_RACK, label="Price", meaning="as quoted"),
    choice("per", options=PER_WORDS, head=_RACK, label="The price is for", meaning="what the price is for"),
    money("shipping", head=_RACK, label="Carriage for a bar", meaning="added to the price of each bar bought"),
    money("cut_charge", head=_RACK, label="Cut charge for a bar", meaning="added to the price of each bar bought"),
    text("heat", head=_ORIGIN, label="Heat or batch number", meaning="heat or batch number, as the mill gives it"),
    text("origin", head=_ORIGIN, label="It came from", meaning="where it came from"),
    text("kept_at", head=_ORIGIN, label="It lies", meaning="where it lies"),
)  # fmt: skip
_MATERIAL: Table = (
    name(label="Name"),
    choice("kind", options=_KINDS, label="Kind"),
    text("per", label="One of it is a", filled=True, meaning="the word for one of it: pair, piece, ft, kit"),
    money("price", label="Price for one"),
    number("have", 0, 1_000_000, label="There are"),
    number("low", 0, 1_000_000, label="Buy when fewer than"),
    number("knife", 0, 1000, label="A knife takes", zero="not said",
        meaning="of it; where that is not said, one of a handle material and none of others"),
    length("size", 0, 200, zero="not said", label="Diameter, or thickness",
        meaning="diameter of a pin, bolt or tube; thickness of a scale or sheet"),
    length("width", 0, 3000, zero="not said", label="Width", meaning="of a sheet or block"),
    length("length", 0, 10_000, zero="not said", label="Length of one", meaning="of a rod, sheet or block"),
    text("kept_at", label="It lies"),
)  # fmt: skip
_CHARGES: Table = (
    money("hour", head=HOURS, label="An hour of work"),
    share("overhead", 0, 4, head=HOURS, label="Overhead on the work",
        meaning="rent, power, tools: a share of what the work costs"),
    share("allowance", head=HOURS, label="Rest and interruptions", meaning="a share of the time at work"),
    share("learning", 0.5, head=HOURS, label="Each doubling takes",
        meaning="every doubling of a batch brings a piece to this share of its time"),
    share("confidence", 0.5, 0.999, head=HOURS, label="How sure to have enough",
        meaning="of having enough good ones of those started"),
    parts("stages", 100), parts("outside", 100),
    part("pricing"), money("step", head=PRICE, label="Rounded up to the next"),
    share("tax", *TAX, head=PRICE, label="Tax"), share("deposit", *DEPOSIT, head=PRICE, label="Deposit"),
    count("valid", 1, 730, unit="days", head=ON_QUOTE, label="A quote stands for"),
    text("included", NOTE, head=ON_QUOTE, label="Included"), text("terms", NOTE, head=ON_QUOTE, label="Terms"),
)  # fmt: skip
FIELDS: dict[type, Table] = {
    Saw: _SAW,
    Rules: _RULES,
    Measured: _MEASURED,
    Bar: _BAR,
    Make: (name("template"), name("steel"), count("quantity", 1, MOST_BLANKS)),
    Material: _MATERIAL,
    Stage: (
        name(label="Stage"), number("set_up", 0, 10_000, unit="minutes", label="Set-up, min a batch"),
        number("minutes", 0, 10_000, unit="minutes", label="Min a piece"),
        share("good", 0.1, label="Good, %"), choice("by", label="Grows with"),
    ),
    Outside: (name(label="Work elsewhere"), money("batch", label="For a batch"), money("piece", label="For a blank")),
    Option: (name("words"), money("price"), money("cost")),
    Pricing: (
        choice("way", options=_WAYS, label="Made by"), share("share", 0, 5, label="Margin or markup"),
        money("target", label="Price aimed at"),
    ),
    Charges: _CHARGES,
}  # fmt: skip


def _of_bar(bar: Bar) -> Iterator[tuple[str, str]]:
    if bar.slant > MOST_SLANT * bar.length or bar.true_length <= 0:
        yield "slant", TOO_SLANTED


RULES: dict[type, Rule] = {Bar: _of_bar}
