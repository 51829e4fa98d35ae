"""What is asked of Windows itself, with its kernel in effigy: what is passed, and what is made of the answers."""

import ctypes
import importlib
import os
import sys

import pytest

from workbook.system.memory import limit_memory
from workbook.system.processes import has_ended, this_process


class Call:
    def __init__(self, run):
        self._run = run

    def __call__(self, *given):
        return self._run(*given)


class Kernel:
    """Of the numbers of processes it knows one."""

    def __init__(self, number):
        self.number, self.ended, self.closed, self.limits, self.in_job = number, 0, [], {}, None
        self.OpenProcess = Call(lambda may, inherit, number: 77 if number == self.number and may == 0x1000 else None)
        self.GetProcessTimes = Call(self._times)
        self.CloseHandle = Call(lambda handle: self.closed.append(handle.value))
        self.CreateJobObjectW = Call(lambda security, name: 1 << 40)
        self.GetCurrentProcess = Call(lambda: 2**64 - 1)
        self.SetInformationJobObject = Call(self._set)
        self.AssignProcessToJobObject = Call(self._assign)

    def _times(self, handle, begun, ended, *others):
        assert handle.value == 77
        begun._obj.value, ended._obj.value = 133_000_000_000, self.ended
        return 1

    def _set(self, job, kind, limits, size):
        assert (job.value, kind, size) == (1 << 40, 9, ctypes.sizeof(limits._obj))
        self.limits = {"flags": limits._obj.flags, "process_memory": limits._obj.process_memory}
        return 1

    def _assign(self, job, process):
        self.in_job = (job.value, process.value)
        return 1


@pytest.fixture
def kernel(windows, monkeypatch):
    """Windows' kernel, which knows this process."""
    made = Kernel(os.getpid())
    monkeypatch.setattr(ctypes, "WinDLL", lambda name: made, raising=False)
    monkeypatch.delitem(sys.modules, "workbook.system.windows", raising=False)
    yield made
    sys.modules.pop("workbook.system.windows", None)


@pytest.mark.skipif(sys.platform == "win32", reason="it is, on Windows")
def test_its_part_is_not_imported_elsewhere():
    with pytest.raises(AssertionError):
        importlib.import_module("workbook.system.windows")


def test_a_process_is_known_by_when_it_was_started(kernel):
    assert this_process().endswith(" 133000000000")
    assert not has_ended(this_process())
    assert kernel.closed == [77, 77, 77]


def test_one_that_is_not_there_or_was_left_open_by_others_has_ended(kernel):
    name = this_process()
    kernel.ended = 133_000_000_001
    assert has_ended(name)
    kernel.number = -1
    assert has_ended(name)


def test_memory_is_limited_by_a_job_of_its_own(kernel):
    assert limit_memory(2_000_000_000)
    assert kernel.limits == {"flags": 0x100, "process_memory": 2_000_000_000}
    assert kernel.in_job == (1 << 40, 2**64 - 1)


def test_where_the_job_cannot_be_limited_that_is_told(kernel):
    kernel.SetInformationJobObject = Call(lambda *given: 0)
    assert not limit_memory(2_000_000_000)
    assert kernel.in_job is None


def test_what_windows_is_told_is_as_long_as_it_expects(kernel):
    """144 bytes where a pointer has eight."""
    from workbook.system import windows

    assert ctypes.sizeof(windows._Limits) == (144 if ctypes.sizeof(ctypes.c_void_p) == 8 else 112)
