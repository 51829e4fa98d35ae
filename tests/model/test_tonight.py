"""What lies before a shop, the plan for an evening in words, own numbers, waits: on the demo's shop and on shops made for it."""

from dataclasses import dataclass
from math import inf

import pytest

from workbook.document.accounts import finished_of
from workbook.document.document import Document
from workbook.document.making import batches, blades_of
from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord
from workbook.document.money_records import AfterRecord, ExpenseRecord, PaymentRecord, SaleRecord
from workbook.document.queries import job_of
from workbook.document.records import SettingsRecord
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.heat.load import CycleKind
from workbook.making.entry import EntryKind, Logged
from workbook.model.lots import lots_of
from workbook.model.own_numbers import OwnNumbers, own_row, unusual, with_own_minutes, with_own_yield
from workbook.model.promising import asked_for, chances, uncertain
from workbook.model.today import orders_due, what_helps
from workbook.model.tonight import Evening, line_words, unplanned
from workbook.model.waits import held_now, too_cold, wait_of, wait_words, waits
from workbook.shop.curing import cure_factor
from workbook.shop.hours import ShopDay, ShopHours
from workbook.shop.labour import StageKind
from workbook.shop.orders import Status
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.evening import PlanClock
from workbook.tasks.load import shaped

NOW = "2026-11-30T18:40:00"


@dataclass
class Shop:
    document: Document
    now: str = NOW

    def __post_init__(self):
        self.model, self.clock = shaped(job_of(self.document)), PlanClock(self.now)
        self.own = OwnNumbers(self.document, self.model)
        self.upcoming = lots_of(self.document, self.own, self.clock.ahead)

    def evening(self, minutes, steps=60):
        stints = self.clock.stints(self.document.settings.hours, minutes)
        made = Evening(self.upcoming, stints, steps, held_now(self.document, self.clock.ahead))
        while not made.search.ended:
            made.search.step()
        return made

    def lines(self, minutes):
        return self.evening(minutes).lines(self.document, self.clock.at)


MONEY = (PaymentRecord, SaleRecord, AfterRecord, ExpenseRecord)


def demo(**settings):
    """The sample's shop before anything was paid or sold, with the usual hours."""
    sample = demo_document()
    blades = {piece.id: replace(piece, price=None, kept_at="") for piece in sample.all(PieceRecord)}
    document = Document({id_: blades.get(id_, record) for id_, record in sample.records.items() if not isinstance(record, MONEY)})
    return changed(document, replace(document.settings, **{"hours": ShopHours(), **settings}))


def changed(document, *records):
    return Document({**document.records, **{record.id: record for record in records}})


def without_orders(document):
    """Only what is cut."""
    lines = (OrderLine, OrderRecord)
    return Document({id_: record for id_, record in document.records.items() if not isinstance(record, lines)})


def entered(document, batch, stage, blades, at=NOW, kind=EntryKind.DONE, **more):
    number = sum(isinstance(record, EntryRecord) for record in document.records.values()) + 1
    entry = Logged(kind=kind, date=more.pop("date", at[:10]), stage=stage, pieces=tuple(blades), **more)
    return changed(document, EntryRecord(id=f"new{number}", place=1000.0 + number, batch=batch, at=at, entry=entry))


def glued(at=NOW, **more):
    """The two farthest blades of batch 2, their handles glued."""
    document = without_orders(demo())
    batch = next(each for each in batches(document) if each.number == 2)
    blades = [piece.id for piece in blades_of(document, batch.id)][:2]
    for stage in batch.stages:
        document = entered(document, batch.id, stage.name, blades, at="2026-11-20T20:00:00")
        if stage.hold:
            document = entered(
                document, batch.id, stage.name, blades, at="2026-11-20T20:00:00", kind=EntryKind.PASSED, reason="x"
            )
        if stage.name.startswith("Glue"):
            break
    return entered(document, batch.id, stage.name, blades, at=at, **more), batch, blades


