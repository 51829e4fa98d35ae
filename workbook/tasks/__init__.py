"""Complete user tasks, without Qt or terminal: load a job, lay out, make sheets."""
