"""What the gate measures: `python gate_measures.py NAME FOLDER` measures once for each line it reads, and prints figures as JSON.

So two programs can be measured in turns, each made ready once. A figure is ms, or what a layout takes. The program measured is
the one on PYTHONPATH, which may be older than this module: only what both have is used. The folder is that program's own.
"""

import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from threading import Timer

Figures = dict[str, float]
FAMILIES = ("petty", "skinner", "camp-bowie")
STEPS = 60  # of the search
QUIET = 0.3  # s before a page is shown, longer than what is made after the start


def queued(task: str = "thread-self") -> float:
    """ms a task has waited for a core that others had; 0 where the system does not tell."""
    try:
        return int(Path(f"/proc/{task}/schedstat").read_text().split()[1]) / 1e6
    except OSError:
        return 0.0


def took(deed: Callable[[], object]) -> float:
    """ms of one call, less what it waited for a core; a call may give that itself."""
    began, before = time.perf_counter(), queued()
    given = deed()
    # the clock is read last: no wait is taken off that the time does not hold
    waited = given if isinstance(given, float) else queued() - before
    return (time.perf_counter() - began) * 1000 - waited


def again_and_again(deeds: dict[str, Callable]) -> Iterator[Figures]:
    """ms of each deed, as often as asked for, after one call that is not counted."""
    for deed in deeds.values():
        deed()
    while True:
        yield {name: took(deed) for name, deed in deeds.items()}


def start(folder: Path) -> Iterator[Figures]:
    """A whole process, until the first picture is painted and until everything stands."""
    from start_up import OURS

    import workbook

    asked = [sys.executable, "-c", "import workbook; print(workbook.__file__)"]
    there = subprocess.run(asked, capture_output=True, text=True, check=True).stdout.strip()
    if there != workbook.__file__:
        raise RuntimeError(f"{there} is started in place of {workbook.__file__}")

    def waited(what: str) -> float:
        """Runs it; what it waited for a core is told until it is reaped."""
        with subprocess.Popen([sys.executable, "-c", OURS, what]) as process:
            late = Timer(60, process.kill)
            late.start()
            if told := hasattr(os, "waitid"):
                os.waitid(os.P_PID, process.pid, os.WEXITED | os.WNOWAIT)
            waited = queued(str(process.pid)) if told else 0.0
            process.wait()
            late.cancel()
        if process.returncode:
            raise RuntimeError(f"the window ended with {process.returncode}")
        return waited

    yield from again_and_again({what: lambda what=what: waited(what) for what in ("painted", "stands")})


def drag(folder: Path) -> Iterator[Figures]:
    """Frames of drags of a quarter of a family's pegs."""
    import drag as bench

    window = bench.shown()
    window.workspace.add_family(FAMILIES[0])
    bench.frames(window, took, every=8)
    while True:
        frames = sorted(bench.frames(window, took, every=4))
        yield {"median frame": statistics.median(frames), "95 % of frames": frames[int(0.95 * len(frames))]}


def called(module, name: str, earlier: str):
    """Something of a module by its name, or by the one it had in earlier programs."""
    return getattr(module, name, None) or getattr(module, earlier)


def publish(folder: Path) -> Iterator[Figures]:
    """Saving a workbook of a thousand steps."""
    from workbook.document.action import said
    from workbook.document.document import replacing
    from workbook.document.records import TemplateRecord
    from workbook.storage import body
    from workbook.storage.opening import begin
    from workbook.structs import replace
    from workbook.tasks.demo import demo_document

    session = begin(folder / "sessions", called(body, "BookBody", "Body")(demo_document()))
    record = next(session.document.all(TemplateRecord))
    for number in range(1000):
        moved = replace(record, place=record.place + number / 1000)
        session.edit(replacing(session.document, said(f"step {number}"), [moved]), "2026-01-02")
    session.save_as(folder / f"{os.getpid()}.shopbook")
    yield from again_and_again({"a thousand steps": session.publish})


def pages(folder: Path) -> Iterator[Figures]:
    """Each page of the window, from the wish to the painted picture: the first time, and later."""
    import shop

    from workbook.tasks.demo import demo_document

    try:
        from workbook.app.pages import table

        names = list(table.NAMES)
    except ImportError:  # a program from before there was a table of pages
        from workbook.app.page_words import PAGES

        names = [name for name, _ in PAGES]
    window = shop.shown(demo_document())
    shop.quiet(window)
    for turn in count():
        found = {}
        for name in [*names[1:], names[0]]:
            shop.quiet(window, QUIET)
            found[f"{name}, {'later' if turn else 'first'}"] = took(lambda name=name: shop.switch(window, name))
            window.bars_page().search.stop()
        found.pop(f"{names[0]}, first", None)  # it was shown at the start
        yield found


