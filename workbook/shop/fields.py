"""The fields of bars, materials, saw, rules and rates: their limits, labels and meanings."""

from collections.abc import Iterator

from workbook.fields import (
    CELSIUS,
    DAYS,
    MINUTES,
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
from workbook.shop.labour import ASKS_WORDS, By, Stage, StageFor, StageKind
from workbook.shop.materials import MATERIAL_WORDS, Material
from workbook.shop.pricing import PriceMethod, Pricing
from workbook.shop.quote import Option
from workbook.template.hole_places import ACROSS_WORDS, ALONG_WORDS
from workbook.texts import _

MOST_COUNTED = 100_000  # bars of a kind in stock, or added or removed at once
MOST_BLANKS = 2000  # in a job
MOST_ORDERED = 10_000  # in a line of an order
TAX, DEPOSIT = (0.0, 0.6), (0.0, 1.0)
PER_WORDS = (
    (PricePer.BAR, _("one bar")),
    (PricePer.FOOT, _("a foot")),
    (PricePer.METRE, _("a meter")),
    (PricePer.KILOGRAM, _("a kilogram")),
)
_CUTTING = (
    (Cutting.LINE, _("the saw follows the line")),
    (Cutting.STRAIGHT, _("straight cuts only")),
    (Cutting.SERVICE, _("jet or laser")),
)
_QUENCHES = (
    (Quench.BY_STEEL, _("as the steel's table has it")),
    (Quench.OIL, _("oil")),
    (Quench.WATER, _("water or brine")),
    (Quench.AIR, _("air or plates")),
)
_EDGES = ((Edges.MILL, _("as rolled")), (Edges.SAWN, _("sawn")), (Edges.SHEARED, _("sheared")))
_WAYS = (
    (PriceMethod.MARGIN, _("margin, of the price")),
    (PriceMethod.MARKUP, _("markup, on the cost")),
    (PriceMethod.TARGET, _("a price aimed at")),
)
_BY = ((By.KNIFE, _("knife")), (By.OUTLINE, _("outline")), (By.BLADE, _("blade")), (By.HANDLE, _("handle")))
_STAGE_KINDS = (
    (StageKind.HANDS_ON, _("hands-on")), (StageKind.ATTENDED, _("attended wait")), (StageKind.ALONE, _("wait alone")),
    (StageKind.OUTSIDE, _("outside")),
)  # fmt: skip
_STAGE_FOR = (
    (StageFor.EVERY, _("every knife")), (StageFor.HANDLED, _("with a handle")), (StageFor.SHEATHED, _("with a sheath")),
)  # fmt: skip
_STAGE_ASKS = tuple(ASKS_WORDS.items())
_KINDS = tuple(MATERIAL_WORDS.items())
_HABITS, _HEAT = _("Bars and holes"), _("Heat")
_RACK, _ORIGIN = _("On the rack and for sale"), _("Where from and where")
HOURS, PRICE, ON_QUOTE = _("Hours"), _("Price"), _("On the quote")  # headings of the rates


def _read(key: str, low: float, high: float, label: str, meaning: str) -> Field:
    return length(key, low, high, Kind.READING, none=_("not read"), zero=_("not read"), label=label, meaning=meaning)


_SAW: Table = (
    length("kerf", 0, 20, label=_("Saw kerf")),
    length("clean_up", 0, 20, label=_("Steel left outside the line"),
        meaning=_("steel the saw leaves outside the line; blanks keep kerf + 2 x clean_up apart")),
    length("bar_end", 0, 100, label=_("Outline to the bar's ends"), meaning=_("finished outline to either end of a bar")),
    length("bar_edge", 0, 100, none="clean_up", label=_("Outline to the bar's long edges"),
        meaning=_("finished outline to a long edge of a bar")),
    length("sawn_edge", 0, 100, none="bar_edge", label=_("Outline to a sawn edge"),
        meaning=_("finished outline to a long edge that is sawn")),
    length("sheared_edge", 0, 100, label=_("Outline to a sheared edge"),
        meaning=_("finished outline to a long edge that is sheared, where bar_edge is not more")),
    switch("spine_on_edge", label=_("Spines may lie on the bar's edge"),
        meaning=_("a spine may lie on the bar's own edge, which saves a cut (family templates; every bar with mill edges)")),
    angle("tilt", 0, 15, label=_("Blanks may lean by"), meaning=_("how far a blank may lean")),
    choice("cutting", options=_CUTTING, label=_("How blanks are cut"),
        meaning=_("straight: any two blanks can be parted by a straight cut")),
    length("band", 0.2, 60, none=_("not known"), zero=_("not known"), label=_("Width of the band"),
        meaning=_("width of the saw's band: gaps it cannot turn in are named, by the radii that saw charts give")),
    length("tightest_radius", 0, 1000, none=_("what the band's width says"), zero=_("by the band"), label=_("Tightest turn"),
        meaning=_("least radius your saw really turns in")),
)  # fmt: skip
_RULES: Table = (
    length("keep_offcut", 0, 5000, head=_HABITS, label=_("Shortest offcut worth keeping"),
        meaning=_("shorter offcuts are worth nothing")),
    switch("credit_offcuts", head=_HABITS, label=_("Offcuts are worth their steel"),
        meaning=_("what is left of a bar is worth its steel")),
    switch("offcuts_first", head=_HABITS, label=_("Use up offcuts first"),
        meaning=_("offcuts before whole bars of the rack, whatever they are worth; else by price")),
    switch("use_openings", head=_HABITS, label=_("Blanks may lie in openings (jet or laser)"),
        meaning=_("for a service only: blanks may lie in the openings of others")),
    length("under", 0, 5, Kind.FINE, named="bar_under", head=_HABITS, label=_("A bar may be thinner than wanted by"),
        meaning=_("how much thinner than the template a bar may be")),
    length("over", 0, 10, Kind.FINE, named="bar_over", head=_HABITS, label=_("A bar may be thicker than wanted by"),
        meaning=_("how much thicker than the template a bar may be")),
    length("tang_clearance", 0, 3, Kind.FINE, head=_HABITS, label=_("Tang hole over its pin"),
        meaning=_("holes in the tang over those in the scales")),
    length("smallest_radius", 0, 50, head=_HABITS, label=_("Smallest inside radius"),
        meaning=_("inside corner your smallest file or wheel can follow, where no tool says it")),
    length("web", 0, 50, head=_HABITS, label=_("Steel between holes"), meaning=_("steel beside epoxy and lightening holes")),
    choice("along", named="holes_along", options=ALONG_WORDS, head=_HABITS, label=_("Holes measured along from"), since=10,
        meaning=_("the end that holes are measured from, in tables, fields, sheets and files")),
    choice("across", named="holes_across", options=ACROSS_WORDS, head=_HABITS, label=_("Holes measured across from"), since=10,
        meaning=_("what holes are measured from across the knife; above the center line counts as positive")),
    length("hand_breadth", 0, 150, head=_HABITS, zero=_("any"), label=_("Breadth of the hand they are for"),
        meaning=_("handles too short for that hand are named; not known when 0")),
    choice("quench", options=_QUENCHES, head=_HEAT, label=_("Quenched in"),
        meaning=_("by steel: as the table of heat treatment has it, by any of its names; "
        "decides how thin an edge may be before hardening")),
    number("heat", 600, 1300, unit=CELSIUS, head=_HEAT, label=_("Heat before the quench"),
        meaning=_("the heat before the quench, for the advice on lost carbon")),
    number("soak", 0, 600, unit=MINUTES, head=_HEAT, label=_("Time at that heat"),
        meaning=_("how long it is held at that heat")),
)  # fmt: skip
_MEASURED: Table = (
    _read("thickness", 0.1, 100, _("Thickness at end A"),
        _("what calipers read there, or the only reading; the least of them counts")),
    _read("middle", 0.1, 100, _("Thickness half-way"), _("what calipers read half-way along")),
    _read("far", 0.1, 100, _("Thickness at end B"), _("what calipers read at the other end")),
    _read("bow", 0, 100, _("Bow, flat on a plate"), _("how far the bar is out of straight, flat on a plate")),
    _read("width", 1, 2500, _("Width"), _("what calipers read across")),
    _read("length", 5, 15_000, _("Length"), _("what the bar really is long")),
)  # fmt: skip
_BAR: Table = (
    name(label=_("Name")),
    name("steel", label=_("Steel"), meaning=_("any standard name, as O1, 1.2510 or 100Cr6, finds its density and quench")),
    length("thickness", 0.2, 60, label=_("Thickness"), meaning=_("nominal")),
    length("width", 3, 1500, label=_("Width"), meaning=_("nominal")),
    length("length", 10, 10_000, label=_("Length"), meaning=_("nominal")),
    length("slant", 0, 1000, zero=_("square"), label=_("End B out of square by"),
        meaning=_("end B is out of square by this, at most half the length; the bar counts along its shorter edge")),
    choice("edges", options=_EDGES, label=_("Long edges"), meaning=_("what its long edges are, for the margin along them")),
    switch("hot_rolled", label=_("It is hot-rolled"),
        meaning=_("its faces have lost carbon; a blank that needs more than the steel below them is a warning")),
    part("measured", head=_("Calipers read"),
        meaning=_("what calipers read: thickness at one end, half-way and at the other (the least counts), bow on a flat plate; "
        "used for what is on the rack")),
    count("have", 0, MOST_COUNTED, head=_RACK, label=_("On the rack"), meaning=_("how many are on the rack")),
    switch("offcut", head=_RACK, label=_("It is an offcut"), meaning=_("what is on the rack is an offcut")),
    switch("buy", head=_RACK, label=_("More can be bought"), meaning=_("more of it can be bought")),
    money("price", head=_RACK, label=_("Price"), meaning=_("as quoted")),
    choice("per", options=PER_WORDS, head=_RACK, label=_("The price is for"), meaning=_("what the price is for")),
    money("shipping", head=_RACK, label=_("Carriage for a bar"), meaning=_("added to the price of each bar bought")),
    money("cut_charge", head=_RACK, label=_("Cut charge for a bar"), meaning=_("added to the price of each bar bought")),
    text("heat", head=_ORIGIN, label=_("Heat or batch number"), meaning=_("heat or batch number, as the mill gives it")),
    text("origin", head=_ORIGIN, label=_("It came from"), meaning=_("where it came from")),
    text("kept_at", head=_ORIGIN, label=_("It lies"), meaning=_("where it lies")),
)  # fmt: skip
_MATERIAL: Table = (
    name(label=_("Name")),
    choice("kind", options=_KINDS, label=_("Kind")),
    text("per", label=_("One of it is a"), filled=True, meaning=_("the word for one of it: pair, piece, ft, kit")),
    money("price", label=_("Price for one")),
    number("have", 0, 1_000_000, label=_("There are")),
    number("low", 0, 1_000_000, label=_("Buy when fewer than")),
    number("knife", 0, 1000, label=_("A knife takes"), zero=_("not said"),
        meaning=_("of it; where that is not said, one of a handle material and none of others")),
    length("size", 0, 200, zero=_("not said"), label=_("Diameter, or thickness"),
        meaning=_("diameter of a pin, bolt or tube; thickness of a scale or sheet")),
    length("width", 0, 3000, zero=_("not said"), label=_("Width"), meaning=_("of a sheet or block")),
    length("length", 0, 10_000, zero=_("not said"), label=_("Length of one"), meaning=_("of a rod, sheet or block")),
    text("kept_at", label=_("It lies")),
)  # fmt: skip
_CHARGES: Table = (
    money("hour", head=HOURS, label=_("An hour of work")),
    share("overhead", 0, 4, head=HOURS, label=_("Overhead on the work"),
        meaning=_("rent, power, tools: a share of what the work costs")),
    share("allowance", head=HOURS, label=_("Rest and interruptions"), meaning=_("a share of the time at work")),
    share("learning", 0.5, head=HOURS, label=_("Each doubling takes"),
        meaning=_("every doubling of a batch brings a piece to this share of its time")),
    share("confidence", 0.5, 0.999, head=HOURS, label=_("How sure to have enough"),
        meaning=_("of having enough good ones of those started")),
    parts("stages", 100), parts("outside", 100),
    part("pricing"), money("step", head=PRICE, label=_("Rounded up to the next")),
    share("tax", *TAX, head=PRICE, label=_("Tax")), share("deposit", *DEPOSIT, head=PRICE, label=_("Deposit")),
    count("valid", 1, 730, unit=DAYS, head=ON_QUOTE, label=_("A quote is valid for")),
    text("included", NOTE, head=ON_QUOTE, label=_("Included")), text("terms", NOTE, head=ON_QUOTE, label=_("Terms")),
)  # fmt: skip
FIELDS: dict[type, Table] = {
    Saw: _SAW,
    Rules: _RULES,
    Measured: _MEASURED,
    Bar: _BAR,
    Make: (name("template"), name("steel"), count("quantity", 1, MOST_BLANKS)),
    Material: _MATERIAL,
    Stage: (
        name(label=_("Stage")), number("set_up", 0, 10_000, unit=MINUTES, label=_("Set-up, min")),
        number("minutes", 0, 10_000, unit=MINUTES, label=_("Each, min")),
        share("good", 0.1, label=_("Good, %")), choice("by", label=_("Grows with"), options=_BY),
        choice("kind", label=_("Kind"), options=_STAGE_KINDS, since=12),
        number("wait", 0, 100_000, unit=MINUTES, label=_("Wait, min"), since=12),
        choice("of", label=_("For"), options=_STAGE_FOR, since=12),
        choice("asks", label=_("Measured"), options=_STAGE_ASKS, since=12),
        switch("hold", label=_("Hold point"), since=12),
    ),
    Outside: (name(label=_("Work elsewhere")), money("batch", label=_("For a batch")), money("piece", label=_("For a blank"))),
    Option: (name("words"), money("price"), money("cost")),
    Pricing: (
        choice("way", options=_WAYS, label=_("Made by")), share("share", 0, 5, label=_("Margin or markup")),
        money("target", label=_("Price aimed at")),
    ),
    Charges: _CHARGES,
}  # fmt: skip


def _of_bar(bar: Bar) -> Iterator[tuple[str, str]]:
    if bar.slant > MOST_SLANT * bar.length or bar.true_length <= 0:
        yield "slant", TOO_SLANTED


RULES: dict[type, Rule] = {Bar: _of_bar}
