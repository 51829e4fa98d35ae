"""What a user asks for, whole, without Qt or terminal: load a job, lay out, make sheets."""
