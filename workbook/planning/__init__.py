"""What to do next at the bench: exact times for the stages that lie before a shop, within the hours it has."""