def test_blades_at_the_same_point_are_one_lot_and_stages_done_are_behind_them():
    shop = Shop(without_orders(demo()))
    found = {each.lot.key: (len(each.blades), each.stages[0].name, each.held) for each in shop.upcoming}
    assert found == {
        "000002 26-06": (2, "Harden and temper", ""),
        "000002 26-08": (2, "Harden and temper", "Grind before hardening"),
        "000003 26-10": (3, "Drill the tang", ""),
    }


def test_open_orders_that_are_not_cut_lie_before_the_shop_with_all_stages():
    shop = Shop(demo())
    orders = [each for each in shop.upcoming if each.order == "order1"]
    assert [(len(each.of), len(each.stages)) for each in orders] == [(4, 13), (5, 13)]  # blanks started, by yield; no sheath
    assert all(each.lot.due == shop.clock.ahead("2027-01-15T23:59:00") for each in orders)
    assert not [each for each in shop.upcoming if each.order == "order2"], "only quoted"


def test_a_plan_is_told_line_by_line_with_reasons():
    shop = Shop(without_orders(demo()))
    (line,) = shop.lines(30)
    assert line_words(shop.document, line) == "Drill the tang, 3 Santoku type, Batch 3"
    assert (line.start, line.set_up, len(line.blades)) == (0, True, 3)
    assert line.whys == ("Fits into the time there is.",)


def test_a_line_says_what_would_be_later_without_it():
    only = ("line2", "order1")  # four knives, and no blade in work
    ours = (OrderLine, OrderRecord, PieceRecord)
    document = demo(hours=ShopHours(days=(ShopDay(begin=9 * 60, end=17 * 60),) * 7))
    shop = Shop(Document({id_: each for id_, each in document.records.items() if id_ in only or not isinstance(each, ours)}))
    said = " ".join(why for line in shop.lines(480) for why in line.whys)
    assert "Otherwise order 1 is" in said
    assert "later." in said


def test_hardening_is_planned_for_a_day_that_is_long_enough_and_never_for_an_evening():
    shop = Shop(without_orders(demo()))
    for minutes in (60, 90, 200):
        assert not any(line.stage.name.startswith("Harden") for line in shop.lines(minutes)), minutes
    plan = shop.evening(90).search.plan()
    hardened = [block for block in plan.blocks if shop.upcoming[block.lot].stages[block.operation].name.startswith("Harden")]
    assert hardened
    for block in hardened:
        begin, end = shop.clock.at(block.start), shop.clock.at(block.end + 300)
        assert begin[:10] == end[:10] and begin[11:] >= "09:00" and end[11:] <= "17:00", "a Saturday, as the hours are"


def test_a_stage_that_fits_into_no_hours_is_named_with_what_would_be_long_enough():
    hours = demo().settings.hours
    shop = Shop(without_orders(demo(hours=replace(hours, days=(*hours.days[:5], hours.days[6], hours.days[6])))))
    said = unplanned(shop.document, shop.evening(90))
    assert len(said) == 1
    assert said[0].startswith("Harden and temper needs 5:5")
    assert "1:30 h" in said[0] or "90 min" in said[0]


def test_glue_cures_by_the_temperature_of_the_shop():
    document, _batch, blades = glued()
    (wait,) = [each for each in waits(document) if each.stage.cures]
    assert (wait.blades, wait.since) == (tuple(blades), NOW)
    assert wait.minutes == pytest.approx(960 * 1.481, rel=1e-3)  # facts: 20 degrees C against 25, 57.05 kJ/mol
    assert wait_words(document, wait) == "Glue the handle, 2 blades of Batch 2"
    warm = changed(document, replace(document.settings, shop_heat=25.0))
    assert wait_of(warm, wait.stage) == 960
    assert not too_cold(warm, wait.stage)
    cold = changed(document, replace(document.settings, shop_heat=9.0))
    assert "too cold" in too_cold(cold, wait.stage)


