"""Garbage goes on the window's thread alone, as soon as Python would have let it go."""

import gc
import weakref

import pytest
from PySide6.QtCore import QObject

from workbook.app import collecting
from workbook.app.collecting import Collecting, collect


class Round:
    """Something that holds itself."""

    def __init__(self):
        self.itself = self


@pytest.fixture
def no_collector():
    was = gc.isenabled()
    yield
    (gc.enable if was else gc.disable)()


def test_python_collects_no_more_and_the_timer_does(qtbot, no_collector, monkeypatch):
    monkeypatch.setattr(collecting, "_PAUSE", 10)
    gc.enable()
    parent = QObject()
    Collecting(parent)
    assert not gc.isenabled()
    gone = weakref.ref(Round())
    kept = [Round() for _ in range(gc.get_threshold()[0] + 1)]
    assert gone() is not None

    def collected():
        kept.append([Round() for _ in range(100)])  # what other tests left may go meanwhile, and counts the other way
        return gone() is None

    qtbot.waitUntil(collected)
    parent.deleteLater()


def test_little_is_left_alone_and_older_ones_are_looked_at_in_their_turn():
    gc.collect()
    gone = weakref.ref(Round())
    collect()
    assert gone() is not None  # so few are not worth a walk
    old = weakref.ref(Round())
    for _ in range((gc.get_threshold()[1] + 2) * (gc.get_threshold()[2] + 2)):
        more = [Round() for _ in range(gc.get_threshold()[0] + 1)]
        collect()
    assert gone() is None
    assert old() is None
    assert more


def test_what_a_large_document_is_made_of_is_not_walked_again(monkeypatch):
    monkeypatch.setattr(collecting, "_MANY", 5000)
    gc.collect()
    frozen = gc.get_freeze_count()
    kept = [Round() for _ in range(6000)]
    collect()
    assert gc.get_freeze_count() >= frozen + len(kept)
    gc.unfreeze()
