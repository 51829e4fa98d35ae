"""Blanks that stay: they are where they were, the rest lies round them; what cannot stay is said; what else fits is true."""

import json

import numpy as np
import pytest

from workbook.cli.main import main
from workbook.formats.layout_in import read_layout
from workbook.model.laying import start
from workbook.nesting.aims import aims
from workbook.nesting.model import BarUse, Layout, Part, Piece
from workbook.nesting.search import plain_layouts
from workbook.nesting.verify import faults
from workbook.problems import JobError
from workbook.shop.serials import serials
from workbook.structs import replace
from workbook.tasks.keeping import Fits, fits_on_bar, keeping, kept_from, one_more, places_with_room
from workbook.tasks.searching import search

STRIP = np.array([(0, 0), (100, 0), (100, 20), (0, 20)], float)


def after(nesting, steps=6):
    *_, last = search(nesting, 0, lambda step: step >= steps)
    return last.best


@pytest.fixture
def nesting(demo):
    return start(demo)


@pytest.fixture
def written_bars(lay_out_folder):
    return read_layout(lay_out_folder / "layout.json")


def some(layout, every=2):
    """Every second blank of each bar."""
    return tuple(BarUse(use.stock, use.pieces[::every]) for use in layout.bars)


@pytest.mark.parametrize("engine", [lambda job: after(job, 20), lambda job: next(iter(plain_layouts(job, 0))).best])
def test_blanks_that_stay_are_where_they_were_and_the_rest_lies_round_them(nesting, laid_demo, engine):
    kept = some(laid_demo.layout)
    job = keeping(nesting, kept)
    found = engine(job)
    assert faults(job, found) == []
    assert not found.left_over
    for wanted, use in zip(kept, found.bars[: len(kept)], strict=True):
        assert use.stock == wanted.stock
        assert set(wanted.pieces) <= set(use.pieces)


def test_what_is_laid_round_blanks_that_stay_gets_no_worse_with_more_steps(nesting, laid_demo):
    job = keeping(nesting, some(laid_demo.layout, 3))
    scores = [aims(job, progress.best) for progress in search(job, 0, lambda step: step >= 60)]
    assert scores == sorted(scores, reverse=True)


def test_with_all_blanks_kept_there_is_nothing_to_search(nesting, laid_demo):
    job = keeping(nesting, laid_demo.layout.bars)
    (progress,) = search(job, 0, lambda step: False)
    assert progress.done
    assert [set(use.pieces) for use in progress.best.bars] == [set(use.pieces) for use in laid_demo.layout.bars]


def test_blanks_that_clash_cannot_stay(nesting, laid_demo):
    use = laid_demo.layout.bars[0]
    with pytest.raises(JobError, match="mm apart"):
        keeping(nesting, [BarUse(use.stock, (use.pieces[0], replace(use.pieces[0], x=use.pieces[0].x + 1)))])


def test_more_than_are_to_be_made_cannot_stay(nesting, laid_demo):
    fewer = replace(nesting, parts=tuple(replace(part, quantity=1) for part in nesting.parts))
    with pytest.raises(JobError, match="should stay, but only 1 is made"):
        keeping(fewer, laid_demo.layout.bars)


def test_a_layout_file_gives_back_the_very_pieces(nesting, written_bars, lay_out_folder):
    kept, marks = kept_from(nesting, written_bars)
    assert [len(row) for row in marks] == [len(use.pieces) for use in kept]
    assert faults(nesting, Layout(kept)) == []
    data = json.loads((lay_out_folder / "layout.json").read_text())
    assert sum(len(use.pieces) for use in kept) == sum(len(bar["pieces"]) for bar in data["bars"])
    (one,), ((serial,),) = kept_from(nesting, written_bars, ["T1"])
    assert len(one.pieces) == 1
    assert serial == "T1"


def test_a_serial_the_layout_has_not_is_said_with_those_it_has(nesting, written_bars):
    with pytest.raises(JobError, match=r"has no X9\. It has R1"):
        kept_from(nesting, written_bars, ["X9"])


def test_a_bar_the_job_has_not_any_more_is_said(nesting, written_bars):
    other = replace(nesting, stock=tuple(replace(stock, name="another") for stock in nesting.stock))
    with pytest.raises(JobError, match="the job no longer has the bar"):
        kept_from(other, written_bars, ["T1"])
    assert kept_from(other, written_bars) == ((), ())


def test_a_template_that_has_changed_since_cannot_stay(nesting, written_bars):
    longer = tuple(replace(part, outline=part.outline * [1.01, 1.0]) for part in nesting.parts)
    with pytest.raises(JobError, match="has changed since"):
        kept_from(replace(nesting, parts=longer), written_bars, ["T1"])
    assert kept_from(replace(nesting, parts=longer), written_bars) == ((), ())


def test_without_serials_as_many_stay_as_are_still_made(nesting, written_bars):
    fewer = replace(nesting, parts=tuple(replace(p, quantity=3 if p.name == "Petty" else 0) for p in nesting.parts))
    kept, marks = kept_from(fewer, written_bars)
    assert [serial for row in marks for serial in row] == ["T1", "T2", "T3"]
    assert keeping(fewer, kept, marks).kept == kept


