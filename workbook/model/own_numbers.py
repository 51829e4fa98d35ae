"""A shop's own minutes and shares good, learned from its entries, beside those that quotes use."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from workbook.document.document import Document
from workbook.document.making import apart, batches, blades_of, entries_of, is_sheathed, standings_in
from workbook.document.making_records import BatchRecord
from workbook.document.orders import is_handled
from workbook.document.records import TemplateRecord
from workbook.document.shop_records import PieceRecord
from workbook.making.entry import EntryKind, Logged
from workbook.making.learned import Minutes, Run, Yield, is_unusual, minutes_of, yield_of
from workbook.making.minutes import minutes_words
from workbook.making.standing import THROUGH, CellState, standing_entries
from workbook.model.model import Model
from workbook.model.quoting import sizes_in
from workbook.region import Region
from workbook.shop.charges import Charges
from workbook.shop.labour import Sizes, Stage, of_knife, stages_of
from workbook.structs import replace
from workbook.texts import ngettext

_TENS = 10  # minutes from which tenths say nothing


class StageOwn(Struct, frozen=True, kw_only=True):
    """What a shop's own entries say of a stage, all templates together."""

    stage: Stage  # as quotes count it
    minutes: Minutes
    set_up: Minutes | None  # None: no set-up was ever entered by itself
    passed: Yield
    runs: tuple[Run, ...]  # oldest first


class KnifeStages:
    """The stages of knives with the minutes that rates give them, by template, handle and sheath."""

    def __init__(self, document: Document, model: Model, stages: Sequence[Stage]) -> None:
        self._document, self._model, self._stages = document, model, stages
        self._known = dict[tuple[str, bool], Mapping[str, Stage]]()

    def of(self, template: str, *, sheathed: bool) -> Mapping[str, Stage]:
        """The stages that a template's knives go through, by name, at their own sizes."""
        key = template, sheathed
        if key not in self._known:
            self._known[key] = {stage.name: stage for stage in self._scaled(template, sheathed)}
        return self._known[key]

    def _scaled(self, template: str, sheathed: bool) -> tuple[Stage, ...]:
        record = self._document.records.get(template)
        sizes = sizes_in(self._model, template) if template in self._model.shapes else Sizes()
        stages = stages_of(self._stages, handled=is_handled(self._document, template), sheathed=sheathed)
        return of_knife(stages, sizes, record.minutes if isinstance(record, TemplateRecord) else 0.0)


class OwnNumbers:
    """What is learned of all stages; worked out once for a document and its model."""

    def __init__(self, document: Document, model: Model) -> None:
        charges = document.settings.charges
        self._document, self.charges = document, replace(charges, stages=apart(charges.stages))
        self.rates = KnifeStages(document, model, self.charges.stages)
        self._done, self._set_ups = defaultdict[str, list[Run]](list), defaultdict[str, list[Run]](list)
        for batch in reversed(batches(document)):
            self._learn(batch)
        self.runs = {stage: _in_order(found) for stage, found in self._done.items()}
        self.set_ups = {stage: _in_order(found) for stage, found in self._set_ups.items()}
        self._known = dict[tuple[str, str], Minutes]()

    def ratio(self, stage: str, template: str) -> Minutes:
        """A stage's time for a template against the rates."""
        key = stage, template
        if key not in self._known:
            self._known[key] = minutes_of(self.runs.get(stage, ()), template, family_of(self._document, template))
        return self._known[key]

    def set_up_ratio(self, stage: str) -> Minutes | None:
        """The time of a stage's set-up against the rates; None where none was ever entered by itself."""
        runs = self.set_ups.get(stage, ())
        return minutes_of(runs, "", "") if runs else None

    def stages(self) -> Iterator[StageOwn]:
        """Every stage that quotes count."""
        counts = passed_and_lost(self._document)
        for stage in self.charges.stages:
            good, lost = counts.get(stage.name, (0, 0))
            yield StageOwn(
                stage=stage,
                minutes=self.ratio(stage.name, ""),
                set_up=self.set_up_ratio(stage.name),
                passed=yield_of(stage.good, good, lost),
                runs=self.runs.get(stage.name, ()),
            )

    def _learn(self, batch: BatchRecord) -> None:
        """Runs of a batch: what was entered for a stage on a day is one."""
        days = defaultdict[tuple[str, str], list[Logged]](list)
        for entry in standing_entries((record.id, record.entry) for record in entries_of(self._document, batch.id)):
            if entry.minutes > 0 and entry.kind in (EntryKind.DONE, EntryKind.SET_UP):
                days[entry.stage, entry.date].append(entry)
        for (stage, date), entries in days.items():
            set_up = sum(entry.minutes for entry in entries if entry.kind is EntryKind.SET_UP)
            done = [entry for entry in entries if entry.kind is EntryKind.DONE]
            self._learn_run(batch, stage, date, done, set_up)

    def _learn_run(self, batch: BatchRecord, stage: str, date: str, done: Sequence[Logged], set_up: float) -> None:
        rate = next((each for each in self.charges.stages if each.name == stage), None)
        if rate is None:
            return
        more = 1 + self.charges.allowance
        if set_up and rate.set_up:
            run = Run(stage=stage, of="", family="", pieces=1, minutes=set_up, planned=rate.set_up * more, date=date)
            self._set_ups[stage].append(run)
        pieces = [piece for entry in done for piece in self._pieces(batch, entry)]
        each = sum(self._rate_of(piece, stage) for piece in pieces)
        planned = (each + (0.0 if set_up else rate.set_up)) * more
        if each and planned:
            templates = {piece.of for piece in pieces}
            of = templates.pop() if len(templates) == 1 else ""
            minutes = sum(entry.minutes for entry in done)
            run = Run(
                stage=stage, of=of, family=family_of(self._document, of), pieces=len(pieces), minutes=minutes, planned=planned,
                date=date,
            )  # fmt: skip
            self._done[stage].append(run)

    def _pieces(self, batch: BatchRecord, entry: Logged) -> list[PieceRecord]:
        if not entry.pieces:
            return list(blades_of(self._document, batch.id))
        records = (self._document.records.get(id_) for id_ in entry.pieces)
        return [record for record in records if isinstance(record, PieceRecord)]

    def _rate_of(self, piece: PieceRecord, stage: str) -> float:
        found = self.rates.of(piece.of, sheathed=is_sheathed(self._document, piece)).get(stage)
        return found.minutes if found else 0.0


