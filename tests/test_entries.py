"""What a desktop reads of the program: the entry, the type of its files and the catalogue's account name the same things."""

import configparser
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import pytest

from workbook import __version__
from workbook.paths import resource

ROOT = Path(__file__).parents[1]
LINUX = ROOT / "packaging" / "linux"
TYPES = "{http://www.freedesktop.org/standards/shared-mime-info}"


@pytest.fixture(scope="module")
def entry():
    parser = configparser.RawConfigParser()
    parser.optionxform = str
    parser.read(LINUX / "makers-workbook.desktop", encoding="utf-8")
    return parser["Desktop Entry"]


@pytest.fixture(scope="module")
def account():
    (file,) = LINUX.glob("*.metainfo.xml")
    return ElementTree.parse(file).getroot()


@pytest.fixture(scope="module")
def kind():
    return ElementTree.parse(LINUX / "makers-workbook.xml").getroot().find(f"{TYPES}mime-type")


def test_all_name_the_same_type(entry, account, kind):
    assert entry["MimeType"] == f"{kind.get('type')};"
    assert account.findtext("provides/mediatype") == kind.get("type")
    assert kind.find(f"{TYPES}glob").get("pattern") == "*.shopbook"


def test_the_command_is_the_one_that_is_installed(entry, account):
    (script,) = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]["scripts"]
    assert entry["Exec"] == f"{script} %f"
    assert account.findtext("provides/binary") == script


def test_the_catalogue_has_this_version_first_and_names_pictures_that_are_there(account):
    assert account.find("releases/release").get("version") == __version__
    pictures = [image.text for image in account.iterfind("screenshots/screenshot/image")]
    assert len(pictures) >= 3
    for address in pictures:
        assert address.startswith("https://pictures.example.org/")
        assert (ROOT / "packaging" / "pictures" / address.rsplit("/", 1)[1]).is_file()


def test_each_icon_is_drawn(entry, kind):
    assert resource("program", f"{entry['Icon']}.svg").is_file()
    assert kind.find(f"{TYPES}icon").get("name") == kind.get("type").replace("/", "-")
    assert resource("program", "shopbook.svg").is_file()
