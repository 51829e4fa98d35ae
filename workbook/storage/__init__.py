"""Keeping the workbook: every edit durable at once in a local session, the file at the maker's path only ever replaced whole.

The file is text: a line that says what it is and holds the digest of the rest, then one JSON value. It is never changed in
place, so nothing is gained by a database there; and text from a stranger has no schema, no triggers and no pages to be hostile
with. The session is SQLite, which is made for small durable changes (write-ahead log, synchronous full).
"""
