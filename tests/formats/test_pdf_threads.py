"""PDFs written and drawn in several threads at once, as a preview beside the window and what is printed meanwhile."""

import subprocess
import sys

_PROGRAM = """
from concurrent.futures import ThreadPoolExecutor
from workbook.app.proof import page_image
from workbook.formats.pdf import png
from workbook.tasks.demo import demo_job
from workbook.tasks.exports import Wanted, exported
from workbook.tasks.sheets import run_of

model = demo_job()
wanted = Wanted(model=model, run=run_of(model.job, "a4", ""), keys=tuple(model.shapes)[:1])

def made(key):
    (content,) = exported(wanted, [key]).values()
    return content, png(content, dots=20.0), page_image(content, 0, 20.0)

keys = ["sheets", "cards", "printer"]
alone = [made(key) for key in keys]
with ThreadPoolExecutor(4) as threads:
    assert list(threads.map(made, keys * 6)) == alone * 6
print("the same")
"""


def test_each_is_the_same_as_alone():
    """In a program of its own: two threads in PDFium at once end it."""
    done = subprocess.run([sys.executable, "-c", _PROGRAM], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout.strip()) == (0, "the same"), done.stderr[-800:]
