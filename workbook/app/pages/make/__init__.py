"""The page Quote: orders, what they need, and what they come to."""