@pytest.mark.parametrize(("celsius", "factor"), [(5, 5.232), (10, 3.384), (15, 2.223), (20, 1.481), (25, 1.0), (40, 0.332)])
def test_the_factor_of_a_cure(celsius, factor):
    """Worked values of an Arrhenius law with 57.05 kJ/mol (a room-temperature-curing epoxy, Journal of Adhesion 2008)."""
    assert cure_factor(celsius) == pytest.approx(factor, rel=2e-3)


def test_what_waits_comes_no_sooner_and_an_entry_typed_later_counts_from_its_evening():
    document, _batch, blades = glued(date="2026-11-28")
    shop = Shop(document)
    (lot,) = [each for each in shop.upcoming if each.blades == tuple(blades)]
    assert lot.lot.ready == 0.0, "over since the evening of the 29th"
    fresh, _batch, blades = glued()
    (lot,) = [each for each in Shop(fresh).upcoming if each.blades == tuple(blades)]
    assert lot.lot.ready == pytest.approx(960 * 1.481, rel=1e-3)


def test_glue_is_not_planned_in_a_shop_that_is_too_cold():
    document = without_orders(demo(shop_heat=5.0))
    shop = Shop(document)
    glue = [operation for each in shop.upcoming for operation in each.lot.operations if operation.stage == "Glue the handle"]
    assert glue
    assert all(operation.each == inf for operation in glue)
    assert any("too cold for glue" in words for words in unplanned(document, shop.evening(90)))


def test_own_minutes_are_against_what_the_rates_make_of_those_very_blades():
    shop = Shop(demo())
    (sharpened,) = shop.own.runs["Sharpen"]
    batch = next(each for each in batches(shop.document) if each.number == 1)
    entries = [r.entry for r in shop.document.all(EntryRecord) if r.batch == batch.id and r.entry.stage == "Sharpen"]
    minutes = sum(entry.minutes for entry in entries if entry.kind is EntryKind.DONE)
    assert (sharpened.minutes, sharpened.pieces) == (minutes, 4)
    assert sharpened.planned == pytest.approx((5 + 4 * 30) * 1.1)  # the rate is the same for every knife; a tenth for rest


def test_a_set_up_entered_by_itself_is_learned_by_itself():
    document = without_orders(demo())
    batch = next(each for each in batches(document) if each.number == 3)
    blades = [piece.id for piece in blades_of(document, batch.id)]
    document = entered(document, batch.id, "Drill the tang", blades, minutes=30.0)
    document = entered(document, batch.id, "Drill the tang", (), kind=EntryKind.SET_UP, minutes=22.0)
    own = Shop(document).own
    assert [(run.minutes, run.planned) for run in own.set_ups["Drill the tang"]] == [(22.0, pytest.approx(11.0))]
    assert own.runs["Drill the tang"][-1].planned == pytest.approx(3 * 6 * 1.1), "without the set-up"
    assert own.set_up_ratio("Drill the tang").ratio > 1.0 > own.set_up_ratio("Drill the tang").low


def test_using_own_numbers_makes_them_what_quotes_count_and_nothing_else():
    shop = Shop(demo())
    charges = shop.document.settings.charges
    sharpen = next(own for own in shop.own.stages() if own.stage.name == "Sharpen")
    after = with_own_yield(
        with_own_minutes(charges, sharpen), replace(sharpen, stage=with_own_minutes(charges, sharpen).stages[11])
    )
    (now,) = (b for a, b in zip(charges.stages, after.stages, strict=True) if a != b)
    assert now.minutes == pytest.approx(30 * sharpen.minutes.ratio, abs=0.05)
    assert now.good == pytest.approx(sharpen.passed.share, abs=0.0005)
    again = Shop(changed(shop.document, replace(shop.document.settings, charges=after)))
    assert again.own.ratio("Sharpen", "").ratio == pytest.approx(1.0, abs=0.06), "what is used is no longer off"
    assert own_row(sharpen)[:2] == ("Sharpen", "30")
    assert unusual(sharpen.runs) == [False]


