"""The languages' catalogues: `resources/languages/*.po`, and what the program reads, made of them.

`python packaging/catalogues.py update` brings them up to date with the program's texts, with the project's environment: texts
that are new are empty, those that have gone are left out. Installing or building the program makes the .mo files.
"""

import sys
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path

from babel import Locale
from babel.messages import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "resources" / "languages"
_MOMENT = datetime(2026, 12, 1, tzinfo=UTC)
_HEADER = "# {name} texts of Maker's Workbook. Terms are those of glossary-{code}.csv.\n#"


def compile_all(folder: Path = FOLDER) -> list[Path]:
    """Writes the .mo file of each .po file that is whole, beside it; the files written. Others are not offered."""
    made = []
    for source in sorted(folder.glob("*.po")):
        target, catalogue = source.with_suffix(".mo"), read(source)
        if empty(catalogue):
            target.unlink(missing_ok=True)
            continue
        with target.open("wb") as file:
            write_mo(file, catalogue)
        made.append(target)
    return made


def empty(catalogue: Catalog) -> list[str | tuple[str, ...]]:
    """The texts that have no translation yet, or not in all forms."""
    told = ((message.id, message.string) for message in catalogue if message.id)
    return [text for text, string in told if not (all(string) if isinstance(string, tuple) else string)]


def read(file: Path) -> Catalog:
    """A catalogue."""
    with file.open("rb") as content:
        return read_po(content, locale=file.stem)


def update(file: Path, texts: Mapping[tuple[str, ...], str]) -> tuple[int, int]:
    """Brings one up to date with the texts, each by its forms with its place. How many are empty, how many went."""
    before = read(file) if file.is_file() else Catalog(locale=file.stem)
    known = {message.id: message.string for message in before if message.id}
    own = {"project": "Maker's Workbook", "version": "0", "msgid_bugs_address": "", "last_translator": "", "language_team": ""}
    catalogue = Catalog(locale=file.stem, header_comment=_header(file.stem), charset="utf-8", fuzzy=False, **own)
    for forms, place in sorted(texts.items(), key=lambda entry: (entry[1], entry[0])):
        key = forms if len(forms) > 1 else forms[0]
        told = known.pop(key, ("",) * len(forms) if len(forms) > 1 else "")
        catalogue.add(key, told, auto_comments=[place])
    write(file, catalogue)
    return len(empty(catalogue)), len(known)


def write(file: Path, catalogue: Catalog) -> None:
    """Writes a catalogue, always with the same moment, so that the same texts give the same file."""
    catalogue.creation_date = catalogue.revision_date = _MOMENT
    with file.open("wb") as content:
        write_po(content, catalogue, width=110, omit_header=False, no_location=True)


def _header(code: str) -> str:
    return _HEADER.format(name=Locale(code).english_name, code=code)


def main() -> None:
    """Carries out the command line."""
    if sys.argv[1:] != ["update"]:
        sys.exit(__doc__)
    sys.path.insert(0, str(ROOT))
    from tests.texts import everything

    for file in sorted(FOLDER.glob("glossary-*.csv")):
        catalogue = FOLDER / f"{file.stem.removeprefix('glossary-')}.po"
        lacking, gone = update(catalogue, everything())
        print(f"{catalogue.name}: {lacking} without a translation, {gone} gone")
    compile_all()


if __name__ == "__main__":
    main()
