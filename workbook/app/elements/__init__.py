"""Building blocks of pages, dialogs and canvases: labels, fields, rows, tables, painted text."""
