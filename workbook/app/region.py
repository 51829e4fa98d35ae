"""What is usual where this computer stands: the unit of length and the currency of a new book."""

from PySide6.QtCore import QLocale

from workbook.storage.session import Session
from workbook.tasks.work import empty_work
from workbook.units import Unit


def usual_unit() -> Unit:
    """Inches where the system measures in them, else millimetres."""
    return "mm" if QLocale.system().measurementSystem() is QLocale.MeasurementSystem.MetricSystem else "in"


def usual_currency() -> str:
    """The ISO 4217 code of the system's currency; USD where it names none."""
    return QLocale.system().currencySymbol(QLocale.CurrencySymbolFormat.CurrencyIsoCode) or "USD"


def own_book() -> Session:
    """Start an empty book in what is usual here."""
    return empty_work(usual_unit(), usual_currency())
