"""Where each blade of a batch stands, from what was entered: stages done, waits, rework, scrap, hold points."""
