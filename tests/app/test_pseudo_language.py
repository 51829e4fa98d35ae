"""In a language that nobody speaks (tests/pseudo.py) everything opens on a small screen, in a program of its own: a language is
that of the process. What is not in it stands outside the catalogue.
"""

import json
import os
import re
import subprocess
import sys

import pytest

from tests import pseudo
from tests.app.pseudo_window import TOO_LARGE
from tests.app.test_dialogs import NAMES as DIALOGS
from tests.counts import some
from workbook.app.help_topics import TOPICS
from workbook.app.pages.table import NAMES as PAGES
from workbook.document.codec import encoded
from workbook.formats.family import family_ids
from workbook.formats.look_up import fact_tables
from workbook.formats.tables import rows
from workbook.languages import LANGUAGES
from workbook.tasks.demo import demo_document
from workbook.tasks.exports import EXPORTS
from workbook.tasks.notices import notices
from workbook.texts import CATALOGUE

LETTERS = some((1.0, 1.5), 1)
NAMES = {*LANGUAGES.values()}  # of languages, each in its own
KEYS = {"Press", "shortcut", "Ctrl", "Shift", "Alt", "Del", "Ins", "Esc"}
FILES = {"pdf", "dxf", "svg", "csv", "png", "json", "toml", "shopbook", "AISI", "SAE", "UNS"}
WORD = re.compile(r"[^\W\d_]{3,}")
CUT = {  # what may be cut with letters of 100 % in words 40 % longer, and why
    "draw": {"[mm·]", "[îñçh·]"},  # the unit at the head of the panel, which the foot of the window says too
    "grind": {  # beside two numbers; the bench card, which is printed, has them whole
        "[Bàlàñçé, béhîñd thé hàñdlé frõñt···········]", "[Grõüñd àwàý béfõré hàrdéñîñg·········]",
        "[Grõüñd àwàý àftér hàrdéñîñg·········]", "[fîñîshéd·]",
    },
    # the long options of choices, which show them whole when they are opened
    "quote": {"[shõp défàült···]", "[Õrdér 1····]   [Thé Slîpwàý gàlléý·····]"},  # the list of lines says it too
    "settings": {"[màtçh üñîts··]"}, "rates": {"[màrgîñ, shàré õf thé prîçé········]"}, "scaling": {"[whõlé kñîfé··]"},
    "export": {"[Témplàté shééts····]", "[Whàt tõ éxpõrt····]"},
    "make": {  # what the list of batches and the row of the blade say too
        "26-10   Santoku type", "[Bàtçh 3····]   [3 îñ prõgréss······]   [bégüñ [Ñõv·] 20, 2026···]",
    },
    "layout": {  # the help says it too
        "[Dràg à blàñk. R türñs, F flîps, thé spàçé bàr pîñs. Õrdîñàtés frõm éñd À.···························]",
    },
}  # fmt: skip


@pytest.fixture(scope="module")
def found(tmp_path_factory):
    """What was opened, what it says, and what is cut off there, by its name and the size of its letters."""
    folder = tmp_path_factory.mktemp("pseudo")
    pseudo.write(folder / "pseudo.mo")
    program = [sys.executable, "-m", "tests.app.pseudo_window", ",".join(map(str, LETTERS))]
    told = {CATALOGUE: str(folder / "pseudo.mo"), "MAKERS_WORKBOOK_DATA": str(folder / "data")}
    done = subprocess.run(program, env={**os.environ, **told}, capture_output=True, text=True, check=True)
    return json.loads(done.stdout.splitlines()[-1])


def data_words():
    """The words that are data: of the demo's records, of the tables of facts, of files and keys."""
    records = json.dumps([encoded(record) for record in demo_document().records.values()], ensure_ascii=False)
    facts = [str(cell) for table in fact_tables() for row in table.rows for cell in row]
    facts += [
        cell for name in ("drills", "look_up/steels", "look_up/woods") for row in rows(name) for cell in row.values() if cell
    ]
    names = [word for each in family_ids() for word in each.split("-")]
    parts = [part for notice in notices() for part in (notice.name, notice.licence)]
    told = " ".join((records, *facts, *names, *parts, "program txt")).casefold()
    return {*WORD.findall(told), *(word.casefold() for word in KEYS | FILES | NAMES)}


def parted(text):
    """What stands outside the brackets of a text, and the texts within the outermost of them."""
    depth, outside, inside = 0, "", []
    for letter in text:
        opened, closed = letter == pseudo.OPENS, letter == pseudo.CLOSES and depth
        if opened and not depth:
            outside += "\0"
            inside.append("")
        depth += opened - bool(closed)
        if depth or closed:
            inside[-1] += letter
        else:
            outside += letter
    return outside, inside


def joined(text):
    """Whether it is a sentence put together from pieces: texts with nothing but a space between them, the first no sentence."""
    outside, inside = parted(text)
    beside = [match.start() for match in re.finditer("\0 (?=\0)|\0(?=\0)", outside)]
    pieces = [outside[: at + 1].count("\0") - 1 for at in beside]
    return any(not re.search(r"[.:!?]·*\]$", inside[piece]) for piece in pieces)


def test_everything_opens(found):
    windows = {
        f"{name} {letters:.0%}" for name in (*PAGES, *DIALOGS, *(f"help {topic}" for topic, _ in TOPICS)) for letters in LETTERS
    }
    assert windows <= found.keys()
    assert {name.split(":")[0] for name in found.keys() - windows} == EXPORTS.keys()
    assert not [name for name in windows if not any(words.startswith(pseudo.OPENS) for words in found[name]["texts"])]


def test_nothing_is_larger_than_the_screen_and_no_sheet_is_cut(found):
    too_large = TOO_LARGE.split(":")[0]
    assert not {name: seen["cut"] for name, seen in found.items() if any(words.startswith(too_large) for words in seen["cut"])}
    assert not {name: seen["cut"] for name, seen in found.items() if ":" in name and seen["cut"]}


def test_words_that_are_longer_are_not_cut(found):
    pages = {name: set(found[f"{name} 100%"]["cut"]) - CUT.get(name, set()) for name in (*PAGES, *DIALOGS)}
    assert not {name: cut for name, cut in pages.items() if cut}


def test_no_text_stands_outside_the_catalogue(found):
    known = data_words()
    told = {(name, text) for name, seen in found.items() for text in seen["texts"]}
    strange = {(name, text) for name, text in told if not {*map(str.casefold, WORD.findall(parted(text)[0]))} <= known}
    assert not strange


def test_no_sentence_is_put_together_from_pieces(found):
    windows = {name: seen for name, seen in found.items() if ":" not in name}  # on a page of paper labels stand beside each other
    assert not {(name, text) for name, seen in windows.items() for text in seen["texts"] if joined(text)}


@pytest.mark.parametrize(
    ("text", "outside", "pieces"),
    [
        ("[Öñé·]", "\0", False),
        ("[Öñé·] [twö·]", "\0 \0", True),
        ("[Öñé.·] [Twö.·]", "\0 \0", False),
        ("[Öñé [twö·]·], three", "\0, three", False),
        ("[Öñé·]: [twö·]", "\0: \0", False),
    ],
)
def test_pieces_and_words_outside_are_told(text, outside, pieces):
    assert (parted(text)[0], joined(text)) == (outside, pieces)
