"""What is done with one kind of record, for the window."""
