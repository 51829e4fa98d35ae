"""A change of the work is told once, when all of it is done, and what shows it catches up once."""

import pytest

from workbook.app.changed import Changed
from workbook.app.elements.checks import ChecksStrip
from workbook.app.pages.draw.page import DrawPage
from workbook.app.pages.draw.panel import Panel
from workbook.structs import replace

DONE = Changed(history=True)


@pytest.fixture
def space(window):
    window.workspace.add_family("petty")
    return window.workspace


@pytest.fixture
def told(space):
    """What is told from now on; each time the work is whole."""
    heard = []

    def hear(change):
        assert space.chosen in space.model.shapes
        assert change == Changed(unit=True) or space.unit == space.model.job.unit
        heard.append(change)

    space.changed.connect(hear)
    return heard


def longer(space):
    """Another number of the chosen template."""
    space.edit("blade.length", space.chosen_template.blade.length + 3.0)


def shown(space):
    """The same, only shown."""
    now = space.chosen_template
    space.preview(replace(now, blade=replace(now.blade, length=now.blade.length + 3.0)))


def other(space):
    """Another template than the one chosen."""
    return next(key for key in space.model.job.keys if key != space.chosen)


DEEDS = {
    "a number": (longer, DONE._replace(template=True)),
    "a number shown": (shown, Changed(template=True)),
    "another template": (lambda s: s.choose(other(s)), Changed(chosen=True)),
    "another name": (lambda s: s.rename("Paring 2"), DONE._replace(job=True)),
    "removed": (lambda s: s.remove(), DONE._replace(job=True, chosen=True)),
    "the unit": (lambda s: s.choose_unit("mm" if s.unit == "in" else "in"), DONE._replace(job=True, unit=True)),
    "the unit, to look at": (lambda s: s.use_unit("mm" if s.unit == "in" else "in"), Changed(unit=True)),
    "undone": (lambda s: s.undo(), DONE._replace(job=True, chosen=True)),
    "other work": (lambda s: s.work_on(s.session), Changed(job=True, chosen=True, unit=True, history=True)),
}


@pytest.mark.parametrize("deed", DEEDS)
def test_each_change_is_told_once_and_whole(space, told, deed):
    do, wanted = DEEDS[deed]
    do(space)
    assert told == [wanted]


def test_what_was_only_shown_goes_with_the_choice_in_one(space, told):
    shown(space)
    space.choose(other(space))
    assert told == [Changed(template=True), Changed(template=True, chosen=True)]


def test_the_revision_counts_what_a_layout_may_hang_on(space):
    before = space.revision
    space.choose(other(space))
    space.use_unit("mm" if space.unit == "in" else "in")
    assert space.revision == before
    longer(space)
    assert space.revision == before + 1


def test_an_edit_shows_once(space, window, monkeypatch):
    """Board, panel and checks: each catches up once for an edit, and once when it is undone."""
    counts = {}

    def counted(owner, name):
        own = getattr(owner, name)

        def call(self, *given, **named):
            counts[name, owner.__name__] = counts.get((name, owner.__name__), 0) + 1
            return own(self, *given, **named)

        monkeypatch.setattr(owner, name, call)

    for owner, name in ((DrawPage, "refresh"), (Panel, "refresh"), (ChecksStrip, "show_problems")):
        counted(owner, name)
    longer(space)
    assert set(counts.values()) == {1} and len(counts) == 3
    counts.clear()
    space.undo()
    assert set(counts.values()) == {1} and len(counts) == 3
