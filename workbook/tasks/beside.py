"""The PDF of the bars, made in a separate process while the bars are planned and their other files made here."""

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
    """A process that makes the PDF of bars as their plans arrive."""

    def __init__(self, run: PrintRun) -> None:
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, run), daemon=True, name="bars")
        self._process.start()
        theirs.close()

    def add(self, plan: BarPlan) -> None:
        """Send the plan of the next bar."""
        with suppress(OSError):  # the process has died: `made` returns None then
            self._pipe.send(plan)

    def done(self) -> None:
        """Tell the process that there are no more bars."""
        with suppress(OSError):
            self._pipe.send(None)

    def made(self) -> bytes | None:
        """The PDF, after `done`; None if the process has died. It can be read only once."""
        with suppress(EOFError, OSError):
            return self._pipe.recv_bytes()
        return None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        """End the process, even in the middle of its work."""
        self._pipe.close()
        self._process.kill()
        self._process.join(5)


def _serve(pipe: Connection, run: PrintRun) -> None:
    """Draw the bars as they arrive and send the PDF after the last."""
    collect_seldom()
    queue = SimpleQueue[BarPlan | None]()
    Thread(target=_take, args=(pipe, queue), daemon=True).start()
    content = plans_pdf(run, iter(queue.get, None))
    with suppress(OSError):
        pipe.send_bytes(content)


def _take(pipe: Connection, queue: SimpleQueue[BarPlan | None]) -> None:
    """Move plans from the pipe to the queue, so that the sender need not wait. Blanks of one template share its shape again."""
    plan: BarPlan | None = None
    shapes: dict[str, Shape] = {}
    with suppress(EOFError, OSError):
        while (plan := pipe.recv()) is not None:
            blanks = tuple(replace(b, shape=shapes.setdefault(b.shape.name, b.shape)) for b in plan.blanks)
            queue.put(replace(plan, blanks=blanks))
    queue.put(None)
