"""The page Today: what to do in the time there is, what is due, what waits, what to buy."""
