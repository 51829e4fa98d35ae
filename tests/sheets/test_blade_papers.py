"""Labels, tags and scale sheets of a batch: every good blade and scale once, with one serial; letters between the holes."""

import pytest

from tests.sheets.test_packing import texts
from tests.sheets.test_traveller_sheet import run_on
from workbook.document.actions.making import Typed, enter, take_materials
from workbook.document.document import Document
from workbook.document.making import blades_of
from workbook.document.queries import job_of
from workbook.document.records import MaterialRecord, Revision, TemplateRecord
from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.drawing import MM_PER_POINT, Disc, Text
from workbook.geometry.lettering import width
from workbook.making.entry import EntryKind, Logged
from workbook.problems import JobError
from workbook.sheets.labels import Label
from workbook.sheets.scale_sheet import OwnScales, scale_sheet
from workbook.sheets.tags import tag_pages
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.exports import Wanted, exported, proposed
from workbook.tasks.exports.blades import labels_of, scale_sheets_of
from workbook.tasks.load import shaped
from workbook.tasks.sheets import run_of
from workbook.template.shape import shape
from workbook.template.tools import Tools

AT = "2026-11-30T20:00:00"
KEYS = ("scales", "blade-labels", "tags")


def wanted(document, batch, paper="letter"):
    model = shaped(job_of(document))
    return Wanted(model=model, run=run_of(model.job, paper, "30 November 2026"), keys=(), document=document, batch=batch)


def fitted(document, blade, material):
    return document.applied(take_materials(document, {blade: material}, {}, AT, iter("abcdef").__next__))


def test_each_good_blade_has_a_label_and_each_of_its_scales():
    document = demo_document()
    (wood, *_others) = (record for record in document.all(MaterialRecord) if record.material.kind == "handle")
    first, second, third, *_rest = blades_of(document, "winter")
    document = fitted(document, first.id, wood.id)
    lost = Logged(kind=EntryKind.SCRAP, date="2026-11-30", stage="Saw and profile", pieces=(second.id,), reason="slipped")
    document = document.applied(enter(document, "winter", lost, Typed("lost", AT)))
    labels = labels_of(wanted(document, "winter"))
    mark = document.records[first.id].scales
    assert [label.head for label in labels[:4]] == [first.serial, *[f"{first.serial}  {mark}"] * 2, third.serial]
    assert len(labels) == 3 + 2
    assert labels[0].lines == ("Paring, revision 1", "O1", "shop stock", f"Batch 2, scales {mark}")
    assert [label.lines[0] for label in labels[1:3]] == ["right scale, outside up", "left scale, outside up"]
    assert {label.lines[1] for label in labels[1:3]} == {wood.material.name}
    assert len({label.told for label in labels}) == len(labels)
    assert all(first.serial in label.told for label in labels[:3])


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("count", [1, 12, 31])
def test_tags_stand_once_each_within_the_page(paper, count):
    run = run_on(paper)
    pages = tag_pages(run, [Label(f"T{n}", ("Petty, revision 12", "52100, heat H77"), "told") for n in range(count)])
    heads = [mark for page in pages for mark in texts([page]) if mark.text.startswith("T") and mark.bold]
    assert [mark.text for mark in heads] == [f"T{n}" for n in range(count)]
    for page in pages:
        for mark in texts([page]):
            assert run.margin <= mark.at[0] <= page.width - run.margin
            assert run.margin <= mark.at[1] <= page.height - run.margin
        holes = [mark for mark in page.marks if isinstance(mark, Disc)]
        assert len(holes) == sum(1 for mark in texts([page]) if mark.text.startswith("T") and mark.bold)


@pytest.mark.parametrize("name", family_ids())
def test_a_blades_letters_stand_between_the_holes_of_its_scales(name):
    blank, run = shape(family(name), Tools(drills=facts().drills)), run_on("letter")
    sheet = scale_sheet(run, blank, blank.thickness, OwnScales(serial="26-10", mark="L-12", material="oak"))
    if sheet is None or blank.grip is not None:
        return  # a bare tang, or a block without drilled scales
    letters = [mark for mark in sheet.view.marks if isinstance(mark, Text) and mark.text in ("26-10", "L-12")]
    assert len(letters) == 4
    holes = [mark.centre for mark in sheet.view.marks if isinstance(mark, Disc)]
    for mark in letters:
        half = width(mark.text, mark.size, True, run.measure) / 2
        for x, y in holes:
            beside = abs(x - mark.at[0]) > half
            over = not mark.at[1] - 1.0 < y < mark.at[1] + mark.size * MM_PER_POINT
            assert beside or over, (mark.text, (x, y))


def test_scales_are_of_the_blades_own_material_and_as_thick_as_that_is():
    blank, run = shape(family("petty"), Tools(drills=facts().drills)), run_on("letter")
    sheet = scale_sheet(run, blank, 6.0, OwnScales(serial="26-10", material="thin oak", thick=3.0))
    words = [mark.text for mark in sheet.blocks[0](0.0, 0.0, 180.0)[0] if isinstance(mark, Text)]
    assert "thin oak" in words
    assert "Your scales are too thin for that" in words
    plain = scale_sheet(run, blank, blank.thickness)
    assert plain.what == "Both scales, true size"


def test_scales_are_drawn_as_the_blades_own_revision_or_say_that_they_are_not():
    document = demo_document()
    (record, *_others) = (each for each in document.all(TemplateRecord) if each.template.name == "Paring")
    longer = replace(record, family=replace(record.family, handle=replace(record.family.handle, length=115.0)))
    kept = Revision(id="rev1", of=record.id, number=1, made=AT, why="cut file", family=record.family)
    after = Document({**document.records, record.id: longer})
    plain, changed, known = (
        [sheet.what for sheet in _sheets_of(each)] for each in (document, after, Document({**after.records, "rev1": kept}))
    )
    assert plain == known
    assert changed == plain  # without a revision kept, nothing tells that it was another
    two = Document({**after.records, "rev2": replace(kept, id="rev2", number=2, family=replace(longer.family, name="x"))})
    assert all("Drawn as the template is now, revision 3. The blade is of revision 1" in what for what in
               [sheet.what for sheet in _sheets_of(two)])  # fmt: skip
    first, second = (next(iter(_sheets_of(each))).view for each in (document, Document({**after.records, "rev1": kept})))
    assert (first.x0, first.x1) == (second.x0, second.x1)


def _sheets_of(document):
    return list(scale_sheets_of(wanted(document, "winter")))


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("key", KEYS)
def test_each_paper_is_named_for_its_batch(key, paper):
    asked = wanted(demo_document(), "autumn", paper)
    (name,) = exported(asked, [key])
    assert name == proposed(asked, key)
    assert name.endswith("-autumn-run.pdf")


def test_a_batch_without_scales_is_refused_with_a_reason():
    document = demo_document()
    for piece in blades_of(document, "santoku"):
        lost = Logged(kind=EntryKind.SCRAP, date="2026-11-30", stage="Saw and profile", pieces=(piece.id,), reason="slipped")
        document = document.applied(enter(document, "santoku", lost, Typed(f"lost{piece.id}", AT)))
    with pytest.raises(JobError, match="no good blade of the batch has scales or a handle block"):
        exported(wanted(document, "santoku"), ["scales"])
