"""The ways a blank is moved by hand: what is asked, its words in a menu, those on a button, its icon."""

WAYS = (
    ("turn", "Turn it end for end", "Turn", "turn"),
    ("flip", "Flip it, other face up", "Flip", "flip"),
    ("clear", "Move it clear", "Move clear", ""),
    ("up", "To the bar above", "", ""),
    ("down", "To the bar below", "", ""),
)
