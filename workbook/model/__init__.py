"""What all else is worked out from: the job with the shapes of its templates and the facts; layouts with their money; quotes.

Pure: it reads no file and asks no clock. It stands above the document, since what an order costs follows from many records.
"""
