"""What everything else is computed from: the job with the shapes of its templates and the facts; layouts with costs; quotes.

Pure: it reads no file and asks no clock. It stands above the document, since the cost of an order depends on many records.
"""
