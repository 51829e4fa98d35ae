"""In a language that nobody speaks (tests/pseudo.py) everything opens on a small screen, in a program of its own: a language is
that of the process.
"""

import json
import os
import subprocess
import sys

from tests import pseudo
from tests.app.pseudo_window import TOO_LARGE
from tests.app.test_dialogs import NAMES as DIALOGS
from tests.counts import some
from workbook.app.pages.table import NAMES as PAGES
from workbook.tasks.exports import EXPORTS
from workbook.texts import CATALOGUE

LETTERS = some((1.5, 1.0), 1)


def test_everything_opens_in_another_language_and_no_sheet_is_cut(tmp_path):
    pseudo.write(tmp_path / "pseudo.mo")
    program = [sys.executable, "-m", "tests.app.pseudo_window", ",".join(map(str, LETTERS))]
    told = {CATALOGUE: str(tmp_path / "pseudo.mo"), "MAKERS_WORKBOOK_DATA": str(tmp_path / "data")}
    done = subprocess.run(program, env={**os.environ, **told}, capture_output=True, text=True, check=True)
    found = json.loads(done.stdout.splitlines()[-1])
    windows = {f"{name} {letters:.0%}" for name in (*PAGES, *DIALOGS) for letters in LETTERS}
    assert windows <= found.keys()
    assert {name.split(":")[0] for name in found.keys() - windows} == EXPORTS.keys()
    too_large = TOO_LARGE.split(":")[0]
    assert not {name: seen["cut"] for name, seen in found.items() if any(words.startswith(too_large) for words in seen["cut"])}
    assert not {name: seen["cut"] for name, seen in found.items() if name not in windows and seen["cut"]}
    assert not [name for name in windows if not any(words.startswith(pseudo.OPENS) for words in found[name]["texts"])]
