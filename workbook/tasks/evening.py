"""The clock of a plan: minutes from now to moments and back, and the hours that lie ahead."""

from collections import defaultdict
from collections.abc import Iterator
from datetime import datetime, time, timedelta

from workbook.document.document import Document
from workbook.document.making import batches, entries_of
from workbook.making.entry import EntryKind
from workbook.making.standing import standing_entries
from workbook.planning.model import Stint
from workbook.shop.hours import ShopHours
from workbook.shop.labour import StageKind

_DAYS = 400  # that are planned ahead
_WEEKS, _FEW_WEEKS = 12, 4  # that are looked back on, and of which too little is known
_LEAST = 5.0  # minutes of what is left of today's hours that are worth planning


class PlanClock:
    """Minutes from a moment on; the local time of the wall, as the shop's hours are."""

    def __init__(self, now: str) -> None:
        self.now = _wall(now)

    def ahead(self, moment: str) -> float:
        """Minutes until an ISO moment; less than 0 when it is over."""
        return (_wall(moment) - self.now).total_seconds() / 60

    def at(self, minutes: float) -> str:
        """The ISO moment after some minutes, to the minute."""
        return (self.now + timedelta(minutes=minutes)).isoformat(timespec="minutes")

    def stints(self, hours: ShopHours, tonight: float) -> list[Stint]:
        """Minutes from now on, and the hours of the days after; with no minutes also today's, as far as they are to come."""
        return list(self._stints(hours, tonight))

    def _stints(self, hours: ShopHours, tonight: float) -> Iterator[Stint]:
        if tonight > 0:
            yield Stint(start=0.0, end=tonight)
        midnight = datetime.combine(self.now.date(), time())
        for n in range(_DAYS):
            date = midnight + timedelta(days=n)
            day = hours.on(date.date().isoformat(), date.weekday())
            begin, end = ((date - self.now).total_seconds() / 60 + minute for minute in (day.begin, day.end))
            if tonight > 0 and begin < tonight and n == 0:
                continue  # what was typed is in place of these hours
            begin = max(begin, tonight)
            if end - begin >= _LEAST:
                yield Stint(start=begin, end=end)


def _wall(moment: str) -> datetime:
    """The time on the wall; entries are written down with the offset of their place, which goes."""
    return datetime.fromisoformat(moment).replace(tzinfo=None)


def kept_shares(document: Document, clock: PlanClock) -> tuple[float, ...]:
    """How much of the shop's hours was worked in each of the last weeks, by what was entered; none for fewer than four weeks.

    The week that goes on is left out, and so are those before the first entry, weeks off, and weeks with work entered without
    its minutes. A wait that was tended counts, once an evening.
    """
    worked, unknown, this_week = defaultdict[int, float](float), set[int](), _week(clock.now)
    for batch in batches(document):
        waits = {stage.name: stage.wait for stage in batch.stages if stage.kind is StageKind.ATTENDED}
        tended = set[tuple[str, str]]()
        for entry in standing_entries((record.id, record.entry) for record in entries_of(document, batch.id)):
            evening, fire = (entry.stage, entry.date), entry.kind is EntryKind.DONE and entry.stage in waits
            wait = waits[entry.stage] if fire and evening not in tended else 0.0
            tended |= {evening} if fire else set()
            ago = this_week - _week(datetime.fromisoformat(entry.date))
            worked[ago] += entry.minutes + wait
            unknown |= {ago} if entry.kind is EntryKind.DONE and not entry.minutes else set()
    weeks = {ago: _minutes_of(document, clock, ago) for ago in range(1, min(max(worked, default=0), _WEEKS) + 1)}
    known = [ago for ago, minutes in weeks.items() if minutes and ago not in unknown]
    return tuple(min(worked[ago] / weeks[ago], 1.0) for ago in known) if len(known) >= _FEW_WEEKS else ()


def _minutes_of(document: Document, clock: PlanClock, ago: int) -> float:
    """Minutes of the shop's hours in a week of the past; without days off."""
    monday = clock.now.date() - timedelta(days=clock.now.weekday() + 7 * ago)
    days = (monday + timedelta(days=n) for n in range(7))
    return float(sum(document.settings.hours.on(day.isoformat(), day.weekday()).minutes for day in days))


def _week(day: datetime) -> int:
    """A number of the week, which begins on Monday."""
    return (day.toordinal() - 1) // 7
