"""Sheaths: from a knife to the pattern of what it is carried in. Pure; lengths mm, the template's frame unless told."""
