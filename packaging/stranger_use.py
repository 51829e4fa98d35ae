"""What a stranger does with the installed program, each step on a bare system; what it says in a word is returned."""

import json
import shutil
import subprocess
import time

from stages import ROOT
from stranger_system import HOME, System, Trouble

PROGRAM = "makers-workbook"
WORK = f"{HOME}/Messer für Übung & mehr"  # a folder as people have them
JOB, BOOK = f"{WORK}/harbour-kitchen-run.toml", f"{WORK}/harbour-kitchen-run.shopbook"
TITLE = "Maker's Workbook"
SAMPLES = ROOT / "tests" / "samples"
# what the sample has none of: an invoice issued, a knife ready for its order, a blade out for work
NONE_IN_THE_SAMPLE = (
    "the order has none",
    "no knife of the order is ready",
    "no blade of the batch is at a stage of outside work",
)
COMPILED_WITHIN = 180  # s, on a slow machine


def commands_of_a_job(system: System) -> str:
    """The main job by commands, the search compiled."""
    system.run([PROGRAM, "demo", WORK])
    system.run([PROGRAM, "check", JOB])
    begun, search = time.monotonic(), ""
    while search != "compiled" and time.monotonic() - begun < COMPILED_WITHIN:
        system.run([PROGRAM, "lay-out", JOB, "--out", f"{WORK}/sheets", "--seconds", "5", "--force", "--quiet"])
        search = _search(system, "sheets")
    if search != "compiled":
        raise Trouble(f"after {COMPILED_WITHIN} s the search was still {search}")
    first = time.monotonic() - begun
    begun = time.monotonic()
    system.run([PROGRAM, "lay-out", JOB, "--out", f"{WORK}/other", "--seconds", "1", "--quiet"], folder="/")
    if (other := _search(system, "other")) != "compiled":
        raise Trouble(f"started from another folder the search was {other}")
    system.run([PROGRAM, "templates", JOB, "--out", f"{WORK}/templates"])
    for words in (["estimate", JOB], ["fits", JOB], ["grind", JOB], ["contact-sheet", f"{WORK}/families.png"]):
        system.run([PROGRAM, *words])
    return f"compiled {first:.0f} s after the first start, then in {time.monotonic() - begun:.1f} s with all commands"


def _search(system: System, name: str) -> str:
    layout = system.place(WORK) / name / "layout.json"
    return str(json.loads(layout.read_text(encoding="utf-8"))["search"])


def exports(system: System) -> str:
    """Every export of the job and of the shop book."""
    told = system.run([PROGRAM, "sheets", "--help"])
    keys = " ".join(told.partition("any of")[2].partition("--templates")[0].split()).replace("- ", "-").split(", ")
    refused = {key: reason for key in keys if (reason := _refused(system, key))}
    strange = [f"{key}: {reason}" for key, reason in refused.items() if not any(words in reason for words in NONE_IN_THE_SAMPLE)]
    if strange:
        raise Trouble("not written:\n" + "\n".join(strange))
    system.run([PROGRAM, "book", BOOK, "--tables", f"{WORK}/tables"])
    system.run([PROGRAM, "book", BOOK, "--tables", f"{WORK}/year", "--year", "2026"])
    files = [file for file in system.place(WORK).rglob("*") if file.is_file()]
    empty = [file.name for file in files if not file.stat().st_size]
    if empty:
        raise Trouble(f"empty files: {', '.join(empty)}")
    lacking = f", none in the sample for {', '.join(refused)}" if refused else ""
    return f"{len(keys) - len(refused)} kinds, {len(files)} files in all{lacking}"


def _refused(system: System, key: str) -> str:
    """Why a kind of export is written neither of the job nor of the shop book; empty when it is."""
    ways = ([JOB, "--layout", f"{WORK}/sheets/layout.json"], [BOOK, "--order", "1"], [BOOK, "--batch", "1"], [BOOK])
    reason = ""
    for way in ways:
        try:
            system.run([PROGRAM, "sheets", *way, "--out", f"{WORK}/{key}", "--what", key, "--force", "--quiet"])
        except Trouble as trouble:
            reason += f"{trouble}\n"
            continue
        return ""
    return reason