def test_stages_that_lost_blades_have_a_share_good_of_their_own():
    straighten = next(own for own in Shop(demo()).own.stages() if own.stage.name == "Straighten and correct")
    assert (straighten.passed.good, straighten.passed.lost) == (4, 1)
    assert straighten.passed.share == pytest.approx((20 * 0.995 + 4) / 25)


def test_orders_are_told_by_date_with_what_is_finished():
    document = demo()
    (due,) = orders_due(document)
    assert (due.words, due.finished, due.ordered) == ("Order 1, The Slipway galley", 0, 7)
    finished = next(piece for piece in document.all(PieceRecord) if piece.batch == "autumn")
    given = changed(document, replace(finished, line="line1"))
    assert finished_of(given, "order1") == 1


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        ("2027-02-20", "It is in time if all hours of the shop are kept."),
        ("2026-12-02", "It cannot be in time. Agree on a later date."),
    ],
)
def test_an_order_that_slips_says_what_would_help(wanted, words):
    document = demo()
    shop = Shop(changed(document, replace(document.get("order1", OrderRecord), wanted=wanted)))
    assert what_helps(shop.evening(90, 1), "order1", kept=True) == words


def test_what_is_not_known_of_a_shop_goes_into_its_promises():
    shop = Shop(demo())
    known = chances(shop.document, shop.own)
    assert known["Harden and temper"].lost == pytest.approx(20 * 0.04)
    assert known["Sew the sheath"].lost == 0.0
    lots = uncertain(shop.document, shop.own, shop.upcoming, shop.clock.ahead)
    assert sum(own.spare for own, each in zip(lots, shop.upcoming, strict=True) if each.order == "order1") == 2  # 9 started for 7
    assert all(len(own.again) == 13 for own, each in zip(lots, shop.upcoming, strict=True) if each.order)
    assert all(not own.again for own, each in zip(lots, shop.upcoming, strict=True) if not each.order)


def test_blades_that_are_cut_for_an_order_that_is_only_talked_of_are_its_own():
    """Two of its four knives are cut: the lot in the shop is the order's when it is asked for; only the rest is to be cut."""
    document = demo()
    line = OrderLine(
        id="new-line", place=1.0, of=document.get("w1", PieceRecord).of, steel="O1", quantity=4, order="order3", starts=4
    )
    given = [replace(document.get(each, PieceRecord), line="new-line") for each in ("w1", "w2")]
    others = {id_: record for id_, record in document.records.items() if id_ != "line4"}
    document = changed(Document(others), line, *given)
    own, clock = OwnNumbers(document, shaped(job_of(document))), PlanClock(NOW)
    (asked,) = asked_for(document, own, document.get("order3", OrderRecord), clock.ahead)
    assert len(asked.of) == 2
    mine = [each for each in lots_of(document, own, clock.ahead, "order3") if each.order == "order3"]
    assert sorted(blade for each in mine for blade in each.blades) == ["w1", "w2"]
    assert not [each for each in lots_of(document, own, clock.ahead) if each.order == "order3"]


def test_an_order_that_is_only_talked_of_can_be_asked_for():
    shop = Shop(demo())
    record = shop.document.get("order2", OrderRecord)
    assert record.status is Status.QUOTED
    (asked,) = asked_for(shop.document, shop.own, record, shop.clock.ahead)
    assert (asked.order, len(asked.of)) == ("order2", 1 if asked.lot.operations[0].pieces == 1 else 2)
    assert isinstance(shop.document.settings, SettingsRecord)


def quenched():
    """Two blades of batch 2, hardened and not tempered since."""
    document = without_orders(demo())
    load = document.get("load-autumn", LoadRecord)
    cycles = tuple(replace(cycle, done=cycle.kind is CycleKind.HARDEN) for cycle in load.load.cycles)
    return changed(document, replace(load, id="red", pieces=("w1", "w2"), load=replace(load.load, cycles=cycles)))


