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
from workbook.shop.hours import DAY, DaysOff, ShopDay, ShopHours
from workbook.shop.job import (
    LEAST_LENGTH,
    LEAST_WIDTH,
    TOO_SLANTED,
    Bar,
    Cutting,
    Edges,
    Make,
    Measured,
    PricePer,
    Quench,
    Rules,
    Saw,
    lacks_too_much,
)
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
    (PricePer.BAR, _("bar")),
    (PricePer.FOOT, _("foot")),
    (PricePer.METRE, _("meter")),
    (PricePer.KILOGRAM, _("kilogram")),
)
_CUTTING = (
    (Cutting.LINE, _("follow the line")),
    (Cutting.STRAIGHT, _("straight cuts only")),
    (Cutting.SERVICE, _("jet or laser")),
)
_QUENCHES = (
    (Quench.BY_STEEL, _("from steel data")),
    (Quench.OIL, _("oil")),
    (Quench.WATER, _("water or brine")),
    (Quench.AIR, _("air or plates")),
)
_EDGES = ((Edges.MILL, _("as rolled")), (Edges.SAWN, _("sawn")), (Edges.SHEARED, _("sheared")))
_WAYS = (
    (PriceMethod.MARGIN, _("margin on price")),
    (PriceMethod.MARKUP, _("markup on cost")),
    (PriceMethod.TARGET, _("target price")),
)
_BY = ((By.KNIFE, _("knife")), (By.OUTLINE, _("outline")), (By.BLADE, _("blade")), (By.HANDLE, _("handle")))
_STAGE_KINDS = (
    (StageKind.HANDS_ON, _("hands-on")), (StageKind.ATTENDED, _("attended wait")), (StageKind.ALONE, _("unattended wait")),
    (StageKind.OUTSIDE, _("outside work")),
)  # fmt: skip
_STAGE_FOR = (
    (StageFor.EVERY, _("every knife")), (StageFor.HANDLED, _("with a handle")), (StageFor.SHEATHED, _("with a sheath")),
)  # fmt: skip
_STAGE_ASKS = tuple(ASKS_WORDS.items())
_KINDS = tuple(MATERIAL_WORDS.items())
_HABITS, _HEAT = _("Bars and holes"), _("Hardening")
_RACK, _ORIGIN = _("Stock"), _("Supplier and location")
HOURS, PRICE, ON_QUOTE = _("Hours"), _("Price"), _("Quote")  # headings of the rates


def _read(key: str, low: float, high: float, label: str, meaning: str) -> Field:
    return length(key, low, high, Kind.READING, none=_("not read"), zero=_("not read"), label=label, meaning=meaning)


