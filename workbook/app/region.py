"""What is usual where this computer stands: the unit of length and the currency of a new book."""

from PySide6.QtCore import QLocale

from workbook.units import Unit


def usual_unit() -> Unit:
    """Inches where the system measures in them, else millimetres."""
    return "mm" if QLocale.system().measurementSystem() is QLocale.MeasurementSystem.MetricSystem else "in"


def usual_currency() -> str:
    """The ISO 4217 code of the system's currency; USD where it names none."""
    return QLocale.system().currencySymbol(QLocale.CurrencySymbolFormat.CurrencyIsoCode) or "USD"
