"""What a change of the work is about, for those who show it."""

from typing import NamedTuple


class Changed(NamedTuple):
    """What is another than it was, told once for each change, when all of it is done: whoever shows some of it catches up."""

    template: bool = False  # numbers of one template, as at every move of a drag
    job: bool = False  # a template more or less or of another name, a bar, an order, a setting, or all of it
    chosen: bool = False  # another template is on the board
    unit: bool = False  # lengths are shown in another unit first
    history: bool = False  # something was done or undone, or other work was opened

    @property
    def shapes(self) -> bool:
        """Whether a blank, or what it is made of, may be another."""
        return self.template or self.job

    @property
    def records(self) -> bool:
        """Whether what the workbook keeps, or the unit it is told in, may be another."""
        return self.history or self.unit
