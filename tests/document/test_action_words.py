"""What a step did is an id with fields: told in any unit, whatever is in it, and every action of the program has its words."""

import ast
import re
import string
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.json import decode, encode

from tests.document.every_action import a_shop, every_action, public_actions
from tests.trees import ROOT, nodes
from workbook.document.action import SAID, Action, plain, said
from workbook.document.action_words import WORDS, in_words
from workbook.document.document import Document
from workbook.document.queries import job_of, touches_job
from workbook.document.records import KINDS
from workbook.document.shop_records import Movement
from workbook.document.words.accounts import ACCOUNTS
from workbook.document.words.making import MAKING
from workbook.document.words.settings import SETTINGS
from workbook.document.words.shop import SHOP
from workbook.document.words.telling import _KINDS, UNTOLD
from workbook.document.words.templates import TEMPLATES

WHOSE = {"template"}  # a field that `reshape` gives


@pytest.fixture(scope="module")
def shop():
    return a_shop()


def fields_in(words):
    """The names and kinds of the fields that a format string tells; a function's are its own."""
    found = string.Formatter().parse(words) if isinstance(words, str) else ()
    return [(name, kind) for _, name, kind, _ in found if name is not None]


def test_every_public_action_is_walked(shop):
    assert public_actions() <= {name for name, _ in every_action(shop)}


def test_every_action_of_the_document_is_told_whole_in_both_units(shop):
    for name, edit in every_action(shop):
        assert edit.changes, name
        assert edit.action.id in WORDS, name
        for unit in ("in", "mm"):
            assert UNTOLD not in in_words(edit.action, unit), in_words(edit.action, unit)
        after = shop.applied(edit)
        assert after.applied(edit.inverse).records == shop.records, name


def test_fields_are_plain_values_that_come_back_from_a_file_the_same(shop):
    for name, edit in every_action(shop):
        kept = [edit.action.id, edit.action.fields]
        assert decode(encode(kept)) == kept, name
        assert all(type(value) in (str, int, float, bool, list, type(None)) for value in edit.action.fields.values()), name


def test_lengths_are_told_in_the_unit_of_the_moment():
    longer = Action("template.parameter", {"template": "Petty", "parameter": "blade.length", "value": 139.7})
    assert in_words(longer, "in") == "Petty: Blade length 5 1/2 in"
    assert in_words(longer, "mm") == "Petty: Blade length 139.7 mm"
    put = Action("peg.moved", {"template": "Petty", "set": [["blade.length", 139.7, "length"], ["point.drop", 14.3, "length"]]})
    assert in_words(put, "in") == "Petty: Blade length 5 1/2, Tip drop 9/16 in"
    assert in_words(put, "mm") == "Petty: Blade length 139.7, Tip drop 14.3 mm"


def test_one_and_several_are_told_as_such():
    assert in_words(Action("layout.cut", {"blanks": 1, "bars": 1}), "in") == "1 blank cut of 1 bar"
    assert in_words(Action("layout.cut", {"blanks": 23, "bars": 2}), "in") == "23 blanks cut of 2 bars"
    five = [f"S{n}" for n in range(1, 6)]
    assert in_words(Action("blanks.pinned", {"blanks": five[:4]}), "in") == "S1, S2, S3, S4 pinned"
    assert in_words(Action("blanks.pinned", {"blanks": five}), "in") == "S1, S2, S3, S4… pinned"


def test_a_step_of_an_older_workbook_keeps_its_sentence_in_every_unit():
    words = "Petty: blade length 5 1/4 in" + ", and so on" * 60
    assert in_words(said(words), "mm") == in_words(said(words), "in") == words


@pytest.mark.parametrize(
    ("action", "words"),
    [
        (Action("blade.forged", {"template": "Petty"}), "blade.forged (a step of another version of this program)"),
        (Action("template.scaled", {"template": "Petty", "part": "blade"}), "Petty: blade scaled to ?"),
        (Action("template.scaled", {"template": "Petty", "part": "blade", "length": "long"}), "Petty: blade scaled to ?"),
        (Action("template.scaled", {"template": 7, "part": "blade", "length": 25.4}), "?blade scaled to 1 in"),
        (Action("template.parameter", {"template": "Petty"}), "Petty: ?"),
        (Action("template.parameter", {"template": "Petty", "parameter": "blade.soul", "value": 3.0}), "Petty: blade.soul"),
        (Action("template.removed", {"template": "Petty", "orders": [1, None]}), "Petty deleted, also from orders 1, ?"),
        (Action("layout.cut", {"blanks": 2.5, "bars": float("nan")}), "? cut of ?"),
        (Action("settings.tools.drills", {"value": 3}), "Drills: ?"),
        (Action(SAID, {"words": 3}), "?"),
    ],
)
def test_what_is_not_known_or_damaged_is_told_plainly(action, words):
    assert in_words(action, "in") == words


ids = st.sampled_from(sorted(WORDS)) | st.text(max_size=12)
OF_FUNCTIONS = ["set", "orders", "parameters", "parameter", "value", "lines", "group", "words", "customer", "peg", "template"]
names = st.sampled_from(sorted({*OF_FUNCTIONS, *(name for words in WORDS.values() for name, _ in fields_in(words))}))
anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8) | st.sampled_from(["blade.length", "length"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=2),
    max_leaves=8,
)


