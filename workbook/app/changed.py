"""Which parts of the work a change affects, for the widgets that show them."""

from typing import NamedTuple


class Changed(NamedTuple):
    """The parts of the work that changed, sent once when the whole change is done, so that each view can refresh."""

    template: bool = False  # numbers of one template, as at every move of a drag
    job: bool = False  # a template added, removed or renamed, a bar, an order, a setting, or everything
    chosen: bool = False  # another template is on the board
    unit: bool = False  # lengths are shown in another unit first
    history: bool = False  # a step was done or undone, or other work was opened

    @property
    def shapes(self) -> bool:
        """Whether a blank, or what it is made of, may have changed."""
        return self.template or self.job

    @property
    def records(self) -> bool:
        """Whether the workbook's records, or the unit they are shown in, may have changed."""
        return self.history or self.unit