def test_a_bar_that_was_to_be_bought_is_found_on_the_rack(nesting, written_bars):
    bought = tuple(replace(stock, source="rack", count=3) for stock in nesting.stock)
    kept, _ = kept_from(replace(nesting, stock=bought), written_bars)
    assert len(kept) == len(written_bars)


def test_blanks_that_stay_keep_their_serials_and_no_other_gets_them(nesting, written_bars):
    kept, marks = kept_from(nesting, written_bars, ["T2", "S3"])
    job = keeping(nesting, kept, marks)
    layout = after(job, 10)
    names = serials(job, layout)
    assert [names[0][layout.bars[0].pieces.index(kept[0].pieces[0])]] == [marks[0][0]]
    every = [serial for row in names for serial in row]
    assert len(every) == len(set(every)) == sum(part.quantity for part in nesting.parts)
    assert {"T2", "S3"} <= set(every)


def strips(nesting, places, width=64.0, length=220.0, quantity=1):
    """A bar with strips of 100 x 20, 2 apart and 2 from every edge: room for two lanes of two."""
    part = Part(name="strip", steel="s", outline=STRIP, quantity=quantity)
    stock = replace(nesting.stock[0], name="bar", width=width, length=length, count=1, edge=None)
    job = replace(
        nesting, parts=(part,), stock=(stock,), suits=frozenset({(0, 0)}), separation=2.0, bar_end=2.0, bar_edge=2.0, tilt=0.0
    )
    return job, BarUse(0, tuple(Piece(0, x, y, 0.0, False) for x, y in places))


def test_how_many_more_fit_is_counted_round_those_that_lie_there(nesting):
    """On 64 x 220 two lanes of two go for certain (46 of 64 across, 206 of 220 along), three lanes do not (68)."""
    job, empty = strips(nesting, [])
    assert list(fits_on_bar(job, empty)) == [Fits(0, 4)]
    job, two = strips(nesting, [(2.0, 2.0), (110.0, 24.5)])
    assert list(fits_on_bar(job, two)) == [Fits(0, 2)]
    job, across = strips(nesting, [(60.0, 21.0)])
    assert list(fits_on_bar(job, across)) == [Fits(0, 0)]


def test_one_more_moves_nothing_where_it_can_and_what_is_not_pinned_where_it_must(nesting):
    job, two = strips(nesting, [(2.0, 2.0), (110.0, 24.5)], quantity=2)
    found = one_more(job, Layout((two,)), 0, 0, (), 20)
    assert set(two.pieces) <= set(found.bars[0].pieces)
    assert len(found.bars[0].pieces) == 3
    job, across = strips(nesting, [(60.0, 21.0)])
    found = one_more(job, Layout((across,)), 0, 0, (), 20)
    assert len(found.bars[0].pieces) == 2
    assert one_more(job, Layout((across,)), 0, 0, across.pieces, 20) is None


def test_places_with_room_are_bars_with_their_offcuts(nesting, laid_demo):
    places = list(places_with_room(nesting, laid_demo.layout.bars))
    bars = [place.bar for place in places if place.bar and not place.offcut]
    assert bars == list(range(1, 1 + len(laid_demo.layout.bars)))
    for place in places:
        assert place.stock.length > 0
        assert all(fit.more >= 0 for fit in place.fits)


def test_lay_out_keeps_and_says_what_it_cannot(demo_file, lay_out_folder, tmp_path, capsys):
    layout = str(lay_out_folder / "layout.json")
    out = tmp_path / "again"
    assert main(["lay-out", str(demo_file), "--out", str(out), "--steps", "4", "--keep", layout, "--keep-blanks", "T1,S2"]) == 0
    was, now = (json.loads((folder / "layout.json").read_text()) for folder in (lay_out_folder, out))
    outlines = [piece["outline"] for bar in now["bars"] for piece in bar["pieces"]]
    kept = [piece["outline"] for bar in was["bars"] for piece in bar["pieces"] if piece["serial"] in ("T1", "S2")]
    assert len(kept) == 2
    assert all(outline in outlines for outline in kept)
    capsys.readouterr()
    refused = tmp_path / "refused"
    assert main(["lay-out", str(demo_file), "--out", str(refused), "--keep", layout, "--keep-blanks", "X1"]) == 1
    assert "has no X1" in capsys.readouterr().err
    assert not refused.exists()


def test_fits_prints_a_line_a_place(demo_file, lay_out_folder, capsys):
    assert main(["fits", str(demo_file), "--layout", str(lay_out_folder / "layout.json")]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert any("bar 1, around its blanks" in line for line in lines)
    assert main(["fits", str(demo_file), "--layout", str(lay_out_folder / "layout.json"), "--json"]) == 0
    places = json.loads(capsys.readouterr().out)
    assert {"name", "bar", "offcut", "width", "length", "fits"} == set(places[0])
    assert main(["fits", str(demo_file)]) == 0
