"""The sentences of a page in Markdown and how long they are: what reading takes."""

import re

from workbook.formats.help_text import texts_of

_CODE = re.compile(r"`[^`]*`")  # counts as a word
_LINK = re.compile(r"!?\[([^\]]*)\]\([^)]*\)")
_MARKS = re.compile(r"[*_|]")
_END = re.compile(r"(?<=[.!?])\s+")
_WORD = re.compile(r"[\w'’%/°-]+")
_FEWEST = 3  # words; less is a label


def sentences(markdown):
    """Every sentence of a page: of its paragraphs, items and cells. Headings, code and pictures are left out."""
    for text in texts_of(markdown):
        if text.startswith("!["):
            continue
        plain = _MARKS.sub("", _LINK.sub(r"\1", _CODE.sub("code", text))).replace("e.g.", "eg")
        yield from (each for each in _END.split(plain) if length(each) >= _FEWEST and not _is_list(each))


def _is_list(sentence):
    """Whether it is a list of code words rather than a sentence."""
    return sentence.startswith("code;") or 3 * _WORD.findall(sentence).count("code") > length(sentence)


def length(sentence):
    """The number of its words."""
    return len(_WORD.findall(sentence))