def making(folder: Path) -> Iterator[Figures]:
    """In a shop of 10,000 records: an entry on Make, kept and painted, and an edit of a parameter on Draw."""
    import shop

    window = shop.shown(shop.with_batches(shop.full_shop()))
    entries, parameters = shop.entries(window), shop.parameters(window)
    while True:
        yield {"an entry": took(next(entries)), "a parameter": took(next(parameters))}


def grind(folder: Path) -> Iterator[Figures]:
    """Masses and both lines of a grind at 200 stations, of other blades each time."""
    from workbook.formats import tables
    from workbook.formats.family import family
    from workbook.grind.handle_mass import Densities
    from workbook.grind.lines import grind_lines
    from workbook.grind.mass import masses
    from workbook.template.parameters import changed
    from workbook.template.shape import shape
    from workbook.template.tools import Tools, drills_for

    drills = tables.facts().drills if hasattr(tables, "facts") else tables.drills()
    tools, densities = Tools(drills=drills_for(drills, "in")), Densities(steel=7.85, scales=1.35, fasteners=8.5, epoxy=1.15)

    def weigh(blank) -> None:
        grind_lines(blank, blank.thickness)
        _ = masses(blank, blank.thickness, densities).balance

    for number in count(1):
        longer = {name: changed(t := family(name), "blade.length", t.blade.length + number * 1e-3) for name in FAMILIES}
        blanks = {name: shape(template, tools) for name, template in longer.items()}
        found = {name: took(lambda blank=blank: weigh(blank)) for name, blank in blanks.items()}
        if number > 1:
            yield found


def _laying():
    """How a layout is begun, searched for and finished, wherever a program has it."""
    try:
        from workbook.model.laying import finish, nesting_job
        from workbook.tasks.searching import search
    except ImportError:
        from workbook.tasks.layout import finish, nesting_job, search  # of a program before these were parted
    return finish, nesting_job, search


def sheets(folder: Path) -> Iterator[Figures]:
    """The demo job's sheets and cutting files."""
    from workbook.tasks.demo import demo_job
    from workbook.tasks.exports import Wanted, exported
    from workbook.tasks.sheets import run_of

    demo, (finish, nesting_job, search) = demo_job(), _laying()
    of = "model" if "model" in Wanted.__struct_fields__ else "loaded"
    keys = "keys" if "keys" in Wanted.__struct_fields__ else "names"
    nesting = nesting_job(demo)
    *_, last = search(nesting, 0, lambda step: step >= 10, repeatable=True)
    laid, run = finish(demo, nesting, last, 0), run_of(demo.job, "letter", "")
    writers = {
        name: lambda key=key: exported(Wanted(**{of: demo, keys: tuple(demo.shapes)}, run=run, laid=laid), [key])
        for name, key in (("bars PDF", "bars"), ("templates PDF", "sheets"), ("bars DXF", "bars-drawing"))
    }
    yield from again_and_again(writers)


def first_layouts(folder: Path) -> Iterator[Figures]:
    """The search's first layout of the demo, and of sixty blanks on bars of thirteen sizes."""
    from costs import job

    from workbook.nesting.search import layouts
    from workbook.tasks.demo import demo_job

    _, nesting_job, _ = _laying()
    jobs = {"demo": nesting_job(demo_job()), "sixty blanks": job("60")}
    yield from again_and_again({name: lambda job=job: next(layouts(job, 0)) for name, job in jobs.items()})


def lengths(folder: Path) -> Iterator[Figures]:
    """What layouts take after so many steps, each time from another seed: mm of a strip, or the price of bars."""
    import costs
    import nesting

    from workbook.nesting.model import used_length
    from workbook.tasks import compiling

    *_, search = _laying()
    assert compiling.ready() or not compiling.possible(), "its search is not compiled"

    def best(job, seed: int):
        *_, last = search(job, seed, lambda step: step >= STEPS, repeatable=True)
        return last.best

    strips = {name: nesting.job(name) for name in ("two-1", "many-1")}
    priced = {name: costs.job(name) for name in ("16", "30")}
    for seed in count():
        found = {f"strip {name}": sum(used_length(job, use) for use in best(job, seed).bars) for name, job in strips.items()}
        for name, job in priced.items():
            found[f"price of {name} blanks"] = float(sum(job.stock[use.stock].price for use in best(job, seed).bars))
        yield found


WAYS = {
    "start": start, "drag": drag, "publish": publish, "pages": pages, "making": making, "grind": grind, "sheets": sheets,
    "first-layouts": first_layouts, "lengths": lengths,
}  # fmt: skip


def main() -> None:
    """Answers each line with a line; what the program prints goes to the errors."""
    import workbook  # noqa: F401  # first of all: what stands beside this module may look for it elsewhere

    name, folder = sys.argv[1:]
    answers = os.fdopen(os.dup(sys.stdout.fileno()), "w")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    measured = WAYS[name](Path(folder))
    for _ in sys.stdin:
        print(json.dumps(next(measured)), file=answers, flush=True)
    answers.flush()
    os._exit(0)  # as a window that is closed: its workers end with it


if __name__ == "__main__":
    main()
