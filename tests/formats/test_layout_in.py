"""A layout file that is none is refused with a plain word, whatever it holds."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.formats.layout_in import read_layout
from workbook.problems import JobError

PIECE = {"serial": "T1", "template": "Petty", "x": 1.0, "y": 2, "angle": 180.0, "mirrored": True}
PIECE["outline"] = [[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]


def text(piece):
    return json.dumps({"bars": [{"name": "bar", "from": "rack", "pieces": [piece]}]})


def test_what_is_written_is_read(tmp_path):
    file = tmp_path / "layout.json"
    file.write_text(text(PIECE), encoding="utf-8")
    (bar,) = read_layout(file)
    assert (bar.name, bar.source) == ("bar", "rack")
    (piece,) = bar.pieces
    assert (piece.serial, piece.template, piece.x, piece.y, piece.angle, piece.mirrored) == ("T1", "Petty", 1.0, 2.0, 180.0, True)
    assert piece.outline.tolist() == PIECE["outline"]


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ("", "not JSON"),
        ("[1, 2]", "not a layout"),
        ("{}", "'bars' is missing"),
        ('{"bars": 7}', "not a layout"),
        (text({k: v for k, v in PIECE.items() if k != "x"}), "'x' is missing"),
        (text({**PIECE, "x": "1"}), r"bars\[1\].pieces\[1\].x is not a number"),
        (text({**PIECE, "x": float("nan")}), "is not a number in range"),
        (text({**PIECE, "x": 10**400}), "is not a number in range"),
        (text({**PIECE, "mirrored": "yes"}), "does not say if it is mirrored"),
        (text({**PIECE, "serial": 5}), "has no serial"),
        (text({**PIECE, "angle": True}), "angle is not a number"),
        (text({**PIECE, "outline": [[1, 2], [3]]}), "not a layout"),
        (text({**PIECE, "outline": [[1, 2], [3, 4]]}), "outline is not a list of points"),
        ("[" * 100_000, "not JSON"),
    ],
)
def test_what_is_no_layout_is_refused_with_a_word(tmp_path, wrong, said):
    file = tmp_path / "layout.json"
    file.write_text(wrong, encoding="utf-8")
    with pytest.raises(JobError, match=said):
        read_layout(file)


def test_a_file_that_is_not_there_is_said(tmp_path):
    with pytest.raises(JobError, match="cannot be read"):
        read_layout(tmp_path / "none.json")


anything = st.recursive(
    st.none() | st.booleans() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["bars", "pieces", "name", "from", "x"]), inner),
    max_leaves=8,
)


@given(anything)
def test_any_json_is_read_or_refused(tmp_path_factory, data):
    file = tmp_path_factory.mktemp("any") / "layout.json"
    file.write_text(json.dumps(data), encoding="utf-8")
    try:
        assert isinstance(read_layout(file), tuple)
    except JobError as trouble:
        assert trouble.lines()
