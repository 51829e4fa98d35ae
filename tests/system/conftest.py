"""Another system's branches, walked here: `sys.platform` as it is there, and what Python has there in its place."""

import errno
import os
import sys
from types import SimpleNamespace

import pytest


class Console:
    """Windows' own locks, as msvcrt has them: of single bytes, by whoever opened the file."""

    LK_NBLCK = 2

    def __init__(self):
        self.held = {}

    def locking(self, handle, mode, count):
        assert (mode, count) == (self.LK_NBLCK, 1)
        byte = (os.fstat(handle).st_ino, os.lseek(handle, 0, os.SEEK_CUR))
        holder = self.held.get(byte)
        if holder is not None and holder != handle and self._is_open(holder, byte[0]):
            raise OSError(errno.EACCES, "Permission denied")
        self.held[byte] = handle

    @staticmethod
    def _is_open(handle, file):
        try:
            return os.fstat(handle).st_ino == file
        except OSError:
            return False


@pytest.fixture
def windows(monkeypatch):
    """As on Windows, as far as can be; its locks."""
    console = Console()
    monkeypatch.setitem(sys.modules, "msvcrt", SimpleNamespace(LK_NBLCK=Console.LK_NBLCK, locking=console.locking))
    monkeypatch.setattr(sys, "platform", "win32")
    return console


@pytest.fixture
def mac(monkeypatch):
    """As on macOS."""
    monkeypatch.setattr(sys, "platform", "darwin")