def test_what_is_quenched_and_not_tempered_comes_before_all_else():
    shop = Shop(quenched())
    first = shop.upcoming[0]
    assert (first.blades, first.red) == (("w1", "w2"), True)
    temper = first.lot.operations[0]
    assert (temper.set_up, temper.each, temper.wait, temper.kind) == (0.0, 0.0, 300.0, StageKind.ATTENDED)
    line = shop.lines(400)[0]
    assert (line.stage.name, line.start, line.end) == ("Harden and temper", 0.0, 0.0)
    assert line.whys[:2] == (
        "Quenched, not tempered: it can crack by itself. Temper before all else.",
        "Stay until 23:40.",
    )


def test_a_temper_is_not_begun_where_there_is_no_time_to_tend_it():
    assert not any(line.stage.name == "Harden and temper" for line in Shop(quenched()).lines(120))


def test_more_lots_than_a_small_shop_has_are_one_that_nobody_works_on_tonight():
    document = demo()
    line = document.get("line2", OrderLine)
    more = [replace(document.get("order1", OrderRecord), id=f"o{n}", number=100 + n, wanted="2027-06-01") for n in range(40)]
    lines = [replace(line, id=f"l{n}", order=f"o{n}") for n in range(40)]
    shop = Shop(changed(document, *more, *lines))
    assert len(shop.upcoming) == 21
    rest = shop.upcoming[-1]
    assert (rest.of, len(rest.lot.operations)) == ((), 1)
    assert rest.lot.operations[0].each > 20 * 1500, "twenty-some orders of about 1,700 minutes"
    assert all(line.upcoming is not rest for line in shop.lines(480))


def with_stages(document, change):
    """The shop with other stages, in its rates and in its batches."""
    charges = document.settings.charges
    settings = replace(document.settings, charges=replace(charges, stages=change(charges.stages)))
    return changed(document, settings, *(replace(batch, stages=change(batch.stages)) for batch in document.all(BatchRecord)))


def test_hardening_that_was_entered_before_its_load_was_tempered_is_tempered_first():
    document = quenched()
    batch = next(each for each in batches(document) if each.number == 2)
    document = entered(document, batch.id, "Harden and temper", ("w1", "w2"))
    (red,) = (each for each in Shop(document).upcoming if each.red)
    assert [stage.name for stage in red.stages[:2]] == ["Harden and temper", "Straighten and correct"]
    assert (red.lot.operations[0].each, red.lot.operations[0].wait) == (0.0, 300.0)
    assert red.lot.operations[1].each > 0, "straightening is work as ever, and after the temper"


def test_of_a_load_only_the_blades_that_still_wait_for_their_temper_are_red():
    document = quenched()
    load = document.get("red", LoadRecord)
    temper = replace(load, id="later", place=99.0, number=9, pieces=("w1",), load=demo().get("load-autumn", LoadRecord).load)
    (red,) = (each for each in Shop(changed(document, temper)).upcoming if each.red)
    assert red.blades == ("w2",)


def split(stages):
    """Hardening and tempering as two stages that are tended."""
    at = next(n for n, stage in enumerate(stages) if stage.name.startswith("Harden"))
    harden = replace(stages[at], name="Harden", wait=20.0)
    return (*stages[:at], harden, replace(harden, name="Temper", set_up=5.0, minutes=0.0, wait=240.0), *stages[at + 1 :])


def test_a_quench_is_not_planned_without_the_temper_that_is_a_stage_of_its_own():
    shop = Shop(with_stages(without_orders(demo()), split))
    both = [each.lot.operations[0] for each in shop.upcoming if each.stages[0].name == "Harden"]
    assert both
    assert all(operation.wait == 260.0 and operation.kind is StageKind.ATTENDED for operation in both)
    assert not any(line.stage.name == "Harden" for line in shop.lines(120))


def test_a_blade_that_was_in_the_fire_is_not_hardened_again_whatever_is_entered():
    document = with_stages(quenched(), split)
    (red,) = (each for each in Shop(document).upcoming if each.red)
    assert [stage.name for stage in red.stages[:2]] == ["Temper", "Straighten and correct"]
    assert (red.lot.operations[0].each, red.lot.operations[0].wait) == (0.0, 240.0)


