"""Every action does what its words say, and its inverse takes it back."""

from decimal import Decimal
from itertools import count

import pytest

from tests.named import by_names
from tests.sentences import words_of
from workbook.document.action import said
from workbook.document.actions import layouts, rack, templates, whole
from workbook.document.actions.ledger import Stamp
from workbook.document.document import Change, Document, Edit, EditError
from workbook.document.queries import changed_since, free_layout_name, job_of, number_of, template_named
from workbook.document.records import (
    BarRecord,
    KeptBar,
    KeptPiece,
    LayoutRecord,
    MaterialRecord,
    SettingsRecord,
    TemplateRecord,
)
from workbook.document.shop_records import OrderLine
from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.model.model import tools_for
from workbook.shop.job import Bar
from workbook.shop.materials import Material, MaterialKind
from workbook.structs import replace
from workbook.tasks.demo import demo_job
from workbook.template.tools import Owned

STAMP = Stamp("entry", "2026-11-27T10:00")
BAR = Bar(name="bar", steel="O1", thickness=2.0, width=50.0, length=900.0)


MAPLE = Material(name="curly maple", kind=MaterialKind.HANDLE, per="pair", price=Decimal("14.00"), have=2.0, low=3.0)


def layout(document, template):
    """A layout with one blank."""
    piece = KeptPiece(of=template, revision=1, serial="S1", x=100.0, y=20.0, angle=0.0, mirrored=False)
    bar = KeptBar(bar=next(document.all(BarRecord)).id, pieces=(piece,))
    return LayoutRecord(
        id="lay", place=1.0, name="Layout 1", made="2026-11-27T10:00", steel=Decimal("9.50"), lost=0.3, bars=(bar,)
    )


@pytest.fixture
def document():
    numbers = count(1)
    return Document().applied(whole.bring_in(Document(), demo_job().job, lambda: f"id{next(numbers)}"))


def test_a_job_brought_in_is_that_job(document):
    job = demo_job().job
    assert replace(by_names(job_of(document)), defaults=()) == replace(job, defaults=())


def actions(document):
    petty = template_named(document, "Petty").id
    bar = next(iter(document.all(BarRecord)))
    yield templates.set_parameter(document, petty, "blade.length", 130.0), "Petty: Blade length 5 1/8 in"
    yield templates.add_template(document, family("petty"), "new"), "new template Petty 2"
    yield templates.duplicate(document, petty, "new"), "copy of Petty"
    yield templates.rename(document, petty, "Utility"), "Petty is now Utility"
    yield templates.remove(document, petty), "Petty deleted"
    yield templates.keep_revision(document, petty, "new", "2026-11-27T10:00", "cut file"), "revision 1 of Petty"
    yield rack.add_bar(document, replace(BAR, name=bar.bar.name), "new", STAMP), f"bar {bar.bar.name} (2)"
    yield rack.change_bar(document, bar.id, replace(bar.bar, have=9), STAMP), f"bar {bar.bar.name} changed"
    yield rack.remove_bar(document, bar.id), f"bar {bar.bar.name} deleted"
    yield rack.order(document, petty, "O1", 4, "new"), "make 4 Petty of O1"
    yield rack.order(document, petty, "52100", 9, "new"), "make 9 Petty of 52100"
    yield rack.order(document, petty, "52100", 0, "new"), "no Petty of 52100"
    yield rack.add_material(document, MAPLE, "new", STAMP), "material curly maple"
    yield templates.set_thickness(document, petty, 3.0), "Petty: Blade – Bar thickness"
    yield whole.change_tools(document, Owned(wheels=(50.0,)), "tools.wheels", (50.0,)), "Contact wheels: 1 31/32 in"
    yield layouts.keep_layout(document, layout(document, petty), lambda: "r1"), "Layout 1 saved"
    yield whole.change_settings(document, SettingsRecord(name="Other"), "name", "Other"), "Shop book name: Other"


def test_every_action_says_what_it_does_changes_something_and_can_be_taken_back(document):
    for edit, words in actions(document):
        assert words_of(edit).startswith(words), words_of(edit)
        after = document.applied(edit)
        assert after.records != document.records
        assert after.applied(edit.inverse).records == document.records
        assert after.applied(edit.inverse).applied(edit).records == after.records


def test_no_two_bars_have_one_name(document):
    first, second = list(document.all(BarRecord))[:2]
    after = document.applied(rack.change_bar(document, second.id, replace(second.bar, name=first.bar.name), STAMP))
    assert after.get(second.id, BarRecord).bar.name == f"{first.bar.name} (2)"
    same = document.applied(rack.change_bar(document, first.id, replace(first.bar, have=7), STAMP))
    assert same.get(first.id, BarRecord).bar.name == first.bar.name


