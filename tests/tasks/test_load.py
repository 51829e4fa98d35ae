"""A job file from disk: what it may be, and what is told when it is not."""

import pytest

from workbook.model.model import with_template
from workbook.problems import JobError
from workbook.structs import replace
from workbook.tasks.demo import demo_job
from workbook.tasks.load import load_job, load_strange_job
from workbook.template.parameters import changed

LEAST = '[[template]]\nname = "Häher"\nfamily = "petty"\n[[bar]]\nsteel = "1095"\nthickness = "2 mm"\nwidth = "50 mm"\n' + (
    'length = "900 mm"\n[[make]]\ntemplate = "Häher"\n'
)


def told(file):
    with pytest.raises(JobError) as caught:
        load_job(file)
    return caught.value.lines()


def test_a_file_that_is_not_utf_8_is_told_with_the_place(tmp_path):
    file = tmp_path / "job.toml"
    file.write_bytes(LEAST.encode("latin-1"))
    assert told(file) == ["job.toml: file: is not UTF-8 text (byte 22). Save it from the editor as UTF-8."]


def test_a_file_with_a_byte_order_mark_and_windows_line_ends_is_read(tmp_path):
    file = tmp_path / "job.toml"
    file.write_bytes(b"\xef\xbb\xbf" + LEAST.replace("\n", "\r\n").encode())
    assert load_job(file).job.templates[0].name == "Häher"


def test_a_folder_or_nothing_in_its_place_is_told(tmp_path):
    assert "file: cannot be read" in told(tmp_path / "none.toml")[0]
    assert "file: cannot be read" in told(tmp_path)[0]


def test_a_file_too_large_is_told(tmp_path):
    file = tmp_path / "job.toml"
    file.write_bytes(b"#" * 1_000_001)
    assert told(file) == ["job.toml: file: is too large for a job."]


def test_every_mistake_names_the_file(job_file):
    assert all(line.startswith("job.toml: ") for line in told(job_file(LEAST.replace("mm", "mn"))))


def test_the_demo_loads_without_a_problem():
    model = demo_job()
    assert model.problems == ()
    assert set(model.shapes) == {t.name for t in model.job.templates}


def test_replacing_a_template_computes_what_depends_on_it(demo):
    longer = changed(demo.job.template("Petty"), "blade.length", 600.0)
    found = with_template(demo, "Petty", longer)
    assert found.job.template("Petty") == longer
    assert found.shapes["Paring"] is demo.shapes["Paring"]
    assert found.shapes["Petty"].extent()[2] == pytest.approx(600.0, abs=0.01)
    assert {p.severity.value for p in found.problems} >= {"stop"}
    assert demo.problems == ()


def test_a_blank_is_ground_from_the_bar_that_was_measured(demo):
    petty, paring = demo.in_hand("Petty"), demo.in_hand("Paring")
    assert (petty.thickness, petty.read) == (pytest.approx(0.0775 * 25.4), True)
    assert (paring.thickness, paring.read) == (pytest.approx(25.4 / 16), False)


def test_a_metric_job_gets_metric_drills(demo_file, tmp_path):
    text = demo_file.read_text(encoding="utf-8").replace('units = "in"', 'units = "mm"')
    text = text.replace("measured = { thickness = 0.0775, width = 2.505, length = 36.06 }", "")
    file = tmp_path / "job.toml"
    file.write_text(text, encoding="utf-8")
    assert {d.series for d in load_job(file).tools.drills} == {"metric"}
    assert replace(load_job(file).tools, drills=()) == replace(load_job(demo_file).tools, drills=())


def test_a_key_of_many_parts_is_refused_before_it_takes_its_time(tmp_path):
    file = tmp_path / "job.toml"
    file.write_text("[job]\n" + ".".join(["a"] * 40_000) + " = 1")
    assert told(file) == ["job.toml: line 2: has more than 100 dots, too many for a line of a job."]


def test_a_job_of_very_many_tables_is_refused(tmp_path):
    file = tmp_path / "job.toml"
    file.write_text("[[bar]]\nthickness = 2\n" * 1001)
    assert "job.toml: bar: appears 1001 times. A job has at most 1000. Split it into several jobs." in told(file)


def test_a_strangers_job_reads_as_any_other_and_its_mistakes_are_told(job_file):
    assert load_strange_job(job_file(LEAST)).job == load_job(job_file(LEAST)).job
    with pytest.raises(JobError) as refused:
        load_strange_job(job_file(LEAST.replace("mm", "mn")))
    assert refused.value.lines() == told(job_file(LEAST.replace("mm", "mn")))


def test_a_job_that_takes_too_long_to_read_is_said_to(job_file, monkeypatch):
    monkeypatch.setattr("workbook.tasks.guarded.SECONDS", 0.001)
    with pytest.raises(JobError) as refused:
        load_strange_job(job_file(LEAST))
    assert refused.value.lines() == ["job.toml: file: takes more than 0 s to read."]
