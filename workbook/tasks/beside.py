"""The bars' PDF, made in a process of its own while bars are planned and their other files made here."""

from contextlib import suppress
from multiprocessing import get_context
from queue import SimpleQueue
from threading import Thread
from typing import Self

from workbook.sheets.bar import BarPlan
from workbook.sheets.paper import PrintRun
from workbook.structs import replace
from workbook.system.memory import collect_seldom
from workbook.system.pipes import Connection
from workbook.tasks.exports.bars import plans_pdf
from workbook.template.shape import Shape


class PdfBeside:
    """A process that makes the PDF of bars as their plans come."""

    def __init__(self, run: PrintRun) -> None:
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, run), daemon=True, name="bars")
        self._process.start()
        theirs.close()

    def add(self, plan: BarPlan) -> None:
        """The next bar."""
        with suppress(OSError):  # it has died: that is seen when the PDF is asked for
            self._pipe.send(plan)

    def done(self) -> None:
        """No more bars."""
        with suppress(OSError):
            self._pipe.send(None)

    def made(self) -> bytes | None:
        """The PDF, once all bars are told; None where the process has died. It can be had once."""
        with suppress(EOFError, OSError):
            return self._pipe.recv_bytes()
        return None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        """Ends it, whatever it is doing."""
        self._pipe.close()
        self._process.kill()
        self._process.join(5)


def _serve(pipe: Connection, run: PrintRun) -> None:
    """Draws the bars that come, and sends the PDF when no more do."""
    collect_seldom()
    come = SimpleQueue[BarPlan | None]()
    Thread(target=_take, args=(pipe, come), daemon=True).start()
    made = plans_pdf(run, iter(come.get, None))
    with suppress(OSError):
        pipe.send_bytes(made)


def _take(pipe: Connection, come: SimpleQueue[BarPlan | None]) -> None:
    """Takes plans from the pipe as they come: who sends them need not wait. Blanks of one template share its shape again."""
    plan: BarPlan | None = None
    shapes: dict[str, Shape] = {}
    with suppress(EOFError, OSError):
        while (plan := pipe.recv()) is not None:
            blanks = tuple(replace(b, shape=shapes.setdefault(b.shape.name, b.shape)) for b in plan.blanks)
            come.put(replace(plan, blanks=blanks))
    come.put(None)
