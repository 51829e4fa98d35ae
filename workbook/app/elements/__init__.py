"""What pages, dialogs and canvases are made of: labels, fields, rows, tables, painted words."""
