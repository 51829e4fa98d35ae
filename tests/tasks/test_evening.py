"""The clock of a plan: minutes to moments, hours of the shop with days off, shares of the hours that past weeks had."""

import pytest

from workbook.document.document import Document
from workbook.document.making_records import BatchRecord, EntryRecord
from workbook.document.records import SettingsRecord
from workbook.making.entry import EntryKind, Logged
from workbook.planning.model import DAY
from workbook.shop.charges import STAGES
from workbook.shop.hours import DaysOff, ShopDay, ShopHours, clock_in, clock_words
from workbook.structs import replace
from workbook.tasks.evening import PlanClock, kept_shares

MONDAY = "2026-11-30T18:40:00.000+01:00"
EVENING = ShopDay(begin=19 * 60, end=20 * 60 + 30)
HOURS = ShopHours(days=(*(EVENING,) * 5, ShopDay(), ShopDay()))


def test_minutes_go_to_moments_and_back_by_the_clock_on_the_wall():
    clock = PlanClock(MONDAY)
    assert clock.at(90) == "2026-11-30T20:10"
    assert clock.ahead("2026-12-01T18:40:00") == DAY
    assert clock.ahead("2026-11-30T18:30:00.000-05:00") == -10


def test_the_time_typed_comes_first_and_todays_hours_are_then_left_out():
    stints = PlanClock(MONDAY).stints(HOURS, 45.0)
    assert [(each.start, each.end) for each in stints[:2]] == [(0, 45), (DAY + 20, DAY + 110)]


def test_without_minutes_the_rest_of_todays_hours_comes_first():
    assert [(each.start, each.end) for each in PlanClock(MONDAY).stints(HOURS, 0)[:2]] == [(20, 110), (DAY + 20, DAY + 110)]
    late = PlanClock("2026-11-30T20:00:00").stints(HOURS, 0)[0]
    assert (late.start, late.end) == (0, 30)
    over = PlanClock("2026-11-30T20:27:00").stints(HOURS, 0)[0]
    assert over.start == DAY - 87, "three minutes are not worth a plan"


def test_days_off_have_no_hours():
    away = ShopHours(days=HOURS.days, off=(DaysOff(first="2026-12-01", last="2026-12-03"),))
    starts = [each.start for each in PlanClock(MONDAY).stints(away, 0)[:3]]
    assert starts == [20, 4 * DAY + 20, 7 * DAY + 20]  # Friday, then Monday


@pytest.mark.parametrize(("text", "minutes"), [("19:30", 1170), ("7", 420), ("24:00", 1440), ("0.15", 15), ("9h05", 545)])
def test_a_time_of_day(text, minutes):
    assert clock_in(text) == minutes
    assert clock_in(clock_words(minutes)) == minutes


@pytest.mark.parametrize("text", ["", "25", "24:01", "19:60", "noon", "-1"])
def test_what_is_no_time_of_day_is_said(text):
    with pytest.raises(ValueError, match="type a time of day"):
        clock_in(text)


def book(*worked):
    """A batch with minutes entered on dates."""
    batch = BatchRecord(id="b", place=1.0, number=1, stages=STAGES)
    entries = [
        EntryRecord(
            id=f"e{n}", place=float(n), batch="b", at=f"{date}T20:00:00",
            entry=Logged(kind=EntryKind.DONE, date=date, stage=STAGES[0].name, minutes=minutes),
        )
        for n, (date, minutes) in enumerate(worked)
    ]  # fmt: skip
    return Document({each.id: each for each in (batch, *entries)})


def test_shares_of_past_weeks_are_told_from_four_weeks_on():
    """A week has 5 x 90 minutes; with the usual hours also eight on Saturday: 930."""
    four = book(("2026-11-02", 465), ("2026-11-11", 93), ("2026-11-23", 930), ("2026-11-30", 500))
    assert kept_shares(four, PlanClock(MONDAY)) == (1.0, 0.0, 0.1, 0.5)  # last week first; this week is left out
    three = book(("2026-11-09", 465), ("2026-11-30", 500))
    assert kept_shares(three, PlanClock(MONDAY)) == ()
    assert kept_shares(book(), PlanClock(MONDAY)) == ()


def test_a_fire_that_was_tended_counts_with_its_wait_once_an_evening():
    document = book(("2026-11-02", 1), ("2026-11-23", 60), ("2026-11-23", 33))
    harden = [replace(record, entry=replace(record.entry, stage="Harden and temper")) for record in document.all(EntryRecord)]
    tended = Document({**document.records, **{record.id: record for record in harden[1:]}})
    assert kept_shares(tended, PlanClock(MONDAY))[0] == pytest.approx((60 + 33 + 300) / 930)


def test_weeks_off_and_weeks_without_minutes_say_nothing_of_hours_kept():
    worked = book(*((f"2026-{month}-{day:02}", 930) for month, day in ((10, 19), (10, 26), (11, 2), (11, 9), (11, 23))))
    assert kept_shares(worked, PlanClock(MONDAY)) == (1.0, 0.0, 1.0, 1.0, 1.0, 1.0)
    away = ShopHours(off=(DaysOff(first="2026-11-16", last="2026-11-22"),))
    settings = SettingsRecord(hours=away)
    assert kept_shares(Document({**worked.records, settings.id: settings}), PlanClock(MONDAY)) == (1.0,) * 5
    unknown = book(("2026-10-26", 930), ("2026-11-03", 0), ("2026-11-10", 0), ("2026-11-17", 0), ("2026-11-24", 0))
    assert kept_shares(unknown, PlanClock(MONDAY)) == ()


def test_no_more_than_all_hours_count_and_no_more_than_twelve_weeks():
    much = book(("2026-01-05", 5000), ("2026-11-23", 5000))
    assert kept_shares(much, PlanClock(MONDAY)) == (1.0, *[0.0] * 11)
