"""The pages of the help: those of the window's pages first, then the others."""

from workbook.app.pages.table import PAGES
from workbook.texts import _

FIRST_STEPS = "start"
TOPICS = (
    (FIRST_STEPS, _("First steps")),
    *((row.name, row.word) for row in PAGES),
    ("shop-book", _("Shop book")),
    ("your-work", _("Your work on this computer")),
    ("print", _("Print and export")),
    ("commands", _("Commands")),
    ("job-file", _("Job file")),
    ("files", _("Files that are written")),
    ("new", _("What is new")),
)  # a file of resources/help, without its ending, and its title