def test_a_furnace_that_tempers_is_not_free_and_neither_are_the_clamps():
    document = without_orders(demo())
    batch = next(each for each in batches(document) if each.number == 2)
    tempering = entered(document, batch.id, "Harden and temper", ("w1", "w2"), at="2026-11-30T18:30:00")
    shop = Shop(tempering)
    assert held_now(tempering, shop.clock.ahead) == {"furnace": pytest.approx(290.0)}
    hardened = [line for line in shop.lines(700) if line.stage.name == "Harden and temper"]
    assert all(line.start >= 290 for line in hardened)


def test_a_fire_that_is_plain_work_in_the_rates_is_not_planned_and_it_is_said():
    plain = lambda stages: tuple(  # noqa: E731
        replace(stage, kind=StageKind.HANDS_ON, wait=0.0) if stage.name.startswith("Harden") else stage for stage in stages
    )
    shop = Shop(with_stages(without_orders(demo()), plain))
    assert not any(line.stage.name.startswith("Harden") for line in shop.lines(480))
    assert any("hands-on in Rates" in words for words in unplanned(shop.document, shop.evening(480)))


def test_what_fits_tonight_and_never_again_says_so():
    document = demo(hours=ShopHours(days=(ShopDay(),) * 7))
    line = replace(document.get("line1", OrderLine), of=document.get("s1", PieceRecord).of, quantity=1, starts=1)
    last = replace(document.get("s1", PieceRecord), line="line1", first="Mark, pack and send")
    records = {id_: record for id_, record in changed(document, line, last).records.items() if id_ != "line2"}
    said = [why for each in Shop(Document(records)).lines(90) for why in each.whys]
    assert "Otherwise order 1 fits into no later hours of the shop." in said


def test_minutes_typed_make_nothing_impossible():
    hours = ShopHours(days=(ShopDay(begin=19 * 60, end=20 * 60 + 30),) * 7)
    shop = Shop(without_orders(demo(hours=hours)))
    for minutes in (0, 90, 150):
        said = " ".join(unplanned(shop.document, shop.evening(minutes)))
        assert "Shape the handle" not in said and "Hand finish" not in said, minutes


def test_blades_at_a_service_are_not_worked_on_tonight():
    document = without_orders(demo())
    batch = next(each for each in batches(document) if each.number == 2)
    out = entered(document, batch.id, "Harden and temper", ("w1", "w2"), kind=EntryKind.SENT, at="2026-11-18T20:00:00")
    lines = Shop(out).lines(480)
    assert lines
    assert not any({"w1", "w2"} & set(line.blades) for line in lines)


def test_what_was_delivered_drives_no_plan():
    document = demo()
    spare = replace(document.get("s1", PieceRecord), line="line1")
    order = replace(document.get("order1", OrderRecord), status=Status.DELIVERED, wanted="2026-11-01", laying=False)
    (lot,) = (each for each in Shop(changed(document, spare, order)).upcoming if "s1" in each.blades)
    assert (lot.order, lot.lot.due) == ("", inf)


def test_two_stages_of_one_name_are_both_planned_and_each_learned_by_itself():
    twice = lambda stages: (*stages, replace(stages[-3], name="Sharpen", minutes=99.0))  # noqa: E731
    document = demo()
    charges = replace(document.settings.charges, stages=twice(document.settings.charges.stages))
    shop = Shop(changed(document, replace(document.settings, charges=charges)))
    order = next(each for each in shop.upcoming if each.order == "order1")
    assert [stage.name for stage in order.stages if stage.name.startswith("Sharpen")] == ["Sharpen", "Sharpen 2"]
    own = [each for each in shop.own.stages() if each.stage.name.startswith("Sharpen")]
    assert [len(each.runs) for each in own] == [1, 0]
    after = with_own_minutes(charges, own[0])
    assert [stage.name for stage in after.stages] == [stage.name for stage in charges.stages]
    assert after.stages[-1] == charges.stages[-1]
