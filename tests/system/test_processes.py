"""Processes by name: this one, one that ended, one whose number another has now, one of another computer."""

import os
import subprocess
import sys
from types import SimpleNamespace

import pytest

from workbook.system.processes import has_ended, this_process

OTHER = "import sys\nfrom workbook.system.processes import this_process\nprint(this_process(), flush=True)\nsys.stdin.read()"


def test_this_process_has_not_ended():
    assert this_process() == this_process()
    assert not has_ended(this_process())


def test_another_has_when_it_has():
    with subprocess.Popen([sys.executable, "-c", OTHER], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as other:
        name = other.stdout.readline().strip()
        assert not has_ended(name)
        other.kill()
        other.wait()
        assert has_ended(name)


def test_one_of_this_number_that_was_started_at_another_time_has():
    computer, number, started = this_process().split(" ")
    assert has_ended(f"{computer} {number} {started}0")


def test_of_another_computers_nothing_is_known():
    _, number, started = this_process().split(" ")
    assert not has_ended(f"elsewhere {number} {started}0")


@pytest.mark.parametrize("words", ["", "who knows", "a b c", "a -1 c", "a 1"])
def test_what_is_no_name_is_nobodys(words):
    assert has_ended(words)


def test_on_macos_ps_tells_when_it_was_started(mac, monkeypatch):
    def told(command, **how):
        known = command[1:] == ["-o", "lstart=", "-p", str(os.getpid())] and how["env"]["LC_ALL"] == "C"
        return SimpleNamespace(stdout="Mon Nov 16 09:12:01 2026    \n" if known else "")

    monkeypatch.setattr(subprocess, "run", told)
    name = this_process()
    assert name.endswith(f" {os.getpid()} Mon-Nov-16-09:12:01-2026")
    assert not has_ended(name)
    assert has_ended(name.replace(f" {os.getpid()} ", " 99999 "))
