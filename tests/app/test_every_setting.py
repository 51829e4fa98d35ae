"""Every field of the settings is reached from the window, and keeps what is entered."""

import pytest
from PySide6.QtWidgets import QDialog

from tests.filled import another_at, at, leaves
from workbook.app.dialogs import rates, settings
from workbook.app.dialogs.table import show_dialog
from workbook.app.elements.form import ChoiceItem, Item
from workbook.document.records import SettingsRecord
from workbook.shop.charges import Charges
from workbook.shop.pricing import PriceMethod
from workbook.template.tools import Owned

ELSEWHERE = {
    "id": "never changes",
    "printers": "the File menu: another printer",
    "services": "the File menu: another service",
    "follows_file": "it follows from how the book was named",
    "hours.days": "the dialog Shop hours",
    "hours.off": "the dialog Shop hours",
    "sample": "only the shop that is shown to try the program is one",
    "charges.pricing.target": "of a line: no shop aims at one price for all",
}
OF_CHARGES = {"pricing.way": "way", "pricing.share": "share"}
TABLES = {"charges.stages": "stages", "charges.outside": "outside"}


def rates_key(path):
    name = path.removeprefix("charges.")
    return OF_CHARGES.get(name, name)


def test_every_field_of_the_settings_and_of_the_tools_is_reached():
    by_rates = {item.key for item in rates.ITEMS if isinstance(item, Item)}
    for path, _ in leaves(SettingsRecord()):
        known = path in settings.BY_KEY or rates_key(path) in by_rates or path in ELSEWHERE or path in TABLES
        assert known, f"{path} is in no form"
    assert {f"tools.{path}" for path, _ in leaves(Owned())} <= set(settings.BY_KEY)
    assert {path for path, _ in leaves(Charges())} - {rates_key(p) for p in TABLES} - by_rates == {
        "pricing.way", "pricing.share", "pricing.target",
    }  # fmt: skip


def dialog(window, name, kind):
    show_dialog(window, name)
    return next(d for d in window.findChildren(QDialog) if isinstance(d, kind))


def test_every_setting_entered_is_kept_and_can_be_undone(window):
    form, space = dialog(window, "settings", settings.SettingsDialog).form, window.workspace
    for key, item in settings.BY_KEY.items():
        part, path = (space.session.document.tools.owned, key.removeprefix("tools.")) if key.startswith("tools.") else (
            space.session.document.settings, key
        )  # fmt: skip
        before, shown = at(part, path), settings.values_of(space.session.document)[key]
        new = another_at(part, path)
        if isinstance(item, ChoiceItem):
            new = next(option for option, _ in item.options if option != before)
        elif key == "currency":
            new = "NOK"
        form.entered.emit(key, new)
        assert settings.values_of(space.session.document)[key] == new != before, key
        space.undo()
        assert settings.values_of(space.session.document)[key] == shown, key


def test_every_rate_entered_is_kept(window):
    form, space = dialog(window, "rates", rates.Rates).form, window.workspace
    keys = [item.key for item in rates.ITEMS if isinstance(item, Item)]
    for path in (path for path, _ in leaves(SettingsRecord()) if rates_key(path) in keys and path != "name"):
        key, before = rates_key(path), at(space.session.document.settings, path)
        new = PriceMethod.MARKUP if key == "way" else another_at(space.session.document.settings, path)
        form.entered.emit(key, new)
        found = at(space.session.document.settings, path)
        assert found == (pytest.approx(new) if isinstance(new, float) else new) != before, key