def _in_order(found: Sequence[Run]) -> tuple[Run, ...]:
    return tuple(sorted(found, key=lambda run: run.date))


def family_of(document: Document, template: str) -> str:
    """What a template is a kind of: a family's id; "" for one drawn by hand, or none."""
    record = document.records.get(template)
    if not isinstance(record, TemplateRecord):
        return ""
    return record.own_family or (record.family.family if record.family is not None else "")


def passed_and_lost(document: Document) -> Mapping[str, tuple[int, int]]:
    """How many blades came through each stage, and how many were lost at it."""
    return document.once(_counts)


def _counts(document: Document) -> Mapping[str, tuple[int, int]]:
    good, lost = defaultdict[str, int](int), defaultdict[str, int](int)
    for batch in batches(document):
        for standing in standings_in(document, batch.id).values():
            for stage, cell in zip(batch.stages, standing.cells, strict=True):
                good[stage.name] += cell.state in THROUGH
                lost[stage.name] += cell.state is CellState.SCRAPPED
    return {stage: (good[stage], lost[stage]) for stage in {*good, *lost}}


def own_row(own: StageOwn) -> tuple[str, ...]:
    """A stage in a table: minutes a knife in quotes and its own with their spread, evenings; the same of its share good."""
    rate, minutes, passed = own.stage.minutes, own.minutes, own.passed
    seen = passed.good + passed.lost
    return (
        own.stage.name, f"{rate:g}", f"{rate * minutes.ratio:.1f}" if own.runs else "–",
        f"{_short(rate * minutes.low)}–{_short(rate * minutes.high)}" if own.runs else "–", str(len(own.runs)),
        f"{own.stage.good:.0%}", f"{passed.share:.1%}" if seen else "–",
        f"{100 * passed.low:.0f}–{passed.high:.0%}" if seen else "–",
    )  # fmt: skip


def _short(minutes: float) -> str:
    return f"{minutes:.0f}" if minutes >= _TENS else f"{minutes:.1f}"


def run_words(run: Run, local: Region) -> str:
    """An evening in words: "Nov 9, 2026: 4 blades, 95 min"."""
    return ngettext(
        "{date}: {count} blade, {minutes}", "{date}: {count} blades, {minutes}", run.pieces, date=local.short_day(run.date),
        minutes=minutes_words(run.minutes),
    )  # fmt: skip


def unusual(runs: Sequence[Run]) -> list[bool]:
    """Which evenings are far outside the others of their stage."""
    return [is_unusual(run, [*runs[:n], *runs[n + 1 :]]) for n, run in enumerate(runs)]


def with_own_minutes(charges: Charges, own: StageOwn) -> Charges:
    """The rates with a stage's own minutes in place of those that quotes use, and its set-up."""
    ratio, set_up = own.minutes.ratio, (own.set_up or own.minutes).ratio
    minutes, before = round(own.stage.minutes * ratio, 1), round(own.stage.set_up * set_up, 1)
    return _with(charges, replace(own.stage, minutes=minutes, set_up=before))


def with_own_yield(charges: Charges, own: StageOwn) -> Charges:
    """The rates with a stage's own share good in place of the one that quotes use."""
    return _with(charges, replace(own.stage, good=round(own.passed.share, 3)))


def _with(charges: Charges, stage: Stage) -> Charges:
    """The rates with another stage in place of the one known by that name, which keeps the name it has there."""
    known = zip(charges.stages, apart(charges.stages), strict=True)
    return replace(charges, stages=tuple(replace(stage, name=a.name) if b.name == stage.name else a for a, b in known))
