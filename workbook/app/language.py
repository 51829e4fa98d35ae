"""Qt's own texts (its buttons, its dialogs for files) in the language of the program."""

from PySide6.QtCore import QCoreApplication, QLibraryInfo, QLocale, QTranslator

from workbook.texts import language


def translate_qt(application: QCoreApplication) -> bool:
    """Install Qt's translation of its own texts. Returns whether there is one: none is needed for English."""
    code = language()
    if not code:
        return False
    translator = QTranslator(application)
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    return translator.load(QLocale(code), "qtbase", "_", folder) and application.installTranslator(translator)
