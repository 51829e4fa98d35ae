"""What a step did is kept as an id with fields, and told when it is shown."""

from tests.sentences import words_of
from tests.storage.conftest import line
from workbook.document.action import Action
from workbook.document.document import replacing
from workbook.storage.file import read
from workbook.storage.opening import begin, recover

LONGER = Action("template.parameter", {"template": "Petty", "parameter": "blade.length", "value": 139.7})
PUT = Action("peg.moved", {"template": "Petty", "set": [["blade.length", 139.7, "length"], ["point.drop", 0.25, "share"]]})


def test_an_action_comes_back_from_session_and_file_as_it_was(folder, tmp_path):
    session = begin(folder)
    for number, action in enumerate((LONGER, PUT), 1):
        session.edit(replacing(session.document, action, [line(number, 1)]), "2026-01-02")
    session.save_as(tmp_path / "shop.shopbook")
    session.edit(replacing(session.document, Action("settings.unit", {"value": "mm"}), [line(3, 1)]), "2026-01-02")
    file = session.file
    session.close()
    again = recover(file)
    assert [step.action for step in again.steps] == [LONGER, PUT, Action("settings.unit", {"value": "mm"})]
    assert [step.undone(again.document).action for step in again.steps[2:]] == [Action("settings.unit", {"value": "mm"})]
    body = read(tmp_path / "shop.shopbook").body
    assert [step.action for step in body.steps] == [LONGER, PUT]
    assert words_of(body.steps[0], "mm") == "Petty: Blade length 139.7 mm"
    again.close()


def test_what_is_kept_of_a_step_is_no_sentence(folder, tmp_path):
    session = begin(folder)
    session.edit(replacing(session.document, LONGER, [line(1, 1)]), "2026-01-02")
    session.save_as(tmp_path / "shop.shopbook")
    session.close()
    content = (tmp_path / "shop.shopbook").read_text(encoding="utf-8")
    assert "139.7" in content
    assert "5 1/2" not in content