def old_books(system: System) -> str:
    """A book of every released version."""
    books = sorted(SAMPLES.glob("*.shopbook"))
    for book in books:
        place = system.place(HOME) / book.name
        shutil.copyfile(book, place)
        place.chmod(0o666)
        system.run([PROGRAM, "book", f"{HOME}/{book.name}", "--tables", f"{HOME}/tables of {book.stem}"])
    return f"{len(books)} books"


def window(system: System) -> str:
    """The window, by the program's name and by a file."""
    begun = time.monotonic()
    for words in ([PROGRAM], [PROGRAM, BOOK]):
        _closed(system, words)
    return f"{time.monotonic() - begun:.1f} s for both, opened and closed"


def _closed(system: System, words: list[str]) -> None:
    """Opens a window and closes it by its keys. Raises Trouble when it says anything or ends otherwise than well."""
    process = system.start(words)
    number = system.screen.wait_for(TITLE)
    time.sleep(3)  # what it does once it is shown
    system.screen.tool("windowfocus", number)
    system.screen.tool("key", "--window", number, "ctrl+q")
    try:
        said, _none = process.communicate(timeout=30)
    except subprocess.TimeoutExpired:
        process.kill()
        raise Trouble(f"{' '.join(words)} does not close") from None
    if process.returncode or "Traceback" in said:
        raise Trouble(f"{' '.join(words)} ended with {process.returncode}:\n{said[-2000:]}")


def opens_by_its_type(system: System) -> str:
    """A shop book, by its type."""
    told = system.run(["gio", "mime", "application/x-makers-workbook"])
    if "makers-workbook.desktop" not in told:
        raise Trouble(f"no program is known for a shop book:\n{told}")
    kind = system.run(["gio", "info", "-a", "standard::content-type", BOOK])
    if "application/x-makers-workbook" not in kind:
        raise Trouble(f"a shop book is taken for another type:\n{kind}")
    process = system.start(["sh", "-c", 'gio open "$0"; sleep 20', BOOK])
    number = system.screen.wait_for(TITLE)
    if not any(PROGRAM in line and line.rstrip().endswith(BOOK) for line in system.running().values() if "gio" not in line):
        raise Trouble(f"the window was not started with the book: {system.running()}")
    system.screen.tool("windowfocus", number)
    time.sleep(2)
    system.screen.tool("key", "--window", number, "ctrl+q")
    process.kill()
    process.wait()
    return "opened"


def report_of_a_crash(system: System) -> str:
    """A crash that was planted leaves a report."""
    process = system.start([PROGRAM, "-m", "self_test", "crash"])
    system.screen.wait_for(TITLE)
    reports = system.place(HOME) / ".local/share/makers-workbook/reports"
    until = time.monotonic() + 20
    while time.monotonic() < until and not list(reports.glob("*.txt")):
        time.sleep(0.2)
    process.kill()
    process.wait()
    texts = [file.read_text(encoding="utf-8") for file in reports.glob("*.txt")]
    if not texts:
        raise Trouble("no report of the planted crash")
    if other := [text for text in texts if "planted by the self-test" not in text]:
        raise Trouble(f"a report of something else:\n{other[0]}")
    return "written"


def leaves_nothing(system: System, before: set[str]) -> str:
    """What is left after removing, other than users' own work and what apt brought along."""
    owned = system.owned()
    left = {name for name in system.files() - before if name not in owned and f"usr/{name}" not in owned}
    ours = sorted(name for name in left if "workbook" in name.lower())
    if ours:
        raise Trouble("left behind: " + ", ".join(ours))
    work = system.place(JOB)
    if not work.is_file():
        raise Trouble("the user's own work is gone")
    return f"nothing of ours; by scripts of packages that came along: {', '.join(sorted(left)) or 'nothing'}"
