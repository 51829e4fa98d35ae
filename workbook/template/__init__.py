"""Templates: parameters -> outline, holes and handle; imported outlines; checks.

A template is a frozen set of named parameters and nothing else; its outline is a pure function of them.
"""
