"""What the window works on: the loaded job, the template chosen, the unit and the look; told to all when it changes."""

from dataclasses import replace
from typing import Any

from PySide6.QtCore import QObject, Signal

from workbook.app.look import Look
from workbook.formats.family import family
from workbook.shop.job import AnyTemplate, Make, suits
from workbook.tasks.load import LoadedJob, bar_thickness, shaped, with_template
from workbook.template.model import Template
from workbook.template.parameters import changed
from workbook.template.shape import Shape
from workbook.units import Unit, reading


class Workspace(QObject):
    """Holds frozen records and swaps them; pages refresh from the signals, not from each other."""

    template_changed = Signal(str)  # its name
    templates_changed = Signal()  # one more, or another job
    chosen_changed = Signal(str)
    unit_changed = Signal()
    said = Signal(str)  # a sentence for the status line

    def __init__(self, loaded: LoadedJob, look: Look) -> None:
        super().__init__()
        self.loaded, self.look = loaded, look
        self.unit: Unit = loaded.job.unit
        self.chosen = loaded.job.templates[0].name
        self.revision = 0  # counts changes, so that a layout knows whether it is of today

    def template(self, name: str) -> AnyTemplate:
        """A template by name."""
        return self.loaded.job.template(name)

    @property
    def blank(self) -> Shape:
        """The shape of the chosen template."""
        return self.loaded.shapes[self.chosen]

    def bar(self, name: str) -> float:
        """Thickness of the bar a template will be ground from."""
        return bar_thickness(self.loaded, self.loaded.shapes[name])[0]

    def choose(self, name: str) -> None:
        """Puts a template on the board."""
        if name != self.chosen:
            self.chosen = name
            self.chosen_changed.emit(name)

    def edit(self, path: str, value: Any) -> None:
        """Changes one parameter of the chosen template; its shape and checks follow."""
        template = self.template(self.chosen)
        if isinstance(template, Template):
            self.loaded = with_template(self.loaded, changed(template, path, value))
            self.revision += 1
            self.template_changed.emit(template.name)

    def add_family(self, family_id: str) -> None:
        """Adds a family's template to the shelf under a name of its own, and chooses it."""
        template = family(family_id)
        names = {t.name for t in self.loaded.job.templates}
        name, n = template.name, 2
        while name in names:
            name, n = f"{template.name} {n}", n + 1
        added = replace(template, name=name)
        job = replace(self.loaded.job, templates=(*self.loaded.job.templates, added))
        bar = next((b for b in job.bars if suits(job, added, b.steel, b)), None)
        if bar is not None:
            job = replace(job, make=(*job.make, Make(template=name, steel=bar.steel, quantity=1)))
        self.loaded = shaped(job)
        self.revision += 1
        self.templates_changed.emit()
        self.choose(name)
        wanted = f"{reading(added.blade.thickness, self.unit)} {self.unit}"
        missing = f"{name} is not laid out: no bar here is about {wanted} thick. Change its thickness, or add a bar to the job."
        self.said.emit(missing if bar is None else f"{name}: one is added to the layout, of {bar.steel}.")

    def make_more(self, template: str, steel: str) -> None:
        """One more blank of a template in a steel is to be made; the page that asked has laid it out."""
        job = self.loaded.job
        make = tuple(
            replace(wish, quantity=wish.quantity + 1) if (wish.template, wish.steel) == (template, steel) else wish
            for wish in job.make
        )
        self.loaded = replace(self.loaded, job=replace(job, make=make))
        self.revision += 1
        self.said.emit(f"One more {template} is to be made, of {steel}.")

    def seen_as(self, look: Look) -> "Workspace":
        """The same work for a window built anew in another look; nobody listens to it yet."""
        other = Workspace(self.loaded, look)
        other.unit, other.chosen, other.revision = self.unit, self.chosen, self.revision
        return other

    def use_unit(self, unit: Unit) -> None:
        """Shows lengths in another unit first."""
        self.unit = unit
        self.unit_changed.emit()

    def open_job(self, loaded: LoadedJob) -> None:
        """Works on another job."""
        self.loaded, self.unit, self.chosen = loaded, loaded.job.unit, loaded.job.templates[0].name
        self.revision += 1
        self.templates_changed.emit()
        self.chosen_changed.emit(self.chosen)
