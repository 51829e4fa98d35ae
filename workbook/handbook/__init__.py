"""Cards of a handbook: steels, woods, drills, pins and grits, made of the shipped tables of facts."""
