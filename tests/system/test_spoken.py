"""The languages of a system's user. What of gettext decides them: its manual, "Locale Environment Variables"."""

import plistlib
import sys

import pytest

from workbook.system import spoken

NAMES = ("LC_ALL", "LC_MESSAGES", "LANG", "LANGUAGE")


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="they have other settings")
@pytest.mark.parametrize(
    ("settings", "codes"),
    [
        ({}, []),
        ({"LANG": "C"}, []),
        ({"LANG": "C.UTF-8", "LANGUAGE": "de"}, []),
        ({"LANG": "de_AT.UTF-8"}, ["de"]),
        ({"LANG": "en_US.UTF-8", "LC_MESSAGES": "fr_BE.UTF-8"}, ["fr"]),
        ({"LANG": "en_US.UTF-8", "LC_MESSAGES": "fr_BE.UTF-8", "LC_ALL": "de_DE"}, ["de"]),
        ({"LANG": "de_DE.UTF-8", "LANGUAGE": "nl:fr"}, ["nl", "fr", "de"]),
        ({"LANG": "de_DE.UTF-8", "LANGUAGE": "", "LC_ALL": ""}, ["de"]),
    ],
)
def test_settings_of_the_environment(monkeypatch, settings, codes):
    for name in NAMES:
        monkeypatch.delenv(name, raising=False)
    for name, value in settings.items():
        monkeypatch.setenv(name, value)
    assert spoken.languages() == codes


def test_preferencesof_macos(monkeypatch, tmp_path):
    monkeypatch.setattr(spoken.Path, "home", lambda: tmp_path)
    assert spoken.of_macos() == []
    folder = tmp_path / "Library" / "Preferences"
    folder.mkdir(parents=True)
    (folder / ".GlobalPreferences.plist").write_bytes(plistlib.dumps({"AppleLanguages": ["fr-CA", "en-CA"]}))
    assert spoken.of_macos() == ["fr-CA", "en-CA"]
    (folder / ".GlobalPreferences.plist").write_bytes(b"no list")
    assert spoken.of_macos() == []
