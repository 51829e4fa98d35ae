"""What a maker does to the workbook, one module a subject: each action makes an edit and changes nothing itself.

New ids come from the caller: this floor has no chance of its own.
"""
