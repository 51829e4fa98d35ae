"""Outlines from drawings: a process is started for as many bytes as take its start to read."""

import pytest

from workbook.tasks import outlines


@pytest.mark.parametrize(("sizes", "processes"), [([23_000, 19_000, 0], 1), ([900_000, 300_000], 2), ([2_500_000, 100], 3)])
def test_few_bytes_are_read_by_few_processes(tmp_path, monkeypatch, sizes, processes):
    asked = []
    monkeypatch.setattr(outlines, "guarded_all", lambda read, calls, worth: asked.append((len(calls), worth)) or [])
    for number, size in enumerate(sizes):
        (tmp_path / f"{number}.dxf").write_bytes(b" " * size)
    wanted = [(f"{number}.dxf", None) for number in range(len(sizes))] + [("missing.dxf", None)]
    outlines.read_outlines(tmp_path, wanted)
    assert asked == [(len(sizes) + 1, processes)]