_SAW: Table = (
    length("kerf", 0, 20, label=_("Saw kerf")),
    length("clean_up", 0, 20, label=_("Clean-up allowance"),
        meaning=_("steel the saw leaves outside the line. The gap between blanks is kerf + 2 × clean_up")),
    length("bar_end", 0, 100, label=_("Margin at bar ends"), meaning=_("finished outline to either end of a bar")),
    length("bar_edge", 0, 100, none="clean_up", label=_("Margin at long edges"),
        meaning=_("finished outline to a long edge of a bar")),
    length("sawn_edge", 0, 100, none="bar_edge", label=_("Margin at sawn edges"),
        meaning=_("finished outline to a long edge that is sawn")),
    length("sheared_edge", 0, 100, label=_("Margin at sheared edges"),
        meaning=_("finished outline to a long edge that is sheared, where bar_edge is smaller")),
    switch("spine_on_edge", label=_("Spines on the bar's edge"),
        meaning=_("a spine may lie on the bar's own edge, which saves a cut (family templates, bars with mill edges)")),
    angle("tilt", 0, 15, label=_("Max. tilt of blanks"), meaning=_("how far a blank may be tilted")),
    choice("cutting", options=_CUTTING, label=_("Cutting"),
        meaning=_("straight: a straight cut can separate any two blanks")),
    length("band", 0.2, 60, none=_("unknown"), zero=_("unknown"), label=_("Saw band width"),
        meaning=_("gaps in which the band cannot turn are named, by the radii of saw charts")),
    length("tightest_radius", 0, 1000, none=_("from the band width"), zero=_("from band width"), label=_("Min. saw radius"),
        meaning=_("smallest radius your saw can turn in")),
    length("feed", 1, 5000, since=16, label=_("Saw feed, per minute"),
        meaning=_("how far your saw cuts in a minute in steel 1/8 in (3.2 mm) thick. Thicker steel takes longer")),
)  # fmt: skip
_RULES: Table = (
    length("keep_offcut", 0, 5000, head=_HABITS, label=_("Min. offcut length"),
        meaning=_("shorter offcuts are worth nothing")),
    length("keep_width", 0, 1000, head=_HABITS, since=16, label=_("Min. offcut width"),
        meaning=_("narrower offcuts beside blanks are worth nothing")),
    switch("credit_offcuts", head=_HABITS, label=_("Credit offcuts"),
        meaning=_("what is left of a bar is worth its steel")),
    switch("offcuts_first", head=_HABITS, label=_("Use up offcuts first"),
        meaning=_("offcuts before whole bars on the rack, whatever they are worth. Otherwise by price")),
    switch("use_openings", head=_HABITS, label=_("Blanks in openings (jet or laser)"),
        meaning=_("only when a service cuts: blanks may lie in the openings of others")),
    length("under", 0, 5, Kind.FINE, named="bar_under", head=_HABITS, label=_("Bar may be thinner by"),
        meaning=_("how much thinner than the template a bar may be")),
    length("over", 0, 10, Kind.FINE, named="bar_over", head=_HABITS, label=_("Bar may be thicker by"),
        meaning=_("how much thicker than the template a bar may be")),
    length("tang_clearance", 0, 3, Kind.FINE, head=_HABITS, label=_("Tang-hole clearance"),
        meaning=_("holes in the tang are larger than those in the scales by this")),
    length("smallest_radius", 0, 50, head=_HABITS, label=_("Min. inside radius"),
        meaning=_("inside corner your smallest file or wheel can follow, if no tool is listed")),
    length("web", 0, 50, head=_HABITS, label=_("Web between holes"), meaning=_("steel left beside epoxy and lightening holes")),
    choice("along", named="holes_along", options=ALONG_WORDS, head=_HABITS, label=_("Holes along from"), since=10,
        meaning=_("end from which holes are measured in tables, fields, sheets and files")),
    choice("across", named="holes_across", options=ACROSS_WORDS, head=_HABITS, label=_("Holes across from"), since=10,
        meaning=_("line from which holes are measured across the knife. Above the center line is positive")),
    length("hand_breadth", 0, 150, head=_HABITS, zero=_("any"), label=_("Hand width"),
        meaning=_("handles too short for that hand are named. 0 means any hand")),
    choice("quench", options=_QUENCHES, head=_HEAT, label=_("Quench medium"),
        meaning=_("by steel: from the table of heat treatment, under any of its names. It decides how thin an edge may "
                  "be before hardening")),
    number("heat", 600, 1300, unit=CELSIUS, head=_HEAT, label=_("Hardening temperature"),
        meaning=_("temperature before the quench, for the estimate of decarb")),
    number("soak", 0, 600, unit=MINUTES, head=_HEAT, label=_("Soak time"),
        meaning=_("time held at that temperature")),
)  # fmt: skip
_MEASURED: Table = (
    _read("thickness", 0.1, 100, _("Thickness at end A"),
        _("caliper reading there, or the only reading. The smallest counts")),
    _read("middle", 0.1, 100, _("Thickness at mid-length"), _("caliper reading at mid-length")),
    _read("far", 0.1, 100, _("Thickness at end B"), _("caliper reading at the other end")),
    _read("bow", 0, 100, _("Bow, flat on a plate"), _("how far the bar is out of straight, flat on a plate")),
    _read("width", 1, 2500, _("Width"), _("caliper reading across")),
    _read("length", 5, 15_000, _("Length"), _("true length of the bar")),
)  # fmt: skip
_BAR: Table = (
    name(label=_("Name")),
    name("steel", label=_("Steel"), meaning=_("any standard name, e.g. O1, 1.2510 or 100Cr6, finds its density and quench")),
    length("thickness", 0.2, 60, label=_("Thickness"), meaning=_("nominal")),
    length("width", LEAST_WIDTH, 1500, label=_("Width"), meaning=_("nominal")),
    length("length", LEAST_LENGTH, 10_000, label=_("Length"), meaning=_("nominal")),
    length("slant", 0, 1000, zero=_("square"), label=_("End B out of square by"),
        meaning=_("one long edge is shorter than the other by this, at most half the length. Length is along the longer edge")),
    length("corner_length", 0, 10_000, since=16, zero=_("none"), label=_("Missing corner, length"),
        meaning=_("an offcut in the shape of an L: how long the missing corner is, along the bar from end B")),
    length("corner_width", 0, 1500, since=16, zero=_("none"), label=_("Missing corner, width"),
        meaning=_("and how wide, across the bar. Blanks may lie in the leg that is left")),
    choice("edges", options=_EDGES, label=_("Long edges"), meaning=_("kind of the long edges, for the margin along them")),
    switch("hot_rolled", label=_("Hot-rolled"),
        meaning=_("its faces have lost carbon. A blank that needs more than the sound steel below them gets a warning")),
    part("measured", head=_("Caliper readings"),
        meaning=_("thickness at one end, mid-length and the other end (the smallest counts), and bow on a flat plate. "
                  "Used for bars on the rack")),
    count("have", 0, MOST_COUNTED, head=_RACK, label=_("On the rack"), meaning=_("number on the rack")),
    switch("offcut", head=_RACK, label=_("Offcut"), meaning=_("the bars on the rack are offcuts")),
    switch("buy", head=_RACK, label=_("Can reorder"), meaning=_("more of it can be bought")),
    money("price", head=_RACK, label=_("Price"), meaning=_("as quoted")),
    choice("per", options=PER_WORDS, head=_RACK, label=_("Price per"), meaning=_("unit the price is for")),
    money("shipping", head=_RACK, label=_("Shipping per bar"), meaning=_("added to the price of each bar bought")),
    money("cut_charge", head=_RACK, label=_("Cut charge per bar"), meaning=_("added to the price of each bar bought")),
    text("heat", head=_ORIGIN, label=_("Heat no."), meaning=_("heat or batch number, as the mill gives it")),
    text("origin", head=_ORIGIN, label=_("Supplier"), meaning=_("where you bought it")),
    text("kept_at", head=_ORIGIN, label=_("Location"), meaning=_("where it is in the shop")),
)  # fmt: skip
_MATERIAL: Table = (
    name(label=_("Name")),
    choice("kind", options=_KINDS, label=_("Kind")),
    text("per", label=_("Unit"), filled=True, meaning=_("pair, piece, ft, kit")),
    money("price", label=_("Unit price")),
    number("have", 0, 1_000_000, label=_("On hand")),
    number("low", 0, 1_000_000, label=_("Reorder below")),
    number("knife", 0, 1000, label=_("Used per knife"), zero=_("by kind"),
        meaning=_("in units. By kind means one of a handle material and none of others")),
    length("size", 0, 200, zero=_("unknown"), label=_("Diameter or thickness"),
        meaning=_("diameter of a pin, bolt or tube, thickness of a scale or sheet")),
    length("width", 0, 3000, zero=_("unknown"), label=_("Width"), meaning=_("of a sheet or block")),
    length("length", 0, 10_000, zero=_("unknown"), label=_("Length"), meaning=_("of one rod, sheet or block")),
    text("kept_at", label=_("Location")),
)  # fmt: skip
_CHARGES: Table = (
    money("hour", head=HOURS, label=_("Hourly rate")),
    share("overhead", 0, 4, head=HOURS, label=_("Overhead"),
        meaning=_("rent, power, tools: a share of the cost of work")),
    share("allowance", head=HOURS, label=_("Downtime"), meaning=_("a share of the time at work")),
    share("learning", 0.5, head=HOURS, label=_("Learning curve"),
        meaning=_("each doubling of a batch brings the time per piece to this share")),
    share("confidence", 0.5, 0.999, head=HOURS, label=_("Confidence"),
        meaning=_("that enough of the blanks started come out good")),
    parts("stages", 100), parts("outside", 100),
    part("pricing"), money("step", head=PRICE, label=_("Round price up to")),
    share("tax", *TAX, head=PRICE, label=_("Tax")), share("deposit", *DEPOSIT, head=PRICE, label=_("Deposit")),
    count("valid", 1, 730, unit=DAYS, head=ON_QUOTE, label=_("Quote valid for")),
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
        text("equipment", label=_("Equipment"), since=15), count("at_once", 0, 10_000, label=_("At once"), since=15),
        switch("cures", label=_("Cures"), since=15),
    ),
    ShopDay: (count("begin", 0, DAY, label=_("From"), since=15), count("end", 0, DAY, label=_("To"), since=15)),
    DaysOff: (
        Field(key="first", kind=Kind.DATE, label=_("First day"), since=15),
        Field(key="last", kind=Kind.DATE, label=_("Last day"), since=15),
    ),
    ShopHours: (parts("days", 7, since=15), parts("off", 200, since=15)),
    Outside: (name(label=_("Outside work")), money("batch", label=_("Per batch")), money("piece", label=_("Per blank"))),
    Option: (name("words"), money("price"), money("cost")),
    Pricing: (
        choice("way", options=_WAYS, label=_("Price by")), share("share", 0, 5, label=_("Margin or markup")),
        money("target", label=_("Target price")),
    ),
    Charges: _CHARGES,
}  # fmt: skip


def _of_bar(bar: Bar) -> Iterator[tuple[str, str]]:
    wrong = tuple(lacks_too_much(bar))
    yield from wrong
    if bar.true_length <= 0 and not wrong:
        yield "slant", TOO_SLANTED


def _of_day(day: ShopDay) -> Iterator[tuple[str, str]]:
    if day.end < day.begin:
        yield "end", _("is before the beginning")


def _of_days_off(days: DaysOff) -> Iterator[tuple[str, str]]:
    if not days.first or not days.last or days.last < days.first:
        yield "last", _("is before the first day")


RULES: dict[type, Rule] = {Bar: _of_bar, ShopDay: _of_day, DaysOff: _of_days_off}