@given(ids, st.dictionaries(names, anything, max_size=5), st.sampled_from(["in", "mm"]))
def test_any_action_is_told(id_, fields, unit):
    assert isinstance(in_words(Action(id_, fields), unit), str)


def test_all_words_stand_any_value_in_every_field():
    for value in (None, True, 10**400, 1e308, float("nan"), "", [], [[]], [["a", {}, 3]], [[None, None, None]], {"a": 1}):
        for id_, words in WORDS.items():
            fields = dict.fromkeys([*OF_FUNCTIONS, *(name for name, _ in fields_in(words))], value)
            assert isinstance(in_words(Action(id_, fields), "in"), str)


def test_plain_takes_no_records():
    with pytest.raises(TypeError):
        plain(object())


@cache
def code():
    """Calls and texts anywhere in the program but in the words themselves."""
    found = (node for file, all_nodes in nodes().items() if "words" not in file.parts for node in all_nodes)
    return [node for node in found if isinstance(node, ast.Call | ast.Constant)]


def constants():
    """Every text."""
    return {node.value for node in code() if isinstance(node, ast.Constant) and isinstance(node.value, str)}


def calls(*names):
    """Calls of some functions."""
    for node in code():
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in names:
            yield node


def begun():
    """What ids begin with that are made of a key: `Action(f"order.{key}")`."""
    firsts = [call.args[0] for call in calls("Action") if isinstance(call.args[0], ast.JoinedStr)]
    return tuple(first.values[0].value for first in firsts)


def test_no_id_is_without_words():
    firsts = [call.args[0] for call in calls("Action", "Remedy", "_at_hole") if not isinstance(call.args[0], ast.JoinedStr)]
    found = {
        node.value for first in firsts for node in ast.walk(first) if isinstance(node, ast.Constant) and "." in str(node.value)
    }
    found |= {text for text in constants() if re.fullmatch(r"(blanks?|stock)\.(?!csv)[a-z_]+", text)}  # chosen before it is made
    assert len(found) > 70
    assert found <= WORDS.keys()


def test_no_words_are_without_use():
    used, firsts = constants(), begun()
    assert firsts, "none is made of a key any more"
    assert not [id_ for id_ in WORDS if id_ not in used and not id_.startswith(firsts)]


def test_each_id_has_its_words_once_and_of_fields_that_are_told():
    assert len(WORDS) == 1 + len(TEMPLATES) + len(SHOP) + len(MAKING) + len(ACCOUNTS) + len(SETTINGS)
    for id_, words in WORDS.items():
        for name, kind in fields_in(words):
            assert name.isidentifier() and kind.partition(" ")[0] in _KINDS, id_


def test_every_action_in_the_code_has_the_fields_its_words_tell():
    seen = 0
    for call in calls("Action"):
        if len(call.args) < 2 or not isinstance(call.args[0], ast.Constant) or not isinstance(call.args[1], ast.Dict):
            continue
        words, given_ = WORDS[call.args[0].value], {key.value for key in call.args[1].keys if key is not None}
        if isinstance(words, str) and None not in call.args[1].keys:
            assert {name for name, _ in fields_in(words)} - WHOSE <= given_, call.args[0].value
            seen += 1
    assert seen > 30


def test_no_action_changes_an_entry_of_the_ledger_or_takes_it_away_but_with_what_it_is_of(shop):
    taken = 0
    for name, edit in every_action(shop):
        gone = {change.id for change in edit.changes if change.after is None}
        for change in edit.changes:
            if isinstance(change.before, Movement):
                assert change.id in gone and change.before.of in gone, f"{name} changes an entry of the ledger"
                taken += 1
    assert taken, "nothing that has entries was removed"


def test_records_change_only_by_an_edit_that_the_workspace_makes():
    """So that all a maker enters is a step of the history."""
    makes = re.compile(r"session\.edit\(|session\.document\s*=[^=]|\.applied\(edit\.inverse")
    found = {file.relative_to(ROOT).as_posix() for file in (ROOT / "app").rglob("*.py") if makes.search(file.read_text("utf-8"))}
    assert found == {"app/work.py"}


def test_what_does_not_touch_the_job_leaves_it_as_it_is(shop):
    beside = [(name, edit) for name, edit in every_action(shop) if not touches_job(edit)]
    assert {name for name, _ in beside} >= {"making.enter", "making.log_load", "making.change_batch"}
    for name, edit in beside:
        assert job_of(shop.applied(edit)) == job_of(shop), name


def test_after_every_action_records_stand_in_order_as_if_they_were_put_there_anew(shop):
    for kind in KINDS.values():
        list(shop.all(kind))  # so that their order is there, and followed
    for name, edit in every_action(shop):
        after = shop.applied(edit)
        for kind in KINDS.values():
            assert list(after.all(kind)) == list(Document(after.records).all(kind)), name
        back = after.applied(edit.inverse)
        for kind in KINDS.values():
            assert list(back.all(kind)) == list(shop.all(kind)), name
