"""Storage of the workbook: each edit is durable at once in a local session; the maker's file is only ever replaced whole.

The file is text: a header line with the format and the digest of the content, then one JSON value. It is never changed in
place, so a database would gain nothing there; and text from a stranger has no schema, triggers or pages to attack with. The
session is SQLite, which suits small durable changes (write-ahead log, synchronous full).
"""