def test_a_material_is_changed_and_taken_out(document):
    more = document.applied(rack.add_material(document, MAPLE, "m", STAMP))
    assert more.get("m", MaterialRecord).material.short
    fuller = more.applied(rack.change_material(more, "m", replace(MAPLE, have=5.0), replace(STAMP, id="e2")))
    assert not fuller.get("m", MaterialRecord).material.short
    gone = fuller.applied(rack.remove_material(fuller, "m"))
    assert gone.records == document.records


def test_tools_decide_the_smallest_radius_and_the_drills(document):
    assert tools_for(job_of(document), facts()).smallest_radius == 1.5
    owned = Owned(wheels=(254.0, 50.8), files=(6.35,), drills=("metric",))
    tools = tools_for(job_of(document.applied(whole.change_tools(document, owned, "tools.drills"))), facts())
    assert tools.smallest_radius == 6.35 / 2
    assert {drill.series for drill in tools.drills} == {"metric"}


def test_a_kept_layout_knows_what_has_changed_since(document):
    petty = template_named(document, "Petty").id
    kept = document.applied(layouts.keep_layout(document, layout(document, petty), lambda: "r1"))
    record = kept.get("lay", LayoutRecord)
    assert changed_since(kept, record) == []
    longer = kept.applied(templates.set_parameter(kept, petty, "blade.length", 130.0))
    assert changed_since(longer, record) == ["Petty was revision 1 then"]
    without = longer.applied(templates.remove(longer, petty))
    without = without.applied(rack.remove_bar(without, record.bars[0].bar))
    assert changed_since(without, record) == [
        "a template was deleted",
        "a bar is no longer on the rack",
    ]
    assert free_layout_name(kept) == "Layout 2"
    named = kept.applied(layouts.rename_layout(kept, "lay", " For Monday "))
    assert named.get("lay", LayoutRecord).name == "For Monday"
    assert "lay" not in named.applied(layouts.drop_layout(named, "lay")).records


def test_a_template_that_goes_takes_its_order_and_revisions_along(document):
    petty = template_named(document, "Petty").id
    kept = document.applied(templates.keep_revision(document, petty, "rev", "2026-11-27T10:00", "cut file"))
    gone = kept.applied(templates.remove(kept, petty))
    assert not [line for line in gone.all(OrderLine) if line.of == petty]
    assert "rev" not in gone.records


def test_a_revision_is_kept_once_until_the_template_changes(document):
    petty = template_named(document, "Petty").id
    kept = document.applied(templates.keep_revision(document, petty, "r1", "2026-11-27T10:00", "cut file"))
    assert templates.keep_revision(kept, petty, "r2", "2026-11-27T10:00", "cut file").changes == ()
    changed = kept.applied(templates.set_parameter(kept, petty, "blade.length", 130.0))
    assert (number_of(kept, petty), number_of(changed, petty)) == (1, 2)


def test_an_edit_of_another_state_is_refused(document):
    bar = next(iter(document.all(BarRecord)))
    with pytest.raises(EditError, match="has changed"):
        document.applied(Edit(said("x"), (Change(bar.id, None, bar),)))
    with pytest.raises(EditError, match="another id"):
        document.applied(Edit(said("x"), (Change(bar.id, bar, replace(bar, id="other")),)))


def test_another_name_and_a_copy_keep_what_is_the_templates_own(document):
    """Tags, the bar its blades are made of, the minutes it takes; what was cut is not the copy's."""
    petty, bar = template_named(document, "Petty").id, next(iter(document.all(BarRecord)))
    own = replace(document.get(petty, TemplateRecord), tags=("gift",), ground_from="bar", bar=bar.id, minutes=240.0)
    whole = replace(document, records={**document.records, petty: own})
    renamed = whole.applied(templates.rename(whole, petty, "Zebra")).get(petty, TemplateRecord)
    assert renamed == replace(own, family=replace(own.family, name="Zebra"))
    copied = whole.applied(templates.duplicate(whole, petty, "new")).get("new", TemplateRecord)
    assert (copied.tags, copied.ground_from, copied.bar, copied.minutes) == (("gift",), "bar", bar.id, 240.0)
    cut = replace(whole, records={**whole.records, petty: replace(own, ground_from="cut")})
    copied = cut.applied(templates.duplicate(cut, petty, "new")).get("new", TemplateRecord)
    assert (copied.ground_from, copied.bar, copied.minutes) == ("likeliest", "", 240.0)
