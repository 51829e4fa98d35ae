"""The headless commands: a job file in, files and figures out. No Qt is imported here."""
